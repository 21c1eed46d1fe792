"""Symbols of contacts, relays, earths and joints, after IEC 60617 (mm, y down)."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wiregen.sheet import style
from wiregen.sheet.elements import element_items
from wiregen.sheet.items import Arc, Circle, Item, Path, Pen, Point
from wiregen.sheet.strokes import (
    BODY,
    FILLED,
    HALF,
    LINK,
    Shape,
    box,
    filled_white,
    line,
    two_ended,
)

# Contacts


def switch() -> Shape:
    """Switch, open at rest."""
    return two_ended(*element_items("Switch", 7.5), left=3.75)


def isolator() -> Shape:
    """Isolator: open contact whose fixed side carries a bar."""
    blade = line((-5.0, 0.0), (3.4, -4.2))
    return two_ended(
        blade, line((4.2, -1.6), (4.2, 1.6)), Circle((-5.0, 0.0), 0.6, FILLED), left=5.0, right=4.2
    )


def closed_contact() -> Shape:
    """Contact that is closed at rest."""
    items = (
        line((-5.0, 0.0), (5.4, -1.6)),
        line((4.2, 0.0), (4.2, -2.4)),
        Circle((-5.0, 0.0), 0.6, FILLED),
    )
    return two_ended(*items, left=5.0, right=4.2)


def push_button() -> Shape:
    """Push button, open at rest."""
    return two_ended(*filled_white(element_items("Button", 7.5)), left=3.75)


def change_over() -> Shape:
    """Change-over contact at rest: `common` is joined to `rest`, `made` is open."""
    return _change_over_at(0.0)


def _change_over_at(y: float) -> Shape:
    """Change-over contact with its blade bearing at height `y` and its contacts 2.5 mm off it."""
    items: tuple[Item, ...] = (
        line((-HALF, y), (-4.0, y)),
        Circle((-4.0, y), 0.6, FILLED),
        line((-4.0, y), (3.4, y - 2.5 + 0.45)),
        *_fixed(y - 2.5),
        *_fixed(y + 2.5),
    )
    ends = (("common", (-HALF, y)), ("rest", (HALF, y - 2.5)), ("made", (HALF, y + 2.5)))
    return items, ends


def _fixed(y: float) -> tuple[Item, ...]:
    """A fixed contact on the right: open circle and its lead."""
    return Circle((4.0, y), 0.8, BODY), line((4.8, y), (HALF, y))


def relay_make() -> Shape:
    """Relay with one contact, open at rest."""
    contact: tuple[Item, ...] = (
        line((-HALF, -5.0), (-4.0, -5.0)),
        Circle((-4.0, -5.0), 0.6, FILLED),
        line((-4.0, -5.0), (3.0, -8.2)),
        *_fixed(-5.0),
    )
    link = Path(((0.0, -6.8), (0.0, 1.5)), LINK)
    ends = (("common", (-HALF, -5.0)), ("made", (HALF, -5.0)))
    coil_items, coil_ends = _relay_coil_below()
    return (*contact, link, *coil_items), (*ends, *coil_ends)


def relay_change_over() -> Shape:
    """Relay with a change-over contact, at rest."""
    contact, ends = _change_over_at(-5.0)
    link = Path(((0.0, -6.1), (0.0, 1.5)), LINK)
    coil_items, coil_ends = _relay_coil_below()
    return (*contact, link, *coil_items), (*ends, *coil_ends)


def _relay_coil_below() -> Shape:
    items = (
        line((-HALF, 5.0), (-2.0, 5.0)),
        line((2.0, 5.0), (HALF, 5.0)),
        box(4.0, 7.0, y=5.0),
    )
    return items, (("coil in", (-HALF, 5.0)), ("coil out", (HALF, 5.0)))


# Earths and joints


def earth() -> Shape:
    """Frame or chassis; the terminal is at the top."""
    return _hanging("GroundChassis", 10.0)


def isolated_earth() -> Shape:
    """Negative that is kept apart from the metal of the vehicle: an empty triangle."""
    return _hanging("GroundSignal", 10.0)


def sensor_return() -> Shape:
    """Quiet return of sensors: earth lines under a bow."""
    items, ends = _hanging("Ground", 9.0)
    bow = Arc((0.0, 4.4), 3.3, 180.0, 360.0, style.SYMBOL_PEN)
    return (*items, bow), ends


def _hanging(name: str, unit_mm: float) -> Shape:
    """An earth mark that hangs from its terminal; its bar lies 4 mm lower."""
    return element_items(name, unit_mm, 0.0), (("1", (0.0, 0.0)),)


def screen() -> Shape:
    """Screen around a wire: a dashed ring with its drain below."""
    points = tuple(_on_ellipse(0.0, 0.0, 1.6, 3.2, step * 10) for step in range(37))
    ring = Path(points, Pen(style.INK, style.LINE_SYMBOL, dash=(0.8, 0.6)))
    ends: tuple[tuple[str, Point], ...] = (("drain", (0.0, 7.5)),)
    return (ring, line((0.0, 3.2), (0.0, 7.5))), ends


def twisted_pair() -> Shape:
    """Twisted pair: two strands cross between wires 5 mm apart."""
    first = tuple((x, -2.5 * math.cos(math.pi * (x + 5) / 5)) for x in _steps(-5.0, 5.0, 24))
    second = tuple((x, -y) for x, y in first)
    ends: tuple[tuple[str, Point], ...] = (
        ("1", (-5.0, -2.5)),
        ("2", (-5.0, 2.5)),
        ("3", (5.0, -2.5)),
        ("4", (5.0, 2.5)),
    )
    return (Path(first, style.SYMBOL_PEN), Path(second, style.SYMBOL_PEN)), ends


def _steps(start: float, stop: float, count: int) -> Iterator[float]:
    return (start + (stop - start) * step / count for step in range(count + 1))


def _on_ellipse(x: float, y: float, wide: float, high: float, degrees: float) -> Point:
    angle = math.radians(degrees)
    return x + wide * math.cos(angle), y + high * math.sin(angle)


def splice() -> Shape:
    """Splice: filled dot."""
    return (Circle((0.0, 0.0), 1.25, FILLED),), (("1", (0.0, 0.0)),)


def bus_bar() -> Shape:
    """Bus bar: a heavy line with studs."""
    bar = Path(((-HALF, 0.0), (HALF, 0.0)), Pen(style.INK, style.LINE_HEAVY))
    studs = tuple(Circle((x, 0.0), 0.9, FILLED) for x in (-5.0, 0.0, 5.0))
    ends: tuple[tuple[str, Point], ...] = (
        ("1", (-HALF, 0.0)),
        ("2", (HALF, 0.0)),
        ("a", (-5.0, 0.0)),
        ("b", (0.0, 0.0)),
        ("c", (5.0, 0.0)),
    )
    return (bar, *studs), ends
