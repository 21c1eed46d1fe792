"""Order of boxes and lanes within their layers: few crossings, counted exactly."""

from __future__ import annotations

from bisect import bisect_left

from wiregen.layout.engine.web import Web

Layers = list[list[int]]
FAR = 1 << 30


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


def _keys(web: Web, place: list[int], terminals: list[int]) -> list[int]:
    """Return sort keys of the far ends: of two items, the upper should have the lower keys."""
    keys = []
    for terminal in terminals:
        far = web.mate[terminal]
        if web.faces_east[far] is not web.faces_east[terminal]:
            keys.append(place[far])
        elif place[far] < place[terminal]:
            keys.append(-FAR - place[far])
        else:
            keys.append(FAR - place[far])
    keys.sort()
    return keys


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
    west = {item: _keys(web, place, web.west[item]) for item in layer}
    east = {item: _keys(web, place, web.east[item]) for item in layer}
    moved = False
    for item in list(layer):
        own_west, own_east = west[item], east[item]
        start = layer.index(item)
        best, goal, total = 0, start, 0
        for at in range(start + 1, len(layer)):
            other = layer[at]
            total += _gain(own_west, west[other]) + _gain(own_east, east[other])
            if total < best:
                best, goal = total, at
        total = 0
        for at in range(start - 1, -1, -1):
            other = layer[at]
            total += _gain(west[other], own_west) + _gain(east[other], own_east)
            if total < best:
                best, goal = total, at
        if goal != start:
            del layer[start]
            layer.insert(goal, item)
            moved = True
    if moved:
        _place_layer(web, layer, place)
    return moved


def _settle(web: Web, layers: Layers, rounds: int) -> tuple[int, Layers]:
    """Sweep and sift until the crossings no longer fall; return the best found."""
    place = _places(web, layers)
    best = crossings(web, layers)
    kept = [list(layer) for layer in layers]
    idle = 0
    for step in range(rounds):
        _sweep(web, layers, place, step % 2 == 0)
        now = crossings(web, layers)
        if now < best:
            best, kept, idle = now, [list(layer) for layer in layers], 0
        else:
            idle += 1
            if idle > 3:
                break
    layers = [list(layer) for layer in kept]
    place = _places(web, layers)
    for step in range(rounds):
        span = range(len(layers)) if step % 2 == 0 else range(len(layers) - 1, -1, -1)
        moved = [_sift(web, layers, place, number) for number in span]
        now = crossings(web, layers)
        if now < best:
            best, kept = now, [list(layer) for layer in layers]
        elif not any(moved) or step > 1:
            break
    return best, kept


def _starts(web: Web, count: int) -> list[Layers]:
    """Return different first orders: as given, upside down, then fixed shuffles."""
    orders = []
    for way in range(count):
        stride = (1, -1)[way] if way < 2 else 7919 + 2 * way
        orders.append([sorted(layer, key=lambda i: i * stride % 4093) for layer in web.layers])
    return orders


def arrange(web: Web) -> int:
    """Put the items of every layer of `web` into their final order; return the crossings."""
    wires = len(web.hops)
    starts = 8 if wires <= 100 else 2
    best: tuple[int, Layers] | None = None
    for layers in _starts(web, starts):
        found = _settle(web, layers, 16)
        if best is None or found[0] < best[0]:
            best = found
    if best is None:
        return 0
    web.layers = best[1]
    return best[0]
