"""Which object of one design is which of the other, also where its id changed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from wiregen.history.plain import (
    NAMED,
    SHARED,
    Leaf,
    Path,
    Plain,
    Record,
    Ref,
    point_elsewhere,
    refs_in,
)
from wiregen.model import natural_key

Key: TypeAlias = tuple[str, str]
"""Section and id."""
Renames: TypeAlias = dict[Key, Key]
"""Object of the old design -> the same object of the new one."""

_NETWORK = ("wires", "groups", "signals")
"""What only ties other objects together, and is often numbered anew."""
_MAX_ROUNDS = 12
_MAX_WORK = 2_000_000
_MANY = 50
_ALIKE = 0.5


def match(old: Plain, new: Plain, *, ids_first: bool = True) -> Renames:
    """Return the partner of every object that is in both designs.

    Ids that stay and say the same are one object. The rest is told by what it says and by what
    points at it, so that a design with other ids and the same content matches whole; objects
    changed as well as renamed match when they are alike enough.

    Args:
        old: facts of the old design.
        new: facts of the new design.
        ids_first: trust an id that stays more than what an object says; wrong where most of a
            design was numbered anew.
    """
    job = _Job(_Side(old), _Side(new))
    job.keep_equal()
    job.match_shapes()
    if not ids_first:
        job.match_outlines()
        job.match_shapes()
    for sections in (_rest(old), _NETWORK):
        job.keep_ids(sections)
        job.match_alike(sections)
        job.match_shapes()
    return job.pairs


def _rest(old: Plain) -> tuple[str, ...]:
    return tuple(section for section in (*SHARED, *NAMED) if section not in _NETWORK)


class _Pointers:
    """Where the pointers of one design lead."""

    def __init__(self, design: Plain) -> None:
        self.section = {name: section for section in SHARED for name in design.get(section, ())}

    def key(self, ref: Ref) -> Key | None:
        """Return the object a pointer means; None for a free name."""
        if ref.space:
            return (ref.space, ref.id)
        section = self.section.get(ref.id)
        return None if section is None else (section, ref.id)

    def renamed(self, pairs: Renames, ref: Ref) -> Ref:
        key = self.key(ref)
        partner = pairs.get(key) if key else None
        return ref if partner is None else ref._replace(id=partner[1])


class Renamer:
    """Writes what the old design says with the ids of the new one."""

    def __init__(self, old: Plain, pairs: Renames) -> None:
        self._pointers = _Pointers(old)
        self._pairs = pairs
        self._idle = all(key == partner for key, partner in pairs.items())

    def ref(self, ref: Ref) -> Ref:
        """Return a pointer with the new id."""
        return self._pointers.renamed(self._pairs, ref)

    def id(self, name: str) -> str:
        """Return the new id of an object of the shared sections."""
        return self.ref(Ref("", name)).id

    def end(self, text: str) -> str:
        """Return `X1:3` with the new id."""
        owner, colon, point = text.partition(":")
        return f"{self.id(owner)}{colon}{point}"

    def record(self, record: Record) -> Record:
        """Return facts with every pointer replaced."""
        if self._idle:
            return dict(record)
        return {
            tuple(self.ref(step) if isinstance(step, Ref) else step for step in path): (
                point_elsewhere(leaf, self.ref)
            )
            for path, leaf in record.items()
        }


@dataclass
class _Side:
    """One design as objects that point at each other.

    Attributes:
        records: every object, also circuits and states that are only named somewhere.
        refs: object -> the pointers in it: path and pointer.
        incoming: object -> the pointers to it: the object they are in and their path.
    """

    design: Plain
    pointers: _Pointers = field(init=False)
    records: dict[Key, Record] = field(init=False)
    refs: dict[Key, list[tuple[Path, Ref]]] = field(init=False)
    incoming: dict[Key, list[tuple[Key, Path, str]]] = field(init=False)

    def __post_init__(self) -> None:
        self.pointers = _Pointers(self.design)
        self.records = {
            (section, name): record
            for section in (*SHARED, *NAMED)
            for name, record in self.design.get(section, {}).items()
        }
        self.refs, self.incoming = {}, {}
        owners: list[tuple[Key, Record]] = list(self.records.items())
        for section in ("drawing", "system", "route", "accepted"):
            owners += [((section, ""), record) for record in self.design[section].values()]
        for key, record in owners:
            found = self.refs.setdefault(key, [])
            for path, ref in _pointing(record):
                found.append((path, ref))
                target = self.pointers.key(ref)
                if target is not None:
                    self.records.setdefault(target, {})
                    self.incoming.setdefault(target, []).append((key, path, ref.point))


def _pointing(record: Record) -> Iterator[tuple[Path, Ref]]:
    for path, leaf in record.items():
        for step in path:
            if isinstance(step, Ref):
                yield path, step
        for ref in refs_in(leaf):
            yield path, ref


class _Job:
    def __init__(self, old: _Side, new: _Side) -> None:
        self.old, self.new = old, new
        self.pairs: Renames = {}
        self.taken: set[Key] = set()

    def pair(self, one: Key, other: Key) -> None:
        self.pairs[one] = other
        self.taken.add(other)

    def left(self, sections: Iterable[str] | None = None) -> tuple[list[Key], list[Key]]:
        """Return the objects without a partner, in natural order."""
        wanted = None if sections is None else set(sections)
        return (
            _ordered(k for k in self.old.records if k not in self.pairs and _in(k, wanted)),
            _ordered(k for k in self.new.records if k not in self.taken and _in(k, wanted)),
        )

    def keep_equal(self) -> None:
        """Pair what has the same id and says the same."""
        for key, record in self.old.records.items():
            if self.new.records.get(key) == record and (record or not _implied(key)):
                self.pair(key, key)
        for key in self.old.records:
            if _implied(key) and key in self.new.records and key not in self.pairs:
                self.pair(key, key)

    def keep_ids(self, sections: Iterable[str]) -> None:
        """Pair what has the same id, though it says something else."""
        olds, news = self.left(sections)
        free = set(news)
        for key in olds:
            if key in free:
                self.pair(key, key)

    def match_shapes(self) -> None:
        """Pair what says the same when only ids differ, by ever finer classes."""
        work = 0
        while True:
            olds, news = self.left()
            if not olds or not news:
                return
            classes = _Classes(self.old, self.new, self.pairs, olds, news)
            classes.refine()
            self.pair_classes(classes.groups(), classes)
            tied = [group for group in classes.groups() if self.is_open(group)]
            if not tied:
                return
            work += len(olds) + len(news)
            for group in tied if work > _MAX_WORK else tied[:1]:
                one, other = self.open_in(group)
                for left, right in zip(one, other, strict=False):
                    self.pair(left, right)
                    if work <= _MAX_WORK:
                        break

    def match_outlines(self) -> None:
        """Pair what alone says a thing, whatever it points at."""
        olds, news = self.left()
        classes = _Classes(self.old, self.new, self.pairs, olds, news)
        classes.refine(1)
        for one, other in classes.groups():
            if len(one) == len(other) == 1:
                self.pair(one[0], other[0])

    def pair_classes(
        self, groups: Iterable[tuple[list[Key], list[Key]]], classes: _Classes
    ) -> None:
        """Pair the classes with one object on both sides, and those where it does not matter."""
        for olds, news in groups:
            if not olds or not news:
                continue
            if len(olds) == len(news) == 1:
                self.pair(olds[0], news[0])
                continue
            for key in [key for key in olds if key in news]:
                self.pair(key, key)
            one, other = self.open_in((olds, news))
            if one and all(classes.stands_alone(key) for key in one):
                for left, right in zip(one, other, strict=False):
                    self.pair(left, right)

    def open_in(self, group: tuple[list[Key], list[Key]]) -> tuple[list[Key], list[Key]]:
        olds, news = group
        return (
            [key for key in olds if key not in self.pairs],
            [key for key in news if key not in self.taken],
        )

    def is_open(self, group: tuple[list[Key], list[Key]]) -> bool:
        return all(self.open_in(group))

    def match_alike(self, sections: Iterable[str]) -> None:
        """Pair what was renamed and changed at once, the most alike first."""
        olds, news = self.left(sections)
        if not olds or not news:
            return
        renamer = Renamer(self.old.design, self.pairs)
        ours = {key: _traits(self.old, key, renamer, self.pairs) for key in olds}
        theirs = {key: _traits(self.new, key, None, {}) for key in news}
        holders: dict[object, list[Key]] = {}
        for key, traits in theirs.items():
            for trait in traits:
                holders.setdefault((key[0], trait), []).append(key)
        scores: list[tuple[float, int, Key, Key]] = []
        for place, key in enumerate(olds):
            shared: Counter[Key] = Counter()
            for trait in ours[key]:
                found = holders.get((key[0], trait), ())
                if len(found) <= _MANY:
                    shared.update(found)
            for other, count in shared.items():
                score = count / max(len(ours[key]), len(theirs[other]))
                if score >= _ALIKE and self.may_be_one(key, other, ours[key] & theirs[other]):
                    scores.append((-score, place, key, other))
        for _, _, key, other in sorted(
            scores, key=lambda row: (row[0], row[1], natural_key(row[3][1]))
        ):
            if key not in self.pairs and other not in self.taken:
                self.pair(key, other)

    def may_be_one(self, one: Key, other: Key, shared: set[object]) -> bool:
        """Tell whether two objects that are alike may be one and the same."""
        ours, theirs = self.old.records[one], self.new.records[other]
        if ours.get(("kind",)) != theirs.get(("kind",)):
            return False
        if one[0] == "wires":
            return sum(1 for trait in shared if isinstance(trait, Ref)) >= 2
        title = ours.get(("title",))
        if title and title == theirs.get(("title",)):
            return True
        pointed = sum(1 for trait in shared if isinstance(trait, tuple) and trait[:1] == ("<-",))
        return pointed * 2 > len(self.old.incoming.get(one, ()))


def _traits(side: _Side, key: Key, renamer: Renamer | None, pairs: Renames) -> set[object]:
    """Return the facts of an object, and who points at it."""
    record = side.records[key]
    if renamer:
        record = renamer.record(record)
    traits: set[object] = {(path, leaf) for path, leaf in record.items() if path != ("ends",)}
    ends = record.get(("ends",), ())
    assert isinstance(ends, tuple)
    traits |= set(ends)
    for source, path, point in side.incoming.get(key, ()):
        traits.add(("<-", pairs.get(source, source), path, point))
    return traits


class _Classes:
    """Objects without a partner, in classes of those that cannot be told apart so far."""

    def __init__(
        self, old: _Side, new: _Side, pairs: Renames, olds: list[Key], news: list[Key]
    ) -> None:
        numbers = {partner: number for number, partner in enumerate(pairs.values())}
        fixed_old = {key: numbers[partner] for key, partner in pairs.items()}
        self.sides = ((old, fixed_old, olds), (new, numbers, news))
        self.names: dict[object, int] = {}
        self.of: tuple[dict[Key, int], dict[Key, int]] = (
            {key: self.name(("", key[0])) for key in olds},
            {key: self.name(("", key[0])) for key in news},
        )

    def name(self, what: object) -> int:
        return self.names.setdefault(what, len(self.names))

    def refine(self, rounds: int = _MAX_ROUNDS) -> None:
        """Split the classes until nothing tells their members apart, or for some rounds."""
        count = 0
        for _ in range(rounds):
            self.names = {}
            self.of = (self.next_of(0), self.next_of(1))
            if len(self.names) == count:
                return
            count = len(self.names)

    def next_of(self, which: int) -> dict[Key, int]:
        side, _, keys = self.sides[which]
        return {key: self.name(self.signature(side, which, key)) for key in keys}

    def signature(self, side: _Side, which: int, key: Key) -> object:
        def pointed(ref: Ref) -> Ref:
            target = side.pointers.key(ref)
            if target is None:
                return ref
            return Ref("#", self.label(which, target), ref.point)

        record = side.records[key]
        facts = frozenset(
            (
                tuple(pointed(step) if isinstance(step, Ref) else step for step in path),
                _loose(leaf, pointed),
            )
            for path, leaf in record.items()
        )
        came = Counter(
            (
                self.label(which, source),
                tuple(pointed(step) if isinstance(step, Ref) else step for step in path),
                point,
            )
            for source, path, point in side.incoming.get(key, ())
        )
        return (self.of[which][key], facts, frozenset(came.items()))

    def label(self, which: int, key: Key) -> str:
        """Name an object by its class, or as what it is where it has a partner."""
        number = self.of[which].get(key)
        if number is not None:
            return f"?{number}"
        fixed = self.sides[which][1].get(key)
        return f"={fixed}" if fixed is not None else f"!{key[0]}"

    def groups(self) -> list[tuple[list[Key], list[Key]]]:
        """Return the members of each class on both sides, natural order."""
        found: dict[int, tuple[list[Key], list[Key]]] = {}
        for which in (0, 1):
            for key in self.sides[which][2]:
                found.setdefault(self.of[which][key], ([], []))[which].append(key)
        return list(found.values())

    def stands_alone(self, key: Key) -> bool:
        """Tell whether nothing without a partner points at an object, or is pointed at by it."""
        side, fixed, _ = self.sides[0]
        targets = (side.pointers.key(ref) for _, ref in side.refs.get(key, ()))
        sources = (source for source, _, _ in side.incoming.get(key, ()))
        return all(t is None or t in fixed for t in targets) and all(
            source in fixed or source not in side.records for source in sources
        )


def _loose(leaf: Leaf, pointed: object) -> Leaf:
    assert callable(pointed)
    return point_elsewhere(leaf, pointed)


def _ordered(keys: Iterable[Key]) -> list[Key]:
    return sorted(keys, key=lambda key: (key[0], natural_key(key[1])))


def _in(key: Key, wanted: set[str] | None) -> bool:
    return wanted is None or key[0] in wanted


def _implied(key: Key) -> bool:
    return key[0] in NAMED


def changed_ids(pairs: Mapping[Key, Key]) -> list[tuple[Key, Key]]:
    """Return the pairs whose ids differ, in natural order."""
    return [(key, pairs[key]) for key in _ordered(pairs) if pairs[key] != key]
