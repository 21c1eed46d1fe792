"""Twisted pairs, screens and buses: what their standards ask of the wiring."""

from __future__ import annotations

import re
from collections.abc import Iterator

from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.connect import node_of
from wiregen.model import Bus, End, Wire, in_order
from wiregen.problems import Note

_UNTWIST_MM = 100.0
_PAIRED = re.compile(r"\b(CAN|NET-[HL]|J1939|J1708)\b", re.IGNORECASE)
_TERMINATORS = {"can": 2, "j1939": 2, "nmea": 2, "isobus": 2, "11783": 2, "rs485": 2, "485": 2}


def split_pair(scene: Scene) -> Iterator[Found]:
    """The wires of a twisted pair do not end in the same plugs."""
    for group in scene.design.groups.values():
        wires = [scene.design.wires[w] for w in group.twisted if w in scene.design.wires]
        places = {w.id: _plugs_of(scene, w) for w in wires}
        if len({place for place in places.values() if place}) > 1:
            ways = "; ".join(f"{w} in {' and '.join(place)}" for w, place in places.items())
            message = f"{group.id}: the twisted wires do not end in the same plugs: {ways}"
            notes = tuple(Note(f"{w.id}", w.origin.span) for w in wires)
            yield Found(message, group.origin.at("twisted"), (group.id, *places), notes)


def _plugs_of(scene: Scene, wire: Wire) -> tuple[str, ...]:
    """Return the plugs a wire ends in; an end at a stud or a device does not split a pair."""
    owners = (end.owner for end in wire.ends)
    return tuple(in_order(owner for owner in owners if owner in scene.design.plugs))


def untwisted(scene: Scene) -> Iterator[Found | Missing]:
    """A twisted pair is opened too far before the plug."""
    for group in scene.design.groups.values():
        if not group.twisted:
            continue
        if group.untwist_mm is None:
            yield Missing("untwist of the group", group.id)
        elif group.untwist_mm > _UNTWIST_MM:
            message = (
                f"{group.id} is untwisted for {group.untwist_mm:g} mm; "
                f"at most {_UNTWIST_MM:g} mm are allowed"
            )
            yield Found(message, group.origin.at("untwist"), (group.id, *group.twisted))


def terminators(scene: Scene) -> Iterator[Found | Missing]:
    """A bus has too few or too many terminators."""
    for bus in scene.design.buses.values():
        wanted = _wanted(bus)
        if wanted is None:
            yield Missing("kind of the bus (CAN, J1939, NMEA 2000 ...)", bus.id)
        elif len(bus.terminators) != wanted:
            given = len(bus.terminators)
            message = f"bus {bus.id} has {given} terminators, {bus.kind} needs {wanted}"
            span = bus.origin.at("terminators")
            yield Found(message, span, (bus.id, *bus.terminators))


def _wanted(bus: Bus) -> int | None:
    words = bus.kind.casefold()
    if "lin" in words.split():
        return 0
    return next((count for word, count in _TERMINATORS.items() if word in words), None)


def bus_lengths(scene: Scene) -> Iterator[Found | Missing]:
    """A bus is longer than allowed, or a member hangs on too long a stub."""
    for bus in scene.design.buses.values():
        if bus.max_length_mm is None and bus.max_stub_mm is None:
            continue
        wires, unknown = _bus_wires(scene, bus)
        yield from (Missing("length of the wire", wire) for wire in unknown)
        stubs = {end.text: _stub(scene, end) for end in bus.members}
        if bus.max_length_mm is not None and not unknown:
            legs = {w for _, ids in stubs.values() for w in ids}
            trunk = sum(scene.design.wires[w].length_mm or 0.0 for w in wires if w not in legs)
            if trunk > bus.max_length_mm:
                message = f"bus {bus.id} is {_m(trunk)} long; {_m(bus.max_length_mm)} are allowed"
                yield Found(message, bus.origin.at("max_length"), (bus.id,))
        for member, (length, ids) in stubs.items():
            if bus.max_stub_mm is not None and length > bus.max_stub_mm:
                feet = length / 3.28084 <= bus.max_stub_mm * 1.05
                hint = "; was the length meant in feet?" if feet and length > 1e4 else ""
                message = (
                    f"the stub of {bus.id} to {member} is {_m(length)} long; "
                    f"{_m(bus.max_stub_mm)} are allowed{hint}"
                )
                span = scene.design.wires[ids[-1]].origin.at("length")
                yield Found(message, span, (bus.id, member, *ids))


