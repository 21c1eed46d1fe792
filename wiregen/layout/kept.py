"""What is kept of a drawing between two runs: which wire end is on which sheet, and where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wiregen.layout.engine import KeptLayout
from wiregen.layout.engine.graph import Point, Side

WHOLE = "schematic"
"""Key of the sheet of a design that needs no other."""


@dataclass(frozen=True, slots=True)
class KeptPin:
    """A pin that keeps its place on a sheet though fewer wires reach it there than did.

    Attributes:
        side: edge of its box.
        row: its height, in the lengths of the layout engine.
        lines: heights of the wire lines kept free for it; none for a pin only its box needs.
    """

    side: Side
    row: float
    lines: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class KeptSheet:
    """One schematic sheet as it was drawn.

    Attributes:
        key: its name among the sheets; the same sheet has the same key before and after a change.
        title: heading.
        paper: `A4`, `A3`, `A2` or `A1`.
        corner: where the top left corner of the layout stood on the page, mm.
        scale: at which the layout was drawn.
        layout: places of boxes and runs of links, in the lengths of the layout engine.
        nodes: wire end on this sheet (`W12:0`) -> the pin it was drawn to, empty for no pin.
        pins: pins that have a place though no wire reaches them here.
    """

    key: str
    title: str
    paper: str
    corner: Point
    scale: float
    layout: KeptLayout
    nodes: Mapping[str, str]
    pins: Mapping[str, KeptPin]


@dataclass(frozen=True, slots=True)
class KeptMap:
    """The overview map as it was drawn.

    Attributes:
        paper: `A3`, `A2` or `A1`.
        corner: where the top left corner of the layout stood on the page, mm.
        scale: at which the layout was drawn.
        layout: places of boxes and runs of bundles (`X1 X2`), in the lengths of the layout engine.
        members: splice or small device -> the place it was counted into.
    """

    paper: str
    corner: Point
    scale: float
    layout: KeptLayout
    members: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class KeptDrawing:
    """The schematic sheets of a design as they were drawn, in their order, and the overview."""

    sheets: tuple[KeptSheet, ...] = ()
    overview: KeptMap | None = None
