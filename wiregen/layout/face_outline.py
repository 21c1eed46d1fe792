"""The outline of a face: rows, ring, box or strip, with the key cut in and the latch outside."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace

from wiregen.layout.face_fit import RIM, Fit
from wiregen.sheet import style
from wiregen.sheet.items import Circle, Item, Path, Pen, Point, Rect, Text

_KEY = (3.6, 1.7)
_LATCH = (14.0, 2.2)
"""Length along the edge and depth, mm."""


def outline_items(
    fit: Fit, at: Point, grown: float, marks: tuple[str, str], strong: bool
) -> Iterator[Item]:
    """Draw the outline of a face with key and latch, and the label of cavities outside of it.

    Args:
        fit: the face.
        at: its middle, mm.
        grown: how much larger than at 1.8 mm text it is drawn.
        marks: where key and latch are on the side that is shown, in words.
        strong: a strong line, for a half that is to be built.
    """
    x, middle = at
    key, latch = marks
    shape = fit.layout.shape
    half = fit.half_width * grown + RIM
    if fit.aside.cavities and shape != "ring":
        half = max(half, fit.aside.width / 2 * grown + RIM)
    top = middle - fit.above * grown - RIM
    bottom = middle + fit.below * grown + RIM
    dash = (2.0, 1.2) if shape == "strip" else ()
    width = 0.6 if strong else 0.35
    pen = Pen(style.INK, width, style.TINT, dash)
    box = (x, top, bottom, half)
    if shape == "ring":
        radius = fit.above * grown + RIM
        box = (x, top, bottom, radius)
        yield from _tab(latch, box, True, pen)
        yield Circle((x, middle), radius, pen, cls="outline")
        yield from _notch(key, box, True, pen)
    else:
        yield from _tab(latch, box, False, pen)
        corner = 1.0 if shape == "box" else 3.0
        yield Rect(x - half, top, 2 * half, bottom - top, pen, corner, cls="outline")
        yield from _notch(key, box, False, pen)
    if fit.aside.cavities:
        words = "without a place on the face"
        yield Text(x, bottom + 2.7, ((words, False, style.ATTENTION),), 2.1, "middle")


Box = tuple[float, float, float, float]
"""Middle across, top, bottom and half the width of an outline, mm."""


def _tab(words: str, box: Box, ring: bool, pen: Pen) -> Iterator[Item]:
    """The latch stands out from the edge."""
    place = _edge(words, box, ring)
    if place:
        length = min(_LATCH[0], box[3])
        points = _slab(*place, (length / 2, -0.5, _LATCH[1]))
        yield Path(points, replace(pen, fill=style.PAPER, dash=()), closed=True, cls="latch")


def _notch(words: str, box: Box, ring: bool, pen: Pen) -> Iterator[Item]:
    """The key cuts in from the edge."""
    place = _edge(words, box, ring)
    if place:
        points = _slab(*place, (_KEY[0] / 2, -_KEY[1], 0.4))
        yield Path(points, replace(pen, fill=style.PAPER, dash=()), closed=True, cls="key")


def _slab(at: Point, outward: Point, size: tuple[float, float, float]) -> tuple[Point, ...]:
    """A rectangle at an edge: half its length along it, from inside to outside (mm)."""
    (x, y), (ox, oy) = at, outward
    half, inner, outer = size
    corners = ((-half, inner), (-half, outer), (half, outer), (half, inner))
    return tuple((x + ox * out - oy * along, y + oy * out + ox * along) for along, out in corners)


def _edge(words: str, box: Box, ring: bool) -> tuple[Point, Point] | None:
    """Where on the outline words such as `top left` or `at 10 o'clock` point, and outwards."""
    way = way_of(words)
    if way is None:
        return None
    x, top, bottom, half = box
    across, down = way
    if ring:
        length = math.hypot(across, down)
        out = (across / length, down / length)
        return (x + out[0] * half, (top + bottom) / 2 + out[1] * half), out
    if abs(down) >= abs(across):
        return (x + across * half * 0.6, top if down < 0 else bottom), (0.0, math.copysign(1, down))
    middle = (top + bottom) / 2 + down * (bottom - top) * 0.3
    return (x + math.copysign(half, across), middle), (math.copysign(1.0, across), 0.0)


def way_of(words: str) -> Point | None:
    """The direction words point to, None when they name none."""
    hour = re.search(r"\b(\d{1,2}) ?o'clock", words)
    if hour:
        angle = math.radians(30 * int(hour[1]))
        return math.sin(angle), -math.cos(angle)
    found = set(re.findall(r"\b(top|bottom|left|right|up|down|above|below)\b", words.lower()))
    across = ("right" in found) - ("left" in found)
    down = bool(found & {"bottom", "down", "below"}) - bool(found & {"top", "up", "above"})
    return (float(across), float(down)) if across or down else None
