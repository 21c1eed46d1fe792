"""Order of boxes and lanes within their layers: few crossings, counted exactly."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping
from itertools import accumulate

from wiregen.layout.engine.web import Web

Layers = list[list[int]]
FAR = 1 << 30
TIGHT = 1000  # crossings that a place without room is worth


def _places(web: Web, layers: Layers) -> list[int]:
    """Return for every terminal its place, from the top, on its edge of the layer."""
    place = [0] * len(web.item_of)
    for layer in layers:
        _place_layer(web, layer, place)
    return place


def _place_layer(web: Web, layer: list[int], place: list[int]) -> None:
    for edge in (web.west, web.east):
        at = 0
        for item in layer:
            for terminal in edge[item]:
                place[terminal] = at
                at += 1


def channel_crossings(web: Web, layers: Layers, channel: int) -> int:
    """Return the crossings in one channel.

    Walking down its left edge and up its right edge, two wires cross if and only if their ends
    alternate.
    """
    walk: list[int] = []
    if channel > 0:
        for item in layers[channel - 1]:
            walk += web.east[item]
    right: list[int] = []
    if channel < len(layers):
        for item in layers[channel]:
            right += web.west[item]
    right.reverse()
    walk += right
    mate = web.mate
    opened: dict[int, int] = {}
    open_at: list[int] = []
    total = 0
    for at, terminal in enumerate(walk):
        start = opened.pop(terminal, -1)
        if start < 0:
            opened[mate[terminal]] = at
            open_at.append(at)
        else:
            index = bisect_left(open_at, start)
            total += len(open_at) - index - 1
            del open_at[index]
    return total


def crossings(web: Web, layers: Layers) -> int:
    """Return the crossings of all channels."""
    return sum(channel_crossings(web, layers, channel) for channel in range(len(layers) + 1))


def _sweep(web: Web, layers: Layers, place: list[int], rightwards: bool) -> None:
    """Sort every layer by the mean place of its neighbours in the layer just passed."""
    span = range(1, len(layers)) if rightwards else range(len(layers) - 2, -1, -1)
    edge = web.west if rightwards else web.east
    mate, faces_east = web.mate, web.faces_east
    for number in span:
        layer = layers[number]
        mean: dict[int, float] = {}
        for item in layer:
            far = [place[mate[t]] for t in edge[item] if faces_east[mate[t]] is rightwards]
            if far:
                mean[item] = sum(far) / len(far)
        if not mean:
            continue
        drawn = iter(sorted((item for item in layer if item in mean), key=mean.__getitem__))
        layers[number] = [next(drawn) if item in mean else item for item in layer]
        _place_layer(web, layers[number], place)


def _key(web: Web, place: list[int], terminal: int) -> int:
    """Return the sort key of a far end: of two terminals, the upper should have the lower key."""
    far = web.mate[terminal]
    if web.faces_east[far] is not web.faces_east[terminal]:
        return place[far]
    return -FAR - place[far] if place[far] < place[terminal] else FAR - place[far]


def _keys(web: Web, place: list[int], terminals: list[int]) -> list[int]:
    """Return the sorted keys of the terminals at one edge of an item."""
    return sorted([_key(web, place, terminal) for terminal in terminals])


def _sort_free(web: Web, place: list[int], layer: list[int]) -> None:
    """Put the terminals of boxes with free pins into the order of their far ends."""
    for item in layer:
        if item < web.boxes and web.places[item]:
            web.west[item].sort(key=lambda terminal: _key(web, place, terminal))
            web.east[item].sort(key=lambda terminal: _key(web, place, terminal))
            _place_layer(web, layer, place)


def _gain(upper: list[int], lower: list[int]) -> int:
    """Return the crossings added when `upper` is moved below `lower`, from their sorted keys."""
    if not upper or not lower:
        return 0
    if len(upper) == 1:
        return len(lower) - 2 * bisect_left(lower, upper[0])
    if len(lower) == 1:
        return 2 * bisect_left(upper, lower[0]) - len(upper)
    count = len(lower)
    return sum(count - 2 * bisect_left(lower, key) for key in upper)


def _sift(web: Web, layers: Layers, place: list[int], number: int) -> bool:
    """Move each item of a layer to its best place among the others; return whether any moved."""
    layer = layers[number]
    _sort_free(web, place, layer)
    west = {item: _keys(web, place, web.west[item]) for item in layer}
    east = {item: _keys(web, place, web.east[item]) for item in layer}
    moved = False
    for item in list(layer):
        start = layer.index(item)
        below = _gains(item, layer[start + 1 :], west, east, web.boxes)
        above = _gains(item, layer[start - 1 :: -1] if start else [], west, east, web.boxes)
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
        _place_layer(web, layer, place)
    return moved


def _gains(
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


def _sweep_down(web: Web, layers: Layers, rounds: int) -> tuple[int, Layers]:
    """Sweep to and fro until the crossings no longer fall; return the best found."""
    place = _places(web, layers)
    best, kept, idle = crossings(web, layers), [list(layer) for layer in layers], 0
    for step in range(rounds):
        _sweep(web, layers, place, step % 2 == 0)
        now = crossings(web, layers)
        idle += 1
        if now < best:
            best, kept, idle = now, [list(layer) for layer in layers], 0
        elif idle > 3:
            break
    return best, kept


def _sift_down(web: Web, layers: Layers, stirred: Iterable[int]) -> tuple[int, Layers]:
    """Sift layers until nothing moves; return the crossings and the order.

    Args:
        web: what is joined to what.
        layers: order to start from; changed.
        stirred: the layers to begin with; others follow where a neighbour has changed.
    """
    place = _places(web, layers)
    dirty = set(stirred)
    for step in range(16):
        span = range(len(layers)) if step % 2 == 0 else range(len(layers) - 1, -1, -1)
        for number in span:
            if number in dirty:
                dirty.discard(number)
                if _sift(web, layers, place, number):
                    dirty.update((number - 1, number, number + 1))
        if not dirty:
            break
    return crossings(web, layers), layers


def _stir(layer: list[int], turn: int) -> list[int]:
    """Return the layer in another order: a fixed one for every turn."""
    stride = 1009 + 2 * turn
    return sorted(layer, key=lambda item: (item * stride + turn) % 4093)


def arrange(web: Web) -> int:
    """Put the items of every layer of `web` into a good order; return the crossings."""
    best, kept = crossings(web, web.layers), web.layers
    for start in (web.layers, [layer[::-1] for layer in web.layers]):
        _, swept = _sweep_down(web, [list(layer) for layer in start], 16)
        found = _sift_down(web, swept, range(len(swept)))
        if found[0] < best:
            best, kept = found
    return _settle(web, kept)


def improve(web: Web, kicks: int) -> int:
    """Look for a better order by stirring one layer at a time; return the crossings."""
    best, kept = crossings(web, web.layers), web.layers
    for turn in range(kicks if best else 0):
        trial = [list(layer) for layer in kept]
        number = turn % len(trial)
        trial[number] = _stir(trial[number], turn)
        found = _sift_down(web, trial, (number - 1, number + 1))
        if found[0] < best:
            best, kept = found
    return _settle(web, kept)


def _settle(web: Web, layers: Layers) -> int:
    """Make an order the web's own, with free pins in the order of their wires."""
    web.layers = [list(layer) for layer in layers]
    place = _places(web, web.layers)
    for layer in (*web.layers, *web.layers):
        _sort_free(web, place, layer)
    return crossings(web, web.layers)


