"""Objects of two designs in classes of those that cannot be told apart but by their ids."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from itertools import count
from typing import TypeAlias

from wiregen.history.objects import Key, Renames, Side, pointing
from wiregen.history.plain import Leaf, Path, Ref, point_elsewhere
from wiregen.model import natural_key

Node: TypeAlias = tuple[int, Key]
"""An object of the old design, 0, or of the new one, 1."""


class Classes:
    """Objects without a partner, in classes of those that cannot be told apart so far.

    A class falls apart when its members say something else, or point at or are pointed at by
    members of different classes. Only what hangs on an object whose class is another is looked at
    again, so that the work grows with what there is to tell apart.
    """

    def __init__(
        self, old: Side, new: Side, pairs: Renames, olds: Iterable[Key], news: Iterable[Key]
    ) -> None:
        self.sides = (old, new)
        self.pairs = pairs
        self.taken = set(pairs.values())
        self.free = count()
        self.names: dict[object, int] = {}
        self.of: dict[Node, int] = {}
        self.members: dict[int, dict[Node, None]] = {}
        nodes = [*((0, key) for key in olds), *((1, key) for key in news)]
        for node in nodes:
            self.enter(node, self.name(("section", node[1][0])))
        self.outlines = {
            node: self.name(("outline", outline(self.sides[node[0]], node[1]))) for node in nodes
        }
        self.edges = {node: list(self.edges_of(node)) for node in nodes}
        self.dirty = dict.fromkeys(nodes)
        self.waiting: deque[int] = deque()

    def name(self, what: object) -> int:
        """Return the number that stands for a thing."""
        number = self.names.get(what)
        if number is None:
            number = self.names[what] = next(self.free)
        return number

    def enter(self, node: Node, number: int) -> None:
        """Put an object into a class."""
        self.of[node] = number
        self.members.setdefault(number, {})[node] = None

    def edges_of(self, node: Node) -> Iterator[tuple[int, Node]]:
        """Yield what an object points at and what points at it, each with how."""
        which, key = node
        side = self.sides[which]
        for path, leaf in side.records[key].items():
            for ref in pointing(path, leaf):
                target = side.pointers.key(ref)
                if target is not None:
                    yield self.name(("to", _fact(side, path, leaf), ref.point)), (which, target)
        for source, path, leaf, point in side.incoming.get(key, ()):
            yield self.name(("from", _fact(side, path, leaf), point)), (which, source)

    def label(self, node: Node) -> int:
        """Return the number of an object's class, or of the pair it is in."""
        number = self.of.get(node)
        if number is None:
            which, key = node
            partner = self.pairs.get(key) if which == 0 else key if key in self.taken else None
            number = self.of[node] = self.name(partner or ("section", key[0]))
        return number

    def signature(self, node: Node) -> object:
        """Return what tells an object from others of its class."""
        label = self.label
        around = sorted((how, label(other)) for how, other in self.edges[node])
        return (self.outlines[node], *around)

    def refine(self, rounds: int | None = None) -> None:
        """Split the classes until nothing tells their members apart, or for some rounds."""
        while self.dirty and rounds != 0:
            touched: dict[int, list[Node]] = {}
            for node in self.dirty:
                touched.setdefault(self.of[node], []).append(node)
            self.dirty = {}
            for number, nodes in touched.items():
                self.split(number, nodes)
            rounds = None if rounds is None else rounds - 1

    def split(self, number: int, nodes: list[Node]) -> None:
        """Split some members off their class; those left alone, or the most of them, stay."""
        parts: dict[object, list[Node]] = {}
        for node in nodes:
            parts.setdefault(self.signature(node), []).append(node)
        found = list(parts.values())
        if len(nodes) == len(self.members[number]):
            found.remove(max(found, key=len))
        for part in found:
            self.move(part)

    def move(self, nodes: Iterable[Node]) -> None:
        """Put some objects into a class of their own."""
        number = next(self.free)
        self.waiting.appendleft(number)
        for node in nodes:
            del self.members[self.of[node]][node]
            self.enter(node, number)
            for _, other in self.edges[node]:
                if other in self.edges:
                    self.dirty[other] = None

    def settle(self, rounds: int | None = None) -> Renames:
        """Return a partner for every object that has one in its class.

        Where several are alike, an id that stays comes first, and what follows from a pair is
        found before the next is made.

        Args:
            rounds: how far to look around an object; as far as it goes when None.
        """
        self.refine(rounds)
        found: Renames = {}
        self.waiting = deque(sorted(self.members, key=lambda number: len(self.members[number])))
        while self.waiting:
            number = self.waiting.popleft()
            pairs = self.proposed(number)
            if pairs and len(self.members[number]) == 2:
                found.update(pairs)
                continue
            for one, other in pairs:
                if self.of[0, one] == self.of[1, other] == number:
                    self.move([(0, one), (1, other)])
                    self.refine(rounds)
            if pairs:
                self.waiting.append(number)
        return found

    def single(self) -> Renames:
        """Return the members of the classes with one on each side."""
        alone = (number for number, nodes in self.members.items() if len(nodes) == 2)
        return dict(pair for number in alone for pair in self.proposed(number))

    def proposed(self, number: int) -> list[tuple[Key, Key]]:
        """Return the members of a class as pairs, ids that stay first."""
        olds = {key: None for which, key in self.members[number] if which == 0}
        news = {key: None for which, key in self.members[number] if which == 1}
        same = [key for key in olds if key in news]
        for key in same:
            del olds[key], news[key]
        return [*zip(same, same, strict=True), *zip(in_turn(olds), in_turn(news), strict=False)]


def outline(side: Side, key: Key) -> object:
    """Return what an object says, ids left out."""
    return frozenset(_fact(side, path, leaf) for path, leaf in side.records[key].items())


def in_turn(keys: Iterable[Key]) -> list[Key]:
    """Return objects in order: by section, then natural order of their ids."""
    return sorted(keys, key=lambda key: (key[0], natural_key(key[1])))


def _fact(side: Side, path: Path, leaf: Leaf) -> tuple[Path, Leaf]:
    """Return a fact with a blank for every id."""

    def blank(ref: Ref) -> Ref:
        return ref if side.pointers.key(ref) is None else Ref("#", ref.space, ref.point)

    steps = tuple(blank(step) if isinstance(step, Ref) else step for step in path)
    return steps, point_elsewhere(leaf, blank)
