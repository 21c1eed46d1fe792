"""Straightening: boxes and whole lanes are moved up or down where that takes bends away."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from wiregen.layout.engine.web import Web

SAME = 1e-6  # heights closer than this are one height, mm
LIMIT = 60  # most items moved together


@dataclass(slots=True)
class Rows:
    """The web with its heights, and for every item its neighbours in its layer (-1: none)."""

    web: Web
    y: list[float]
    above: list[int]
    below: list[int]
    bend: float
    top: float
    bottom: float

    def drop(self, terminal: int) -> float:
        """Return how much lower the far end of a hop lies, mm."""
        web, far = self.web, self.web.mate[terminal]
        return (
            self.y[web.item_of[far]]
            + web.dy[far]
            - self.y[web.item_of[terminal]]
            - web.dy[terminal]
        )


def straighten(web: Web, y: list[float], top: float, bottom: float) -> None:
    """Change `y` so that more hops are straight and runs are shorter, within top and bottom."""
    above = [-1] * len(y)
    below = [-1] * len(y)
    for layer in web.layers:
        for upper, lower in pairwise(layer):
            above[lower], below[upper] = upper, lower
    rows = Rows(web, y, above, below, 4 * web.pitch, top, bottom)
    hops = [hop for pairs in web.hops for hop in pairs]
    hops = [hop for hop in hops if web.faces_east[hop[0]] is not web.faces_east[hop[1]]]
    for _ in range(4):
        if not sum(_try_hop(rows, *hop) for hop in hops):
            return


def _try_hop(rows: Rows, one: int, other: int) -> bool:
    """Try to make one hop straight by moving either end; return whether it was done."""
    drop = rows.drop(one)
    if abs(drop) < SAME:
        return False
    web = rows.web
    best: tuple[float, dict[int, float]] | None = None
    for near, far, by in ((one, other, drop), (other, one, -drop)):
        item, anchor = web.item_of[near], web.item_of[far]
        for whole in (False, True):
            shift = _shift(rows, item, by, anchor, whole)
            if shift is not None:
                gain = _gain(rows, shift)
                if gain > SAME and (best is None or gain > best[0]):
                    best = (gain, shift)
    if best is None:
        return False
    for item, by in best[1].items():
        rows.y[item] += by
    return True


def _unit(rows: Rows, item: int, whole: bool) -> list[int]:
    """Return the items that move with one: its straight lane, or all joined to it by straight hops.

    Args:
        rows: the heights.
        item: the item moved.
        whole: also pass through boxes.
    """
    web = rows.web
    if item < web.boxes and not whole:
        return [item]
    found = {item: None}
    todo = [item]
    while todo:
        here = todo.pop()
        for terminal in (*web.west[here], *web.east[here]):
            other = web.item_of[web.mate[terminal]]
            if other in found or (other < web.boxes and not whole):
                continue
            if abs(rows.drop(terminal)) < SAME:
                found[other] = None
                todo.append(other)
        if len(found) > LIMIT:
            break
    return list(found)


def _shift(rows: Rows, item: int, by: float, anchor: int, whole: bool) -> dict[int, float] | None:
    """Return the moves needed to move an item by `by` mm, pushing others out of the way.

    None if the anchor would move, the drawing would grow, or too much would move.
    """
    web, y = rows.web, rows.y
    beside = rows.below if by > 0 else rows.above
    shift: dict[int, float] = {}
    todo: list[tuple[int, float]] = [(item, by)]
    while todo:
        start, amount = todo.pop()
        if abs(shift.get(start, 0.0)) >= abs(amount) - SAME:
            continue
        for member in _unit(rows, start, whole):
            if abs(shift.get(member, 0.0)) >= abs(amount) - SAME:
                continue
            if member == anchor or len(shift) > LIMIT:
                return None
            shift[member] = amount
            at = y[member] + amount
            if at < rows.top - SAME or at + web.height[member] > rows.bottom + SAME:
                return None
            other = beside[member]
            if other < 0:
                continue
            if by > 0:
                need = at + web.height[member] + web.gap(member, other) - y[other]
                if need > SAME:
                    todo.append((other, need))
            else:
                need = at - web.gap(other, member) - web.height[other] - y[other]
                if need < -SAME:
                    todo.append((other, need))
    return shift


def _gain(rows: Rows, shift: dict[int, float]) -> float:
    """Return how much bends and lengths fall when the moves are made, in mm of run."""
    web = rows.web
    gain = 0.0
    for item, by in shift.items():
        for terminal in _terminals(web, item):
            far = web.mate[terminal]
            other = web.item_of[far]
            rest = shift.get(other, 0.0)
            if rest == by or (other in shift and other < item):
                continue
            before = rows.drop(terminal)
            after = before + rest - by
            gain += abs(before) - abs(after)
            if web.faces_east[far] is not web.faces_east[terminal]:
                gain += rows.bend * ((abs(before) > SAME) - (abs(after) > SAME))
    return gain


def _terminals(web: Web, item: int) -> Iterable[int]:
    yield from web.west[item]
    yield from web.east[item]
