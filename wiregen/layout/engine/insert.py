"""New boxes and lanes put among those of a kept layout."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import accumulate

from wiregen.layout.engine.sift import gains_of, keys_of, place_layer, places_of, sort_free
from wiregen.layout.engine.web import Web

TIGHT = 1000  # crossings that a place without room is worth


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
    for _ in range(3):
        for layer in web.layers:
            sort_free(web, place, layer)
            for item in [item for item in layer if item not in y]:
                _insert(web, layer, place, item, y)


def _insert(
    web: Web, layer: list[int], place: list[int], item: int, y: Mapping[int, float]
) -> None:
    """Move one item to the place with the fewest crossings, a place with room preferred."""
    layer.remove(item)
    layer.insert(0, item)
    place_layer(web, layer, place)
    west = {other: keys_of(web, place, web.west[other]) for other in layer}
    east = {other: keys_of(web, place, web.east[other]) for other in layer}
    crossed = [0, *accumulate(gains_of(item, layer[1:], west, east, web.boxes))]
    others = layer[1:]

    def cost(at: int) -> int:
        tight = 0 if _room(web, others, at, item, y) else TIGHT
        return crossed[at] + tight

    best = min(range(len(crossed)), key=lambda at: (cost(at), at))
    layer.remove(item)
    layer.insert(best, item)
    place_layer(web, layer, place)


def _room(web: Web, others: list[int], at: int, item: int, y: Mapping[int, float]) -> bool:
    """Return whether an item fits between its neighbours as they stand."""
    top = bottom = None
    if at < len(others) and others[at] in y:
        bottom = y[others[at]] - web.gap(item, others[at])
    if at and others[at - 1] in y:
        above = others[at - 1]
        top = y[above] + web.height[above] + web.gap(above, item)
    if bottom is None:
        return True
    return bottom - (top or 0.0) >= web.height[item]
