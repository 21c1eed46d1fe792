"""Which object of one design is which of the other, also where its id changed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from wiregen.edit.rename import SECTIONS
from wiregen.history.classes import Classes
from wiregen.history.objects import Key, Renamer, Renames, Side
from wiregen.history.plain import NAMED, Plain, Ref
from wiregen.model import natural_key

_NETWORK = ("wires", "groups", "signals")
"""What only ties other objects together, and is often numbered anew."""
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
    job = _Job(Side(old), Side(new))
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
    return tuple(section for section in (*SECTIONS, *NAMED) if section not in _NETWORK)


class _Job:
    def __init__(self, old: Side, new: Side) -> None:
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
            classes = Classes(self.old, self.new, self.pairs, olds, news)
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
        classes = Classes(self.old, self.new, self.pairs, olds, news)
        classes.refine(1)
        for one, other in classes.groups():
            if len(one) == len(other) == 1:
                self.pair(one[0], other[0])

    def pair_classes(self, groups: Iterable[tuple[list[Key], list[Key]]], classes: Classes) -> None:
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


def _traits(side: Side, key: Key, renamer: Renamer | None, pairs: Renames) -> set[object]:
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


def _ordered(keys: Iterable[Key]) -> list[Key]:
    return sorted(keys, key=lambda key: (key[0], natural_key(key[1])))


def _in(key: Key, wanted: set[str] | None) -> bool:
    return wanted is None or key[0] in wanted


def _implied(key: Key) -> bool:
    return key[0] in NAMED


def changed_ids(pairs: Mapping[Key, Key]) -> list[tuple[Key, Key]]:
    """Return the pairs whose ids differ, in natural order."""
    return [(key, pairs[key]) for key in _ordered(pairs) if pairs[key] != key]
