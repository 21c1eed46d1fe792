"""What a kept layout leaves free: where lanes and upright runs of a new wire may stand."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, chain
from typing import NamedTuple

from wiregen.layout.engine.columns import CLEAR, PAD, ROUNDING, Skyline, rounded_up
from wiregen.layout.engine.graph import Room
from wiregen.layout.engine.runs import NEAR, Run
from wiregen.layout.engine.web import Web

EXACT = 1e-6  # mm

Stretch = tuple[float, float]


class Upright(NamedTuple):
    """A run at its place: its x, mm, and the wire, hop and part of the hop it is of."""

    x: float
    run: Run
    part: tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Spot:
    """A stretch of a channel in which a run may stand: where it is pressed least, if anywhere.

    Attributes:
        left: its left end, mm.
        right: its right end, mm.
        crossed: what the run crosses there.
        place: number of runs in place that stand left of it, in their sequence.
    """

    left: float
    right: float
    crossed: int
    place: int


@dataclass(frozen=True, slots=True)
class Ground:
    """What stands on the sheet; the runs of a channel from left to right.

    Attributes:
        web: boxes and lanes in layers.
        y: height of the items that are in place, mm.
        boxes: left and right edge of every box, None where it has no place yet, mm.
        marks: boxes that may be pressed aside.
        labels: terminal of a box to the width of the label kept clear there, mm.
        label_height: of every label, mm.
        uprights: per channel the runs that are in place, in their sequence.
        levels: per channel the heights at which wires pass straight, mm.
        bends: per channel the heights of level stretches between two runs, mm.
    """

    web: Web
    y: Mapping[int, float]
    boxes: Sequence[tuple[float, float] | None]
    marks: frozenset[int]
    labels: Mapping[int, float]
    label_height: float
    uprights: Sequence[Sequence[Upright]]
    levels: Sequence[Sequence[float]]
    bends: Sequence[Sequence[float]]


@dataclass(frozen=True, slots=True)
class Swept:
    """How far a sheet is taken as seen from one side, and where that leaves what stands on it.

    Attributes:
        channels: per channel what stands before it, from the right as negative x.
        layers: per layer what stands before it, with the runs beside it, likewise.
        runs: per channel the x of its runs, in their sequence, mm.
        boxes: box in place to its left edge, mm.
    """

    channels: Sequence[Skyline]
    layers: Sequence[Skyline]
    runs: Sequence[Sequence[float]]
    boxes: Mapping[int, float]


@dataclass(frozen=True, slots=True)
class Field:
    """How far the sheet is taken.

    Attributes:
        ground: what stands on it.
        lefts: as seen from the left.
        rights: as seen from the right.
        bottom: the lowest point of boxes and lanes, mm.
        right: the rightmost point of boxes and runs, mm.
        room: how far the sheet reaches.
        track: least distance of runs, mm.
        pressed: whether runs and marks are pressed aside as far as they go.
    """

    ground: Ground
    lefts: Swept
    rights: Swept
    bottom: float
    right: float
    room: Room
    track: float
    pressed: bool

    @property
    def is_possible(self) -> bool:
        """Whether all that is pressed aside finds room."""
        lows, highs = self.lefts, self.rights
        runs = zip(chain(*lows.runs), chain(*highs.runs), strict=True)
        boxes = ((low, highs.boxes[box]) for box, low in lows.boxes.items())
        return all(low <= high + ROUNDING for low, high in chain(runs, boxes))

    def beside(self, channel: int, run: Run) -> Stretch:
        """Return how far left and right a run reaches between all but runs of its channel, mm."""
        high, low = run.top - NEAR, run.bottom + NEAR
        left = self.lefts.channels[channel].reach(high, low) + self.track / 2
        right = -self.rights.channels[channel].reach(high, low) - self.track / 2
        return max(left, self.room.left), right


def field_of(ground: Ground, room: Room, track: float, *, pressed: bool = False) -> Field:
    """Return how far the sheet is taken, seen from every channel and layer.

    Args:
        ground: what stands on the sheet.
        room: how far it reaches.
        track: least distance of runs, mm.
        pressed: whether runs and marks are pressed aside as far as they go.
    """
    place = _least if pressed else _as_it_is
    lefts = _sweep(ground, _start(ground, room, pressed), track, place)
    rights = _sweep(ground, -room.right if pressed else -math.inf, track, place, east=False)
    bottom = max(y + ground.web.height[item] for item, y in ground.y.items())
    right = max(edges[1] for edges in ground.boxes if edges)
    right = max([right, *(at.x for runs in ground.uprights for at in runs)])
    return Field(ground, lefts, rights, bottom, right, room, track, pressed)


def pressed(ground: Ground, room: Room, track: float) -> Swept | None:
    """Return the places of runs and marks, as close as can be to where they stand or are wanted.

    Their sequence is kept. None if there is no room for them.

    Args:
        ground: what stands on the sheet.
        room: how far it reaches.
        track: least distance of runs, mm.
    """
    field = field_of(ground, room, track, pressed=True)
    return (
        _sweep(ground, _start(ground, room, True), track, _nearest, most=field.rights)
        if field.is_possible
        else None
    )


def _start(ground: Ground, room: Room, pressed: bool) -> float:
    left = room.left if pressed and room.left > -math.inf else 0.0
    return min(left, 0.0) - PAD * ground.web.pitch


def _as_it_is(_least: float, at: float, _most: float) -> float:
    return at


def _least(least: float, _at: float, _most: float) -> float:
    return least


def _nearest(least: float, at: float, most: float) -> float:
    if least - ROUNDING <= at <= most + ROUNDING:
        return at
    return rounded_up(least) if at < least else -rounded_up(-most)


def _sweep(
    ground: Ground,
    start: float,
    track: float,
    place: Callable[[float, float, float], float],
    *,
    east: bool = True,
    most: Swept | None = None,
) -> Swept:
    """Return how far the sheet is taken, going east from its left edge or west from its right.

    Args:
        ground: what stands on the sheet.
        start: the edge, mm.
        track: least distance of runs, mm.
        place: the x of a run or mark, by the least, where it stands, and the most, mm.
        east: the way that is gone; to the west all x are negative.
        most: how far right runs and marks may stand; anywhere where not given.
    """
    web, half, step = ground.web, track / 2, 1 if east else -1
    skyline, boxes = Skyline(start), {}
    channels, layers, placed = [], [], []
    for number in range(len(web.layers) + 1)[::step]:
        channels.append(skyline.copy())
        runs = []
        limits = most.runs[number] if most else [math.inf] * len(ground.uprights[number])
        for (x, run, _), limit in list(zip(ground.uprights[number], limits, strict=True))[::step]:
            least = skyline.reach(run.top - NEAR, run.bottom + NEAR) + half
            at = place(least, step * x, limit)
            skyline.take(run.top, run.bottom, at + half)
            runs.append(step * at)
        placed.append(runs[::step])
        layers.append(skyline.copy())
        layer = number if east else number - 1
        edges = {}
        for box in web.layers[layer] if 0 <= layer < len(web.layers) else ():
            here = ground.boxes[box] if box < web.boxes else None
            if here is not None:
                near, width = here[0] if east else -here[1], here[1] - here[0]
                if box in ground.marks:
                    limit = most.boxes[box] if most else math.inf
                    near = place(_least_edge(ground, skyline, box, width, east=east), near, limit)
                edges[box] = near, near + width
        for box, (near, far) in edges.items():
            _take(ground, skyline, box, far, east=east)
            boxes[box] = near if east else -far
    return Swept(channels[::step], layers[:-1][::step], placed[::step], boxes)


def _least_edge(ground: Ground, skyline: Skyline, box: int, width: float, *, east: bool) -> float:
    """Return the least x of a box with the labels at its edges, as seen from one side, mm."""
    web, top = ground.web, ground.y[box]
    least = skyline.reach(top - NEAR, top + web.height[box] + NEAR) + PAD * web.pitch
    for terminal in (*web.west[box], *web.east[box]):
        if terminal in ground.labels:
            line = web.line_at(top, terminal)
            taken = skyline.reach(line - ground.label_height - NEAR, line + NEAR)
            behind = web.faces_east[terminal] is east
            least = max(least, taken + (-width if behind else ground.labels[terminal] + 2 * CLEAR))
    return least


def _take(ground: Ground, skyline: Skyline, box: int, far: float, *, east: bool) -> None:
    """Mark a box and the labels at its far edge as taken, as seen from one side."""
    web, top = ground.web, ground.y[box]
    skyline.take(top, top + web.height[box], far + PAD * web.pitch)
    for terminal in (web.east if east else web.west)[box]:
        if terminal in ground.labels:
            line = web.line_at(top, terminal)
            reach = far + ground.labels[terminal] + 2 * CLEAR
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
    swept = field.rights if east else field.lefts
    # Runs that are pressed aside make room for a label.
    skyline = swept.channels[number + east] if field.pressed else swept.layers[number]
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


def meets(one: Run, other: Run) -> bool:
    """Tell whether two runs share a height, or are too close to each other to pass."""
    return one.top < other.bottom + NEAR and other.top < one.bottom + NEAR


def spots(field: Field, channel: int, run: Run) -> list[Spot]:
    """Return where in a channel a new run may stand, from left to right."""
    ground, track = field.ground, field.track
    left, last = field.beside(channel, run)
    stretches = zip(field.lefts.runs[channel], field.rights.runs[channel], strict=True)
    runs = zip(ground.uprights[channel], stretches, strict=True)
    beside = [(at, *one, *to) for at, (one, to) in enumerate(runs) if meets(one.run, run)]
    # A run that must stand left of another cannot be put behind it.
    first = max((i + 1 for i, at in enumerate(beside) if _must(at[2], run)), default=0)
    stop = min((i for i, at in enumerate(beside) if _must(run, at[2])), default=len(beside))
    crossed = sum(run.top < y < run.bottom for y in ground.levels[channel])
    crossed += sum(_crossed(run, at[2]) for at in beside)
    rights = [*accumulate((at[-1] - track for at in reversed(beside)), min, initial=last)]
    nexts = [*(at[1] - track for at in beside), last]
    near, place, found = left, 0, []
    for number, right in enumerate(reversed(rights)):
        if first <= number <= stop and left <= min(right, field.room.right) + EXACT:
            free = (near, min(nexts[number], last))
            found.append(_spot((left, right), free, crossed, place))
        if number < len(beside):
            at, x, other, _, low, _ = beside[number]
            left, near, place = max(left, low + track), max(near, x + track), at + 1
            crossed += _crossed(other, run) - _crossed(run, other)
    return found


def _spot(stretch: Stretch, free: Stretch, crossed: int, place: int) -> Spot:
    """Return the part of a stretch where least is pressed: what is free, else its middle."""
    left, right = free if free[0] <= free[1] + EXACT else (sum(free) / 2,) * 2
    left, right = (min(max(x, stretch[0]), max(stretch)) for x in (left, right))
    return Spot(rounded_up(left), max(right, rounded_up(left)), crossed, place)


def _must(left: Run, right: Run) -> bool:
    """Tell whether two runs may only stand in this sequence, for their level ends to be apart."""
    return any(abs(a - b) < NEAR for a in left.ends("W") for b in right.ends("E"))


def _crossed(left: Run, right: Run) -> int:
    """Return how often two runs and their level ends cross if one stands left of the other."""
    return sum(right.top < y < right.bottom for y in left.ends("E")) + sum(
        left.top < y < left.bottom for y in right.ends("W")
    )
