"""One layer: where its terminals lie, and each item moved to where it crosses least."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from wiregen.layout.engine.web import Web

Layers = list[list[int]]
FAR = 1 << 30


def places_of(web: Web, layers: Layers) -> list[int]:
    """Return for every terminal its place, from the top, on its edge of the layer."""
    place = [0] * len(web.item_of)
    for layer in layers:
        place_layer(web, layer, place)
    return place


def place_layer(web: Web, layer: list[int], place: list[int]) -> None:
    """Note for the terminals of one layer their places, from the top, on its two edges."""
    for edge in (web.west, web.east):
        at = 0
        for item in layer:
            for terminal in edge[item]:
                place[terminal] = at
                at += 1


def _key(web: Web, place: list[int], terminal: int) -> int:
    """Return the sort key of a far end: of two terminals, the upper should have the lower key."""
    far = web.mate[terminal]
    if web.faces_east[far] is not web.faces_east[terminal]:
        return place[far]
    return -FAR - place[far] if place[far] < place[terminal] else FAR - place[far]


def keys_of(web: Web, place: list[int], terminals: list[int]) -> list[int]:
    """Return the sorted keys of the terminals at one edge of an item."""
    return sorted([_key(web, place, terminal) for terminal in terminals])


def sort_free(web: Web, place: list[int], layer: list[int]) -> None:
    """Put terminals that are free to move along their box into the order of their far ends."""
    for item in layer:
        for terminals in web.shared.get(item, ()):
            _exchange(web, place, terminals)
        if item < web.boxes and web.places[item]:
            web.west[item].sort(key=lambda terminal: _key(web, place, terminal))
            web.east[item].sort(key=lambda terminal: _key(web, place, terminal))
            place_layer(web, layer, place)


def _exchange(web: Web, place: list[int], terminals: Sequence[int]) -> None:
    """Put terminals that meet the same metal into the order of their far ends."""
    edge = (web.east if web.faces_east[terminals[0]] else web.west)[web.item_of[terminals[0]]]
    seats = sorted((place[t], edge.index(t), web.dy[t]) for t in terminals)
    drawn = sorted(terminals, key=lambda t: (_key(web, place, t), place[t]))
    for terminal, (at, index, dy) in zip(drawn, seats, strict=True):
        place[terminal], edge[index], web.dy[terminal] = at, terminal, dy


def _gain(upper: list[int], lower: list[int]) -> int:
    """Return the crossings added when `upper` is moved below `lower`, from their sorted keys."""
    if not upper or not lower:
        return 0
    if len(upper) == 1:
        return len(lower) - 2 * bisect_left(lower, upper[0])
    if len(lower) == 1:
        return 2 * bisect_left(upper, lower[0]) - len(upper)
    return len(upper) * len(lower) - 2 * sum([bisect_left(lower, key) for key in upper])


def gains_of(
    item: int,
    others: list[int],
    west: dict[int, list[int]],
    east: dict[int, list[int]],
    boxes: int,
) -> list[int]:
    """Return per other item the crossings added if `item` goes from above it to below it."""
    own_west, own_east = west[item], east[item]
    if item < boxes:
        count_west, count_east = len(own_west), len(own_east)
        return [
            2 * bisect_left(own_west, west[o][0])
            - count_west
            + 2 * bisect_left(own_east, east[o][0])
            - count_east
            if o >= boxes
            else _gain(own_west, west[o]) + _gain(own_east, east[o])
            for o in others
        ]
    key_west, key_east = own_west[0], own_east[0]
    return [
        (1 if key_west < west[o][0] else -1) + (1 if key_east < east[o][0] else -1)
        if o >= boxes
        else len(west[o])
        - 2 * bisect_left(west[o], key_west)
        + len(east[o])
        - 2 * bisect_left(east[o], key_east)
        for o in others
    ]


def sift(web: Web, layers: Layers, place: list[int], number: int) -> bool:
    """Move each item of a layer to its best place among the others; return whether any moved."""
    layer = layers[number]
    sort_free(web, place, layer)
    if len(layer) == 1:
        return False
    west = {item: keys_of(web, place, web.west[item]) for item in layer}
    east = {item: keys_of(web, place, web.east[item]) for item in layer}
    moved = False
    for item in list(layer):
        start = layer.index(item)
        below = gains_of(item, layer[start + 1 :], west, east, web.boxes)
        above = gains_of(item, layer[start - 1 :: -1] if start else [], west, east, web.boxes)
        best, goal, total = 0, start, 0
        for at, gain in enumerate(below, start + 1):
            total += gain
            if total < best:
                best, goal = total, at
        total = 0
        for at, gain in enumerate(above, 1):
            total -= gain
            if total < best:
                best, goal = total, start - at
        if goal != start:
            del layer[start]
            layer.insert(goal, item)
            moved = True
    if moved:
        place_layer(web, layer, place)
    return moved
