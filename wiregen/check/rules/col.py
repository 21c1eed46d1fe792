"""Colours: what can be told apart, what agrees with the record of the pin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wiregen.check.known import pin_at
from wiregen.check.rule import Found, Missing, Rule, Scene, nothing
from wiregen.facts.colours import Colour
from wiregen.model import Pin, Plug, Wire
from wiregen.problems import Note, Severity
from wiregen.source import Span

_PROTECTIVE = "GNYE"
_BY_CAVITY = "tell them apart by cavity, never by colour"


@dataclass(frozen=True, slots=True)
class _Coloured:
    """A colour seen in a cavity: from the wire if there is one, else from the pin's record."""

    cavity: str
    colour: Colour
    span: Span
    net: int | None
    circuit: str
    role: str


def duplicates(scene: Scene) -> Iterator[Found]:
    """Two cavities of one plug hold wires of the same colour."""
    for plug in scene.design.plugs.values():
        groups: dict[Colour, list[_Coloured]] = {}
        for seen in _colours_in(scene, plug):
            groups.setdefault(seen.colour, []).append(seen)
        for colour, members in groups.items():
            cavities = list(dict.fromkeys(m.cavity for m in members))
            if len(cavities) > 1 and not _is_bar(members):
                yield _duplicate(plug, colour.iec, members, cavities)


def _is_bar(members: list[_Coloured]) -> bool:
    """All cavities are one piece of metal: same colours are expected, as in a joint connector."""
    return members[0].net is not None and len({m.net for m in members}) == 1


def _duplicate(plug: Plug, iec: str, members: list[_Coloured], cavities: list[str]) -> Found:
    severity: Severity = "warning"
    kind = "different circuits"
    circuits = {m.circuit for m in members}
    kinds = {m.role for m in members}
    if len(circuits) == 1 and "" not in circuits:
        severity, kind = "info", f"circuit '{next(iter(circuits))}'"
    elif kinds == {"earth"}:
        severity, kind = "info", "earths"
    elif "supply" in kinds and kinds & {"signal"}:
        severity, kind = "error", "supply beside signal"
    message = f"{plug.id}: {iec} is in cavities {', '.join(cavities)} ({kind}); {_BY_CAVITY}"
    notes = tuple(Note(f"{iec} in {plug.id}:{m.cavity}", m.span) for m in members[1:])
    subjects = tuple(f"{plug.id}:{cavity}" for cavity in cavities)
    return Found(message, members[0].span, subjects, notes, severity=severity)


def _colours_in(scene: Scene, plug: Plug) -> Iterator[_Coloured]:
    """Yield the colours in each cavity of a half, wires before the record of the pin."""
    network = scene.network
    names = dict.fromkeys(plug.pins)
    if not plug.of:
        mate = scene.design.plugs.get(network.mate(plug.id) or "")
        names.update(dict.fromkeys(mate.pins if mate else ()))
    for name in names:
        node = f"{plug.id}:{name}"
        pin = plug.pins.get(name)
        if pin is not None and pin.use == "spare" and not network.wires_on.get(node):
            continue
        net = network.net_of(node)
        role = _sort_of(net.kind if net else "", pin.role if pin else "")
        circuit = (net.name if net else "") or (pin.circuit if pin else "")
        index = net.index if net else None
        wires = [scene.design.wires[w] for w in network.wires_on.get(node, ())]
        shown = {w.colour: w.origin.at("colour") for w in wires if w.colour}
        if not shown and pin is not None:
            shown = {colour: pin.origin.at("colour") for colour in pin.colours}
        for colour, span in shown.items():
            yield _Coloured(name, colour, span, index, circuit, role)


def _sort_of(kind: str, role: str) -> str:
    """Return supply, earth, signal, or empty when it is not known."""
    word = kind or role
    if word in ("supply", "earth"):
        return word
    return "signal" if word else ""


def differs_from_pin(scene: Scene) -> Iterator[Found]:
    """A wire has another colour than the record of its pin."""
    for node, wires in scene.network.wires_on.items():
        pin = own_pin(scene, node)
        if pin is None or not pin.colours:
            continue
        for wire in (scene.design.wires[w] for w in wires):
            if wire.colour is not None and wire.colour not in pin.colours:
                said = " or ".join(colour.iec for colour in pin.colours)
                message = f"{wire.id} is {wire.colour.iec}, but {node} is said to hold {said}"
                notes = (Note(f"{node} is described here", pin.origin.at("colour")),)
                yield Found(message, wire.origin.at("colour"), (wire.id, node), notes)


def own_pin(scene: Scene, node: str) -> Pin | None:
    """Return the record of a pin on its own half, without asking the mate."""
    owner, _, point = node.partition(":")
    plug = scene.design.plugs.get(owner)
    return plug.pins.get(point) if plug else None


