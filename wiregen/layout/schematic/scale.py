"""A whole drawing brought to its place and size on the page (mm)."""

from __future__ import annotations

from functools import lru_cache

from wiregen.layout.schematic.block import number
from wiregen.sheet.items import Arc, Circle, Group, Item, Path, Pen, Point, Rect, Text


def scaled(item: Item, scale: float, dx: float, dy: float) -> Item:
    """Return an item drawn `scale` times as large, its origin carried to (dx, dy), mm.

    Lines become thinner with a small drawing but no thicker with a large one.

    Names of places (data-x, data-y) are carried along with what they name.
    """

    def move(point: Point) -> Point:
        return point[0] * scale + dx, point[1] * scale + dy

    match item:
        case Path():
            points = tuple(map(move, item.points))
            return Path(points, _pen(item.pen, scale), item.closed, item.cls, item.data)
        case Circle():
            centre, radius = move(item.centre), item.radius * scale
            return Circle(centre, radius, _pen(item.pen, scale), item.cls, item.data)
        case Arc():
            centre, radius = move(item.centre), item.radius * scale
            return Arc(centre, radius, item.start, item.end, _pen(item.pen, scale), item.cls)
        case Rect():
            x, y = move((item.x, item.y))
            width, height, corner = (
                length * scale for length in (item.width, item.height, item.corner)
            )
            pen = _pen(item.pen, scale)
            return Rect(x, y, width, height, pen, corner, item.cls, item.data)
        case Text():
            x, y = move((item.x, item.y))
            size = item.size * scale
            return Text(x, y, item.parts, size, item.anchor, item.upright, item.cls, item.data)
        case Group():
            inner = tuple(scaled(part, scale, dx, dy) for part in item.items)
            offset = {"x": dx, "y": dy}
            data = tuple(
                (name, number(float(value) * scale + offset[name]) if name in offset else value)
                for name, value in item.data
            )
            return Group(inner, item.cls, item.id, data, item.title)


@lru_cache(maxsize=1 << 12)
def _pen(pen: Pen, scale: float) -> Pen:
    by = min(scale, 1.0)
    if by == 1.0:
        return pen
    dash = tuple(length * by for length in pen.dash)
    return Pen(pen.stroke, pen.width * by, pen.fill, dash, pen.cap)
