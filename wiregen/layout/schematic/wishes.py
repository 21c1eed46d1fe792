"""What a design asks for under `drawn`: side, column, and where the wires of a plug leave."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal

from wiregen.layout.schematic.block import Side
from wiregen.model import Design, Drawn, Plug

Rank = Literal["left", "right"] | int
"""Side of the sheet, or a column counted from 0 at the left."""

_EDGES: Mapping[str, Side] = {"left": "W", "right": "E"}


def wished_ranks(design: Design, block_of: Mapping[str, str]) -> dict[str, Rank]:
    """Return block -> where it is to stand.

    A device or box goes before the plugs drawn with it, a plug before those of higher id; a
    column goes before a side.
    """
    found: dict[str, Rank] = {}
    for name, drawn in _wishes(design):
        block = block_of.get(name)
        if block is None or block in found:
            continue
        if drawn.column is not None:
            found[block] = drawn.column - 1
        elif drawn.side:
            found[block] = "left" if drawn.side == "left" else "right"
    return found


def _wishes(design: Design) -> Iterator[tuple[str, Drawn]]:
    for records in (design.devices, design.boxes, design.plugs):
        for name, record in records.items():
            yield name, record.drawn


def wished_edge(plug: Plug | None) -> Side | None:
    """Return the edge the wires of a plug are to leave by, None when it is left open."""
    return _EDGES.get(plug.drawn.wires) if plug else None
