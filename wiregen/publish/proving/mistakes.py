"""Which mistakes of building explain what was measured: each is tried, the best is kept.

A mistake is a loom that differs from the last one in one thing. The one after which most readings
fit is taken, then the next one on top of it, until nothing fits better.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, islice
from typing import Literal

from wiregen.connect import split_node
from wiregen.model import Design, in_order
from wiregen.publish.proving.as_built import Built, Readings, Seen, weight_of
from wiregen.publish.proving.groups import Groups

Kind = Literal["open", "swap", "mix", "move", "splice", "mirror", "bridge"]
_MOST_STEPS = 12
_MOST_PAIRS = 400
_MOST_SPLICES = 40
NOWHERE = "?"
"""A cavity nobody looked for."""
_PAIR = 2
"""Two contacts in each other's place are a swapped pair; more of them are a mirror image."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """One thing that is not as drawn.

    Attributes:
        kind: `open` wire; two contacts that `swap`, or more that `mix`; a contact that has to
            `move`; a wire in the wrong `splice`; a `mirror`ed plug; a `bridge` of two cavities.
        subjects: the wire; the two cavities; cavities, each followed by where its contact is; the
            wire, its splice and the one it is in; the plug; the two cavities.
        built: the loom with it.
    """

    kind: Kind
    subjects: tuple[str, ...]
    built: Built


@dataclass(frozen=True, slots=True)
class Explained:
    """A mistake with what it explains.

    Attributes:
        mistake: what is wrong.
        tests: the tests it explains, in their order.
        sure: whether broken wires alone would not explain them as well.
        or_else: of a swapped pair: the other ends, where they may have been exchanged as well.
        looked: whether in one of the tests it was looked where a wire had gone.
    """

    mistake: Mistake
    tests: tuple[str, ...]
    sure: bool
    or_else: tuple[str, ...] = ()
    looked: bool = False


def explain(design: Design, groups: Groups, seen: Iterable[Seen]) -> tuple[Explained, ...]:
    """Return the mistakes that explain what was measured, the one that explains most first.

    Args:
        design: the design.
        groups: what should be joined.
        seen: readings of continuity and isolation.
    """
    readings = Readings(tuple(seen), groups.of, design.plugs)
    tried = _Trial(design, groups, readings)
    built = Built(groups.wire_ends)
    misfits = readings.misfits(built)
    found: list[Explained] = []
    while misfits and len(found) < _MOST_STEPS:
        best = tried.best(built, misfits)
        if best is None:
            break
        left = readings.misfits(best.built)
        still = {one.check.id for one in left}
        tests = tuple(one.check.id for one in misfits if one.check.id not in still)
        found.append(tried.explained(best, built, tests))
        built, misfits = best.built, left
    return tuple(found)


class _Trial:
    """Mistakes that may explain readings, and which of them does it best."""

    def __init__(self, design: Design, groups: Groups, readings: Readings) -> None:
        self._design = design
        self._groups = groups
        self._readings = readings
        self._stays = {*design.splices, *design.earths, *groups.screens}

    def best(self, built: Built, misfits: tuple[Seen, ...]) -> Mistake | None:
        """Return the mistake after which least speaks against the loom; None if none helps."""
        least, found = weight_of(misfits), None
        for mistake in self._mistakes(built, misfits):
            weight = self._readings.weight(mistake.built)
            if weight < least:
                least, found = weight, mistake
        return found

    def explained(self, mistake: Mistake, before: Built, tests: tuple[str, ...]) -> Explained:
        """Return a mistake with what it explains, and whether something else would as well."""
        weight = self._readings.weight(mistake.built)
        seen = [one for one in self._readings.seen if one.check.id in tests]
        wires = {one.check.id for one in seen if one.check.kind == "continuity"}
        others = before.without(wires)
        sure = mistake.kind == "open" or self._readings.weight(others) > weight
        looked = any(one.found for one in seen)
        return Explained(mistake, tests, sure, self._or_else(mistake, before, weight), looked)

    def _or_else(self, mistake: Mistake, before: Built, weight: int) -> tuple[str, ...]:
        """Return the other ends of a swapped pair where exchanging them explains the same."""
        if mistake.kind != "swap":
            return ()
        far = []
        for node in mistake.subjects:
            ends = [ends for ends in before.ends.values() if node in ends]
            if len(ends) != 1:
                return ()
            far.append(ends[0][1] if ends[0][0] == node else ends[0][0])
        one, two = far
        fixed = {*self._design.splices, *self._groups.screens}
        if one in fixed or two in fixed or one == two:
            return ()
        again = before.moved({one: two, two: one})
        return (one, two) if self._readings.weight(again) == weight else ()

    def _mistakes(self, built: Built, misfits: tuple[Seen, ...]) -> Iterator[Mistake]:
        """Yield what may be wrong; of two that explain the same the first is taken."""
        wires = self._wires(built, misfits)
        contacts = self._contacts(built, misfits, wires)
        for wire in wires:
            yield Mistake("open", (wire,), built.without({wire}))
        pairs = (
            (one, two)
            for one, two in combinations(contacts, 2)
            if split_node(one)[0] == split_node(two)[0]
            and self._groups.of.get(one) != self._groups.of.get(two)
        )
        for one, two in islice(pairs, _MOST_PAIRS):
            yield Mistake("swap", (one, two), built.moved({one: two, two: one}))
        yield from self._moves(built, misfits)
        yield from self._splices(built, wires)
        for plug in dict.fromkeys(split_node(node)[0] for node in contacts):
            places = self._mirror(plug)
            if len(places) > _PAIR:
                yield Mistake("mirror", (plug,), built.moved(places))
        for mixed in _mixes(misfits):
            subjects = tuple(node for pair in mixed.items() for node in pair)
            yield Mistake("mix", subjects, built.moved(mixed))
        yield from _bridges(built, misfits)

    def _wires(self, built: Built, misfits: tuple[Seen, ...]) -> list[str]:
        """Return the wires of tests that do not fit, and those at what was found there."""
        places = {one.found for one in misfits if one.found}
        near = (wire for wire, ends in built.ends.items() if places & set(ends))
        tested = (wire for one in misfits for wire in one.check.wires)
        return [w for w in dict.fromkeys((*tested, *in_order(near))) if w in built.ends]

    def _contacts(
        self, built: Built, misfits: tuple[Seen, ...], wires: list[str]
    ) -> tuple[str, ...]:
        """Return the ends of wires that are no splice and no stud, those probed first."""
        probed = [
            node
            for one in misfits
            if one.check.kind == "continuity"
            for node in (one.check.end, one.check.start)
        ]
        ends = (node for wire in wires for node in built.ends[wire])
        return tuple(n for n in dict.fromkeys((*probed, *ends)) if n not in self._stays)

    def _moves(self, built: Built, misfits: tuple[Seen, ...]) -> Iterator[Mistake]:
        """Yield a contact that sits where a wire was found, or in what reads strangely."""
        strange = [
            node
            for one in misfits
            if one.check.kind == "isolation" and one.joined and not one.found
            for node in self._members(one.check.start)
            if split_node(node)[0] in self._design.plugs
        ]
        for one in misfits:
            mine = self._groups.of.get(one.check.start)
            nodes = [one.check.end, one.check.start]
            if one.check.kind == "isolation":
                nodes = list(self._members(one.check.start))
            places = [one.found] if one.found else [*strange, *([NOWHERE] if strange else [])]
            if one.check.kind == "isolation" and not one.found:
                continue
            for place in places:
                for node in nodes if self._groups.of.get(place) != mine else ():
                    if node and node not in self._stays and node != place:
                        yield Mistake("move", (node, place), built.moved({node: place}))

    def _members(self, node: str) -> tuple[str, ...]:
        """Return what a node is joined to as drawn."""
        return self._groups.members.get(self._groups.of.get(node, ""), ())

    def _splices(self, built: Built, wires: list[str]) -> Iterator[Mistake]:
        """Yield a wire that is crimped into another splice."""
        for wire in wires:
            for splice in (node for node in built.ends[wire] if node in self._design.splices):
                others = (one for one in self._design.splices if one != splice)
                for other in islice(others, _MOST_SPLICES):
                    changed = built.spliced(wire, splice, other)
                    yield Mistake("splice", (wire, splice, other), changed)

    def _mirror(self, plug: str) -> Mapping[str, str]:
        """Return where the contacts of a plug are when it is loaded from the wrong side."""
        if plug not in self._design.plugs:
            return {}
        mirror = self._groups.mirror_of(plug)
        return {
            f"{plug}:{cavity}": f"{plug}:{other}"
            for cavity, other in mirror.items()
            if other != cavity and f"{plug}:{cavity}" in self._groups.of
        }


def _mixes(misfits: tuple[Seen, ...]) -> Iterator[dict[str, str]]:
    """Yield three and more contacts of a plug that went round: cavity -> where its contact is."""
    by_plug: dict[str, dict[str, str]] = {}
    for one in misfits:
        plug = split_node(one.check.end)[0]
        if one.check.kind == "continuity" and plug == split_node(one.found)[0] and one.found:
            by_plug.setdefault(plug, {})[one.check.end] = one.found
    for places in by_plug.values():
        begins = [node for node in places if node not in places.values()]
        ends = [node for node in places.values() if node not in places]
        if len(ends) == 1 and len(begins) == 1:
            places[ends[0]] = begins[0]
        if len(places) > _PAIR and set(places) == set(places.values()):
            yield places


def _bridges(built: Built, misfits: tuple[Seen, ...]) -> Iterator[Mistake]:
    """Yield two cavities that touch: what was found, or each of the next pins."""
    for one in misfits:
        if one.check.kind != "isolation" or not one.joined:
            continue
        pairs = [near_pair(pair) for pair in one.check.apart]
        if one.found:
            pairs = [pair for pair in pairs if one.found in pair] or [(one.check.start, one.found)]
        for pair in pairs:
            yield Mistake("bridge", pair, built.bridged(*pair))


def near_pair(words: str) -> tuple[str, str]:
    """Return the two cavities of a pair as it stands on the sheet.

    Example:
        >>> near_pair("X1:8/2"), near_pair("SC1/X2:5")
        (('X1:8', 'X1:2'), ('SC1', 'X2:5'))
    """
    node, _, other = words.rpartition("/")
    plug, cavity = split_node(node)
    return node, f"{plug}:{other}" if cavity else other
