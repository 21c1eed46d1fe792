"""Widths: at which x every layer and every upright run stands, as tight as heights allow.

Boxes, labels and upright runs keep their sequence from left to right wherever they share a
height; where they do not, they may stand above one another, so that a column may reach into the
channel beside it.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wiregen.layout.engine.channel import NEAR, Tracks
from wiregen.layout.engine.web import Web

CLEAR = 1.0  # room before and behind a label, mm


@dataclass(frozen=True, slots=True)
class Frame:
    """A box within its layer: distance from the left edge of the layer, and width, mm."""

    shift: float
    width: float


@dataclass(frozen=True, slots=True)
class Columns:
    """The x of the left edge of every layer, and of the runs of every channel by hop, mm."""

    layers: tuple[float, ...]
    runs: tuple[tuple[tuple[float, ...], ...], ...]


class _Skyline:
    """How far to the right each height is taken."""

    def __init__(self) -> None:
        self.starts = [float("-inf")]
        self.values = [0.0]

    def reach(self, top: float, bottom: float) -> float:
        """Return the rightmost x taken between two heights."""
        first = bisect_right(self.starts, top) - 1
        last = bisect_left(self.starts, bottom, first + 1)
        return max(self.values[first:last])

    def take(self, top: float, bottom: float, x: float) -> None:
        """Mark the heights between top and bottom as taken up to x."""
        first, last = self._cut(top), self._cut(bottom)
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
    """

    web: Web
    y: Sequence[float]
    frames: Sequence[Frame]
    tracks: Sequence[Tracks]
    label_height: float

    def line(self, terminal: int) -> float:
        """Return the height of a terminal, mm."""
        return self.web.line(self.y, terminal)


def place_columns(stand: Stand, labels: Mapping[int, float]) -> Columns:
    """Return the x of layers and runs, each as far left as what stands left of it allows.

    Args:
        stand: what is settled.
        labels: terminal of a box to the width of the label to be kept clear there, mm.
    """
    web = stand.web
    skyline = _Skyline()
    layers: list[float] = []
    runs: list[tuple[tuple[float, ...], ...]] = []
    for number, routed in enumerate(stand.tracks):
        runs.append(_place_runs(skyline, routed, web.track / 2))
        if number < len(web.layers):
            boxes = [item for item in web.layers[number] if item < web.boxes]
            layers.append(_place_layer(skyline, stand, labels, boxes))
    return Columns(tuple(layers), tuple(runs))


def _place_runs(skyline: _Skyline, routed: Tracks, half: float) -> tuple[tuple[float, ...], ...]:
    """Place the runs of one channel, track by track; `half` is half the track distance."""
    found = [[0.0] * len(parts) for parts in routed.runs]
    order = sorted(
        (track, min(y_a, y_b), max(y_a, y_b), hop, part)
        for hop, parts in enumerate(routed.runs)
        for part, (track, y_a, y_b) in enumerate(parts)
    )
    for _, top, bottom, hop, part in order:
        x = skyline.reach(top - NEAR, bottom + NEAR) + half
        found[hop][part] = x
        skyline.take(top, bottom, x + half)
    return tuple(tuple(parts) for parts in found)


def _place_layer(
    skyline: _Skyline, stand: Stand, labels: Mapping[int, float], boxes: Sequence[int]
) -> float:
    """Place the boxes of one layer, with the labels at their pins; return its left edge."""
    web, y, frames, high = stand.web, stand.y, stand.frames, stand.label_height
    pad = 0.3 * web.pitch
    x = 0.0
    for box in boxes:
        top, bottom = y[box], y[box] + web.height[box]
        x = max(x, skyline.reach(top - NEAR, bottom + NEAR) + pad - frames[box].shift)
        for terminal in web.west[box]:
            if terminal in labels:
                line = stand.line(terminal)
                taken = skyline.reach(line - high - CLEAR, line + NEAR)
                x = max(x, taken + labels[terminal] + 2 * CLEAR - frames[box].shift)
    for box in boxes:
        left = x + frames[box].shift
        skyline.take(y[box], y[box] + web.height[box], left + frames[box].width + pad)
        for terminal in web.east[box]:
            if terminal in labels:
                line = stand.line(terminal)
                right = left + frames[box].width + labels[terminal] + 2 * CLEAR
                skyline.take(line - high, line, right)
    return x