def _m(length_mm: float) -> str:
    return f"{length_mm / 1000:.3g} m"


def _bus_wires(scene: Scene, bus: Bus) -> tuple[list[str], list[str]]:
    """Return the wires of one conductor of a bus, and those of them without a length."""
    net = scene.network.net_of(node_of(bus.members[0])) if bus.members else None
    wires = list(net.wires) if net else []
    return wires, [w for w in wires if scene.design.wires[w].length_mm is None]


def _stub(scene: Scene, member: End) -> tuple[float, list[str]]:
    """Return the length from a member to the place where the bus branches, and the wires.

    A member in line, on the way from one neighbour to the next, has no stub.
    """
    network = scene.network
    here, came, length = network.halves.wire_node(node_of(member)), "", 0.0
    ids: list[str] = []
    while True:
        onward = [w for w in network.wires_on.get(here, ()) if w != came]
        if (came and len(onward) != 1) or (not came and len(onward) > 1):
            return (length, ids) if len(onward) > 1 else (0.0, [])
        if not onward:
            return 0.0, []
        wire = onward[0]
        ids.append(wire)
        length += scene.design.wires[wire].length_mm or 0.0
        ends = network.ends_of[wire]
        here, came = (ends[1] if ends[0] == here else ends[0]), wire


def bus_amps(scene: Scene) -> Iterator[Found | Missing]:
    """The members of a bus take more current than one leg carries."""
    for bus in scene.design.buses.values():
        if bus.amps_leg_a is None:
            continue
        total = 0.0
        for end in bus.members:
            plug = scene.design.plugs.get(end.owner)
            owner = plug.of if plug and plug.of else end.owner
            device = scene.design.devices.get(owner)
            if device is None or device.amps_a is None:
                yield Missing("amps of the device", owner)
            else:
                total += device.amps_a
        if total > bus.amps_leg_a:
            message = (
                f"the members of bus {bus.id} take {total:g} A; a leg carries {bus.amps_leg_a:g} A"
            )
            yield Found(message, bus.origin.at("leg_amps"), (bus.id,))


def buses_joined(scene: Scene) -> Iterator[Found]:
    """Two buses share a net; a unit that leads one bus on to the next is meant to."""
    through = {
        scene.network.net_index.get(node_of(pair[0]))
        for bus in scene.design.buses.values()
        for pair in bus.through
    }
    owner: dict[int, tuple[str, End]] = {}
    for bus in scene.design.buses.values():
        for end in bus.members:
            net = scene.network.net_of(node_of(end))
            if net is None or net.index in through:
                continue
            other, where = owner.setdefault(net.index, (bus.id, end))
            if other != bus.id:
                message = f"buses {other} and {bus.id} are joined: {where.text} and {end.text}"
                notes = (Note(f"{where.text} is on bus {other}", where.span),)
                yield Found(message, end.span, (bus.id, other, end.text), notes)


def not_twisted(scene: Scene) -> Iterator[Found]:
    """The wires of a two-wire bus are not said to be twisted."""
    together = {
        wire
        for group in scene.design.groups.values()
        for wire in (*group.twisted, *group.multicore)
    }
    for node in scene.with_role.get("bus", ()):
        owner, _, point = node.partition(":")
        pin = scene.design.plugs[owner].pins[point]
        if not _PAIRED.search(f"{pin.carries} {pin.circuit}"):
            continue
        for wire in scene.network.wires_at(node):
            if wire not in together:
                yield Found(
                    f"{wire} of the data pair at {node} is not twisted with its partner",
                    scene.design.wires[wire].origin.span,
                    (wire, node),
                    group="twisted",
                    summary="{count} ends of data wires are not twisted with their partner: "
                    "{members}",
                    member=f"{wire} at {node}",
                )


