"""How far a pin can be trusted, marked at the pin itself: a disc, a ring, a ring with a cross."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from wiregen.model import Pin
from wiregen.sheet import style
from wiregen.sheet.items import Circle, Group, Item, Path, Pen

Standing = Literal["measured", "not measured", "sources disagree"]
STANDINGS: tuple[Standing, ...] = ("measured", "not measured", "sources disagree")
RADIUS_MM = 0.85
_CROSS_MM = RADIUS_MM * 0.7


def standing(pin: Pin | None) -> Standing | None:
    """Return how far a pin can be trusted; None where the design says nothing to be trusted."""
    if pin is None or pin.state != "used":
        return None
    if pin.measured:
        return "measured"
    return "sources disagree" if pin.disputed else "not measured"


def standing_mark(known: Standing, x: float, y: float) -> Group:
    """Return the mark around (x, y), mm; the three differ by pattern, not by colour."""
    fill = style.INK if known == "measured" else style.PAPER
    ring = Circle((x, y), RADIUS_MM, Pen(style.INK, 0.28, fill=fill))
    cross = tuple(_cross(x, y)) if known == "sources disagree" else ()
    return Group((ring, *cross), cls="standing", data=(("known", known),), title=known)


def _cross(x: float, y: float) -> Iterator[Item]:
    pen = Pen(style.INK, 0.28)
    yield Path(((x - _CROSS_MM, y - _CROSS_MM), (x + _CROSS_MM, y + _CROSS_MM)), pen)
    yield Path(((x - _CROSS_MM, y + _CROSS_MM), (x + _CROSS_MM, y - _CROSS_MM)), pen)
