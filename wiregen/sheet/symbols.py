"""Symbols after IEC 60617 as display-list items, in mm, with named anchors for the wires.

A symbol lies level: its terminals left and right, on one height where it has two. `placed` turns
and mirrors it; letters in a symbol stay upright.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from wiregen.problems import did_you_mean
from wiregen.sheet.items import Group, Item, Point
from wiregen.sheet.moves import bounds, moved
from wiregen.sheet.shapes import SHAPES

Turn = Literal[0, 90, 180, 270]

KINDS: tuple[str, ...] = tuple(SHAPES)


@dataclass(frozen=True, slots=True)
class Symbol:
    """One symbol, origin at the top left of its box.

    Attributes:
        kind: one of `KINDS`.
        items: its strokes, mm.
        anchors: (name, point) of each terminal, mm.
        width: of the box, mm.
        height: of the box, mm.
    """

    kind: str
    items: tuple[Item, ...]
    anchors: tuple[tuple[str, Point], ...]
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Placed:
    """A symbol on the sheet: its group and where its terminals and its box are (mm)."""

    group: Group
    anchors: dict[str, Point]
    x: float
    y: float
    width: float
    height: float


@cache
def symbol(kind: str) -> Symbol:
    """Return the symbol of a kind.

    Raises:
        ValueError: there is no such kind.

    Example:
        >>> lamp = symbol("lamp")
        >>> lamp.width, lamp.anchors
        (15.0, (('1', (0.0, 3.0)), ('2', (15.0, 3.0))))
    """
    shape = SHAPES.get(kind)
    if shape is None:
        raise ValueError(f"no symbol '{kind}'{did_you_mean(kind, KINDS)}")
    items, anchors = shape()
    left, top, right, bottom = bounds(items, tuple(point for _, point in anchors))

    def move(point: Point) -> Point:
        return point[0] - left, point[1] - top

    return Symbol(
        kind,
        tuple(moved(item, move) for item in items),
        tuple((name, move(point)) for name, point in anchors),
        right - left,
        bottom - top,
    )


def placed(
    drawn: Symbol, x: float, y: float, *, turn: Turn = 0, mirror: bool = False, at: str = ""
) -> Placed:
    """Return the symbol on the sheet.

    Args:
        drawn: the symbol.
        x: where the left of its turned box stands, or the anchor `at` when named, mm.
        y: where the top of its turned box stands, or the anchor `at` when named, mm.
        turn: degrees clockwise.
        mirror: flipped left to right before turning.
        at: anchor to put on (x, y).

    Returns:
        A group of class `symbol`, its terminals and its box on the sheet.

    Example:
        >>> fuse = placed(symbol("fuse"), 100, 50, turn=90, at="1")
        >>> fuse.anchors
        {'1': (100.0, 50.0), '2': (100.0, 65.0)}
    """
    wide, high = (drawn.width, drawn.height) if turn in (0, 180) else (drawn.height, drawn.width)

    def turned(point: Point) -> Point:
        px = drawn.width - point[0] if mirror else point[0]
        return _turned((px, point[1]), turn, drawn.width, drawn.height)

    dx, dy = x, y
    if at:
        ax, ay = turned(dict(drawn.anchors)[at])
        dx, dy = x - ax, y - ay

    def move(point: Point) -> Point:
        tx, ty = turned(point)
        return tx + dx, ty + dy

    items = tuple(moved(item, move, turn, mirror) for item in drawn.items)
    anchors = {name: move(point) for name, point in drawn.anchors}
    group = Group(items, cls=f"symbol {drawn.kind.replace(' ', '-')}")
    return Placed(group, anchors, dx, dy, wide, high)


def _turned(point: Point, turn: Turn, width: float, height: float) -> Point:
    """Turn a point with its box, so that the box's top left stays at (0, 0)."""
    x, y = point
    if turn == 90:
        return height - y, x
    if turn == 180:
        return width - x, height - y
    if turn == 270:
        return y, width - x
    return x, y
