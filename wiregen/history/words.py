"""Changes in the words of the trade, one line each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from wiregen.history.changes import (
    ORDER,
    Added,
    Change,
    Changed,
    Difference,
    PinMoved,
    Removed,
    Renamed,
)
from wiregen.history.pin_moves import moved_ends
from wiregen.history.plain import Leaf, Path, Record, leaf_text, sorted_facts, wire_ends
from wiregen.model import in_order

_HEADINGS = {
    "drawing": "title block",
    "system": "system",
    "accepted": "accepted findings",
}
_WIRE_WORDS: Mapping[Path, str] = {
    ("colour",): "recoloured",
    ("size",): "re-sized",
    ("length",): "re-lengthened",
    ("fate",): "fate",
}
_ONE_LINE = 12


@dataclass(frozen=True, slots=True)
class Line:
    """What changed at one object."""

    section: str
    id: str
    text: str


def change_lines(found: Difference) -> tuple[Line, ...]:
    """Return every change as a line, section by section, natural order of the ids.

    Pins that moved within a plug stand in one line for the whole plug, and the ends of their
    wires are not named again.
    """
    covered = {(c.plug, c.cavity, c.new_cavity) for c in found.changes if isinstance(c, PinMoved)}
    by_object: dict[str, dict[str, list[Change]]] = {}
    for change in found.changes:
        section = "plugs" if isinstance(change, PinMoved) else change.section
        by_object.setdefault(section, {}).setdefault(_id(change), []).append(change)
    lines: list[Line] = []
    for section in ORDER:
        objects = by_object.get(section, {})
        renames = [c for its in objects.values() for c in its if isinstance(c, Renamed)]
        lines += _renames(section, renames)
        for name in in_order(objects):
            lines += [
                Line(section, name, text)
                for text in _object(section, objects[name], found, covered)
            ]
    return tuple(lines)


def heading(section: str) -> str:
    """Return what a section is called."""
    return _HEADINGS.get(section, section)


def _id(change: Change) -> str:
    if isinstance(change, PinMoved):
        return change.plug
    return change.new_id if isinstance(change, Renamed) else change.id


def _renames(section: str, renames: list[Renamed]) -> Iterator[Line]:
    """Many renames stand in one line."""
    if len(renames) > _ONE_LINE:
        pairs = ", ".join(f"{c.id} -> {c.new_id}" for c in renames)
        yield Line(section, "", f"{len(renames)} renamed: {pairs}")
        return
    for change in renames:
        yield Line(section, change.id, f"renamed {change.new_id}")


def _object(
    section: str,
    changes: list[Change],
    found: Difference,
    covered: set[tuple[str, str, str]],
) -> Iterator[str]:
    pins = [change for change in changes if isinstance(change, PinMoved)]
    if pins:
        pairs = ", ".join(f"{c.cavity} -> {c.new_cavity}" for c in pins)
        yield f"{len(pins)} {'pin' if len(pins) == 1 else 'pins'} moved: {pairs}"
    by_pin: dict[str, list[Changed]] = {}
    for change in changes:
        if isinstance(change, Added):
            yield f"new: {_summary(section, dict(change.facts))}"
        elif isinstance(change, Removed):
            yield f"removed: {_summary(section, dict(change.facts))}"
        elif isinstance(change, Changed):
            if section == "plugs" and change.path[0] == "pins":
                by_pin.setdefault(str(change.path[1]), []).append(change)
            elif section == "wires":
                yield from _wire(change, covered)
            else:
                yield _fact(".".join(map(str, change.path)), change.before, change.after)
    for cavity in in_order(by_pin):
        yield from _pin(cavity, by_pin[cavity], found)


def _wire(change: Changed, covered: set[tuple[str, str, str]]) -> Iterator[str]:
    if change.path != ("ends",):
        yield _fact(_WIRE_WORDS.get(change.path, change.key), change.before, change.after)
        return
    before = change.before if isinstance(change.before, tuple) else ()
    after = change.after if isinstance(change.after, tuple) else ()
    for old, new in moved_ends(before, after):
        if old and new and old.id == new.id and (old.id, old.point, new.point) in covered:
            continue
        yield f"moved: {old or 'no end'} -> {new or 'no end'}"


def _pin(cavity: str, changes: list[Changed], found: Difference) -> Iterator[str]:
    """One line where a pin came or went, else one for each fact."""
    before = {c.path[2:]: c.before for c in changes if c.before is not None}
    after = {c.path[2:]: c.after for c in changes if c.after is not None}
    state = ("state",)
    if state in before and state not in after:
        yield f"pin {cavity} no longer described: {_pin_words(before)}"
    elif state in after and state not in before:
        yield f"pin {cavity} new: {_pin_words(after)}"
    elif state in after:
        yield f"pin {cavity}: {_pin_words(before)} -> {_pin_words(after)}"
    else:
        for change in changes:
            key = ".".join(map(str, change.path[2:]))
            yield _fact(f"pin {cavity} {key}", change.before, change.after)


def _pin_words(facts: Mapping[Path, Leaf]) -> str:
    words = [leaf_text(facts[key,]) for key in ("carries", "colour", "size") if (key,) in facts]
    circuit = facts.get(("circuit",))
    if circuit:
        words.append(f"circuit {leaf_text(circuit)}")
    return ", ".join(words) or leaf_text(facts.get(("state",), ""))


def _fact(key: str, before: Leaf, after: Leaf) -> str:
    if before is None:
        return f"{key}: {_shown(after)} (was not said)"
    if after is None:
        return f"{key}: no longer said (was {_shown(before)})"
    return f"{key}: {_shown(before)} -> {_shown(after)}"


def _shown(leaf: Leaf) -> str:
    return leaf_text(leaf) or "''"


def _summary(section: str, facts: Record) -> str:
    """What an object says, in one line."""
    if section == "wires":
        ends = " - ".join(str(end) for end in wire_ends(facts))
        rest = (key for key in ("colour", "size", "length", "loom", "fate") if (key,) in facts)
        return ", ".join([ends, *(leaf_text(facts[key,]) for key in rest)])
    shown = [
        f"{'.'.join(map(str, path))} {leaf_text(leaf)}"
        for path, leaf in sorted_facts(facts)
        if path[0] not in ("title", "pins", "face", "inside")
    ]
    title = facts.get(("title",))
    pins = len({path[1] for path in facts if path[0] == "pins"})
    count = [f"{pins} pins"] if pins else []
    return ", ".join([*([leaf_text(title)] if title else []), *shown, *count]) or "nothing said"


def listed_lines(lines: Iterable[Line]) -> dict[str, list[Line]]:
    """Return section -> its lines."""
    found: dict[str, list[Line]] = {}
    for line in lines:
        found.setdefault(line.section, []).append(line)
    return found
