"""Moving items about: shifts, quarter turns, mirror images; and the room they take (mm)."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

from wiregen.sheet.items import Arc, Circle, Group, Item, Path, Point, Rect, Text, walk

Move = Callable[[Point], Point]


def shifted(item: Item, dx: float, dy: float) -> Item:
    """Return an item moved to the right by `dx` and down by `dy`, mm."""
    return moved(item, lambda point: (point[0] + dx, point[1] + dy))


def moved(item: Item, move: Move, turn: int = 0, mirror: bool = False) -> Item:
    """Return an item carried through `move`.

    Args:
        item: what to carry.
        move: takes a point to its new place, mm; it may shift, mirror and turn.
        turn: degrees clockwise that `move` turns by, a multiple of 90.
        mirror: whether `move` flips left to right before turning.
    """
    match item:
        case Path():
            points = tuple(map(move, item.points))
            return Path(points, item.pen, item.closed, item.cls, item.data)
        case Circle():
            return Circle(move(item.centre), item.radius, item.pen, item.cls, item.data)
        case Arc():
            start, end = (180 - item.start, 180 - item.end) if mirror else (item.start, item.end)
            centre = move(item.centre)
            return Arc(centre, item.radius, start + turn, end + turn, item.pen, item.cls)
        case Rect():
            x, y = move((item.x, item.y))
            ex, ey = move((item.x + item.width, item.y + item.height))
            left, top, width, height = min(x, ex), min(y, ey), abs(ex - x), abs(ey - y)
            return Rect(left, top, width, height, item.pen, item.corner, item.cls, item.data)
        case Text():
            rise = item.size * 0.365
            x, y = move((item.x, item.y - rise))
            y += rise
            return Text(x, y, item.parts, item.size, item.anchor, item.upright, item.cls, item.data)
        case Group():
            inner = tuple(moved(part, move, turn, mirror) for part in item.items)
            return Group(inner, item.cls, item.id, item.data, item.title)


def scaled(item: Item, by: float) -> Item:
    """Return an item drawn larger or smaller about the corner of the page, texts and pens too."""

    def at(point: Point) -> Point:
        return point[0] * by, point[1] * by

    if isinstance(item, Group):
        return replace(item, items=tuple(scaled(part, by) for part in item.items))
    if isinstance(item, Text):
        return replace(item, x=item.x * by, y=item.y * by, size=item.size * by)
    dash = tuple(length * by for length in item.pen.dash)
    pen = replace(item.pen, width=item.pen.width * by, dash=dash)
    match item:
        case Path():
            return replace(item, points=tuple(map(at, item.points)), pen=pen)
        case Rect():
            (x, y), (width, height) = at((item.x, item.y)), at((item.width, item.height))
            return Rect(x, y, width, height, pen, item.corner * by, item.cls, item.data)
        case Circle() | Arc():
            return replace(item, centre=at(item.centre), radius=item.radius * by, pen=pen)


def bounds(
    items: tuple[Item, ...], more: tuple[Point, ...] = ()
) -> tuple[float, float, float, float]:
    """Return left, top, right, bottom of strokes (line weight and text left out), mm."""
    points = [*more, *(point for item in walk(items) for point in _extremes(item))]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def _extremes(item: Item) -> Iterator[Point]:
    match item:
        case Path():
            yield from item.points
        case Circle(centre=(x, y), radius=r):
            yield from ((x - r, y - r), (x + r, y + r))
        case Rect():
            yield from ((item.x, item.y), (item.x + item.width, item.y + item.height))
        case Arc(centre=(x, y), radius=r):
            low, high = sorted((item.start, item.end))
            quarters = range(math.ceil(low / 90), math.floor(high / 90) + 1)
            for degrees in (low, high, *(90 * quarter for quarter in quarters)):
                angle = math.radians(degrees)
                yield x + r * math.cos(angle), y + r * math.sin(angle)
