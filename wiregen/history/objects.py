"""Objects of a design and how they point at each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TypeAlias

from wiregen.edit.rename import SECTIONS
from wiregen.history.plain import NAMED, Leaf, Path, Plain, Record, Ref, point_elsewhere, refs_in

Key: TypeAlias = tuple[str, str]
"""Section and id."""
Renames: TypeAlias = dict[Key, Key]
"""Object of the old design -> the same object of the new one."""


class Pointers:
    """Where the pointers of one design lead."""

    def __init__(self, design: Plain) -> None:
        self.section = {name: section for section in SECTIONS for name in design.get(section, ())}

    def key(self, ref: Ref) -> Key | None:
        """Return the object a pointer means; None for a free name."""
        if ref.space:
            return (ref.space, ref.id)
        section = self.section.get(ref.id)
        return None if section is None else (section, ref.id)

    def renamed(self, pairs: Renames, ref: Ref) -> Ref:
        """Return a pointer with the id its object has in the other design."""
        key = self.key(ref)
        partner = pairs.get(key) if key else None
        return ref if partner is None else ref._replace(id=partner[1])


class Renamer:
    """Writes what the old design says with the ids of the new one."""

    def __init__(self, old: Plain, pairs: Renames) -> None:
        self._pointers = Pointers(old)
        self._pairs = pairs
        self._moved = {one[1] for one, other in pairs.items() if one != other}

    def ref(self, ref: Ref) -> Ref:
        """Return a pointer with the new id."""
        return self._pointers.renamed(self._pairs, ref)

    def id(self, name: str) -> str:
        """Return the new id of an object of the shared sections."""
        return self.ref(Ref("", name)).id if name in self._moved else name

    def end(self, text: str) -> str:
        """Return `X1:3` with the new id."""
        owner, colon, point = text.partition(":")
        return f"{self.id(owner)}{colon}{point}"

    def name(self, text: str) -> str:
        """Return whatever a finding or a branch is called: `X1:3`, `A1.P1`, a circuit, a state."""
        end = text.partition(":")[0]
        for owner in (end, end.partition(".")[0]):
            if owner in self._pointers.section:
                return f"{self.id(owner)}{text[len(owner) :]}"
        spaces = (space for space in NAMED if (space, text) in self._pairs)
        return next((self._pairs[space, text][1] for space in spaces), text)

    def record(self, record: Record) -> Record:
        """Return facts with every pointer replaced."""
        if self._moved.isdisjoint(ref.id for fact in record.items() for ref in pointing(*fact)):
            return dict(record)
        return {
            tuple(self.ref(step) if isinstance(step, Ref) else step for step in path): (
                point_elsewhere(leaf, self.ref)
            )
            for path, leaf in record.items()
        }


@dataclass
class Side:
    """One design as objects that point at each other.

    Attributes:
        records: every object, also circuits and states that are only named somewhere.
        incoming: object -> the pointers to it: the object and the fact they are in, and where they
            point, such as a cavity.
    """

    design: Plain
    pointers: Pointers = field(init=False)
    records: dict[Key, Record] = field(init=False)
    incoming: dict[Key, list[tuple[Key, Path, Leaf, str]]] = field(init=False)

    def __post_init__(self) -> None:
        self.pointers = Pointers(self.design)
        self.records = {
            (section, name): record
            for section in (*SECTIONS, *NAMED)
            for name, record in self.design.get(section, {}).items()
        }
        self.incoming = {}
        owners: list[tuple[Key, Record]] = list(self.records.items())
        for section in ("drawing", "system", "route", "accepted"):
            owners += [((section, ""), record) for record in self.design[section].values()]
        for key, record in owners:
            for path, leaf in record.items():
                for ref in pointing(path, leaf):
                    target = self.pointers.key(ref)
                    if target is not None:
                        self.records.setdefault(target, {})
                        self.incoming.setdefault(target, []).append((key, path, leaf, ref.point))


def pointing(path: Path, leaf: Leaf) -> Iterator[Ref]:
    """Yield the pointers in a fact."""
    for step in path:
        if isinstance(step, Ref):
            yield step
    yield from refs_in(leaf)
