"""Objects of two designs in classes of those that cannot be told apart but by their ids."""

from __future__ import annotations

from collections import Counter

from wiregen.history.objects import Key, Renames, Side
from wiregen.history.plain import Leaf, Ref, point_elsewhere

_MAX_ROUNDS = 12


class Classes:
    """Objects without a partner, in classes of those that cannot be told apart so far."""

    def __init__(
        self, old: Side, new: Side, pairs: Renames, olds: list[Key], news: list[Key]
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
        """Return the number of a class that is known by `what`."""
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
        """Return the finer class of each object of one side."""
        side, _, keys = self.sides[which]
        return {key: self.name(self.signature(side, which, key)) for key in keys}

    def signature(self, side: Side, which: int, key: Key) -> object:
        """Return what an object says, what it points at and what points at it, ids left out."""

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
