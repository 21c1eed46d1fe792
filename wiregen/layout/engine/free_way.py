"""A new wire led through what a kept layout leaves free, so that nothing has to move."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from wiregen.layout.engine.field import EXACT, Field, Spot, heights_free, spots
from wiregen.layout.engine.graph import Side
from wiregen.layout.engine.runs import NEAR, Run
from wiregen.layout.engine.web import Web

CROSSING = 150.0  # run that a crossing is worth, mm
BENDS = 40.0  # run that a pair of bends is worth, mm
OUTSIDE = 1000.0  # run that a way outside of what is drawn is worth, mm
JOG = 0.1  # steps smaller than this are not drawn, mm
LANES = 24  # lanes tried in a layer, those with the shortest way
LEVELS = 8  # level stretches tried in a channel


@dataclass(frozen=True, slots=True)
class Way:
    """Where a wire runs.

    Attributes:
        lanes: heights of its lanes by item, mm.
        hops: per hop the x of its runs, heights between, mm.
        places: per hop how many runs in place stand left of each of its runs.
    """

    lanes: Mapping[int, float]
    hops: tuple[tuple[float, ...], ...]
    places: tuple[tuple[int, ...], ...]


class _Step(NamedTuple):
    """One way through a channel: what it costs, mm of run; its runs and levels, mm; their places.

    A tuple, so that ways that cost the same have an order.
    """

    cost: float
    way: tuple[float, ...]
    places: tuple[int, ...]


def free_way(field: Field, wire: int, *, doglegs: bool = True) -> Way | None:
    """Return the best way of a new wire through what is free; with doglegs where it must."""
    found = _search(field, wire, doglegs=False)
    return found or (_search(field, wire, doglegs=True) if doglegs else None)


def edge_of(web: Web, terminal: int) -> Side:
    """Return the edge of its channel at which a terminal lies."""
    return "W" if web.faces_east[terminal] else "E"


def _search(field: Field, wire: int, *, doglegs: bool) -> Way | None:
    """Return the cheapest way from end to end, looking first where little is left to go."""
    web = field.ground.web
    hops = web.hops[wire]
    start, goal = (
        web.line_at(field.ground.y[web.item_of[terminal]], terminal) for terminal in web.ends(wire)
    )
    heights = [_heights(field, web.item_of[b], start, goal) for _, b in hops[:-1]] + [[goal]]
    queue: list[tuple[float, int, float, float, tuple[tuple[float, _Step], ...]]] = [
        (abs(goal - start), 0, start, 0.0, ())
    ]
    done = set()
    while queue:
        _, number, y, spent, trail = heapq.heappop(queue)
        if number == len(hops):
            steps = [step for _, step in trail]
            lanes = (web.item_of[b] for _, b in hops[:-1])
            return Way(
                {lane: at for lane, (at, _) in zip(lanes, trail, strict=False)},
                tuple(step.way for step in steps),
                tuple(step.places for step in steps),
            )
        if (number, y) in done:
            continue
        done.add((number, y))
        for far in heights[number]:
            if (number + 1, far) in done:
                continue
            step = _step(field, hops[number], _line(y), _line(far), doglegs=doglegs)
            if step:
                cost = spent + step.cost + OUTSIDE * (far > field.bottom + EXACT)
                reach = cost + abs(goal - far)
                heapq.heappush(queue, (reach, number + 1, far, cost, (*trail, (far, step))))
    return None


def _line(y: float) -> float:
    """Return the height at which a lane is drawn, mm."""
    return round(round(y, 4) + 1e-6, 3)


def _heights(field: Field, lane: int, start: float, goal: float) -> list[float]:
    """Return the heights tried for a lane, mm."""
    free = heights_free(field, lane, (start, goal))
    free.sort(key=lambda y: (abs(y - start) + abs(y - goal), y))
    return free[:LANES]


def _step(
    field: Field, hop: tuple[int, int], start: float, goal: float, *, doglegs: bool
) -> _Step | None:
    """Return the best way through one channel from height to height; None if there is none."""
    web, channel = field.ground.web, field.ground.web.channel(hop[0])
    sides = edge_of(web, hop[0]), edge_of(web, hop[1])
    if start != goal and abs(goal - start) < JOG:
        return None
    if any(abs(y - bend) < NEAR for bend in field.ground.bends[channel] for y in (start, goal)):
        return None
    if start == goal and sides[0] != sides[1]:
        crossed = sum(run.top < start < run.bottom for _, run, _ in field.ground.uprights[channel])
        return _Step(CROSSING * crossed, (), ())
    run = Run(-1, sides[0], start, sides[1], goal)
    found = [_single(field, spot, run) for spot in spots(field, channel, run)]
    if doglegs and not found and sides[0] != sides[1]:
        found = list(_doglegs(field, channel, run))
    return min(found, key=lambda step: step.cost, default=None)


def _single(field: Field, spot: Spot, run: Run) -> _Step:
    """Return a way of one run: close to the boxes it turns back to, else as far left as it goes."""
    back = run.side_a == run.side_b == "E" and spot.right < math.inf
    x = math.floor(spot.right * 100 + EXACT) / 100 if back else spot.left
    return _Step(_cost(field, run, spot.crossed, x), (max(x, spot.left),), (spot.place,))


def _cost(field: Field, run: Run, crossed: int, x: float) -> float:
    outside = OUTSIDE if x > field.right + EXACT or x < 0 else 0.0
    return run.bottom - run.top + BENDS + CROSSING * crossed + outside


def _doglegs(field: Field, channel: int, run: Run) -> Iterator[_Step]:
    """Yield ways of two runs with a free level stretch between them."""
    ends = [y for _, other, _ in field.ground.uprights[channel] for y in (other.y_a, other.y_b)]
    taken = sorted({*ends, *field.ground.levels[channel], run.y_a, run.y_b})
    levels = [(a + b) / 2 for a, b in pairwise(taken) if b - a >= 2 * NEAR]
    levels.sort(key=lambda y: (abs(y - run.y_a) + abs(y - run.y_b), y))
    for level in (round(y, 2) for y in levels[:LEVELS]):
        first = Run(-1, run.side_a, run.y_a, run.side_b, level)
        second = Run(-1, run.side_a, level, run.side_b, run.y_b)
        parts = (first, second) if run.side_a == "W" else (second, first)
        for one in spots(field, channel, parts[0]):
            for other in spots(field, channel, parts[1]):
                x = max(other.left, one.left + field.track)
                if x <= other.right:
                    way, places = (one.left, level, x), (one.place, other.place)
                    if run.side_a == "E":
                        way, places = way[::-1], places[::-1]
                    cost = _cost(field, parts[0], one.crossed, one.left)
                    yield _Step(cost + _cost(field, parts[1], other.crossed, x), way, places)
                    break
