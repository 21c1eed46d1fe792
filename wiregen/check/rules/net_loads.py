"""Loads get supply and earth, wires lead on, pins that are needed are wired."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import islice

from wiregen.check.feeds import links_at
from wiregen.check.known import cavities_of, mate_of, pin_at, title
from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.connect import Link, Net
from wiregen.model import Pin, Plug
from wiregen.source import Span


def no_way(scene: Scene) -> Iterator[Found | Missing]:
    """A load cannot get supply, or cannot get earth, whatever is switched."""
    network = scene.network
    supplied = bool(scene.feeds.supply)
    islands = _islands(scene)
    yield from _unfed_units(scene)
    for link in network.links:
        if link.kind != "load" or _is_unit(scene, link) or _is_source(scene, link):
            continue
        if not any(network.joints.get(node) for node in _terminals(link)):
            continue
        nets = [network.net_index[node] for node in link.nodes]
        if len(set(nets)) < 2:
            if len(link.nodes) == 1:
                yield Missing("second terminal or case of the load", link.id)
            continue
        if not supplied:
            if not network.sources:
                yield Missing("a source", link.id)
            continue
        lacking = _lacking(scene, link, islands)
        if lacking and not _parked(scene, link):
            yield _dead_load(scene, link, lacking)


def _lacking(scene: Scene, link: Link, islands: dict[int, set[str]]) -> list[str]:
    """Return what a load cannot get: supply at one terminal and earth at another one."""
    feeds = scene.feeds
    nets = dict.fromkeys(scene.network.net_index[node] for node in link.nodes)
    fed = {net for net in nets if net in feeds.supply or net in feeds.open}
    earthed = {net for net in nets if net in feeds.earth or net in feeds.open}
    if not _two(fed, earthed):
        for net in nets:
            in_series = _beyond_loads(scene, net, link, islands.get(net, set()))
            fed |= {net} if "supply" in in_series else set()
            earthed |= {net} if "earth" in in_series else set()
    if _two(fed, earthed):
        return []
    lacking = [word for word, found in (("supply", fed), ("earth", earthed)) if not found]
    return lacking or ["supply" if any(net in feeds.earth for net in earthed) else "earth"]


def _parked(scene: Scene, link: Link) -> bool:
    """Tell whether a load is left out on purpose: its wire is parked, or ends at a spare pin."""
    design, network = scene.design, scene.network
    for node in link.nodes:
        net = network.net_of(node)
        for here in net.nodes if net is not None and net.kind != "earth" else ():
            pin = pin_at(design, network, here)
            wires = (design.wires[w] for w in network.wires_on.get(here, ()))
            if (pin is not None and pin.use == "spare") or any(
                w.fate == "insulated" for w in wires
            ):
                return True
    return False


def _two(fed: set[int], earthed: set[int]) -> bool:
    return bool(fed and earthed and len(fed | earthed) > 1)


def _islands(scene: Scene) -> dict[int, set[str]]:
    """Return net -> what can be got anywhere among the nets that loads and contacts join to it.

    Earth nets and permanent feeds bound the islands.
    """
    network = scene.network
    found: dict[int, set[str]] = {}
    for first in range(len(network.nets)):
        if first in found or _bounds(scene, first):
            continue
        words: set[str] = set()
        found[first] = words
        queue = [first]
        while queue:
            index = queue.pop()
            words |= _got(scene, index)
            for link, _ in links_at(network, network.nets[index].nodes):
                for target in (network.net_index[n] for n in link.nodes if link.kind != "source"):
                    if _bounds(scene, target):
                        words |= _got(scene, target)
                    elif target not in found:
                        found[target] = words
                        queue.append(target)
    return found


def _bounds(scene: Scene, index: int) -> bool:
    return scene.network.nets[index].kind == "earth" or scene.feeds.is_permanent(index)


def _got(scene: Scene, index: int) -> set[str]:
    feeds = scene.feeds
    found = {"supply"} if index in feeds.supply or index in feeds.open else set()
    return found | ({"earth"} if index in feeds.earth or index in feeds.open else set())


def _beyond_loads(scene: Scene, start: int, own: Link, possible: set[str]) -> set[str]:
    """Return what a net can get through other loads in series: supply, earth, or both if open."""
    network = scene.network
    seen, queue, found = {start}, [start], set[str]()
    while queue and found != possible:
        index = queue.pop()
        found |= _got(scene, index)
        if _bounds(scene, index):
            continue
        for link, node in links_at(network, network.nets[index].nodes):
            if link is own or link.kind == "source":
                continue
            for other in link.nodes:
                target = network.net_index[other]
                if other != node and target not in seen:
                    seen.add(target)
                    queue.append(target)
    return found


def _unfed_units(scene: Scene) -> Iterator[Found]:
    """Supply and earth pins of units that are wired, but to nothing that can feed them."""
    network, feeds = scene.network, scene.feeds
    for role, reached in (("supply", feeds.supply), ("earth", feeds.earth)):
        for node in scene.with_role.get(role, ()) if network.sources else ():
            net = network.net_of(node)
            plug = scene.design.plugs[node.partition(":")[0]]
            if not plug.of or net is None or not net.wires:
                continue
            if net.index not in reached and net.index not in feeds.open:
                pin = plug.pins[node.partition(":")[2]]
                message = f"{node} ({_words(pin)}) has no way to {role} in any state"
                yield Found(message, pin.origin.span, (node, plug.of))


def _is_unit(scene: Scene, link: Link) -> bool:
    return link.id == link.device and scene.design.devices[link.device].kind == "unit"


def _is_source(scene: Scene, link: Link) -> bool:
    return scene.design.devices[link.device].kind in ("battery", "alternator")


def _dead_load(scene: Scene, link: Link, lacking: list[str]) -> Found:
    device = scene.design.devices[link.device]
    part = device.inside.get(link.id.partition(".")[2])
    record = part or device
    name = f"{link.id} ({record.title})" if record.title else link.id
    loose = [n for n in link.nodes if not scene.network.joints.get(n) and n in _terminals(link)]
    where = f"; nothing is joined to {', '.join(loose)}" if loose else ""
    message = f"{name} has no way to {' and no way to '.join(lacking)} in any state{where}"
    return Found(message, record.origin.span, (link.id, link.device, *link.nodes))


def _terminals(link: Link) -> tuple[str, ...]:
    return tuple(node for node in link.nodes if not node.endswith(":case"))


def dead_end(scene: Scene) -> Iterator[Found]:
    """A wire leads to a splice, a bar or a cavity from which nothing leads on."""
    for wire in scene.design.wires.values():
        nodes = scene.network.ends_of[wire.id]
        if len(nodes) < 2 or wire.fate or scene.design.status_of(wire) == "removed":
            continue
        for end, node in zip(wire.ends, nodes, strict=True):
            reason = _dead(scene, node, wire.id)
            if reason:
                yield Found(f"{wire.id} ends at {node}, {reason}", end.span, (wire.id, node))


def _dead(scene: Scene, node: str, wire: str) -> str:
    """Return why nothing leads on from a node, empty when something does."""
    network, design = scene.network, scene.design
    owner, _, point = node.partition(":")
    if owner in design.splices:
        alone = all(joint.wire == wire for joint in network.joints.get(node, ()))
        return "a splice with no other wire" if alone else ""
    device = design.devices.get(owner)
    if device is not None and device.kind == "bus bar":
        return "" if len(_bar_wires(scene, owner)) > 1 else "a bus bar with no other wire"
    plug = design.plugs.get(owner)
    mate = mate_of(design, network, owner) if plug is not None and not plug.of else None
    if plug is None or point not in cavities_of(scene, owner):
        return ""
    if mate is None or len(network.wires_on.get(node, ())) > 1:
        return ""
    known = mate.pins.get(point)
    if known is not None or not mate.pins or network.wires_at(f"{mate.id}:{point}") or mate.of:
        return ""
    if point in plug.pins or not _wired(scene, mate):
        return ""
    return f"and nothing leads on from {mate.id}:{point}"


def _bar_wires(scene: Scene, owner: str) -> list[str]:
    """Return two wires of a bus bar, or the only one."""
    net = scene.network.net_of(owner)
    nodes = (n for n in (net.nodes if net else ()) if n.partition(":")[0] == owner)
    return list(islice((w for n in nodes for w in scene.network.wires_on.get(n, ())), 2))


def _wired(scene: Scene, plug: Plug) -> bool:
    return any(scene.network.wires_at(f"{plug.id}:{name}") for name in plug.pins)


def needed_pin(scene: Scene) -> Iterator[Found]:
    """A pin that must be connected has no wire."""
    design, network = scene.design, scene.network
    for plug in design.plugs.values():
        if not plug.of or not _wired(scene, plug):
            continue
        for name in plug.pins:
            node = f"{plug.id}:{name}"
            pin = pin_at(design, network, node)
            if pin is None or pin.state != "used" or pin.use == "spare" or not _needed(pin):
                continue
            net = network.net_of(node)
            if net is not None and net.wires:
                continue
            yield Found(
                f"{node} ({_words(pin)}) must be connected, but no wire leads to it",
                pin.origin.span,
                (node,),
                group=plug.id,
                summary=f"{title(design.plugs, plug.id)}: {{count}} pins must be connected, "
                "but no wire leads to them: {members}",
                member=f"{name} ({_words(pin)})",
            )


def _needed(pin: Pin) -> bool:
    return bool(pin.role in ("supply", "earth") or pin.needs or pin.without)


def _words(pin: Pin) -> str:
    return pin.carries or pin.role or pin.without or "needed"


def lamp_terminal_live(scene: Scene) -> Iterator[Found]:
    """The lamp terminal of an alternator is joined to a permanent supply."""
    for node, span in _lamp_terminals(scene):
        net = scene.network.net_of(node)
        if net is not None and scene.feeds.is_permanent(net.index):
            message = f"lamp terminal {node} is joined to a permanent supply"
            yield Found(message, span, (node,))


def _lamp_terminals(scene: Scene) -> Iterator[tuple[str, Span]]:
    for device in scene.design.devices.values():
        if device.lamp_terminal is not None:
            yield f"{device.id}:{device.lamp_terminal.at}", device.origin.span
    for plug in scene.design.plugs.values():
        for pin in plug.pins.values():
            if pin.role == "lamp terminal":
                yield f"{plug.id}:{pin.name}", pin.origin.span


def sense_not_live(scene: Scene) -> Iterator[Found]:
    """A sense terminal is not joined to a permanent supply."""
    for plug in scene.design.plugs.values():
        for pin in plug.pins.values():
            node = f"{plug.id}:{pin.name}"
            net = scene.network.net_of(node)
            if pin.role != "sense" or net is None or not net.wires or not scene.network.sources:
                continue
            if not scene.feeds.is_permanent(net.index) and not _leads_away(scene, net):
                message = f"sense pin {node} is not joined to the source it should measure"
                yield Found(message, pin.origin.span, (node,))


def _leads_away(scene: Scene, net: Net) -> bool:
    """Tell whether a net goes on in a loom that the file does not describe."""
    plugs = scene.design.plugs
    owners = ((node, plugs.get(node.partition(":")[0])) for node in net.nodes)
    return any(p and not p.of and not scene.network.wires_on.get(node) for node, p in owners)


def dead_in_state(scene: Scene) -> Iterator[Found | Missing]:
    """A pin that needs supply in a state cannot get it with the switches as they then are."""
    design, network = scene.design, scene.network
    for plug in design.plugs.values():
        for pin in plug.pins.values():
            node = f"{plug.id}:{pin.name}"
            wanted = [state for state, need in pin.needs.items() if need == "live"]
            yield from (
                Missing(f"state '{state}'", node) for state in wanted if state not in design.states
            )
            net = network.net_of(node)
            if net is None or not net.wires or net.index not in scene.feeds.supply:
                continue
            known = [state for state in wanted if state in design.states]
            dead = [state for state in known if not can_be_live(scene, net.index, state)]
            if dead:
                states = " and ".join(f"'{state}'" for state in dead)
                message = f"{node} must be live in state {states}, but no closed contact feeds it"
                yield Found(message, pin.origin.at("needs"), (node,))


def can_be_live(scene: Scene, start: int, state: str) -> bool:
    """Search towards a source through fuses and the contacts a state may close.

    Relay contacts count as closed either way: whether a relay pulls in is computed, not judged.
    """
    settings = scene.design.states[state].settings
    seen, queue = {start}, [start]
    while queue:
        net = scene.network.nets[queue.pop()]
        if scene.feeds.is_permanent(net.index) or net.index in scene.feeds.open:
            return True
        if net.kind == "earth":
            continue
        for link, node in links_at(scene.network, net.nodes):
            if link.kind not in ("fuse", "contact", "diode") or not _may_close(link, settings):
                continue
            for other in link.nodes:
                target = scene.network.net_index[other]
                if other != node and target not in seen:
                    seen.add(target)
                    queue.append(target)
    return False


def _may_close(link: Link, settings: Mapping[str, str]) -> bool:
    position = settings.get(link.device, settings.get(link.id, ""))
    if link.kind != "contact" or not position or not link.when:
        return True
    return position in link.when or not {"at rest", "pulled in"}.isdisjoint(link.when)


RULES = (
    Rule(
        code="NET104",
        name="load without supply or earth",
        title="A load has no way to supply or no way to earth in any state",
        severity="error",
        why="The load can never work; a lamp that looks for its earth through another lamp glows "
        "where it should not.",
        fix="Add the missing wire, or 'case' if the part is earthed through its housing",
        source="erich-jaeger.com, ISO 11446 contact allocation: lamps on 1 to 8 return on 3",
        needs="a source, terminals of the load",
        since="0.1",
        run=no_way,
    ),
    Rule(
        code="NET105",
        name="dead end",
        title="A wire leads to a splice, a bar or a cavity from which nothing leads on",
        severity="warning",
        why="Something behind it does not work, or the live end is forgotten in the loom.",
        fix="Add the wire that leads on, or give the wire a fate",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=dead_end,
    ),
    Rule(
        code="NET106",
        name="needed pin not wired",
        title="A pin that must be connected has no wire",
        severity="warning",
        why="The unit stays dead, or works until it needs that pin: earths and supplies in "
        "parallel share the current only if all are wired.",
        fix="Wire the pin, or write 'use: spare' if the unit does without it",
        source="common practice, no source",
        needs="role, needs or without of the pins",
        since="0.1",
        run=needed_pin,
    ),
    Rule(
        code="NET122",
        name="lamp terminal on permanent supply",
        title="The lamp terminal of an alternator is joined to a permanent supply",
        severity="error",
        why="The battery drains through the field when the engine stands, and the charge lamp "
        "never lights.",
        fix="Exchange the lamp wire and the sense wire, or bring the lamp wire to the lamp",
        source="forum correction of an alternator conversion: terminals 1 and 2 exchanged (case "
        "notes, address not kept)",
        needs="a source, lamp terminal",
        since="0.1",
        run=lamp_terminal_live,
    ),
    Rule(
        code="NET123",
        name="feed dead in a needed state",
        title="A pin that needs supply in a state cannot get it with the switches as they then are",
        severity="error",
        why="The control unit drops out while cranking, or loses its memory at key-off.",
        fix="Feed the pin from a contact that is closed in that state, fused for its wire",
        source="SAE J1962 tables: pin 16 is battery, not switched (youcanic.com)",
        needs="needs of the pin, the states it names, positions of the switches",
        since="0.1",
        run=dead_in_state,
    ),
    Rule(
        code="NET124",
        name="sense pin not on its source",
        title="A sense pin is not joined to a permanent supply",
        severity="warning",
        why="The regulator sees too little voltage and overcharges, or none and does not charge.",
        fix="Join the sense wire to the battery feed, fused",
        source="forum correction of an alternator conversion: sense belongs on the battery (case "
        "notes, address not kept)",
        needs="a source, role of the pins",
        since="0.1",
        run=sense_not_live,
    ),
)
