"""Strokes that symbols are made of: mm around (0, 0), y down, in the symbol pen."""

from __future__ import annotations

from dataclasses import replace

from wiregen.sheet import style
from wiregen.sheet.items import Circle, Item, Path, Pen, Point, Rect, Text

Shape = tuple[tuple[Item, ...], tuple[tuple[str, Point], ...]]
"""Items and (name, point) of each terminal."""

HALF = 7.5
"""Terminals of a two-terminal symbol lie this far from its middle, mm."""

BODY = Pen(style.INK, style.LINE_SYMBOL, fill=style.PAPER)
FILLED = Pen(fill=style.INK)
LINK = Pen(style.INK, 0.25, dash=(1.0, 0.8))


def line(*points: Point) -> Path:
    """Return a stroke in the symbol pen through `points`, mm."""
    return Path(points, style.SYMBOL_PEN)


def box(width: float, height: float, corner: float = 0.0, x: float = 0.0, y: float = 0.0) -> Rect:
    """Return a white box centred on (x, y), mm."""
    return Rect(x - width / 2, y - height / 2, width, height, BODY, corner)


def word(text: str, size: float, x: float = 0.0, y: float = 0.0, bold: bool = True) -> Text:
    """Return a word centred on (x, y); capitals are 0.73 of the font size high."""
    return Text(x, y + size * 0.365, ((text, bold, style.INK),), size, anchor="middle")


def leads(left: float, right: float | None = None, half: float = HALF) -> tuple[Item, ...]:
    """Return lines from the terminals to a body that reaches from -left to right."""
    return (
        line((-half, 0.0), (-left, 0.0)),
        line((left if right is None else right, 0.0), (half, 0.0)),
    )


def two_ended(
    *items: Item, left: float, right: float | None = None, names: tuple[str, str] = ("1", "2")
) -> Shape:
    """Return a two-terminal shape: leads to the body, then the body."""
    ends = ((names[0], (-HALF, 0.0)), (names[1], (HALF, 0.0)))
    return (*leads(left, right), *items), ends


def filled_white(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Return the items with outlines and circles filled white: no lead shows through."""
    return tuple(
        replace(item, pen=BODY)
        if isinstance(item, Circle) or (isinstance(item, Path) and _is_ring(item))
        else item
        for item in items
    )


def _is_ring(path: Path) -> bool:
    """Whether a path is an outline that has no fill of its own, closed or back at its start."""
    back = len(path.points) > 3 and path.points[0] == path.points[-1]
    return not path.pen.fill and (path.closed or back)
