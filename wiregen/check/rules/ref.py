"""References: every id and every end that the file names exists, and every object is used."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import chain

from wiregen.check.known import ENDS_AT, end_owners, nearest, terminals
from wiregen.check.rule import Found, Missing, Rule, Scene, nothing
from wiregen.model import Design, Device, End, Origin
from wiregen.problems import did_you_mean
from wiregen.source import Span

_HINTS = 50
"""Of so many unknown ids the nearest is sought: more are no slips of the pen."""
_FUSE_SIDES = ("in", "out")
_ADDED_AS = {
    "plug": "plugs: {{{}: {{title: ...}}}}",
    "device": "devices: {{{}: {{kind: load, terminals: [1, 2]}}}}",
    "contact record": "contacts: {{{}: {{blade: 2.8, wire: 0.5..2.5}}}}",
    "loom": "looms: {{{}: {{title: ...}}}}",
    "earth": "earths: {{{}: {{kind: chassis}}}}",
    "fuse": "fuses: {{{}: {{rating: 10}}}}",
    "wire": "wires: {{{}: {{from: ..., to: ...}}}}",
}
"""What a reference asks for -> how such an object is written."""
_POLES = {"+": "plus", "-": "minus"}
_Reference = tuple[str, str, str, Collection[str], Span]


def unknown_object(scene: Scene) -> Iterator[Found]:
    """An end, or any other reference, names an object that is nowhere in the file."""
    owners = end_owners(scene.design)
    elsewhere = _every_id(scene.whole) - _every_id(scene.design)
    hints: dict[tuple[str, str], str] = {}
    for subject, end in _all_ends(scene):
        if end.owner not in owners:
            yield _unknown((subject, end.owner, ENDS_AT, owners, end.span), elsewhere, hints)
    for reference in _references(scene.design):
        if reference[1] and reference[1] not in reference[3]:
            yield _unknown(reference, elsewhere, hints)


def _unknown(
    reference: _Reference, elsewhere: set[str], hints: dict[tuple[str, str], str]
) -> Found:
    subject, name, what, known, span = reference
    written, fix = _ADDED_AS.get(what), ""
    if written and name not in elsewhere:
        fix = f"Correct the id, or add the {what} to the file: '{written.format(name)}'"
    if name in elsewhere:
        near = ", it belongs to another variant"
    else:
        if (what, name) not in hints and len(hints) < _HINTS:
            hints[what, name] = nearest(name, known)
        near = hints.get((what, name), "")
    return Found(f"{subject}: there is no {what} '{name}'{near}", span, (subject, name), help=fix)


def _every_id(design: Design) -> set[str]:
    return {*end_owners(design), *design.looms, *design.wires, *design.contacts}


def _all_ends(scene: Scene) -> Iterator[tuple[str, End]]:
    """Yield every end in the file with the object that names it."""
    design = scene.design
    yield from scene.ends
    for wire in design.wires.values():
        if wire.was is not None:
            yield wire.id, wire.was
    for fuse in design.fuses.values():
        if fuse.fitted_on is not None:
            yield fuse.id, fuse.fitted_on
    for device in design.devices.values():
        for part in device.inside.values():
            yield from ((f"{device.id}.{part.id}", end) for end in _part_ends(part))
    for group in design.groups.values():
        if group.screen is not None:
            yield group.id, group.screen
    for bus in design.buses.values():
        for end in (*bus.members, *chain.from_iterable(bus.through)):
            yield bus.id, end
    for signal in design.signals.values():
        yield from ((signal.id, side.at) for side in (signal.start, signal.end))


def _part_ends(part: Device) -> tuple[End, ...]:
    return tuple(end for end in (part.start, part.end, *part.join) if end is not None)


def _references(design: Design) -> Iterator[_Reference]:
    """Yield (object, name it gives, what that should be, legal names, place)."""
    for plug in design.plugs.values():
        at = plug.origin.at
        yield plug.id, plug.mates, "plug", design.plugs, at("mates")
        yield plug.id, plug.of, "device", design.devices, at("of")
        yield plug.id, plug.contact, "contact record", design.contacts, at("contact")
        for name in plug.face.cavity.values() if plug.face else ():
            wanted = "" if _is_number(name) else name
            yield plug.id, wanted, "contact record", design.contacts, at("face")
        for pin in plug.pins.values():
            name = "" if pin.contact == "none" else pin.contact
            subject = f"{plug.id}:{pin.name}"
            yield subject, name, "contact record", design.contacts, pin.origin.at("contact")
    for section in (design.plugs, design.wires, design.splices, design.earths, design.boxes):
        for record in section.values():
            yield record.id, record.loom, "loom", design.looms, record.origin.at("loom")
    for device in design.devices.values():
        yield device.id, device.case, "earth", design.earths, device.origin.at("case")
        yield device.id, device.loom, "loom", design.looms, device.origin.at("loom")
    for box in design.boxes.values():
        for fuses in box.bars.values():
            for fuse in fuses:
                yield box.id, fuse, "fuse", design.fuses, box.origin.at("bars")
    yield from _grouped(design)


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()


def _grouped(design: Design) -> Iterator[_Reference]:
    for group in design.groups.values():
        for key in ("twisted", "screened", "multicore"):
            for wire in getattr(group, key):
                yield group.id, wire, "wire", design.wires, group.origin.at(key)
    for bus in design.buses.values():
        for name in bus.terminators:
            owner = name.partition(":")[0]
            yield bus.id, owner, "device", design.devices, bus.origin.at("terminators")
    inner = (f"{d.id}.{part}" for d in design.devices.values() for part in d.inside)
    known = {*end_owners(design), *design.wires, *inner}
    for state in design.states.values():
        for name in state.settings:
            yield (
                state.name,
                name.partition(":")[0],
                f"{ENDS_AT}, wire",
                known,
                state.origin.at(name),
            )


def unknown_position(scene: Scene) -> Iterator[Found]:
    """A state sets a switch to a position it does not have, or a pin names a state there is not."""
    design = scene.design
    for state in design.states.values():
        for name, position in state.settings.items():
            device = design.devices.get(name)
            if device is None or not device.positions or position in device.positions:
                continue
            near = did_you_mean(position, device.positions)
            legal = ", ".join(device.positions)
            message = f"{name} has no position '{position}'; it has {legal}{near}"
            yield Found(message, state.origin.at(name), (state.name, name))
    for plug in design.plugs.values() if design.states else ():
        for pin in plug.pins.values():
            for state_name in (name for name in pin.needs if name not in design.states):
                near = nearest(state_name, design.states)
                message = f"{plug.id}:{pin.name} names a state '{state_name}' that is not declared"
                span = pin.origin.at("needs")
                yield Found(message + near, span, (f"{plug.id}:{pin.name}", state_name))


def unknown_terminal(scene: Scene) -> Iterator[Found | Missing]:
    """An end names a terminal, a fuse side or a bar that the object does not have."""
    design = scene.design
    for subject, end in _all_ends(scene):
        known, what = _points(design, end.owner)
        if what and end.point and end.point not in known:
            if not known and what == "terminal":
                yield Missing("terminals of the device", end.owner)
                continue
            legal = f"; it has {', '.join(known)}" if known else ""
            pole = _POLES.get(end.point, "")
            near = f"; write {end.owner}:{pole}" if pole in known else ""
            near = near or did_you_mean(end.point, known)
            message = f"{subject}: {end.owner} has no {what} '{end.point}'{legal}{near}"
            yield Found(message, end.span, (subject, end.owner))
        elif what in ("terminal", "side") and not end.point:
            legal = " or ".join(f"{end.owner}:{point}" for point in known)
            message = f"{subject}: '{end.text}' does not say which {what}; write {legal}"
            yield Found(message, end.span, (subject, end.owner))


def _points(design: Design, owner: str) -> tuple[tuple[str, ...], str]:
    """Return the legal points of an object and what they are called; no word for plugs."""
    if owner in design.devices:
        device = design.devices[owner]
        if device.kind == "unit":
            return ("case",) if device.case else (), "terminal"
        return terminals(design, owner), "terminal"
    if owner in design.fuses:
        return _FUSE_SIDES, "side"
    if owner in design.boxes:
        return tuple(design.boxes[owner].bars), "bar"
    if owner in design.splices or owner in design.earths:
        return (), "cavity or terminal"
    return (), ""


def one_end(scene: Scene) -> Iterator[Found]:
    """A wire has one end, and no fate that excuses it."""
    for wire in scene.design.wires.values():
        old = scene.design.status_of(wire) == "existing" and not wire.fate
        if len(wire.ends) < 2 and wire.fate not in ("insulated", "removed") and not old:
            missing = "from" if wire.start is None else "to"
            yield Found(f"{wire.id} has no '{missing}' end", wire.origin.span, (wire.id,))


def unused_object(scene: Scene) -> Iterator[Found]:
    """A plug, splice, fuse, earth or device that nothing is wired to."""
    design = scene.design
    if not design.wires:
        return
    used = _used(scene)
    sections = (
        ("plug", design.plugs),
        ("splice", design.splices),
        ("fuse", design.fuses),
        ("earth", design.earths),
        ("device", design.devices),
    )
    for word, section in sections:
        for name, record in section.items():
            if name not in used:
                origin: Origin = record.origin
                yield Found(
                    f"{word} {name} is not used: no wire ends there",
                    origin.span,
                    (name,),
                    group=word,
                    summary=f"{{count}} {word}s are not used, no wire ends there: {{members}}",
                    member=name,
                )


def _used(scene: Scene) -> set[str]:
    """Return every object a wire, a mate, a case, a group or a bus leads to."""
    design = scene.design
    used = {end.owner for _, end in _all_ends(scene)}
    for device in design.devices.values():
        if device.case:
            used.update((device.case, device.id))
    for bus in design.buses.values():
        used.update(name.partition(":")[0] for name in bus.terminators)
    for plug in design.plugs.values():
        if plug.mates and (plug.id in used or plug.mates in used):
            used.update((plug.id, plug.mates))
    for plug in design.plugs.values():
        if plug.of and plug.id in used:
            used.add(plug.of)
    return used


RULES = (
    Rule(
        code="REF101",
        name="id used twice",
        title="Two objects have the same id",
        severity="error",
        why="A wire to that id could end at either of them, and a fitter would connect the wrong "
        "one.",
        fix="Give one of the two objects its own id",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=nothing,
        stage="read",
    ),
    Rule(
        code="REF102",
        name="unknown object",
        title="An end or a reference names an object that is not in the file",
        severity="error",
        why="The wire would hang loose: nobody can say where it goes, and nothing behind it can be "
        "checked.",
        fix="Correct the id, or add the object to its section: plugs, devices, fuses, splices, "
        "earths or boxes",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=unknown_object,
        stage="structure",
    ),
    Rule(
        code="REF103",
        name="unknown terminal",
        title="An end names a terminal, fuse side or bar that the object does not have",
        severity="error",
        why="The wire would be put on whatever terminal looks nearest, such as 87a in place of 87, "
        "and the load is on when it should be off.",
        fix="Write the terminal as it is marked on the part, or add it to the part's terminals",
        source="common practice, no source",
        needs="terminals of the device",
        since="0.1",
        run=unknown_terminal,
        stage="structure",
    ),
    Rule(
        code="REF104",
        name="wire with one end",
        title="A wire has one end and no fate that excuses it",
        severity="error",
        why="A loose end that is live touches metal sooner or later; a loose end that is not "
        "means something does not work.",
        fix="Add the other end, or write 'fate: insulated' or 'fate: removed' with the reason",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=one_end,
        stage="structure",
    ),
    Rule(
        code="REF105",
        name="unused object",
        title="A plug, splice, fuse, earth or device that no wire ends at",
        severity="warning",
        why="Either a wire was forgotten, or the part is bought and fitted for nothing.",
        fix="Wire it, or take it out of the file",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=unused_object,
        stage="structure",
    ),
    Rule(
        code="REF106",
        name="unknown position or state",
        title="A state names an unknown switch position, or a pin an unknown state",
        severity="error",
        why="The state would be computed with the switch open: what is judged is not what happens.",
        fix="Write the position as the switch declares it, or declare the state",
        source="common practice, no source",
        needs="positions of the switch",
        since="0.1",
        run=unknown_position,
        stage="structure",
    ),
)
