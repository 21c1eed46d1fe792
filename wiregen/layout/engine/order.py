"""Order of boxes and lanes within their layers: few crossings, counted exactly."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable

from wiregen.layout.engine.sift import Layers, place_layer, places_of, sift, sort_free
from wiregen.layout.engine.web import Web


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
    place = places_of(web, web.layers)
    for layer in (*web.layers, *web.layers):
        sort_free(web, place, layer)
    return crossings(web, web.layers)


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
        place_layer(web, layers[number], place)


def _sweep_down(web: Web, layers: Layers, rounds: int) -> tuple[int, Layers]:
    """Sweep to and fro until the crossings no longer fall; return the best found."""
    place = places_of(web, layers)
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
    place = places_of(web, layers)
    dirty = set(stirred)
    for step in range(16):
        span = range(len(layers)) if step % 2 == 0 else range(len(layers) - 1, -1, -1)
        for number in span:
            if number in dirty:
                dirty.discard(number)
                if sift(web, layers, place, number):
                    dirty.update((number - 1, number, number + 1))
        if not dirty:
            break
    return crossings(web, layers), layers


def _stir(layer: list[int], turn: int) -> list[int]:
    """Return the layer in another order: a fixed one for every turn."""
    stride = 1009 + 2 * turn
    return sorted(layer, key=lambda item: (item * stride + turn) % 4093)
