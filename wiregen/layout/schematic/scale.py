"""A whole drawing brought to its place and size on the page (mm)."""

from __future__ import annotations

from dataclasses import replace

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
            return replace(item, points=tuple(map(move, item.points)), pen=_pen(item.pen, scale))
        case Circle() | Arc():
            return replace(
                item,
                centre=move(item.centre),
                radius=item.radius * scale,
                pen=_pen(item.pen, scale),
            )
        case Rect():
            x, y = move((item.x, item.y))
            return replace(
                item,
                x=x,
                y=y,
                width=item.width * scale,
                height=item.height * scale,
                corner=item.corner * scale,
                pen=_pen(item.pen, scale),
            )
        case Text():
            x, y = move((item.x, item.y))
            return replace(item, x=x, y=y, size=item.size * scale)
        case Group():
            inner = tuple(scaled(part, scale, dx, dy) for part in item.items)
            offset = {"x": dx, "y": dy}
            data = tuple(
                (name, number(float(value) * scale + offset[name]) if name in offset else value)
                for name, value in item.data
            )
            return replace(item, items=inner, data=data)


def _pen(pen: Pen, scale: float) -> Pen:
    by = min(scale, 1.0)
    if by == 1.0:
        return pen
    return replace(pen, width=pen.width * by, dash=tuple(length * by for length in pen.dash))
