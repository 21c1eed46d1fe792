"""What changed between two designs, as a list that turns the one into the other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, TypeAlias

from wiregen.edit.rename import SECTIONS
from wiregen.history.match import changed_ids, match, renaming
from wiregen.history.objects import Key, Renamer, Renames, Side
from wiregen.history.pin_moves import find_pin_moves, move_pins
from wiregen.history.plain import (
    LISTS,
    NAMED,
    Leaf,
    Path,
    Plain,
    Record,
    listed,
    plain,
    sorted_facts,
)
from wiregen.model import Design, in_order


@dataclass(frozen=True, slots=True)
class Renamed:
    """An object has another id; whatever pointed at it follows."""

    section: str
    id: str
    new_id: str


@dataclass(frozen=True, slots=True)
class PinMoved:
    """What was in one cavity of a plug is in another; `plug` is the new id."""

    plug: str
    cavity: str
    new_cavity: str


@dataclass(frozen=True, slots=True)
class Added:
    """An object that was not there."""

    section: str
    id: str
    facts: tuple[tuple[Path, Leaf], ...]


@dataclass(frozen=True, slots=True)
class Removed:
    """An object that is no longer there."""

    section: str
    id: str
    facts: tuple[tuple[Path, Leaf], ...]


@dataclass(frozen=True, slots=True)
class Changed:
    """A fact that is another; None where it is not said. `id` is the new id."""

    section: str
    id: str
    path: Path
    before: Leaf
    after: Leaf

    @property
    def key(self) -> str:
        """The path as one text: `pins.3.colour`."""
        return ".".join(map(str, self.path))


Change: TypeAlias = Renamed | PinMoved | Added | Removed | Changed
Kind = Literal["renamed", "moved", "added", "removed", "changed"]

ORDER = ("drawing", "system", "variants", *SECTIONS, "circuits", "states", "route", "accepted")
"""Sections as they are reported."""
_MOSTLY = 4
"""With more changes than one in so many objects, the ids may have been given anew."""


@dataclass(frozen=True, slots=True)
class Difference:
    """Two designs and what lies between them.

    Attributes:
        changes: in the order in which `apply` makes them.
        old: facts of the old design.
        new: facts of the new design.
        pairs: object of the old design -> the same object of the new one.
    """

    changes: tuple[Change, ...]
    old: Plain
    new: Plain
    pairs: Renames


def difference(old: Design, new: Design) -> Difference:
    """Compare two designs.

    Returns:
        Renames first, then pins that moved within a plug, then what is gone, new or changed.
        The same design written in another order or other units has no changes.
    """
    before, after = Side(plain(old)), Side(plain(new))
    pairs = renaming(before, after)
    if pairs is not None:
        found = _difference(before, after, pairs)
        if not _beside_renames(found):
            return found
    found = _difference(before, after, match(before, after))
    if len(found.changes) * _MOSTLY > len(before.records):
        other = _difference(before, after, match(before, after, ids_first=False))
        return min(found, other, key=_beside_renames)
    return found


def _beside_renames(found: Difference) -> int:
    return sum(1 for change in found.changes if not isinstance(change, Renamed))


def _difference(old: Side, new: Side, pairs: Renames) -> Difference:
    before, after = old.design, new.design
    renames = [
        Renamed(one[0], one[1], other[1])
        for one, other in changed_ids(pairs)
        if other[1] in after[other[0]] or other[0] in NAMED
    ]
    with_ids = renamed(before, pairs)
    moves = [
        PinMoved(plug, cavity, target)
        for plug, found in find_pin_moves(with_ids, after).items()
        for cavity, target in found
    ]
    middle = _moved(with_ids, moves)
    changes: list[Change] = [*renames, *moves]
    for section in ORDER:
        changes += _section(section, middle.get(section, {}), after.get(section, {}))
    return Difference(tuple(changes), before, after, pairs)


def renamed(design: Plain, pairs: Renames) -> Plain:
    """Return facts with the ids of the new design.

    An object that is gone and whose id another one took over is called `W5 (old)`.
    """
    taken = {new for old, new in pairs.items() if new != old}
    gone: Renames = {
        (section, name): (section, f"{name} (old)")
        for section, name in taken
        if name in design.get(section, {}) and (section, name) not in pairs
    }
    pairs = {**pairs, **gone}
    renamer = Renamer(design, pairs)
    found: Plain = {}
    for section, records in design.items():
        there = [(_new_id((section, n), pairs), renamer.record(r)) for n, r in records.items()]
        found[section] = (
            listed(section, (record for _, record in there)) if section in LISTS else dict(there)
        )
    return found


def apply(design: Plain, changes: Iterable[Change]) -> Plain:
    """Return facts after some changes: the old design becomes the new one."""
    changes = tuple(changes)
    pairs: Renames = {
        (c.section, c.id): (c.section, c.new_id) for c in changes if isinstance(c, Renamed)
    }
    found = _moved(renamed(design, pairs), [c for c in changes if isinstance(c, PinMoved)])
    for change in changes:
        if isinstance(change, Added):
            found[change.section][change.id] = dict(change.facts)
        elif isinstance(change, Removed):
            del found[change.section][change.id]
        elif isinstance(change, Changed):
            record = found[change.section][change.id]
            if change.after is None:
                del record[change.path]
            else:
                record[change.path] = change.after
    return found


def _new_id(key: Key, pairs: Renames) -> str:
    return pairs.get(key, key)[1]


def _moved(design: Plain, moves: Iterable[PinMoved]) -> Plain:
    """Return facts after pins have moved, all of one plug at once."""
    by_plug: dict[str, dict[str, str]] = {}
    for move in moves:
        by_plug.setdefault(move.plug, {})[move.cavity] = move.new_cavity
    plugs = dict(design["plugs"])
    for plug, targets in by_plug.items():
        plugs[plug] = move_pins(plugs[plug], targets)
    return {**design, "plugs": plugs}


def _section(section: str, old: dict[str, Record], new: dict[str, Record]) -> Iterable[Change]:
    for name in in_order(old):
        if name not in new:
            yield Removed(section, name, tuple(sorted_facts(old[name])))
    for name in in_order(new):
        if name not in old:
            yield Added(section, name, tuple(sorted_facts(new[name])))
        elif old[name] != new[name]:
            yield from _facts(section, name, old[name], new[name])


def _facts(section: str, name: str, old: Record, new: Record) -> Iterable[Changed]:
    for path, _ in sorted_facts({**old, **new}):
        before, after = old.get(path), new.get(path)
        if before != after:
            yield Changed(section, name, path, before, after)
