"""Columns: which layer, counted from the left, every box stands in."""

from __future__ import annotations

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


def _before(count: int, arcs: Sequence[Arc], place: Sequence[int]) -> list[list[int]]:
    """Return for every box the boxes that must stand left of it (arcs turned to the order)."""
    before: list[set[int]] = [set() for _ in range(count)]
    for arc in arcs:
        if arc.directed and place[arc.tail] < place[arc.head]:
            before[arc.head].add(arc.tail)
    return [sorted(group) for group in before]


def assign(
    count: int, arcs: Sequence[Arc], place: Sequence[int], hints: Sequence[int | str | None]
) -> list[int]:
    """Return the layer of every box: arcs along the order go right, wires are kept short.

    Args:
        count: number of boxes.
        arcs: wishes between boxes; those against the order become backward wires.
        place: order of the boxes from `sequence`.
        hints: `left`, `right`, a layer number or None for every box; a hint outranks arcs.
    """
    before = _before(count, arcs, place)
    order = sorted(range(count), key=lambda box: place[box])
    layer = [0] * count
    for box in order:
        hint = hints[box]
        if isinstance(hint, int):
            layer[box] = max(0, hint)
        elif hint != "left":
            layer[box] = max((layer[other] + 1 for other in before[box]), default=0)
    last = max(layer, default=0)
    for box in order:
        if hints[box] == "right":
            layer[box] = last
    _shorten(layer, arcs, before, order, hints)
    used = sorted(set(layer))
    return [used.index(value) for value in layer]


def _shorten(
    layer: list[int],
    arcs: Sequence[Arc],
    before: Sequence[Sequence[int]],
    order: Sequence[int],
    hints: Sequence[int | str | None],
) -> None:
    """Move boxes within their freedom to where their wires are shortest, until nothing moves."""
    last = max(layer, default=0)
    after: list[list[int]] = [[] for _ in layer]
    for box, group in enumerate(before):
        for other in group:
            after[other].append(box)
    pulls: list[list[int]] = [[] for _ in layer]
    for arc in arcs:
        if arc.tail != arc.head:
            pulls[arc.tail].append(arc.head)
            pulls[arc.head].append(arc.tail)
    for _ in range(2 * last + 4):
        moved = False
        for box in [*reversed(order), *order]:
            if hints[box] is not None or not pulls[box]:
                continue
            low = max((layer[other] + 1 for other in before[box]), default=0)
            high = min((layer[other] - 1 for other in after[box]), default=last)
            if low >= high:
                continue
            wanted = sorted(layer[other] for other in pulls[box])
            best = min(
                range(low, high + 1),
                key=lambda at: (sum(abs(at - value) for value in wanted), abs(at - layer[box])),
            )
            if best != layer[box]:
                layer[box] = best
                moved = True
        if not moved:
            return