def broken_bus(scene: Scene) -> Iterator[Found]:
    """The bus runs through a unit: it is broken when that unit is unplugged."""
    for bus in scene.design.buses.values():
        for one, other in bus.through:
            plug = scene.design.plugs.get(one.owner)
            unit = plug.of if plug and plug.of else one.owner
            message = (
                f"bus {bus.id} runs through {unit} ({one.text} to {other.text}): "
                "it is broken when that plug is pulled"
            )
            yield Found(message, one.span, (bus.id, unit, one.text, other.text))


RULES = (
    Rule(
        code="NET112",
        name="twisted pair split",
        title="The wires of a twisted pair do not end in the same plugs",
        severity="error",
        why="Where the wires part they pick up what the twist should cancel: the bus drops out "
        "when the engine runs.",
        fix="Bring both wires to the same plugs on neighbouring cavities",
        source="SAE J1962 tables: CAN on 6 and 14, one pair (youcanic.com)",
        needs="twisted wires in groups",
        since="0.1",
        run=split_pair,
    ),
    Rule(
        code="NET113",
        name="untwisted too far",
        title="A twisted pair is opened too far before the plug",
        severity="warning",
        why="The open end picks up interference.",
        fix="Twist the pair up to 100 mm from the plug or closer",
        source="jdmfsm.info, workshop manual of 2011: untwisted end at most 10 cm from the plug",
        needs="untwist of the group",
        since="0.1",
        run=untwisted,
    ),
    Rule(
        code="NET114",
        name="wrong number of terminators",
        title="A bus has too few or too many terminators",
        severity="warning",
        why="Two terminators make 60 ohm; one or three, and the bus works on the bench but not in "
        "the vehicle.",
        fix="Fit a terminator at each end of the bus and nowhere else",
        source="NMEA 2000 guide of a cable maker, p. 21: a terminator at each end",
        needs="kind of the bus",
        since="0.1",
        run=terminators,
    ),
    Rule(
        code="NET115",
        name="bus too long",
        title="A bus is longer than allowed, or a member hangs on too long a stub",
        severity="error",
        why="Reflections from the far end or from the stub garble messages, now and then only.",
        fix="Lead the bus past the member and shorten the stub",
        source="easymanua.ls, chart plotter manual p. 16: drop at most 6 m, backbone 100 m",
        needs="length of the wires, limits of the bus",
        since="0.1",
        run=bus_lengths,
    ),
    Rule(
        code="NET116",
        name="bus through a unit",
        title="A bus is broken when a unit is unplugged",
        severity="error",
        why="With that plug pulled, everything behind it is cut off and one end has no terminator.",
        fix="Join the two wires in a splice at the plug, or fit a bridging plug when it is pulled",
        source="common practice, no source",
        needs="through pins of the bus",
        since="0.1",
        run=broken_bus,
    ),
    Rule(
        code="NET127",
        name="two buses joined",
        title="Two buses are joined by metal",
        severity="error",
        why="Units with different speeds or addresses talk into each other: both buses stop.",
        fix="Separate them; two buses in one plug are two pairs",
        source="SAE J1939 nine-way plug (carscannertool.store): two buses on C/D and H/J",
        needs="members of the buses",
        since="0.1",
        run=buses_joined,
    ),
    Rule(
        code="NET128",
        name="data pair not twisted",
        title="The wires of a data pair are not said to be twisted",
        severity="warning",
        why="Two open wires beside an ignition cable pick up enough to stop the bus.",
        fix="Twist both wires, and name them in a group with 'twisted'",
        source="SAE J1962 tables: CAN on 6 and 14, one pair (youcanic.com)",
        needs="role bus of the pins, groups",
        since="0.1",
        run=not_twisted,
    ),
    Rule(
        code="NET126",
        name="bus carries too much",
        title="The members of a bus take more current than one leg carries",
        severity="warning",
        why="The thin cores of a bus cable get hot, and the last member gets too little voltage.",
        fix="Feed the bus in the middle, or feed the big members separately",
        source="easymanua.ls, chart plotter manual p. 16: micro cable 3 A",
        needs="amps of the members, amps a leg of the bus",
        since="0.1",
        run=bus_amps,
    ),
)
