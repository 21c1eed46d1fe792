"""Widths: at which x every layer and every upright run stands, as tight as heights allow.

Boxes, labels and upright runs keep their sequence from left to right wherever they share a
height; where they do not, they may stand above one another, so that a column may reach into the
channel beside it.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import add

from wiregen.layout.engine.channel import Tracks
from wiregen.layout.engine.runs import GAP, NEAR
from wiregen.layout.engine.web import Web

CLEAR = 1.0  # room before and behind a label, mm
LEAST = 0.1  # least height of what stands on the sheet, mm
PAD = 0.3  # room beside a box, in pitches
ROUNDING = 0.015  # what an x may be further left than asked for, mm
ALIGN = 25.0  # boxes this close to a common left edge are brought to it, mm


@dataclass(frozen=True, slots=True)
class Frame:
    """A box within its layer.

    Attributes:
        shift: distance from the left edge of the layer, mm.
        width: mm.
        spare: height at its foot beside which a run finds room, mm.
    """

    shift: float
    width: float
    spare: float = 0.0


@dataclass(frozen=True, slots=True)
class Columns:
    """Where boxes and runs stand.

    Attributes:
        width: of the whole, mm.
        boxes: x of the left edge of every box, mm.
        runs: per channel, hop and part of the hop the x of the upright run, mm.
    """

    width: float

    boxes: tuple[float, ...]
    runs: tuple[tuple[tuple[float, ...], ...], ...]


class Skyline:
    """How far to the right each height is taken."""

    def __init__(self, start: float) -> None:
        self.starts = [-math.inf]
        self.values = [start]

    def copy(self) -> Skyline:
        """Return another one, taken as far."""
        other = Skyline(0.0)
        other.starts, other.values = [*self.starts], [*self.values]
        return other

    def reach(self, top: float, bottom: float) -> float:
        """Return the rightmost x taken between two heights."""
        first = bisect_right(self.starts, top) - 1
        last = bisect_left(self.starts, bottom, first + 1)
        return max(self.values[first:last])

    def take(self, top: float, bottom: float, x: float) -> None:
        """Mark the heights between top and bottom as taken up to x; a line of text has a height."""
        first, last = self._cut(top), self._cut(max(bottom, top + LEAST))
        self.values[first:last] = [max(value, x) for value in self.values[first:last]]

    def _cut(self, y: float) -> int:
        """Return the number of the piece that starts at y, made by cutting where needed."""
        index = bisect_left(self.starts, y)
        if index == len(self.starts) or self.starts[index] != y:
            self.starts.insert(index, y)
            self.values.insert(index, self.values[index - 1])
        return index


@dataclass(frozen=True, slots=True)
class Stand:
    """All that is settled before the widths.

    Attributes:
        web: boxes and lanes in layers.
        y: height of every item, mm.
        frames: per box its place within its layer.
        tracks: the runs of every channel in their sequence.
        label_height: of every label, mm.
        hung: (channel, hop) of the wires that come from a box with no wire at its left.
        turned: (channel, hop) of the wires that turn back to the layer they come from, from the
            left edge of a box to the left edge of a box.
        kept_boxes: box to the x it had before and is to keep if it can, mm.
        kept_runs: (channel, hop) to the x its runs had before, mm.
    """

    web: Web
    y: Sequence[float]
    frames: Sequence[Frame]
    tracks: Sequence[Tracks]
    label_height: float
    hung: frozenset[tuple[int, int]]
    turned: frozenset[tuple[int, int]]
    kept_boxes: Mapping[int, float]
    kept_runs: Mapping[tuple[int, int], tuple[float, ...]]

    def line(self, terminal: int) -> float:
        """Return the height of a terminal, mm."""
        return self.web.line(self.y, terminal)

    def foot(self, box: int) -> tuple[float, float] | None:
        """Return top and bottom of the room a pin of a box may come to stand in, mm."""
        spare, bottom = self.frames[box].spare, self.y[box] + self.web.height[box]
        return (bottom - spare, bottom) if spare else None


def place_columns(
    stand: Stand, labels: Mapping[int, float], ragged: bool, spare: float = 0.0
) -> Columns:
    """Return the x of boxes and runs, each as far left as what stands left of it allows.

    Args:
        stand: what is settled.
        labels: terminal of a box to the width of the label to be kept clear there, mm.
        ragged: boxes of a layer may move on their own; otherwise they stay in one column.
        spare: room to leave in every channel for runs to come, mm.
    """
    web = stand.web
    skyline = Skyline(-PAD * web.pitch if stand.kept_boxes else 0.0)
    places = [0.0] * web.boxes
    runs: list[list[list[float]]] = []
    for number, routed in enumerate(stand.tracks):
        runs.append(_place_runs(skyline, stand, number, routed))
        if number == len(web.layers):
            break
        boxes = [item for item in web.layers[number] if item < web.boxes]
        before = min((stand.kept_boxes.get(box, math.inf) for box in boxes), default=math.inf)
        least = [
            _least_or(
                _least(skyline, stand, labels, box),
                stand.kept_boxes.get(box, before if before < math.inf else 0.0),
            )
            for box in boxes
        ]
        column = max(
            (x - stand.frames[box].shift for x, box in zip(least, boxes, strict=True)), default=0.0
        )
        column += spare if number else 0.0
        for x, box in zip(least, boxes, strict=True):
            places[box] = x if ragged else column + stand.frames[box].shift
        for box in boxes:
            _take(skyline, stand, labels, box, places[box])
    if not stand.kept_boxes:
        _pull(stand, labels, places, runs, ragged)
    flat = [x for found in runs for xs in found for x in xs]
    left = min([*places, *flat])
    right = max([*map(add, places, (frame.width for frame in stand.frames)), *flat])
    ordered = tuple(tuple(tuple(xs) for xs in found) for found in runs)
    return Columns(right - left, tuple(places), ordered)


def _place_runs(skyline: Skyline, stand: Stand, channel: int, routed: Tracks) -> list[list[float]]:
    """Place the runs of one channel, track by track; those placed before may be closer together."""
    half = (GAP if stand.kept_boxes else stand.web.track) / 2
    found = [[0.0] * len(parts) for parts in routed.runs]
    for _, top, bottom, hop, part in _in_order(routed):
        kept = stand.kept_runs.get((channel, hop), ())
        taken = skyline.reach(top - NEAR, bottom + NEAR)
        if len(kept) == len(found[hop]):
            x = _least_or(rounded_up(taken + half), kept[part])
        else:
            x = rounded_up(taken + stand.web.track - half)
        found[hop][part] = x
        skyline.take(top, bottom, x + half)
    return found


def _in_order(routed: Tracks) -> list[tuple[int, float, float, int, int]]:
    """Return the runs of a channel track by track: track, top, bottom, hop, part of the hop."""
    return sorted(
        (track, min(y_a, y_b), max(y_a, y_b), hop, part)
        for hop, parts in enumerate(routed.runs)
        for part, (track, y_a, y_b) in enumerate(parts)
    )


def _least(skyline: Skyline, stand: Stand, labels: Mapping[int, float], box: int) -> float:
    """Return the least x of a box with the labels at its edges, which may stand above it."""
    web, y = stand.web, stand.y
    x = skyline.reach(y[box] - NEAR, y[box] + web.height[box] + NEAR) + PAD * web.pitch
    if web.west[box] and (foot := stand.foot(box)):
        x = max(x, skyline.reach(*foot) + PAD * web.pitch + web.track)
    for terminal in (*web.west[box], *web.east[box]):
        if terminal in labels:
            line = stand.line(terminal)
            taken = skyline.reach(line - stand.label_height - NEAR, line + NEAR)
            before = -stand.frames[box].width
            if not web.faces_east[terminal]:
                before = labels[terminal] + 2 * CLEAR
            x = max(x, taken + before)
    return rounded_up(x)


def _least_or(least: float, kept: float) -> float:
    """Return a kept x where the least is no further right, but for its rounding, mm."""
    return kept if least < kept + ROUNDING else least


def rounded_up(x: float) -> float:
    """Return x rounded up to a hundredth, mm, so that a layout can be stored and repeated."""
    return math.ceil(x * 100 - 1e-6) / 100


def _take(skyline: Skyline, stand: Stand, labels: Mapping[int, float], box: int, x: float) -> None:
    """Mark a box and the labels at its right edge as standing on the sheet."""
    web, y = stand.web, stand.y
    right = x + stand.frames[box].width
    skyline.take(y[box], y[box] + web.height[box], right + PAD * web.pitch)
    if web.east[box] and (foot := stand.foot(box)):
        skyline.take(*foot, right + PAD * web.pitch + web.track)
    for terminal in web.east[box]:
        if terminal in labels:
            line = stand.line(terminal)
            skyline.take(line - stand.label_height, line, right + labels[terminal] + 2 * CLEAR)


def _pull(
    stand: Stand,
    labels: Mapping[int, float],
    places: list[float],
    runs: list[list[list[float]]],
    ragged: bool,
) -> None:
    """Move to the right what need not stand far left.

    Wires that turn back to their layer stay close to it. In a ragged layout sources move close to
    where their wires lead, and loads into one column. The sheet is walked from right to left with
    a skyline of negative widths.
    """
    web, half = stand.web, stand.web.track / 2
    skyline = Skyline(-max(map(add, places, (frame.width for frame in stand.frames))))
    for number in range(len(web.layers), -1, -1):
        if number < len(web.layers):
            boxes = [item for item in web.layers[number] if item < web.boxes]
            column = max((places[box] for box in boxes if not web.east[box]), default=0.0)
            for box in boxes:
                most = _most(skyline, stand, labels, box) if ragged else places[box]
                if not web.east[box] and column - places[box] < ALIGN:
                    places[box] = max(places[box], min(most, column))
                elif not web.west[box]:
                    places[box] = max(places[box], most)
                _take_left(skyline, stand, labels, box, places[box])
        for _, top, bottom, hop, part in reversed(_in_order(stand.tracks[number])):
            if (number, hop) in stand.turned or (ragged and (number, hop) in stand.hung):
                most = -rounded_up(skyline.reach(top - NEAR, bottom + NEAR) + half)
                runs[number][hop][part] = max(runs[number][hop][part], most)
            skyline.take(top, bottom, half - runs[number][hop][part])


def _most(skyline: Skyline, stand: Stand, labels: Mapping[int, float], box: int) -> float:
    """Return the greatest x of a box with the labels at its edges, which may stand above it."""
    web, y, width = stand.web, stand.y, stand.frames[box].width
    top, bottom = y[box], y[box] + web.height[box]
    x = -skyline.reach(top - NEAR, bottom + NEAR) - width - PAD * web.pitch
    if web.east[box] and (foot := stand.foot(box)):
        x = min(x, -skyline.reach(*foot) - width - PAD * web.pitch - web.track)
    for terminal in (*web.west[box], *web.east[box]):
        if terminal in labels:
            line = stand.line(terminal)
            taken = -skyline.reach(line - stand.label_height - NEAR, line + NEAR)
            behind = 0.0
            if web.faces_east[terminal]:
                behind = width + labels[terminal] + 2 * CLEAR
            x = min(x, taken - behind)
    return -rounded_up(-x)


def _take_left(
    skyline: Skyline, stand: Stand, labels: Mapping[int, float], box: int, x: float
) -> None:
    """Mark a box and the labels at its left edge as standing on the sheet, seen from the right."""
    web, y = stand.web, stand.y
    skyline.take(y[box], y[box] + web.height[box], PAD * web.pitch - x)
    if web.west[box] and (foot := stand.foot(box)):
        skyline.take(*foot, PAD * web.pitch + web.track - x)
    for terminal in web.west[box]:
        if terminal in labels:
            line = stand.line(terminal)
            skyline.take(line - stand.label_height, line, labels[terminal] + 2 * CLEAR - x)
