"""Second looks: a spare wire that could be used, an indicator with two meanings."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.known import title
from wiregen.check.rule import Found, Rule, Scene
from wiregen.connect import Link
from wiregen.model import Wire
from wiregen.problems import Note, Severity

_INDICATOR_WATTS = 5.0


def spare_runs_there(scene: Scene) -> Iterator[Found]:
    """A new wire runs where an existing spare wire already goes."""
    spares: dict[frozenset[str], list[Wire]] = {}
    for wire in scene.design.wires.values():
        if scene.design.status_of(wire) == "existing" and _is_spare(scene, wire):
            spares.setdefault(_places(scene, wire), []).append(wire)
    for wire in scene.design.wires.values():
        if scene.design.status_of(wire) != "new" or len(wire.ends) < 2:
            continue
        for spare in spares.get(_places(scene, wire), ())[:1]:
            cavities = " and ".join(end.text for end in spare.ends)
            message = f"new wire {wire.id} runs where spare wire {spare.id} already goes"
            notes = (Note(f"{spare.id} can be picked up at {cavities}", spare.origin.span),)
            yield Found(message, wire.origin.span, (wire.id, spare.id), notes)


def _is_spare(scene: Scene, wire: Wire) -> bool:
    """A parked wire with both ends, or a wire between pins that are spare."""
    if len(wire.ends) < 2 or wire.fate == "removed":
        return False
    if wire.fate == "insulated":
        return True
    plugs = scene.design.plugs
    pins = [plugs[e.owner].pins.get(e.point) for e in wire.ends if e.owner in plugs]
    return any(pin is not None and pin.use == "spare" for pin in pins)


def _places(scene: Scene, wire: Wire) -> frozenset[str]:
    """Return the plugs or devices a wire runs between; both halves of a plug are one place."""
    places = []
    for end in wire.ends:
        mate = scene.network.mate(end.owner)
        places.append(min(end.owner, mate) if mate else end.owner)
    return frozenset(places)


def two_meanings(scene: Scene) -> Iterator[Found]:
    """One indicator lamp is lit by two different things."""
    network = scene.network
    for link in network.links:
        if link.kind != "load" or not _is_indicator(scene, link):
            continue
        causes: dict[str, None] = {}
        for node in link.nodes:
            net = network.net_of(node)
            if net is None or net.kind == "earth" or scene.feeds.is_permanent(net.index):
                continue
            causes.update(dict.fromkeys(_causes(scene, net.nodes, link)))
        if len(causes) > 1:
            names = " and ".join(title(scene.design.devices, cause) for cause in causes)
            device = scene.design.devices[link.device]
            record = device.inside.get(link.id.partition(".")[2]) or device
            shown = f"{link.id} ({record.title})" if record.title else link.id
            message = f"{shown} is lit by {names}: they cannot be told apart"
            severity: Severity | None = "error" if _safety(scene, link, causes) else None
            yield Found(message, record.origin.span, (link.id, *causes), severity=severity)


def _causes(scene: Scene, nodes: tuple[str, ...], lamp: Link) -> Iterator[str]:
    """Yield what can bring earth to a lamp's net: switches, senders and outputs, past diodes."""
    network = scene.network
    for link, node in network.links_on(nodes):
        if link is lamp:
            continue
        others = [network.net_of(other) for other in link.nodes if other != node]
        to_earth = any(other is not None and other.kind == "earth" for other in others)
        device = scene.design.devices.get(link.device)
        if link.kind == "diode":
            for other in link.nodes:
                net = network.net_of(other)
                if other != node and net is not None:
                    yield from _direct(scene, net.nodes, lamp)
        elif device is not None and to_earth and _switches(link, device.kind):
            yield link.device
    yield from _outputs(scene, nodes)


def _direct(scene: Scene, nodes: tuple[str, ...], lamp: Link) -> Iterator[str]:
    for link, node in scene.network.links_on(nodes):
        others = [scene.network.net_of(other) for other in link.nodes if other != node]
        device = scene.design.devices.get(link.device)
        to_earth = any(other is not None and other.kind == "earth" for other in others)
        if link is not lamp and device is not None and to_earth and _switches(link, device.kind):
            yield link.device
    yield from _outputs(scene, nodes)


def _switches(link: Link, kind: str) -> bool:
    return link.kind == "contact" or kind in ("sender", "sensor", "alternator")


def _outputs(scene: Scene, nodes: tuple[str, ...]) -> Iterator[str]:
    for node in nodes:
        owner, _, point = node.partition(":")
        plug = scene.design.plugs.get(owner)
        pin = plug.pins.get(point) if plug else None
        if plug is not None and plug.of and pin is not None and pin.role == "output":
            yield plug.of


def _is_indicator(scene: Scene, link: Link) -> bool:
    """An LED, a lamp inside a unit, or a lamp of at most 5 W."""
    device = scene.design.devices[link.device]
    part = device.inside.get(link.id.partition(".")[2])
    record = part or device
    if record.kind == "led":
        return True
    small = record.watts_w is not None and record.watts_w <= _INDICATOR_WATTS
    return record.kind == "lamp" and (part is not None or small)


def _safety(scene: Scene, link: Link, causes: dict[str, None]) -> bool:
    devices = scene.design.devices
    if devices[link.device].safety or any(devices[c].safety for c in causes if c in devices):
        return True
    nets = [scene.network.net_of(node) for node in link.nodes]
    names = {use.name for net in nets if net is not None for use in net.circuits}
    return any(c.safety for name, c in scene.design.circuits.items() if name in names)


RULES = (
    Rule(
        code="NET117",
        name="spare wire available",
        title="A new wire runs where an existing spare wire already goes",
        severity="warning",
        why="A wire is cut, drawn through the bulkhead and paid for that is already there.",
        fix="Pick up the spare wire at the plug named, if its size and condition will do",
        source="common practice, no source",
        needs="spare wires of the old looms",
        since="0.1",
        run=spare_runs_there,
    ),
    Rule(
        code="NET118",
        name="indicator with two meanings",
        title="One indicator lamp is lit by two different things",
        severity="warning",
        why="The driver takes a brake fault for a handbrake that is on, or the other way round.",
        fix="Give each function its own lamp, or make the important one flash",
        source="brake lamp earthed through an alternator glows dim (case notes)",
        needs="switches and senders at the lamp",
        since="0.1",
        run=two_meanings,
    ),
)
