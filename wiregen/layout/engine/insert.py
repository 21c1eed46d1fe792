"""New boxes and lanes put among those of a kept layout."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import accumulate

from wiregen.layout.engine.sift import gains_of, keys_of, place_layer, places_of, sort_free
from wiregen.layout.engine.web import Web

TIGHT = 1000  # crossings that a place without room is worth
FAR = 400.0  # detour up and down that is worth a crossing, mm


def insert(web: Web, y: Mapping[int, float]) -> None:
    """Order the layers by known heights and put all other items where they cross least.

    Args:
        web: its layers are replaced.
        y: heights of the items that are in place, mm.
    """
    web.layers = [
        sorted(layer, key=lambda item: (item not in y, y.get(item, 0.0))) for layer in web.layers
    ]
    place = places_of(web, web.layers)
    between = _between(web, y)
    for _ in range(3):
        for layer in web.layers:
            sort_free(web, place, layer)
            for item in [item for item in layer if item not in y]:
                _insert(web, layer, place, item, y=y, ends=between.get(item))


def _insert(
    web: Web,
    layer: list[int],
    place: list[int],
    item: int,
    *,
    y: Mapping[int, float],
    ends: tuple[float, float] | None,
) -> None:
    """Move one item to the place with few crossings and a short way, one with room preferred."""
    layer.remove(item)
    layer.insert(0, item)
    place_layer(web, layer, place)
    west = {other: keys_of(web, place, web.west[other]) for other in layer}
    east = {other: keys_of(web, place, web.east[other]) for other in layer}
    crossed = [0, *accumulate(gains_of(item, layer[1:], west, east, web.boxes))]
    others = layer[1:]

    def cost(at: int) -> float:
        top, bottom = _gap(web, others, at, item, y)
        tight = 0 if bottom - max(top, 0.0) >= web.height[item] or bottom == math.inf else TIGHT
        detour = 0.0
        if ends is not None:
            detour = max(0.0, top - max(ends), min(ends) - bottom)
        return crossed[at] + tight + 2 * detour / FAR

    best = min(range(len(crossed)), key=lambda at: (cost(at), at))
    layer.remove(item)
    layer.insert(best, item)
    place_layer(web, layer, place)


def _gap(
    web: Web, others: list[int], at: int, item: int, y: Mapping[int, float]
) -> tuple[float, float]:
    """Return the heights between which an item would stand, as its neighbours stand, mm."""
    top, bottom = -math.inf, math.inf
    if at < len(others) and others[at] in y:
        bottom = y[others[at]] - web.gap(item, others[at])
    if at and others[at - 1] in y:
        above = others[at - 1]
        top = y[above] + web.height[above] + web.gap(above, item)
    return top, bottom


def _between(web: Web, y: Mapping[int, float]) -> dict[int, tuple[float, float]]:
    """Return for every lane the heights of the two ends of its wire, where these are known, mm."""
    found = {}
    for wire, hops in enumerate(web.hops):
        first, last = web.ends(wire)
        if web.item_of[first] in y and web.item_of[last] in y:
            ends = tuple(y[web.item_of[t]] + web.dy[t] for t in (first, last))
            for item in (web.item_of[terminal] for _, terminal in hops[:-1]):
                found[item] = (ends[0], ends[1])
    return found