def changes(scene: Scene) -> Iterator[Found | Missing]:
    """The colour of a circuit changes on its way."""
    for net in scene.network.nets:
        if net.kind == "earth" or len(net.wires) < 2:
            continue
        wires = [scene.design.wires[w] for w in net.wires]
        tints = dict.fromkeys(w.colour for w in wires if w.colour is not None)
        if len(tints) < 2:
            continue
        colours = [colour.iec for colour in tints]
        name = f"'{net.name}'" if net.name else f"the net of {net.nodes[0]}"
        way = " to ".join(colours)
        first = _first_other(wires)
        yield Found(
            f"the colour of {name} changes on its way: {way}",
            first.origin.at("colour"),
            tuple(dict.fromkeys((first.id, *(w.id for w in wires)))),
            group="changes",
            summary="the colour changes on the way of {count} circuits: {members}",
            member=f"{name} {way}",
        )


def _first_other(wires: list[Wire]) -> Wire:
    """Return the first wire whose colour is not that of the first one."""
    coloured = [w for w in wires if w.colour is not None]
    return next(w for w in coloured if w.colour != coloured[0].colour)


def protective(scene: Scene) -> Iterator[Found]:
    """A green-and-yellow wire is not a protective earth."""
    for wire in scene.design.wires.values():
        if wire.colour is None or wire.colour.iec != _PROTECTIVE:
            continue
        nets = [scene.network.net_of(node) for node in scene.network.ends_of[wire.id]]
        if not any(net is not None and net.kind == "earth" for net in nets):
            message = f"{wire.id} is GNYE, the colour of protective earth, but it is not an earth"
            yield Found(message, wire.origin.at("colour"), (wire.id,))
    for plug in scene.design.plugs.values():
        for pin in plug.pins.values():
            codes = [colour.iec for colour in pin.colours]
            node = f"{plug.id}:{pin.name}"
            if _PROTECTIVE not in codes or scene.network.wires_at(node):
                continue
            known = pin_at(scene.design, scene.network, node)
            if known is not None and known.role != "earth":
                message = f"{node} is GNYE, the colour of protective earth, but it is not an earth"
                yield Found(message, pin.origin.at("colour"), (node,))


RULES = (
    Rule(
        code="COL101",
        name="not a colour",
        title="A marking is not a colour of the declared colour key, or it is ambiguous",
        severity="error",
        why="The same letters mean different colours in different countries: SB is sky blue in one "
        "book and black in another. A guess puts the wrong wire in the cavity.",
        fix="Write the colour in the declared key, or name another key with 'colour_key'",
        source="colour lists of several makers disagree (nisentra.com, v1800.org)",
        needs="",
        since="0.1",
        run=nothing,
        stage="read",
    ),
    Rule(
        code="COL102",
        name="same colour twice in a plug",
        title="Two cavities of one plug hold wires of the same colour",
        severity="warning",
        why="The wires are exchanged when the plug is taken apart or repaired. Supply on a signal "
        "pin destroys the unit.",
        fix="Mark both wires near the plug; in a new loom choose another colour or tracer",
        source="lhe-terminal.com p=11456: no two alike in one housing, common earth excepted",
        needs="colour of the wires or pins",
        since="0.1",
        run=duplicates,
        stage="structure",
    ),
    Rule(
        code="COL103",
        name="colour differs from the pin",
        title="A wire has another colour than the record of its pin",
        severity="warning",
        why="Either the wire is in the wrong cavity, or the record is of another year: half a day "
        "is lost to one wrong pin.",
        fix="Look at the plug and correct the wire or the pin",
        source="common practice, no source",
        needs="colour of the wire and of the pin",
        since="0.1",
        run=differs_from_pin,
        stage="structure",
    ),
    Rule(
        code="COL104",
        name="colour changes on the way",
        title="The colour changes along a circuit",
        severity="info",
        why="Who follows the wire by its colour loses it at that plug or splice.",
        fix="Nothing to do if it is meant; the trace lists the colour of each leg",
        source="private documentation of a light vehicle, chapter 9 (muccowboy.de): violet becomes "
        "violet/black in the lamp plug",
        needs="colour of the wires",
        since="0.1",
        run=changes,
        stage="structure",
    ),
    Rule(
        code="COL105",
        name="protective colour misused",
        title="Green-and-yellow is used for something else than protective earth",
        severity="warning",
        why="An electrician takes the wire for a safe earth, cuts it or bonds metal to it.",
        fix="Use another colour; write GN/YE if the wire is green with a yellow tracer",
        source="IEC 60445 keeps green-and-yellow for the protective conductor (from memory)",
        needs="colour of the wires",
        since="0.1",
        run=protective,
        stage="structure",
    ),
)
