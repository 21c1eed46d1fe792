"""Straightening: boxes and whole lanes are moved up or down where that takes bends away."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from wiregen.layout.engine.web import Web

SAME = 1e-6  # heights closer than this are one height, mm
LIMIT = 60  # most items moved together
BEND = 4  # pitches of run that a pair of bends is worth


@dataclass(slots=True)
class Rows:
    """Heights to be improved, and what hangs on them.

    Attributes:
        y: height of every item, mm.
        near: per item its hops as (other item, how much lower the far end lies beyond the
            difference of `y`, whether the hop leads across a channel and so can be straight).
        above: per item the one above it and the least difference of `y`; item -1 at the top.
        below: likewise for the one below.
        size: height of every item, mm.
        boxes: number of items that are boxes.
        bend: run that a pair of bends is worth, mm.
        top: least height allowed, mm.
        bottom: greatest height allowed, mm.
    """

    y: list[float]
    near: list[list[tuple[int, float, bool]]]
    above: list[tuple[int, float]]
    below: list[tuple[int, float]]
    size: list[float]
    boxes: int
    bend: float
    top: float
    bottom: float


def straighten(web: Web, y: list[float], top: float, bottom: float) -> None:
    """Change `y` so that more hops are straight and runs are shorter, within top and bottom."""
    above = [(-1, 0.0)] * len(y)
    below = [(-1, 0.0)] * len(y)
    for layer in web.layers:
        for upper, lower in pairwise(layer):
            step = web.height[upper] + web.gap(upper, lower)
            above[lower], below[upper] = (upper, step), (lower, step)
    near = [
        [
            (
                web.item_of[web.mate[t]],
                web.dy[web.mate[t]] - web.dy[t],
                web.faces_east[web.mate[t]] is not web.faces_east[t],
            )
            for t in (*web.west[item], *web.east[item])
        ]
        for item in range(len(y))
    ]
    bend = BEND * web.pitch
    rows = Rows(y, near, above, below, web.height, web.boxes, bend, top, bottom)
    hops = [
        (item, other, off)
        for item, links in enumerate(near)
        for other, off, across in links
        if across and item < other
    ]
    changed = [1] * len(web.layers)  # round in which a layer was last changed
    for turn in range(1, 6):
        for item, other, off in hops:
            layers = web.layer_of[item], web.layer_of[other]
            if max(changed[number] for number in layers) >= turn - 1:
                for moved in _try_hop(rows, item, other, off):
                    changed[web.layer_of[moved]] = turn
        if turn not in changed[1:] and turn not in changed[:1]:
            return


def _try_hop(rows: Rows, item: int, other: int, off: float) -> dict[int, float]:
    """Try to make one hop straight by moving either end; return the moves made."""
    drop = rows.y[other] + off - rows.y[item]
    if abs(drop) < SAME:
        return {}
    gain, best = SAME, {}
    for start, anchor, by in ((item, other, drop), (other, item, -drop)):
        for whole in (False, True):
            shift = _shift(rows, start, by, anchor, whole)
            if shift and (found := _gain(rows, shift)) > gain:
                gain, best = found, shift
    for moved, by in best.items():
        rows.y[moved] += by
    return best


def _unit(rows: Rows, item: int, whole: bool) -> list[int]:
    """Return the items that move with one: its straight lane, or all joined to it by straight hops.

    Args:
        rows: the heights.
        item: the item moved.
        whole: also pass through boxes.
    """
    y, near, boxes = rows.y, rows.near, rows.boxes
    if item < boxes and not whole:
        return [item]
    found = [item]
    for here in found:
        at = y[here]
        for other, off, _ in near[here]:
            straight = -SAME < y[other] + off - at < SAME
            if straight and (whole or other >= boxes) and other not in found:
                found.append(other)
        if len(found) > LIMIT:
            break
    return found


def _shift(rows: Rows, item: int, by: float, anchor: int, whole: bool) -> dict[int, float]:
    """Return the moves needed to move an item by `by` mm, pushing others out of the way.

    Empty if the anchor would move, the drawing would grow, or too much would move.
    """
    y, size, beside = rows.y, rows.size, rows.below if by > 0 else rows.above
    sign = 1 if by > 0 else -1
    shift: dict[int, float] = {}
    todo: list[tuple[int, float]] = [(item, by)]
    while todo:
        start, amount = todo.pop()
        reach = abs(amount) - SAME
        if abs(shift.get(start, 0.0)) >= reach:
            continue
        for member in _unit(rows, start, whole):
            if abs(shift.get(member, 0.0)) >= reach:
                continue
            if member == anchor or len(shift) > LIMIT:
                return {}
            shift[member] = amount
            at = y[member] + amount
            if at < rows.top - SAME or at + size[member] > rows.bottom + SAME:
                return {}
            other, step = beside[member]
            if other >= 0:
                need = at + sign * step - y[other]
                if sign * need > SAME:
                    todo.append((other, need))
    return shift


def _gain(rows: Rows, shift: dict[int, float]) -> float:
    """Return how much bends and lengths fall when the moves are made, in mm of run."""
    y = rows.y
    gain = 0.0
    for item, by in shift.items():
        at = y[item]
        for other, off, across in rows.near[item]:
            rest = shift.get(other, 0.0)
            if rest == by or (rest and other < item):
                continue
            before = y[other] + off - at
            after = before + rest - by
            gain += abs(before) - abs(after)
            if across:
                gain += rows.bend * ((abs(before) > SAME) - (abs(after) > SAME))
    return gain
