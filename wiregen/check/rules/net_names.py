"""Nets and names: what is one piece of metal has one name, and a feed stays what it is."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.known import title
from wiregen.check.rule import Found, Rule, Scene
from wiregen.check.rules.meetings import find_meetings
from wiregen.check.ways import shortest, within_unit
from wiregen.connect import CircuitUse, Link, Net
from wiregen.problems import Note


def two_names(scene: Scene) -> Iterator[Found]:
    """A wire joins two nets that carry different names."""
    for meeting in find_meetings(scene):
        one, other = meeting.one, meeting.other
        if meeting.cavity:
            continue
        message = (
            f"{meeting.wire} joins '{one.name}' ({one.node}) and '{other.name}' ({other.node})"
        )
        notes = tuple(Note(f"'{use.name}' is said here", use.span) for use in (one, other))
        span = scene.design.wires[meeting.wire].origin.span
        yield Found(message, span, (meeting.wire, one.node, other.node), notes)
    yield from _joined_inside(scene)


def _joined_inside(scene: Scene) -> Iterator[Found]:
    """Two pins that a unit joins inside carry different names."""
    network = scene.network
    for net in network.nets:
        if len({use.name for use in net.circuits}) < 2:
            continue
        uses = {use.node: use for use in net.circuits}
        for use in net.circuits:
            for joint in network.joints.get(use.node, ()):
                other = uses.get(joint.node)
                if other is None or other.name <= use.name:
                    continue
                if within_unit(scene, use.node, joint):
                    message = f"{use.node} '{use.name}' and {other.node} '{other.name}' are joined"
                    notes = (Note(f"'{other.name}' is said here", other.span),)
                    yield Found(message, use.span, (use.node, other.node), notes)


def apart_by_name(scene: Scene) -> Iterator[Found]:
    """Pins with one circuit name are not joined by metal."""
    network = scene.network
    for name, indexes in network.circuits.items() if scene.design.wires else ():
        nets = [network.nets[index] for index in indexes]
        wired = [net for net in nets if net.wires]
        if len(nets) < 2 or not wired:
            continue
        first = wired[0]
        for net in nets:
            if net is first or _same_old_loom(scene, first, net):
                continue
            here, there = _use(first, name), _use(net, name)
            loose = "" if net.wires else ", which no wire leads to"
            message = f"'{name}' is said of {here.node} and of {there.node}{loose}; "
            notes = (Note(f"{here.node} carries '{name}'", here.span),)
            yield Found(
                message + "they are not joined",
                there.span,
                (there.node, here.node, name),
                notes,
                severity=None if net.wires else "warning",
            )


def _use(net: Net, name: str) -> CircuitUse:
    return next(use for use in net.circuits if use.name == name)


def _same_old_loom(scene: Scene, one: Net, other: Net) -> bool:
    """Tell whether two nets may be joined in an existing loom that the file does not describe."""
    return bool(_old_looms(scene, one) & _old_looms(scene, other))


def _old_looms(scene: Scene, net: Net) -> set[str]:
    looms = set()
    for node in net.nodes:
        plug = scene.design.plugs.get(node.partition(":")[0])
        if plug is not None and not plug.of and not scene.network.wires_on.get(node):
            loom = scene.design.looms.get(plug.loom)
            if loom is None or loom.status != "new":
                looms.add(plug.loom)
    return looms


def bridged_contact(scene: Scene) -> Iterator[Found]:
    """Both sides of a switch or relay contact hang on the same metal: the switch does nothing."""
    network, fused = scene.network, scene.feeds.fused
    for link in network.links:
        if link.kind != "contact" or len(link.nodes) != 2:
            continue
        one, other = (network.net_index[node] for node in link.nodes)
        if fused[one] != fused[other] or network.nets[one].kind == "earth":
            continue
        way = "by metal" if one == other else "through fuses"
        feed = "permanent feed meets switched feed: " if scene.feeds.is_permanent(one) else ""
        message = (
            f"{feed}{link.nodes[0]} and {link.nodes[1]} are joined {way}, "
            f"past the contact of {title(scene.design.devices, link.device)}"
        )
        yield _bridged(scene, link, message)


def _bridged(scene: Scene, link: Link, message: str) -> Found:
    device = scene.design.devices[link.device]
    wires = [w for node in link.nodes for w in scene.network.wires_at(node)]
    notes = tuple(
        Note(f"{wire} ends there", scene.design.wires[wire].origin.span)
        for wire in dict.fromkeys(wires)
    )
    return Found(message, device.origin.span, (link.device, *link.nodes, *wires), notes)


def supply_to_earth(scene: Scene) -> Iterator[Found]:
    """The live pole of a source is joined to its other pole, or to earth, without a load."""
    network, fused = scene.network, scene.feeds.fused
    reported: set[int] = set()
    for link in network.links:
        if link.kind != "source":
            continue
        live = next((n for n in link.nodes if n in network.sources), link.nodes[0])
        here = network.net_index[live]
        earths = [n for n in (*sorted(network.earth_points), *link.nodes) if n != live]
        shorted = [n for n in earths if fused[network.net_index[n]] == fused[here]]
        if shorted and fused[here] not in reported:
            reported.add(fused[here])
            yield _short(scene, link, live, shorted)
    yield from _pins_to_earth(scene, reported)


def _short(scene: Scene, link: Link, live: str, shorted: list[str]) -> Found:
    way = shortest(scene.network, live, shorted.__contains__)
    device = scene.design.devices[link.device]
    how = way.text if way is not None else "through fuses"
    end = way.end if way is not None else shorted[0]
    message = f"{live} is joined to {end} without a load between them, {how}"
    last = scene.design.wires.get(way.wires[-1]) if way is not None and way.wires else None
    span = last.origin.span if last else device.origin.span
    wires = way.wires if way is not None else ()
    return Found(message, span, (live, end, *wires), (Note(f"{live} is live", device.origin.span),))


def _pins_to_earth(scene: Scene, reported: set[int]) -> Iterator[Found]:
    """A supply pin lies on an earth net that holds no live pole."""
    design, network = scene.design, scene.network
    for net in network.nets:
        if net.kind not in ("earth", "supply") or scene.feeds.fused[net.index] in reported:
            continue
        pins = [(node, _role(scene, node)) for node in net.nodes]
        earths = {node for node, role in pins if role == "earth"}
        earths |= {node for node in net.nodes if node in network.earth_points}
        for node, role in pins:
            if role != "supply" or not earths:
                continue
            way = shortest(network, node, earths.__contains__)
            if way is None or not way.wires:
                continue
            pin = design.plugs[node.partition(":")[0]].pins[node.partition(":")[2]]
            wire = design.wires[way.wires[-1]]
            message = f"supply pin {node} is joined to earth {way.end} {way.text}"
            notes = (Note(f"{node} is a supply pin", pin.origin.at("role")),)
            yield Found(message, wire.origin.span, (node, way.end, *way.wires), notes)


def _role(scene: Scene, node: str) -> str:
    owner, _, point = node.partition(":")
    plug = scene.design.plugs.get(owner)
    pin = plug.pins.get(point) if plug else None
    return pin.role if pin else ""


RULES = (
    Rule(
        code="NET101",
        name="two names on one net",
        title="A wire joins two nets that carry different names",
        severity="error",
        why="One of the two circuits gets what was meant for the other: a sensor the battery, a "
        "lamp the ignition.",
        fix="Correct the end of the wire, or give both pins the same circuit if they are one net",
        source="common practice, no source",
        needs="circuit of the pins",
        since="0.1",
        run=two_names,
    ),
    Rule(
        code="NET129",
        name="one name on two nets",
        title="Pins with one circuit name are not joined by metal",
        severity="error",
        why="The circuit is broken: a wire is missing or ends in the wrong cavity.",
        fix="Add the wire, correct its end, or give the second net its own name",
        source="common practice, no source",
        needs="circuit of the pins",
        since="0.1",
        run=apart_by_name,
    ),
    Rule(
        code="NET102",
        name="switch bridged",
        title="A permanent feed meets a switched one: both sides of a contact are joined",
        severity="error",
        why="The switch no longer switches anything off: the engine does not stop, or the battery "
        "is flat in the morning.",
        fix="Find the wire that goes past the contact and take it off one side",
        source="rc-individual.de, radio plug with permanent and ignition feed exchanged",
        needs="positions of the switch, contacts of the relay",
        since="0.1",
        run=bridged_contact,
    ),
    Rule(
        code="NET103",
        name="supply joined to earth",
        title="Supply is joined to earth without a load between them",
        severity="error",
        why="A dead short: the fuse opens, or where there is none the wire burns.",
        fix="Correct the end of the wire that lands on the wrong pin",
        source="common practice, no source",
        needs="a source, or supply and earth roles of pins",
        since="0.1",
        run=supply_to_earth,
    ),
)
