"""Sheets for printing without colours: every paint becomes the grey of the same lightness."""

from __future__ import annotations

from dataclasses import replace

from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Pen, Text


def without_hue(item: Item) -> Item:
    """Return an item in greys; what needs attention becomes ink, so that it stays strong."""
    if isinstance(item, Group):
        return replace(item, items=tuple(without_hue(part) for part in item.items))
    if isinstance(item, Text):
        parts = tuple((words, bold, grey(colour)) for words, bold, colour in item.parts)
        return replace(item, parts=parts)
    pen = item.pen
    return replace(item, pen=_grey_pen(pen))


def grey(paint: str) -> str:
    """Return the grey as light as `paint`.

    Source: weights of ITU-R BT.709 for the lightness of a colour.

    Example:
        >>> grey("#14181d"), grey("#f5d000"), grey("#a33b00"), grey("")
        ('#14181d', '#c9c9c9', '#14181d', '')
    """
    if paint in ("", style.INK):
        return paint
    if paint == style.ATTENTION:
        return style.INK
    red, green, blue = (int(paint[i : i + 2], 16) for i in (1, 3, 5))
    level = round(0.2126 * red + 0.7152 * green + 0.0722 * blue)
    return f"#{level:02x}{level:02x}{level:02x}"


def _grey_pen(pen: Pen) -> Pen:
    return replace(pen, stroke=grey(pen.stroke), fill=grey(pen.fill))
