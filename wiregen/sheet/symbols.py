"""Symbols after IEC 60617 as display-list items, in mm, with named anchors for the wires."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wiregen.sheet.items import Group, Item, Point

Turn = Literal[0, 90, 180, 270]

KINDS: tuple[str, ...] = ("fuse",)


@dataclass(frozen=True, slots=True)
class Symbol:
    """One symbol, drawn level: terminals left and right, origin at the top left of its box.

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


def symbol(kind: str) -> Symbol:
    """Return the symbol of a kind; see `KINDS`."""
    raise NotImplementedError


def placed(
    drawn: Symbol, x: float, y: float, turn: Turn = 0, mirror: bool = False, at: str = ""
) -> Placed:
    """Return the symbol on the sheet.

    Args:
        drawn: the symbol.
        x: where the left of its turned box stands, or the anchor `at` when named, mm.
        y: where the top of its turned box stands, or the anchor `at` when named, mm.
        turn: degrees clockwise.
        mirror: flipped left to right before turning.
        at: anchor to put on (x, y).
    """
    raise NotImplementedError
