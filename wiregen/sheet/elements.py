"""schemdraw elements as display-list items: only their geometry is used, none of its drawing.

schemdraw draws in its own units with y up; here all is scaled to mm with y down, centred on the
middle between the element's ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from wiregen.sheet import style
from wiregen.sheet.items import Arc, Circle, Item, Path, Pen, Point

_STEPS = 24
"""Strokes that stand for one ellipse or one curve."""


def element_items(name: str, unit_mm: float, length: float = 1.0) -> tuple[Item, ...]:
    """Return the strokes of one schemdraw element, without leads.

    Args:
        name: class in `schemdraw.elements`, such as `ResistorIEC`.
        unit_mm: printed size of one schemdraw unit, mm.
        length: distance of the element's ends in schemdraw units; its middle becomes (0, 0).

    Returns:
        Items in the symbol pen, mm, y down.
    """
    import schemdraw.elements

    frame = _Frame(unit_mm, length / 2)
    element = getattr(schemdraw.elements, name)()
    items: list[Item] = []
    for segment in element.segments:
        items.extend(_segment_items(segment, frame))
    return tuple(items)


class _Frame:
    """Turns schemdraw's points into mm on our side."""

    def __init__(self, unit_mm: float, middle: float) -> None:
        self.unit_mm = unit_mm
        self.middle = middle

    def point(self, xy: Any) -> Point:
        return (float(xy[0]) - self.middle) * self.unit_mm, -float(xy[1]) * self.unit_mm


def _segment_items(segment: Any, frame: _Frame) -> Iterator[Item]:
    """Items of one segment; its kind is told by its class name."""
    pen = Pen(style.INK, style.LINE_SYMBOL, fill=_fill(segment))
    match type(segment).__name__:
        case "Segment":
            yield from _strokes(segment, frame)
        case "SegmentPoly":
            points = tuple(frame.point(v) for v in segment.verts)
            yield Path(points, pen, closed=bool(segment.closed))
        case "SegmentCircle":
            radius = segment.radius * frame.unit_mm
            yield Circle(frame.point(segment.center), radius, pen)
        case "SegmentArc":
            yield _arc(segment, frame)
        case "SegmentBezier":
            yield Path(tuple(_bezier([frame.point(p) for p in segment.p])), pen)
        case kind:
            raise ValueError(f"no way to draw a schemdraw {kind}")


def _fill(segment: Any) -> str:
    fill = getattr(segment, "fill", None)
    if fill == "bg":
        return style.PAPER
    return style.INK if fill else ""


def _strokes(segment: Any, frame: _Frame) -> Iterator[Item]:
    """Strokes of a path; schemdraw marks a gap with a point that is not a number."""
    run: list[Point] = []
    for xy in (*segment.path, (math.nan, math.nan)):
        if math.isnan(xy[0]):
            if len(set(run)) > 1:
                yield Path(tuple(run), style.SYMBOL_PEN)
            run = []
        else:
            run.append(frame.point(xy))
    if getattr(segment, "arrow", None) == "->":
        tail, head = frame.point(segment.path[-2]), frame.point(segment.path[-1])
        yield arrow_head(tail, head)


def arrow_head(tail: Point, head: Point, length: float = 1.6, width: float = 1.2) -> Path:
    """Return the filled head of an arrow from `tail` to `head`, mm."""
    dx, dy = head[0] - tail[0], head[1] - tail[1]
    far = math.hypot(dx, dy)
    ux, uy = dx / far, dy / far
    bx, by = head[0] - ux * length, head[1] - uy * length
    side = width / 2
    points = (head, (bx - uy * side, by + ux * side), (bx + uy * side, by - ux * side))
    return Path(points, Pen(fill=style.INK), closed=True)


def _arc(segment: Any, frame: _Frame) -> Item:
    """An arc; schemdraw counts angles against the clock with y up, we with it and y down."""
    width, height = segment.width * frame.unit_mm, segment.height * frame.unit_mm
    centre = frame.point(segment.center)
    first, last = segment.theta1, segment.theta2
    if math.isclose(width, height):
        turn = segment.angle
        return Arc(centre, width / 2, -(last + turn), -(first + turn), style.SYMBOL_PEN)
    turned = math.radians(segment.angle)
    points = []
    for step in range(_STEPS + 1):
        angle = math.radians(first + (last - first) * step / _STEPS)
        x, y = math.cos(angle) * width / 2, math.sin(angle) * height / 2
        points.append(
            (
                centre[0] + x * math.cos(turned) - y * math.sin(turned),
                centre[1] - x * math.sin(turned) - y * math.cos(turned),
            )
        )
    return Path(tuple(points), style.SYMBOL_PEN)


def _bezier(control: list[Point]) -> Iterator[Point]:
    """Points on a curve of any order by repeated halving of its control lines."""
    for step in range(_STEPS + 1):
        share, points = step / _STEPS, control
        while len(points) > 1:
            points = [
                (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
                for a, b in pairwise(points)
            ]
        yield points[0]
