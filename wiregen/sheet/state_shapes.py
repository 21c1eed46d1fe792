"""Marks of an operating state on wires and lamps: told apart by shape, and by colour as well (mm).

A mark lies on its wire around (0, 0) of a level wire; `upright` turns it onto an upright one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise

from wiregen.sheet import style
from wiregen.sheet.items import Circle, Group, Item, Path, Pen, Point, Rect
from wiregen.sheet.moves import moved

LIVE = "#b3123f"
EARTH = "#2f6b4f"
FLOATING = "#5f45a0"
OFF = style.SECONDARY

HALOS = {"live": "#f7d3dc", "earth": "#d5e8da", "floating": "#e2dbf2"}
"""Pale bands under the wires, by role."""
HALO_MM = 2.4
GLOW = "#ffe9a8"
REACH_MM = 2.1
"""A mark reaches this far along its wire from its middle, and across it, with its pale rim."""
SMALL_MM = 1.1
"""The same for a mark under the label of a wire that is no longer than its label."""

_RIM = 0.35
_LINE = 0.45


def halo(run: tuple[Point, ...], role: str) -> Iterator[Rect]:
    """Yield the pale band under one run of a wire, stroke by stroke."""
    half = HALO_MM / 2
    for (ax, ay), (bx, by) in pairwise(run):
        x, y = min(ax, bx), min(ay, by)
        level = abs(ay - by) < abs(ax - bx)
        left, top = (0.0, half) if level else (half, 0.0)
        wide, high = abs(bx - ax) + 2 * left, abs(by - ay) + 2 * top
        yield Rect(x - left, y - top, wide, high, Pen(fill=HALOS[role]), cls="halo")
    for x, y in run[1:-1]:
        yield Rect(x - half, y - half, 2 * half, 2 * half, Pen(fill=HALOS[role]), cls="halo")


def state_mark(
    kind: str,
    x: float,
    y: float,
    *,
    upright: bool = False,
    back: bool = False,
    size: float = 1.0,
) -> Group:
    """Return a mark on a wire.

    Args:
        kind: `live current`, `live`, `off`, `dead`, `earth current`, `earth`, `floating` or `open`.
        x: of its middle, mm.
        y: of its middle, mm.
        upright: the wire runs up the sheet.
        back: the current runs to the left, or up.
        size: 1, or less for a small one.
    """
    sign = -1.0 if back else 1.0

    def move(point: Point) -> Point:
        along, across = point[0] * sign * size, point[1] * size
        return (x - across, y + along) if upright else (x + along, y + across)

    items = tuple(_sized(moved(item, move), size) for item in _SHAPES[kind]())
    return Group(items, cls="state-mark", data=(("kind", kind),))


def _sized(item: Item, size: float) -> Item:
    """Return a stroke of a mark with its line as much thinner as the mark is smaller."""
    if not isinstance(item, Circle | Path):
        return item
    thin = replace(item, pen=replace(item.pen, width=item.pen.width * size))
    return replace(thin, radius=thin.radius * size) if isinstance(thin, Circle) else thin


_HEAD: tuple[Point, ...] = ((-1.5, -1.3), (1.6, 0.0), (-1.5, 1.3))


def _live_current() -> tuple[Item, ...]:
    """A full arrowhead in the sense of the current."""
    return _filled(_HEAD, LIVE)


def _earth_current() -> tuple[Item, ...]:
    """An open arrowhead in the sense of the current: the way back."""
    return (
        Path(_HEAD, Pen(style.PAPER, 2 * _RIM + _LINE, fill=style.PAPER), closed=True),
        Path(_HEAD, Pen(EARTH, _LINE, fill=style.PAPER), closed=True),
    )


def _live() -> tuple[Item, ...]:
    """A rhomb: voltage, no current."""
    return _filled(((-1.4, 0.0), (0.0, -1.4), (1.4, 0.0), (0.0, 1.4)), LIVE)


def _filled(points: tuple[Point, ...], colour: str) -> tuple[Item, ...]:
    return (
        Path(points, Pen(style.PAPER, 2 * _RIM, fill=style.PAPER), closed=True),
        Path(points, Pen(fill=colour), closed=True),
    )


def _off() -> tuple[Item, ...]:
    """A ring."""
    return (Circle((0.0, 0.0), 1.1, Pen(OFF, _LINE, fill=style.PAPER)),)


def _dead() -> tuple[Item, ...]:
    """A square."""
    points = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
    return (Path(points, Pen(OFF, _LINE, fill=style.PAPER), closed=True),)


def _earth() -> tuple[Item, ...]:
    """Three bars across the wire, each shorter than the last."""
    bars: list[Item] = [
        Path(
            ((-1.2, -1.6), (1.2, -1.6), (1.2, 1.6), (-1.2, 1.6)), Pen(fill=style.PAPER), closed=True
        )
    ]
    marks = ((-0.9, 1.5), (0.0, 1.0), (0.9, 0.5))
    for at, half in marks:
        bars.append(Path(((at, -half), (at, half)), Pen(EARTH, 0.5)))
    return tuple(bars)


def _floating() -> tuple[Item, ...]:
    """An open tick."""
    points = ((-1.5, -1.5), (0.0, 0.9), (1.5, -1.5))
    return (
        Path(points, Pen(style.PAPER, _LINE + 2 * _RIM)),
        Path(points, Pen(FLOATING, _LINE + 0.05)),
    )


def _open() -> tuple[Item, ...]:
    """A gap between two bars."""
    gap = ((-0.8, -1.5), (0.8, -1.5), (0.8, 1.5), (-0.8, 1.5))
    bars = (Path(((at, -1.5), (at, 1.5)), Pen(style.INK, _LINE)) for at in (-0.8, 0.8))
    return (Path(gap, Pen(fill=style.PAPER), closed=True), *bars)


_SHAPES: dict[str, Callable[[], tuple[Item, ...]]] = {
    "live current": _live_current,
    "earth current": _earth_current,
    "live": _live,
    "off": _off,
    "dead": _dead,
    "earth": _earth,
    "floating": _floating,
    "open": _open,
}


def glowing(lamp: Group, centre: Point, *, lit: bool) -> Group:
    """Return a lamp symbol with a bright inside; one that is fully lit has four rays.

    Args:
        lamp: the symbol.
        centre: of its circle, mm.
        lit: it has its full light.
    """
    x, y = centre
    rays: list[Item] = []
    for degrees in (45, 135, 225, 315) if lit else ():
        dx, dy = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        ends = ((x + 3.6 * dx, y + 3.6 * dy), (x + 5.0 * dx, y + 5.0 * dy))
        rays.append(Path(ends, Pen(style.INK, _LINE)))
    return replace(lamp, items=(*(_bright(item) for item in lamp.items), *rays))


def _bright(item: Item) -> Item:
    """Return a stroke of a lamp, its white inside made bright."""
    if isinstance(item, Group):
        return replace(item, items=tuple(_bright(part) for part in item.items))
    if isinstance(item, (Circle, Path)) and item.pen.fill == style.PAPER:
        return replace(item, pen=replace(item.pen, fill=GLOW))
    return item
