"""Where the wires of a schematic reach their pins: sheet and zone."""

from __future__ import annotations

from collections.abc import Sequence

from wiregen.layout.cavity_facts import DrawnAt
from wiregen.layout.schematic.sheet_page import Page


def wire_ends(pages: Sequence[Page]) -> dict[tuple[str, str], DrawnAt]:
    """Return (pin, wire) -> the place where that end of the wire is drawn.

    Every end of a wire is drawn on one sheet only, also where the wire is cut.
    """
    found: dict[tuple[str, str], DrawnAt] = {}
    for number, page in enumerate(pages):
        for block in page.laid.blocks:
            for port in block.ports:
                if not port.node:
                    continue
                pin = page.laid.placement.pins[block.id, port.key]
                wire = port.key.rpartition(":")[0]
                found.setdefault((port.node, wire), DrawnAt(number, page.zone_of(pin.x, pin.y)))
    return found
