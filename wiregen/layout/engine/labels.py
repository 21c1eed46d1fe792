"""Labels: at which ends of a wire room is kept clear, and the strips that come of it."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from wiregen.layout.engine.columns import CLEAR
from wiregen.layout.engine.graph import Point, Strip
from wiregen.layout.engine.runs import NEAR
from wiregen.layout.engine.web import Web

Area = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Wish:
    """A strip wanted at one end of a wire.

    Attributes:
        link: id of the wire.
        strip: where it would stand.
        room: length of the level run at that end, mm.
        kept: room has been kept clear for it; otherwise it is taken only where the place is free.
    """

    link: str
    strip: Strip
    room: float
    kept: bool


def choose_labels(web: Web, widths: Sequence[float], ends: int) -> dict[int, float]:
    """Return the labels to keep room for: terminal to width.

    Labels at the left edge of a channel share a zone, likewise those at the right. Every wire
    needs a zone at one of its ends, with `ends` 2 at both unless it stays within one channel; the
    zones with the fewest labels are given up first.

    Args:
        web: layers and hops.
        widths: of the label of every wire, mm.
        ends: labels wanted on a wire that passes more than one channel, 1 or 2.
    """

    def zone(terminal: int) -> tuple[int, bool]:
        return web.channel(terminal), web.faces_east[terminal]

    pairs = [(zone(a), zone(b)) for a, b in map(web.ends, range(len(widths)))]
    sizes = Counter(one for pair in pairs for one in pair)
    others: dict[tuple[int, bool], set[tuple[int, bool]]] = {one: set() for one in sizes}
    for wire, (a, b) in enumerate(pairs):
        both = ends == 2 and len(web.hops[wire]) > 1
        others[a].add(a if both else b)
        others[b].add(b if both else a)
    dropped: set[tuple[int, bool]] = set()
    for one in sorted(sizes, key=lambda one: (sizes[one], one)):
        if one not in others[one] and not others[one] & dropped:
            dropped.add(one)
    labels: dict[int, float] = {}
    for wire, width in enumerate(widths):
        kept = [t for t in web.ends(wire) if zone(t) not in dropped]
        both = ends == 2 and len(web.hops[wire]) > 1
        labels.update(dict.fromkeys(kept if both else kept[:1], width))
    return labels


def place_strips(
    wishes: Sequence[Wish],
    areas: Iterable[Area],
    routes: Mapping[str, tuple[Point, ...]],
    high: float,
) -> dict[str, tuple[Strip, ...]]:
    """Return the clear strips of every wire: those kept clear, and others that happen to be.

    Args:
        wishes: in the order of the strips of a wire.
        areas: boxes as left, top, right, bottom, mm.
        routes: corner points of every wire.
        high: height of a label, mm.
    """
    pieces = [piece for points in routes.values() for piece in pairwise(points)]
    ground = _Ground(
        sorted((a[0], min(a[1], b[1]), max(a[1], b[1])) for a, b in pieces if a[0] == b[0]),
        sorted((a[1], min(a[0], b[0]), max(a[0], b[0])) for a, b in pieces if a[1] == b[1]),
        list(areas) + [_area(wish.strip, high) for wish in wishes if wish.kept],
    )
    found: dict[str, list[Strip]] = {link: [] for link in routes}
    for wish in wishes:
        if not wish.kept:
            straight = len(routes[wish.link]) == 2
            if straight or wish.room < wish.strip.width + 2 * CLEAR:
                continue
            if _blocked(_area(wish.strip, high), ground):
                continue
            ground.areas.append(_area(wish.strip, high))
        found[wish.link].append(wish.strip)
    return {link: tuple(strips) for link, strips in found.items()}


@dataclass(frozen=True, slots=True)
class _Ground:
    """What is on the sheet: upright runs (x, top, bottom), level runs (y, left, right), areas."""

    uprights: list[tuple[float, float, float]]
    levels: list[tuple[float, float, float]]
    areas: list[Area]


def _area(strip: Strip, high: float) -> Area:
    return (strip.x, strip.y - high, strip.x + strip.width, strip.y)


def _blocked(area: Area, ground: _Ground) -> bool:
    """Return whether a run or another area lies in an area that stands on a wire.

    A run is as wide as half the gap between two.
    """
    left, top, right, bottom = area
    over = top - NEAR / 2
    first = bisect_left(ground.uprights, (left - CLEAR / 2,))
    last = bisect_left(ground.uprights, (right + CLEAR / 2,))
    if any(y0 <= bottom and y1 >= over for _, y0, y1 in ground.uprights[first:last]):
        return True
    first = bisect_left(ground.levels, (over,))
    last = bisect_left(ground.levels, (bottom - NEAR / 2,))
    if any(x0 <= right and x1 >= left for _, x0, x1 in ground.levels[first:last]):
        return True
    return any(
        x0 <= right and x1 >= left and y0 <= bottom and y1 >= top for x0, y0, x1, y1 in ground.areas
    )
