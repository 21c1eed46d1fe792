"""What the layout engine is given and what it returns: boxes with pins, links, a placement.

All lengths are millimetres, x to the right, y downwards.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

Point: TypeAlias = tuple[float, float]
PinRef: TypeAlias = tuple[str, str]
Side: TypeAlias = Literal["W", "E"]


@dataclass(frozen=True, slots=True)
class Pin:
    """A point of a box where one link may end.

    Attributes:
        name: unique within its box.
        side: the edge at which the link leaves, `W` (left) or `E` (right).
        dx: distance from the left edge of the box, mm.
        dy: distance from the top edge of the box, mm.
        free: the engine chooses the edge and the place of the pin. All pins of a box are free or
            none; each takes one of their `dy` values at the left edge (x = 0) or at the right
            edge (x = width). For splices: the wires meet on an upright bar, with one place on
            either side at every `dy`; n pins need at least n / 2 different values.
        terminal: fixed pins of one terminal and edge may exchange their places: each is where a
            wire meets the same metal. Empty for a pin of its own.
    """

    name: str
    side: Side
    dx: float
    dy: float
    free: bool = False
    terminal: str = ""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle to be placed; its pins keep their order and offsets.

    Attributes:
        id: unique in the graph.
        width: mm.
        height: mm.
        pins: at most one link each.
        flip: the box may be mirrored left to right (two-terminal parts, a plug whose wire side
            does not matter).
        rank: wanted column: `left` (supplies), `right` (loads), a column number counted from the
            left, or None.
        margin_above: room kept clear above the box for its title, mm.
        margin_below: room kept clear below the box, mm.
        spare: part of that room in which a pin may come to stand; beside it a run finds room, mm.
        shrinks: places of free pins at its lower end may be given up where a kept layout has no
            room for them; nothing is drawn there then.
        yields: a mark at the end of a wire, which may be moved along it where a new wire of a
            kept layout finds no room else.
    """

    id: str
    width: float
    height: float
    pins: tuple[Pin, ...]
    flip: bool = False
    rank: Literal["left", "right"] | int | None = None
    margin_above: float = 0.0
    margin_below: float = 0.0
    spare: float = 0.0
    shrinks: bool = False
    yields: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """A wire to be routed from pin `a` to pin `b`, each written (box id, pin name).

    Attributes:
        id: unique in the graph.
        a: first end.
        b: second end.
        label_width: length of the clear strip wanted above the wire near its ends, mm.
        label_spare: how much of it a kept layout may give up for a new wire, mm.
    """

    id: str
    a: PinRef
    b: PinRef
    label_width: float = 0.0
    label_spare: float = 0.0


@dataclass(frozen=True, slots=True)
class Graph:
    """The whole task.

    Attributes:
        boxes: in any order.
        links: in any order.
        pitch: least distance between horizontal lanes and from a lane to a box, mm.
        track: distance between neighbouring vertical runs, mm.
        label_height: height of the clear strip above a wire, mm; less than `pitch`.
        max_height: wanted greatest height of the drawing, mm; it is passed only where a single
            box or the wires themselves need more.
        aspect: wanted width divided by height when separate groups are set side by side.
    """

    boxes: tuple[Box, ...]
    links: tuple[Link, ...]
    pitch: float = 5.0
    track: float = 2.5
    label_height: float = 3.0
    max_height: float = 230.0
    aspect: float = 1.6


@dataclass(frozen=True, slots=True)
class PlacedBox:
    """Top-left corner of a box, mm, and whether it is mirrored left to right."""

    x: float
    y: float
    flipped: bool


@dataclass(frozen=True, slots=True)
class PlacedPin:
    """Where a link reaches a pin, mm, and the edge at which it leaves."""

    x: float
    y: float
    side: Side


@dataclass(frozen=True, slots=True)
class Strip:
    """A clear strip for a label: from `x` over `width`, standing on the wire at height `y`, mm."""

    x: float
    y: float
    width: float


@dataclass(frozen=True, slots=True)
class KeptBox:
    """Where a box stood: its column counted from the left, its corner, mm, whether mirrored."""

    layer: int
    x: float
    y: float
    flipped: bool


@dataclass(frozen=True, slots=True)
class KeptLink:
    """How a link ran.

    Attributes:
        sides: the edges at which its ends `a` and `b` left their boxes.
        ends: the heights of these ends, mm.
        lanes: column to the height at which it passed, mm.
        runs: channel (by the column right of it) to its way there: the x of its upright runs, and
            between two runs the height of the level stretch that joins them, mm.
        labels: whether room was kept for a label at ends `a` and `b`.
        also: whether a label stood at ends `a` and `b` though no room was kept.
    """

    sides: tuple[Side, Side]
    ends: tuple[float, float]
    lanes: Mapping[int, float]
    runs: Mapping[int, tuple[float, ...]]
    labels: tuple[bool, bool]
    also: tuple[bool, bool] = (False, False)


@dataclass(frozen=True, slots=True)
class KeptLayout:
    """A layout to be repeated: all boxes and links by id.

    Numbers may be stored with five decimals; with fewer, straight runs might get crooked.
    """

    boxes: Mapping[str, KeptBox]
    links: Mapping[str, KeptLink]


@dataclass(frozen=True, slots=True)
class Room:
    """How far a sheet reaches, in the lengths of the layout that is repeated on it, mm."""

    left: float = -math.inf
    top: float = -math.inf
    right: float = math.inf
    bottom: float = math.inf


@dataclass(frozen=True, slots=True)
class Placement:
    """The finished layout; everything lies within (0, 0) and (width, height), mm.

    Attributes:
        boxes: place of every box by id.
        pins: place of every pin by (box id, pin name), also of pins without a link.
        routes: corner points of every link from pin `a` to pin `b`, horizontal and vertical runs.
        labels: clear strips of every link, first the one nearest pin `a`.
        width: mm.
        height: mm.
        kept: what `lay_out` needs to repeat this layout after a change of the graph.
        origin: where the top left corner of the layout this one repeats lies in it, mm.
    """

    boxes: Mapping[str, PlacedBox]
    pins: Mapping[PinRef, PlacedPin]
    routes: Mapping[str, tuple[Point, ...]]
    labels: Mapping[str, tuple[Strip, ...]]
    width: float
    height: float
    kept: KeptLayout
    origin: Point = (0.0, 0.0)
