"""Where the wires of a schematic reach their pins: sheet and zone."""

from __future__ import annotations

from collections.abc import Sequence

from wiregen.layout.cavity_facts import DrawnAt
from wiregen.layout.schematic.sheets import Page
from wiregen.sheet.frame import zone_at


def wire_ends(pages: Sequence[Page]) -> dict[tuple[str, str], DrawnAt]:
    """Return (pin, wire) -> the place where that end of the wire is drawn.

    Every end of a wire is drawn on one sheet only, also where the wire is cut.
    """
    found: dict[tuple[str, str], DrawnAt] = {}
    for number, page in enumerate(pages):
        left, top = page.corner
        for block in page.laid.blocks:
            for port in block.ports:
                if not port.node:
                    continue
                pin = page.laid.placement.pins[block.id, port.key]
                zone = zone_at(left + pin.x * page.scale, top + pin.y * page.scale, page.paper)
                wire = port.key.rpartition(":")[0]
                found.setdefault((port.node, wire), DrawnAt(number, zone))
    return found