def insert(web: Web, y: Mapping[int, float]) -> None:
    """Order the layers by known heights and put all other items where they cross least.

    Args:
        web: its layers are replaced.
        y: heights of the items that are in place, mm.
    """
    web.layers = [
        sorted(layer, key=lambda item: (item not in y, y.get(item, 0.0))) for layer in web.layers
    ]
    place = _places(web, web.layers)
    for _ in range(3):
        for layer in web.layers:
            _sort_free(web, place, layer)
            for item in [item for item in layer if item not in y]:
                _insert(web, layer, place, item, y)


def _insert(
    web: Web, layer: list[int], place: list[int], item: int, y: Mapping[int, float]
) -> None:
    """Move one item to the place with the fewest crossings, a place with room preferred."""
    layer.remove(item)
    layer.insert(0, item)
    _place_layer(web, layer, place)
    west = {other: _keys(web, place, web.west[other]) for other in layer}
    east = {other: _keys(web, place, web.east[other]) for other in layer}
    crossed = [0, *accumulate(_gains(item, layer[1:], west, east, web.boxes))]
    others = layer[1:]

    def cost(at: int) -> int:
        tight = 0 if _room(web, others, at, item, y) else TIGHT
        return crossed[at] + tight

    best = min(range(len(crossed)), key=lambda at: (cost(at), at))
    layer.remove(item)
    layer.insert(best, item)
    _place_layer(web, layer, place)


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
