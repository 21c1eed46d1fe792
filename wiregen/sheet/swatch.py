"""Small samples of a wire's colour, for legends and tables (mm)."""

from __future__ import annotations

from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Path, Pen, Rect

WIDTH = 6.0
MONO_WIDTH = 12.0
"""Ink patterns need more length to tell them apart, mm."""
HEIGHT = 2.6


def swatch(
    x: float,
    y: float,
    colour: str,
    *,
    width: float = WIDTH,
    height: float = HEIGHT,
    mono: bool = False,
) -> Group:
    """Return a sample of a colour, its tracers as stripes; the code as text stands beside it.

    Args:
        x: left edge, mm.
        y: top edge, mm.
        colour: IEC form, `BU/WH`; an unknown colour is a dashed empty box.
        width: mm.
        height: mm.
        mono: ink patterns in place of colours.
    """
    parts = style.colour_parts(colour)
    dash = () if style.is_known(colour) else (0.8, 0.6)
    outline = Rect(x, y, width, height, Pen(style.INK, 0.25, dash=dash))
    stripes: list[Item] = [Rect(x, y, width, height, Pen(fill=style.PAPER))]
    for number, part in enumerate(parts):
        wide = _stripe(height, len(parts) - 1) if number else height
        middle = y + height / 2 + _offset(number, len(parts) - 1, height)
        run = ((x, middle), (x + width, middle))
        stripes.extend(_stripe_items(run, part, wide, mono))
    return Group((*stripes, outline), cls="swatch", data=(("colour", colour),))


def _stripe(height: float, tracers: int) -> float:
    return height * (0.34 if tracers == 1 else 0.2)


def _offset(number: int, tracers: int, height: float) -> float:
    """How far a tracer lies below the middle; two tracers lie side by side."""
    if number == 0 or tracers == 1:
        return 0.0
    return height * 0.18 * (-1 if number == 1 else 1)


def _stripe_items(
    run: tuple[tuple[float, float], tuple[float, float]], part: str, wide: float, mono: bool
) -> list[Item]:
    if not mono:
        return [Path(run, Pen(style.paint(part), wide))]
    items: list[Item] = [Path(run, Pen(style.PAPER, wide))]
    dash = style.mono_dash(part)
    if dash is not None:
        items.append(Path(run, Pen(style.INK, wide, dash=dash)))
    return items
