"""Blocks: what stands on a schematic sheet, drawn around its own corner, with its wire ends (mm).

A block is a box for the layout engine: width, height, and ports on its left or right edge. Its
drawing is kept around (0, 0) and carried to its place once the engine has spoken.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from wiregen.layout.kept import KeptSize
from wiregen.sheet import style
from wiregen.sheet.items import Anchor, Group, Item, Path, Pen, Point, Rect, Text
from wiregen.sheet.moves import shifted
from wiregen.sheet.symbols import Placed

Side = Literal["W", "E"]

ROW_MM = 5.0
"""Distance of neighbouring pin rows; every port lies on this grid."""

NOTE_MM = 2.2
"""Text size of notes: the smallest on a schematic, which may be printed a fifth smaller, mm."""

NO_PEN = Pen()


@dataclass(frozen=True, slots=True)
class Port:
    """A pin or terminal of a block, and the end of a wire that reaches it.

    Attributes:
        node: the pin as the design names it, `X1:3`.
        x: from the left of the block, mm.
        y: from the top of the block, mm.
        side: the edge the wire leaves by; `W` is left.
        key: the wire end that lands here (`W12:0`), empty when none does on this sheet.
        items: what marks the pin, around the block's corner.
    """

    node: str
    x: float
    y: float
    side: Side
    key: str = ""
    items: tuple[Item, ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """One object of the design within a block: becomes one group of the sheet.

    Attributes:
        cls: `plug`, `device`, `fuse`, `splice`, `earth`, `box`, `reference` ...
        data: further names readers rely on, such as (("plug", "X1"),).
        items: drawing around the block's corner.
        ports: its pins.
        title: tooltip.
    """

    cls: str
    data: tuple[tuple[str, str], ...]
    items: tuple[Item, ...]
    ports: tuple[Port, ...] = ()
    title: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A box of the layout with everything drawn in it.

    Attributes:
        id: unique on the sheet.
        width: mm.
        height: mm.
        parts: what it shows, back to front.
        flow: where it wants to stand between supply (0) and load (1).
        sizes: owner -> the size it has for its words.
    """

    id: str
    width: float
    height: float
    parts: tuple[Part, ...]
    flow: float = 0.5
    sizes: tuple[tuple[str, KeptSize], ...] = ()

    @property
    def ports(self) -> tuple[Port, ...]:
        """Ports of all parts that a wire reaches."""
        return tuple(port for part in self.parts for port in part.ports if port.key)


def placed_groups(block: Block, x: float, y: float) -> tuple[Group, ...]:
    """Return the groups of a block whose top left corner stands at (x, y), mm."""
    groups = []
    for part in block.parts:
        pins = tuple(
            Group(
                tuple(shifted(item, x, y) for item in port.items),
                cls="pin",
                data=(("pin", port.node), ("x", number(port.x + x)), ("y", number(port.y + y))),
            )
            for port in part.ports
        )
        items = tuple(shifted(item, x, y) for item in part.items)
        groups.append(Group((*items, *pins), cls=part.cls, data=part.data, title=part.title))
    return tuple(groups)


def number(value: float) -> str:
    """Return a length as data attributes print it: two decimals at most.

    Example:
        >>> number(12.0), number(3.14159), number(-0.001)
        ('12', '3.14', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def stamp(drawn: Placed, ends: tuple[str, str] | None = None) -> Group:
    """Return the strokes of a symbol, its kind as data: classes belong to things of the design.

    Args:
        drawn: the symbol.
        ends: nodes it lies between, where it is one part of several in a box.
    """
    kind = drawn.group.cls.removeprefix("symbol ")
    named = (("from", ends[0]), ("to", ends[1])) if ends else ()
    return replace(drawn.group, cls="symbol", data=(("kind", kind), *named))


def line(*points: Point, width: float = style.LINE_SYMBOL) -> Path:
    """Return an ink line through the points: metal inside a thing, not a wire."""
    return Path(points, Pen(style.INK, width))


def words(
    x: float,
    y: float,
    text: str,
    size: float,
    *,
    bold: bool = False,
    colour: str = style.INK,
    anchor: Anchor = "start",
    cls: str = "",
) -> Text:
    """Return one line of text with its base line at y, mm."""
    return Text(x, y, ((text, bold, colour),), size, anchor=anchor, cls=cls)


def body(x: float, y: float, width: float, height: float, *, new: bool, tint: bool = False) -> Rect:
    """Return the outline of a thing: strong when it is to be built, thin when it exists."""
    pen = Pen(
        style.INK if new else style.SECONDARY,
        style.LINE_NEW if new else style.LINE_EXISTING,
        fill=style.TINT if tint else style.PAPER,
    )
    return Rect(x, y, width, height, pen, corner=1.2, cls="body")


def unseen_body(x: float, y: float, width: float, height: float) -> Rect:
    """Return the extent of a thing that has no outline, for readers of the drawing."""
    return Rect(x, y, width, height, NO_PEN, cls="body")
