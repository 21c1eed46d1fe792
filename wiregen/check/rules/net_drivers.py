"""Drivers and returns: one output a net, signals kept off supply, sensor returns kept off earth."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiregen.check.known import pin_at, title
from wiregen.check.rule import Found, Rule, Scene
from wiregen.check.ways import Way, shortest, within_unit
from wiregen.check.words import listed
from wiregen.connect import Joint, Net, node_of
from wiregen.connect.trace import Tracer
from wiregen.model import Group, Pin, Plug, in_order
from wiregen.problems import Note

_EARTHS = ("earth", "sensor return", "screen")
_PULLS_DOWN = ("open collector", "low side")


def _pins_on(scene: Scene, net: Net) -> Iterator[tuple[str, Pin]]:
    """Yield the described pins of a net; of two mated records the first one only."""
    seen: set[tuple[str, str]] = set()
    for node in net.nodes:
        owner, _, point = node.partition(":")
        plug = scene.design.plugs.get(owner)
        pin = plug.pins.get(point) if plug else None
        if pin is None or pin.state != "used":
            continue
        mate = scene.network.mate(owner)
        contact = f"{min(owner, mate)}:{point}" if mate else node
        if (contact, pin.role) not in seen:
            seen.add((contact, pin.role))
            yield node, pin


def _nets_with(scene: Scene, *roles: str) -> list[Net]:
    """Return the nets on which a pin has one of these roles, in order."""
    network = scene.network
    indexes = {network.net_index[n] for role in roles for n in scene.with_role.get(role, ())}
    return [network.nets[index] for index in sorted(indexes)]


def two_drivers(scene: Scene) -> Iterator[Found]:
    """Two outputs drive one net; open collectors may share it."""
    for net in _nets_with(scene, "output"):
        drivers = [(n, p) for n, p in _pins_on(scene, net) if p.role == "output"]
        apart = _drivers_apart(scene, drivers)
        strong = [pair for pair in apart if pair[1].drives != "open collector"]
        if len(strong) < 2 or all(pin.drives in _PULLS_DOWN for _, pin in strong):
            continue
        pin, others = strong[0][1], strong[1:]
        names = listed([f"{n} ({p.drives or 'output'})" for n, p in strong], between=" and ")
        notes = tuple(Note(f"{n} is an output", p.origin.at("role")) for n, p in others)
        message = f"{names} drive the same net"
        yield Found(message, pin.origin.at("role"), tuple(n for n, _ in strong), notes)


def _drivers_apart(scene: Scene, drivers: list[tuple[str, Pin]]) -> list[tuple[str, Pin]]:
    """Leave out outputs that a unit joins inside to one already there: one driver, two pins."""
    kept: list[tuple[str, Pin]] = []
    for node, pin in drivers:
        inside = {other for other, _ in kept}
        way = shortest(
            scene.network, node, inside.__contains__, lambda n, j: within_unit(scene, n, j)
        )
        if way is None:
            kept.append((node, pin))
    return kept


def output_on_supply(scene: Scene) -> Iterator[Found]:
    """An output is joined to a source by metal and fuses."""
    for net in _nets_with(scene, "output"):
        if not scene.feeds.is_permanent(net.index):
            continue
        for node, pin in _pins_on(scene, net):
            if pin.role == "output":
                message = f"output {node} ({pin.carries or 'output'}) is joined to permanent supply"
                yield Found(message, pin.origin.at("role"), (node,))


def return_on_earth(scene: Scene) -> Iterator[Found]:
    """A sensor return is joined to an earth outside the unit it belongs to."""
    network = scene.network
    for net in _nets_with(scene, "sensor return"):
        returns = [(n, p) for n, p in _pins_on(scene, net) if p.role == "sensor return"]
        earths = {node for node, pin in _pins_on(scene, net) if pin.role == "earth"}
        earths |= {node for node in net.nodes if node in network.earth_points}
        earths |= {node for node in net.nodes if node in network.returns}

        def outside(node: str, joint: Joint) -> bool:
            return not within_unit(scene, node, joint)

        for node, pin in returns[:1]:
            way = shortest(network, node, earths.__contains__, outside)
            if way is not None:
                yield _joined_return(scene, node, pin, way)


def _joined_return(scene: Scene, node: str, pin: Pin, way: Way) -> Found:
    wire = scene.design.wires.get(way.wires[-1]) if way.wires else None
    message = f"sensor return {node} is joined to earth {way.end} {way.text}"
    notes = (Note(f"{node} is a sensor return", pin.origin.at("role")),)
    span = wire.origin.span if wire else pin.origin.at("role")
    return Found(message, span, (node, way.end, *way.wires), notes)


def screen_earthed(scene: Scene) -> Iterator[Found]:
    """A screen is earthed at more than one place."""
    told: set[str] = set()
    for plug in scene.design.plugs.values():
        for pin in plug.pins.values():
            node = f"{plug.id}:{pin.name}"
            if pin.role != "screen" or node in told:
                continue
            reached = _screen_nodes(scene, node)
            told.update(reached)
            places = _earthings(scene, reached)
            if len(places) > 1:
                message = f"the screen at {node} is earthed at {' and '.join(places)}"
                yield Found(message, pin.origin.at("role"), (node, *places))
    yield from _both_ends(scene)


def _both_ends(scene: Scene) -> Iterator[Found]:
    """Yield each screen that two groups over the same wires bring to different plugs or studs."""
    first: dict[tuple[str, ...], Group] = {}
    for group in scene.design.groups.values():
        if group.screen is None or not group.screened:
            continue
        other = first.setdefault(tuple(in_order(group.screened)), group)
        if other.screen is None or other.screen.owner == group.screen.owner:
            continue
        wires = ", ".join(group.screened)
        places = f"{other.screen.text} by {other.id} and to {group.screen.text} by {group.id}"
        message = f"the screen over {wires} is brought to {places}"
        yield Found(message, group.screen.span, (group.id, other.id, *group.screened))


def _screen_nodes(scene: Scene, start: str) -> list[str]:
    """Return the nodes of a screen: by metal outside of units, up to the earths it meets."""
    seen, known = [start], {start}
    for here in seen:
        owner, _, point = here.partition(":")
        if owner in scene.design.earths or _is_earth_pin(scene.design.plugs.get(owner), point):
            continue
        for joint in scene.network.joints.get(here, ()):
            if joint.node not in known and not within_unit(scene, here, joint):
                known.add(joint.node)
                seen.append(joint.node)
    return seen


def _earthings(scene: Scene, nodes: Iterable[str]) -> list[str]:
    """Return where a screen meets earth: units (through their screen pin) and earth points."""
    places: dict[str, None] = {}
    for node in nodes:
        owner, _, point = node.partition(":")
        plug = scene.design.plugs.get(owner)
        if plug is not None and plug.of:
            if _takes_screen(plug.pins.get(point)):
                places[plug.of] = None
        elif owner in scene.design.earths or _is_earth_pin(plug, point):
            places[node] = None
    return list(places)


def _takes_screen(pin: Pin | None) -> bool:
    """Tell whether a screen may end at a pin of a unit: one for it, or one nothing is said of."""
    return pin is None or pin.role in ("", *_EARTHS)


def _is_earth_pin(plug: Plug | None, point: str) -> bool:
    pin = plug.pins.get(point) if plug else None
    return pin is not None and pin.role == "earth"


def screen_nowhere(scene: Scene) -> Iterator[Found]:
    """A screen is not earthed anywhere."""
    design, network = scene.design, scene.network
    tracer = Tracer(network)
    for group in design.groups.values():
        if not group.screened:
            continue
        if group.screen is None:
            message = f"{group.id}: the screen over {', '.join(group.screened)} is earthed nowhere"
            yield Found(message, group.origin.span, (group.id, *group.screened))
            continue
        node = node_of(group.screen)
        feeds = tracer.feeds(node) if node in network.net_index else ()
        if feeds:
            message = f"{group.id}: the screen ends at {group.screen.text}, which is fed by"
            yield Found(f"{message} {feeds[0].end}", group.screen.span, (group.id, node))
            continue
        pin = pin_at(design, network, node)
        unit_pin = network.mate(group.screen.owner) and _takes_screen(pin)
        if not unit_pin and not _earthings(scene, _screen_nodes(scene, node)):
            message = f"{group.id}: the screen ends at {group.screen.text}, which is not earthed"
            yield Found(message, group.screen.span, (group.id, group.screen.text))


def two_sensors(scene: Scene) -> Iterator[Found]:
    """Two senders or sensors hang on pins that a unit joins inside to one input."""
    design, network = scene.design, scene.network
    for net in _nets_with(scene, "input", "sender"):
        pins = [(n, p) for n, p in _pins_on(scene, net) if p.role in ("input", "sender")]
        if len(pins) < 2:
            continue
        sensors: dict[str, str] = {}
        for node, _ in pins:
            for wire in network.wires_at(node):
                for end in network.ends_of[wire]:
                    owner = end.partition(":")[0]
                    device = design.devices.get(owner)
                    if device is not None and device.kind in ("sensor", "sender"):
                        sensors[owner] = node
        if len(sensors) > 1:
            names = " and ".join(title(design.devices, name) for name in sensors)
            node, pin = pins[0]
            message = f"{names} both drive the input at {node}"
            yield Found(message, pin.origin.span, (node, *sensors))


RULES = (
    Rule(
        code="NET107",
        name="two drivers",
        title="Two outputs drive one net",
        severity="error",
        why="One output pulls up while the other pulls down: the weaker one burns.",
        fix="Separate the outputs, or use open collectors with one pull-up; pins that a unit joins "
        "inside are one driver when 'inside' says so",
        source="open data, rusefi/rusefi on GitHub, connectors file of a 121-way engine "
        "computer: two pins of "
        "one driver",
        needs="role and drives of the pins",
        since="0.1",
        run=two_drivers,
    ),
    Rule(
        code="NET108",
        name="output on supply",
        title="An output is joined to permanent supply",
        severity="error",
        why="The output is short-circuited the moment it switches, and what it drives is on all "
        "the time.",
        fix="Take the supply off the output's wire, or correct the role of the pin",
        source="common practice, no source",
        needs="role of the pins, a source",
        since="0.1",
        run=output_on_supply,
    ),
    Rule(
        code="NET109",
        name="sensor return on earth",
        title="A sensor return is joined to earth outside the unit it belongs to",
        severity="error",
        why="The current of lamps and coils flows in the sensor's return and shifts every reading.",
        fix="Bring the return only to its pin on the unit; if the unit joins it to earth inside, "
        "say so with 'join' under 'inside'",
        source="cluster connector assignment (myvehicle.help): three earth pins that are not the "
        "same; controller manual: one earth input kept for sensors (case notes)",
        needs="role of the pins",
        since="0.1",
        run=return_on_earth,
    ),
    Rule(
        code="NET110",
        name="screen earthed twice",
        title="A screen is earthed at more than one place",
        severity="warning",
        why="The screen carries earth current from one place to the other and couples it into the "
        "signal it should protect.",
        fix="Earth the screen at the unit only, and insulate its other end",
        source="hpacademy.com forum: the shield has exactly one earth",
        needs="role screen of the pins",
        since="0.1",
        run=screen_earthed,
    ),
    Rule(
        code="NET111",
        name="screen not earthed",
        title="A screen is not earthed anywhere",
        severity="error",
        why="A screen that hangs free does not screen, it couples like an aerial.",
        fix="Name the pin or the earth it is brought to with 'screen'",
        source="hpacademy.com forum: the shield has exactly one earth",
        needs="",
        since="0.1",
        run=screen_nowhere,
    ),
    Rule(
        code="NET125",
        name="two sensors on one input",
        title="Two sensors drive one input of a unit",
        severity="error",
        why="The unit reads neither: the two pins are one node inside.",
        fix="Wire one sensor, or read the other one with another input",
        source="open data, rusefi/rusefi on GitHub, connectors file of a 121-way engine "
        "computer: two pins of "
        "one channel",
        needs="role of the pins, links inside the unit",
        since="0.1",
        run=two_sensors,
    ),
)
