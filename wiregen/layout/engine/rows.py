"""Heights: at which y every box and lane stands, so that wires run straight where they can."""

from __future__ import annotations

import math
from collections.abc import Container, Mapping, Sequence
from itertools import zip_longest

from wiregen.layout.engine.straighten import straighten
from wiregen.layout.engine.web import Web

Wish = tuple[float, int]
KEPT = 1000  # weight of a lane, or a mark at the end of a wire, that was there before
STANDS = 100_000  # weight of a box that was there before


def _median(wishes: Sequence[Wish], near: float) -> float:
    """Return the weighted median of sorted wishes; within a middle gap the point next to `near`."""
    total = sum(weight for _, weight in wishes)
    run = 0
    for index, (value, weight) in enumerate(wishes):
        run += weight
        if 2 * run == total:
            return min(max(near, value), wishes[index + 1][0])
        if 2 * run > total:
            return value
    return near


def fit(wishes: Sequence[Sequence[Wish]], near: Sequence[float]) -> list[float]:
    """Return the rising values closest to the wishes (least sum of weighted distances).

    Neighbours whose wishes contradict the order are pooled and take their common median.

    Args:
        wishes: per place the wanted values with their weights.
        near: per place the value to prefer where the wishes leave a choice.
    """
    pools: list[tuple[float, int, list[Wish], float]] = []
    for own, here in zip(wishes, near, strict=True):
        size, pool, mean = 1, sorted(own), here
        value = _median(pool, mean)
        while pools and pools[-1][0] >= value:
            _, other_size, other, other_mean = pools.pop()
            mean = (mean * size + other_mean * other_size) / (size + other_size)
            size += other_size
            pool = sorted(other + pool)
            value = _median(pool, mean)
        pools.append((value, size, pool, mean))
    return [value for value, size, _, _ in pools for _ in range(size)]


def _offsets(web: Web, layer: Sequence[int]) -> list[float]:
    """Return the least y of every item of a layer when all are pushed to the top."""
    offsets = []
    at = 0.0
    for item, following in zip_longest(layer, layer[1:]):
        offsets.append(at)
        if following is not None:
            at += web.height[item] + web.gap(item, following)
    return offsets


def _weight(web: Web, terminal: int) -> int:
    """Return how much a hop wants to be straight: lanes more than ends at boxes."""
    lanes = (web.item_of[terminal] >= web.boxes) + (web.item_of[web.mate[terminal]] >= web.boxes)
    return (1, 2, 8)[lanes]


def _level(web: Web, y: list[float], number: int, edges: str, limit: float) -> None:
    """Place one layer as close as it goes to the wires on the named edges (`W`, `E` or `WE`)."""
    layer = web.layers[number]
    offsets = _offsets(web, layer)
    wishes = [
        _wishes(web, y, item, offset, edges) for item, offset in zip(layer, offsets, strict=True)
    ]
    _settle(web, y, number, wishes, limit=limit)


def _wishes(web: Web, y: list[float], item: int, offset: float, edges: str) -> list[Wish]:
    """Return the heights at which the hops of an item would be straight, less its offset."""
    own = []
    terminals = (web.west[item] if "W" in edges else []) + (web.east[item] if "E" in edges else [])
    for terminal in terminals:
        far = web.mate[terminal]
        if web.faces_east[far] is not web.faces_east[terminal]:
            value = y[web.item_of[far]] + web.dy[far] - web.dy[terminal] - offset
            own.append((value, _weight(web, terminal)))
    return own


def _settle(
    web: Web,
    y: list[float],
    number: int,
    wishes: Sequence[Sequence[Wish]],
    *,
    limit: float,
    known: Container[int] = (),
) -> None:
    """Set the heights of one layer to what its wishes ask for, between 0 and `limit`.

    Where half the wishes of items that are pressed together ask for more than the other half, the
    middle is taken; with `known` items among them the lower, so that only one half moves.
    """
    layer = web.layers[number]
    offsets = _offsets(web, layer)
    near = [
        math.inf if item in known else y[item] - offset
        for item, offset in zip(layer, offsets, strict=True)
    ]
    lowest = limit - offsets[-1] - web.height[layer[-1]]
    for item, offset, value in zip(layer, offsets, fit(wishes, near), strict=True):
        y[item] = min(max(value, 0.0), lowest) + offset


def place_rows(web: Web, limit: float) -> list[float]:
    """Return the y of every item: the top of a box with its margin, or the line of a lane, mm.

    Args:
        web: layers in their final order.
        limit: height not to be passed unless a single layer needs more, mm.
    """
    y = [0.0] * len(web.height)
    stacks = [_offsets(web, layer) for layer in web.layers]
    sizes = [
        offsets[-1] + web.height[layer[-1]]
        for layer, offsets in zip(web.layers, stacks, strict=True)
    ]
    limit = max(limit, *sizes)
    for layer, offsets, size in zip(web.layers, stacks, sizes, strict=True):
        for item, offset in zip(layer, offsets, strict=True):
            y[item] = round((limit - size) / 2, 2) + offset
    last = len(web.layers)
    for number in range(1, last):
        _level(web, y, number, "W", limit)
    for number in range(last - 2, -1, -1):
        _level(web, y, number, "E", limit)
    for _ in range(3):
        for number in (*range(last), *range(last - 1, -1, -1)):
            _level(web, y, number, "WE", limit)
    straighten(web, y, 0.0, limit)
    return y


def keep_rows(web: Web, known: Mapping[int, float]) -> list[float]:
    """Return the y of every item: known ones stay unless new ones leave them no room, mm."""
    y = [known.get(item, 0.0) for item in range(len(web.height))]
    for _ in range(3):
        for number, layer in enumerate(web.layers):
            offsets = _offsets(web, layer)
            wishes = [
                [(known[item] - offset, STANDS if web.height[item] else KEPT)]
                if item in known
                else _wishes(web, y, item, offset, "WE")
                for item, offset in zip(layer, offsets, strict=True)
            ]
            _settle(web, y, number, wishes, limit=math.inf, known=known)
    return y
