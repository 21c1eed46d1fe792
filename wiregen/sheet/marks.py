"""Small marks on a drawing: findings, screens, twists (mm)."""

from __future__ import annotations

import math

from wiregen.sheet import style
from wiregen.sheet.items import Circle, Group, Item, Path, Pen, Point, Text


def finding_ring(number: int, x: float, y: float, code: str = "") -> Group:
    """Return the numbered ring that marks a finding at (x, y), mm."""
    radius = finding_radius_mm(number)
    ring = Circle((x, y), radius, Pen(style.ATTENTION, 0.4, fill=style.PAPER))
    words = ((str(number), True, style.ATTENTION),)
    text = Text(x, y + style.TEXT_WIRE * 0.365, words, style.TEXT_WIRE, anchor="middle")
    return Group(
        (ring, text), cls="finding", data=(("number", str(number)), ("code", code)), title=code
    )


def finding_radius_mm(number: int) -> float:
    """Return the radius of a finding's ring, mm; more digits need more room."""
    return 2.7 + 0.75 * max(0, len(str(number)) - 2)


def screen_mark(x: float, top: float, bottom: float, size: float = 1.0) -> Path:
    """Return the dashed ring of a screen around level wires from `top` to `bottom`, mm."""
    middle, high = (top + bottom) / 2, (bottom - top) / 2 + 1.7 * size
    points = tuple(
        (
            x + 1.8 * size * math.cos(math.radians(step * 10)),
            middle + high * math.sin(math.radians(step * 10)),
        )
        for step in range(36)
    )
    pen = Pen(style.INK, style.LINE_SYMBOL, dash=(1.0, 0.7))
    return Path(points, pen, closed=True, cls="screen")


def twist_mark(x: float, top: float, bottom: float, size: float = 1.0) -> Group:
    """Return the mark of wires twisted together, lying level from `top` to `bottom`, mm.

    An oblique stroke with a level end at top and bottom crosses all wires of the twist.
    """
    high, low = top - 1.5 * size, bottom + 1.5 * size
    stroke: tuple[Point, ...] = (
        (x - 0.5 * size, high),
        (x + 1.2 * size, high),
        (x - 1.2 * size, low),
        (x + 0.5 * size, low),
    )
    items: tuple[Item, ...] = (
        Path(stroke[1:3], Pen(style.PAPER, 1.1 * size)),
        Path(stroke, Pen(style.INK, style.LINE_SYMBOL, cap="round")),
    )
    return Group(items, cls="twist")
