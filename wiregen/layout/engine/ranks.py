"""Columns: which layer, counted from the left, every box stands in."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Arc:
    """A wish between two boxes: `tail` left of `head`, or merely near it when not `directed`."""

    tail: int
    head: int
    directed: bool


def sequence(count: int, arcs: Sequence[Arc]) -> list[int]:
    """Return for every box its place in an order with few arcs pointing backwards.

    Greedy: sinks are taken to the end, sources to the front, else the box with the most outgoing
    arcs left over. Ties go to the lowest number.
    """
    out = [0] * count
    into = [0] * count
    near: list[list[tuple[int, bool]]] = [[] for _ in range(count)]
    for arc in arcs:
        if arc.directed and arc.tail != arc.head:
            out[arc.tail] += 1
            into[arc.head] += 1
            near[arc.tail].append((arc.head, True))
            near[arc.head].append((arc.tail, False))
    left = list(range(count))
    front: list[int] = []
    back: list[int] = []
    while left:
        pick = next((box for box in reversed(left) if not out[box]), None)
        if pick is not None:
            back.append(pick)
        else:
            sources = (box for box in left if not into[box])
            pick = next(sources, None)
            if pick is None:
                pick = max(left, key=lambda box: (out[box] - into[box], -box))
            front.append(pick)
        left.remove(pick)
        for other, forward in near[pick]:
            if forward:
                into[other] -= 1
            else:
                out[other] -= 1
    place = [0] * count
    for index, box in enumerate(front + back[::-1]):
        place[box] = index
    return place


@dataclass(frozen=True, slots=True)
class Ranks:
    """What layers have to respect.

    Attributes:
        arcs: wishes between boxes.
        before: per box those that must stand left of it.
        after: per box those that must stand right of it.
        order: the boxes from left to right.
        hints: `left`, `right`, a layer number or None per box; a hint outranks arcs.
    """

    arcs: Sequence[Arc]
    before: list[list[int]]
    after: list[list[int]]
    order: list[int]
    hints: Sequence[int | str | None]

    def freedom(self, layer: Sequence[int], box: int) -> range:
        """Return the layers a box may move to while all others stay."""
        if self.hints[box] is not None:
            return range(layer[box], layer[box] + 1)
        low = max((layer[other] + 1 for other in self.before[box]), default=0)
        high = min((layer[other] - 1 for other in self.after[box]), default=max(layer))
        return range(min(low, layer[box]), max(high, layer[box]) + 1)


def ranks(arcs: Sequence[Arc], place: Sequence[int], hints: Sequence[int | str | None]) -> Ranks:
    """Return the conditions on layers: arcs against the order `place` become backward wires."""
    before: list[set[int]] = [set() for _ in place]
    after: list[set[int]] = [set() for _ in place]
    for arc in arcs:
        if arc.directed and place[arc.tail] < place[arc.head]:
            before[arc.head].add(arc.tail)
            after[arc.tail].add(arc.head)
    order = sorted(range(len(place)), key=lambda box: place[box])
    return Ranks(arcs, [sorted(b) for b in before], [sorted(a) for a in after], order, hints)


def assign(rules: Ranks) -> list[int]:
    """Return the layer of every box: as far left as arcs allow, then wires made short.

    Hints may leave layers without boxes. Marks with one wire may stand left of the first column
    that hints count from.
    """
    layer = [0] * len(rules.order)
    first = _first(rules)
    for box in rules.order:
        hint = rules.hints[box]
        if isinstance(hint, int):
            layer[box] = first + max(0, hint)
        elif hint == "left":
            layer[box] = first
        else:
            layer[box] = max((layer[other] + 1 for other in rules.before[box]), default=0)
    last = max(layer, default=0)
    for box in rules.order:
        if rules.hints[box] == "right":
            layer[box] = last
    _shorten(layer, rules)
    return layer


def _first(rules: Ranks) -> int:
    """Return the layer that hints count from: 1 where a box of one wire needs a layer before it."""
    joined = Counter(end for arc in rules.arcs for end in (arc.tail, arc.head))
    last: list[float] = [math.inf] * len(rules.order)
    for box in reversed(rules.order):
        hint = rules.hints[box]
        if hint is None:
            last[box] = min((last[other] - 1 for other in rules.after[box]), default=math.inf)
        elif hint != "right":
            last[box] = hint if isinstance(hint, int) else 0
        if last[box] < 0 and hint is None and joined[box] == 1:
            return 1
    return 0


def apart(arcs: Sequence[Arc], place: Sequence[int]) -> list[Arc]:
    """Return the arcs with boxes joined at like edges one left of the other, as in the order."""
    turned = []
    for arc in arcs:
        tail, head = arc.tail, arc.head
        if not arc.directed and place[head] < place[tail]:
            tail, head = head, tail
        turned.append(Arc(tail, head, True))
    return turned


def fold(layer: Sequence[int], times: float) -> list[int]:
    """Return the layers of a drawing that is `times` too wide begun anew at the left."""
    columns = max(1, int((max(layer) + 1) / times))
    return [at % columns for at in layer]


def packed(layer: Sequence[int]) -> list[int]:
    """Return the layers numbered anew without gaps."""
    used = {value: index for index, value in enumerate(sorted(set(layer)))}
    return [used[value] for value in layer]


def _shorten(layer: list[int], rules: Ranks) -> None:
    """Move boxes within their freedom to where their wires are shortest, until nothing moves."""
    pulls: list[list[int]] = [[] for _ in layer]
    for arc in rules.arcs:
        if arc.tail != arc.head:
            pulls[arc.tail].append(arc.head)
            pulls[arc.head].append(arc.tail)
    for _ in range(2 * max(layer, default=0) + 4):
        moved = False
        for box in [*reversed(rules.order), *rules.order]:
            freedom = rules.freedom(layer, box)
            if len(freedom) < 2 or not pulls[box]:
                continue
            wanted = [layer[other] for other in pulls[box]]
            best = min(
                freedom,
                key=lambda at: (sum(abs(at - value) for value in wanted), abs(at - layer[box])),
            )
            if best != layer[box]:
                layer[box] = best
                moved = True
        if not moved:
            return
