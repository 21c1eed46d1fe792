"""Which object of one design is which of the other, also where its id changed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from wiregen.edit.rename import SECTIONS
from wiregen.history.classes import Classes, in_turn, outline
from wiregen.history.objects import Key, Renamer, Renames, Side
from wiregen.history.plain import NAMED, Plain, Ref
from wiregen.model import natural_key

_NETWORK = ("wires", "groups", "signals")
"""What only ties other objects together, and is often numbered anew."""
_FAR = 12
_NEAR = 2
"""How many pointers around an object count for it; what is farther off may have changed."""
_MANY = 50
_ALIKE = 0.5


def match(old: Side, new: Side, *, ids_first: bool = True) -> Renames:
    """Return the partner of every object that is in both designs.

    Ids that stay and say the same are one object. The rest is told by what it says and by what
    is around it; objects changed as well as renamed match when they are alike enough.

    Args:
        old: the old design.
        new: the new design.
        ids_first: trust an id that stays more than what is around an object; wrong where most of
            a design was numbered anew.
    """
    job = _Job(old, new)
    if not ids_first:
        job.match_near(_NEAR)
    job.keep_equal()
    job.match_shapes()
    if not ids_first:
        job.match_near(1)
        job.match_shapes()
    for sections in (_rest(old.design), _NETWORK):
        job.keep_ids(sections)
        job.match_alike(sections)
        job.match_shapes()
    return job.pairs


def renaming(old: Side, new: Side) -> Renames | None:
    """Return the partner of every object of two designs that differ in nothing but ids.

    Returns:
        None where something else differs for sure; where it differs after all, some partners.
    """

    def changed(side: Side, other: Side) -> Counter[object]:
        records = side.records.items()
        keys = (key for key, record in records if other.records.get(key) != record)
        return Counter((key[0], outline(side, key)) for key in keys)

    if changed(old, new) != changed(new, old):
        return None
    return Classes(old, new, {}, in_turn(old.records), in_turn(new.records)).settle()


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
            in_turn(k for k in self.old.records if k not in self.pairs and _in(k, wanted)),
            in_turn(k for k in self.new.records if k not in self.taken and _in(k, wanted)),
        )

    def keep_equal(self) -> None:
        """Pair what has the same id and says the same."""
        olds, news = self.left()
        free = set(news)
        said = [key for key in olds if self.old.records[key] or not _implied(key)]
        for key in said:
            if key in free and self.new.records[key] == self.old.records[key]:
                self.pair(key, key)
        self.keep_ids(NAMED)

    def keep_ids(self, sections: Iterable[str]) -> None:
        """Pair what has the same id, though it says something else."""
        olds, news = self.left(sections)
        free = set(news)
        for key in olds:
            if key in free:
                self.pair(key, key)

    def match_shapes(self) -> None:
        """Pair what says the same when only ids differ, as far as that can be told."""
        self.pair_all(self.classes().settle(_FAR))

    def match_near(self, rounds: int) -> None:
        """Pair what is told from all others by what is so many pointers around it."""
        classes = self.classes()
        classes.refine(rounds)
        self.pair_all(classes.single())

    def classes(self) -> Classes:
        return Classes(self.old, self.new, self.pairs, *self.left())

    def pair_all(self, pairs: Renames) -> None:
        for one, other in pairs.items():
            self.pair(one, other)

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
    for source, path, _, point in side.incoming.get(key, ()):
        traits.add(("<-", pairs.get(source, source), path, point))
    return traits


def _in(key: Key, wanted: set[str] | None) -> bool:
    return wanted is None or key[0] in wanted


def _implied(key: Key) -> bool:
    return key[0] in NAMED


def changed_ids(pairs: Mapping[Key, Key]) -> list[tuple[Key, Key]]:
    """Return the pairs whose ids differ, in natural order."""
    return [(key, pairs[key]) for key in in_turn(pairs) if pairs[key] != key]
