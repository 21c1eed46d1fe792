"""What a kept layout leaves free: where lanes and upright runs of a new wire may stand."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wiregen.layout.engine.columns import CLEAR, PAD, ROUNDING, Skyline, rounded_up
from wiregen.layout.engine.graph import Room
from wiregen.layout.engine.runs import NEAR, Run
from wiregen.layout.engine.web import Web

EXACT = 1e-6  # mm

Uprights = Sequence[Sequence[tuple[float, Run]]]


@dataclass(frozen=True, slots=True)
class Spot:
    """A stretch of a channel in which a run may stand: its ends, mm, and what the run crosses."""

    left: float
    right: float
    crossed: int


@dataclass(frozen=True, slots=True)
class Ground:
    """What stands on the sheet; the runs of a channel from left to right.

    Attributes:
        web: boxes and lanes in layers.
        y: height of the items that are in place, mm.
        boxes: left and right edge of every box, None where it has no place yet, mm.
        labels: terminal of a box to the width of the label kept clear there, mm.
        label_height: of every label, mm.
        uprights: per channel the runs that are in place, with their x, mm.
        levels: per channel the heights at which wires pass straight, mm.
        bends: per channel the heights of level stretches between two runs, mm.
    """

    web: Web
    y: Mapping[int, float]
    boxes: Sequence[tuple[float, float] | None]
    labels: Mapping[int, float]
    label_height: float
    uprights: Uprights
    levels: Sequence[Sequence[float]]
    bends: Sequence[Sequence[float]]


@dataclass(frozen=True, slots=True)
class Field:
    """How far the sheet is taken.

    Attributes:
        ground: what stands on it.
        lefts: per channel what stands left of it.
        rights: per channel what stands right of it, as negative x.
        before: per layer what stands left of it, with the runs beside it.
        behind: per layer what stands right of it, with the runs beside it, as negative x.
        bottom: the lowest point of boxes and lanes, mm.
        right: the rightmost point of boxes and runs, mm.
        room: how far the sheet reaches.
    """

    ground: Ground
    lefts: Sequence[Skyline]
    rights: Sequence[Skyline]
    before: Sequence[Skyline]
    behind: Sequence[Skyline]
    bottom: float
    right: float
    room: Room


def field_of(ground: Ground, room: Room) -> Field:
    """Return how far the sheet is taken, seen from every channel and layer."""
    web, half = ground.web, ground.web.track / 2
    count = len(web.layers)
    lefts, before = [], []
    skyline = Skyline(-PAD * web.pitch)
    for number in range(count + 1):
        lefts.append(skyline.copy())
        for x, run in ground.uprights[number]:
            skyline.take(run.top, run.bottom, x + half)
        before.append(skyline.copy())
        if number < count:
            _take_layer(ground, skyline, number, east=True)
    rights, behind = [], []
    skyline = Skyline(-math.inf)
    for number in range(count, -1, -1):
        rights.append(skyline.copy())
        for x, run in ground.uprights[number]:
            skyline.take(run.top, run.bottom, half - x)
        behind.append(skyline.copy())
        if number:
            _take_layer(ground, skyline, number - 1, east=False)
    bottom = max(y + web.height[item] for item, y in ground.y.items())
    right = max(edges[1] for edges in ground.boxes if edges)
    right = max([right, *(x for runs in ground.uprights for x, _ in runs)])
    return Field(ground, lefts, rights[::-1], before[:-1], behind[-2::-1], bottom, right, room)


def _take_layer(ground: Ground, skyline: Skyline, number: int, *, east: bool) -> None:
    """Mark the boxes of a layer and their labels at one edge as seen from that side."""
    web = ground.web
    for box in web.layers[number]:
        edges = ground.boxes[box] if box < web.boxes else None
        if edges is None:
            continue
        edge = edges[1] if east else -edges[0]
        top = ground.y[box]
        skyline.take(top, top + web.height[box], edge + PAD * web.pitch)
        for terminal in (web.east if east else web.west)[box]:
            if terminal in ground.labels:
                line = web.line_at(top, terminal)
                reach = edge + ground.labels[terminal] + 2 * CLEAR
                skyline.take(line - ground.label_height, line, reach)


def has_label_room(field: Field, terminal: int, width: float) -> bool:
    """Tell whether a label of a width, mm, fits at an end of a wire at a box in place."""
    ground, web = field.ground, field.ground.web
    box = web.item_of[terminal]
    edges = ground.boxes[box]
    if edges is None:
        return False
    east, number = web.faces_east[terminal], web.layer_of[box]
    line = web.line_at(ground.y[box], terminal)
    for other in (web.east if east else web.west)[box]:
        if 0.0 < line - web.line_at(ground.y[box], other) < ground.label_height - EXACT:
            return False
    skyline = (field.behind if east else field.before)[number]
    taken = skyline.reach(line - ground.label_height - NEAR, line + NEAR)
    return (edges[1] if east else -edges[0]) + width + 2 * CLEAR <= -taken + ROUNDING


def heights_free(field: Field, new: int, wanted: Sequence[float]) -> list[float]:
    """Return the heights at which an item may stand in its layer, of every gap those best, mm.

    Args:
        field: what is taken.
        new: a lane or a box without a place.
        wanted: heights to prefer, mm.
    """
    web, y = field.ground.web, field.ground.y
    items = sorted((item for item in web.layers[web.layer_of[new]] if item in y), key=y.__getitem__)
    found: set[float] = set()
    top, high = 0.0, web.height[new]
    for item in (*items, None):
        bottom = field.room.bottom if item is None else y[item] - web.gap(new, item)
        bottom -= high
        if top <= bottom + EXACT:
            found.update(_in_gap(top, bottom, field.bottom - high, wanted))
        if item is not None:
            top = max(top, y[item] + web.height[item] + web.gap(item, new))
    return sorted(found)


def _in_gap(top: float, bottom: float, last: float, wanted: Sequence[float]) -> list[float]:
    """Return the heights of a gap worth trying: its ends, its middle, the nearest to those wanted.

    A gap that reaches below all that stands there has its middle before `last`, mm.
    """
    nearest = [min(max(y, top), max(top, bottom)) for y in wanted]
    if bottom > last:
        return [top, max(top, round((top + last) / 2, 2)), *nearest]
    middle = round((top + bottom) / 2, 2)
    return [top, bottom, *([middle] if top < middle < bottom else []), *nearest]


def spots(field: Field, channel: int, run: Run) -> list[Spot]:
    """Return where in a channel a new run may stand, from left to right."""
    ground, track = field.ground, field.ground.web.track
    high, low = run.top - NEAR, run.bottom + NEAR
    left = field.lefts[channel].reach(high, low) + track / 2
    left = max(left, field.room.left)
    last = -field.rights[channel].reach(high, low) - track / 2
    most = field.room.right
    beside = [
        (x, other)
        for x, other in ground.uprights[channel]
        if other.top < low and high < other.bottom
    ]
    # A run that must stand left of another cannot be put behind it.
    first = max((i + 1 for i, (_, other) in enumerate(beside) if _must(other, run)), default=0)
    stop = min((i for i, (_, other) in enumerate(beside) if _must(run, other)), default=len(beside))
    crossed = sum(run.top < y < run.bottom for y in ground.levels[channel])
    crossed += sum(_crossed(run, other) for _, other in beside)
    found = []
    for number, (x, other) in enumerate([*beside, (math.inf, None)]):
        right = min(last, x - track)
        if first <= number <= stop and left <= min(right, most) + EXACT:
            found.append(Spot(rounded_up(left), max(right, rounded_up(left)), crossed))
        if other:
            left = max(left, x + track)
            crossed += _crossed(other, run) - _crossed(run, other)
    return found


def _must(left: Run, right: Run) -> bool:
    """Tell whether two runs may only stand in this sequence, for their level ends to be apart."""
    return any(abs(a - b) < NEAR for a in left.ends("W") for b in right.ends("E"))


def _crossed(left: Run, right: Run) -> int:
    """Return how often two runs and their level ends cross if one stands left of the other."""
    return sum(right.top < y < right.bottom for y in left.ends("E")) + sum(
        left.top < y < left.bottom for y in right.ends("W")
    )
