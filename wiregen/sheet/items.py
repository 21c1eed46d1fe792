"""The display list: what stands on a sheet, in millimetres, x right and y down.

Layout makes these records, drawing turns them into SVG and PDF. A record knows nothing of plugs
or of SVG; `data` carries the names that readers of the SVG rely on.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

Point: TypeAlias = tuple[float, float]
Anchor: TypeAlias = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line or an area is painted.

    Attributes:
        stroke: `#rrggbb`, or empty for no outline.
        width: line width, mm.
        fill: `#rrggbb`, or empty for none.
        dash: dash and gap lengths, mm; empty for a full line.
        cap: line end, `butt` or `round`.
    """

    stroke: str = ""
    width: float = 0.0
    fill: str = ""
    dash: tuple[float, ...] = ()
    cap: Literal["butt", "round"] = "butt"


@dataclass(frozen=True, slots=True)
class Path:
    """One open or closed outline of straight strokes through `points` (mm)."""

    points: tuple[Point, ...]
    pen: Pen
    closed: bool = False
    cls: str = ""
    data: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Arc:
    """A part of a circle from angle `start` to `end`, degrees clockwise from three o'clock."""

    centre: Point
    radius: float
    start: float
    end: float
    pen: Pen
    cls: str = ""


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle, mm."""

    centre: Point
    radius: float
    pen: Pen
    cls: str = ""
    data: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle with optional corner radius, mm."""

    x: float
    y: float
    width: float
    height: float
    pen: Pen
    corner: float = 0.0
    cls: str = ""
    data: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; `y` is the base line.

    Attributes:
        parts: (text, bold, colour) runs one after another.
        size: font size, mm.
        anchor: which end of the text stands at `x`.
        upright: True when the text runs up the sheet (turned 90 degrees to the left).
    """

    x: float
    y: float
    parts: tuple[tuple[str, bool, str], ...]
    size: float
    anchor: Anchor = "start"
    upright: bool = False
    cls: str = ""
    data: tuple[tuple[str, str], ...] = ()

    @property
    def plain(self) -> str:
        """The text without its styling."""
        return "".join(part[0] for part in self.parts)


@dataclass(frozen=True, slots=True)
class Group:
    """Items that belong together, with the class, id, data and tooltip readers rely on."""

    items: tuple[Item, ...]
    cls: str = ""
    id: str = ""
    data: tuple[tuple[str, str], ...] = ()
    title: str = ""


Item: TypeAlias = Path | Arc | Circle | Rect | Text | Group


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page.

    Attributes:
        name: file part such as `face-X1` or `sheet-03`.
        title: heading, also the PDF bookmark.
        width: page width, mm.
        height: page height, mm.
        items: what stands on it, back to front.
    """

    name: str
    title: str
    width: float
    height: float
    items: tuple[Item, ...]


def walk(items: tuple[Item, ...]) -> Iterator[Item]:
    """Yield every item, groups before what they hold."""
    left = list(items[::-1])
    while left:
        item = left.pop()
        yield item
        if isinstance(item, Group):
            left.extend(item.items[::-1])
