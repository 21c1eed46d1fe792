"""A kept drawing for a design whose objects have other ids."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from wiregen.layout.drawn_pairs import Renames, with_new_ids
from wiregen.layout.kept import KeptDrawing, KeptSheet


def kept_renamed(kept: KeptDrawing, renames: Renames) -> KeptDrawing:
    """Return where everything stood, with the ids of the new design.

    Args:
        kept: of the old design.
        renames: id of an object in the old design -> its id in the new one.
    """
    if not renames:
        return kept
    return KeptDrawing(tuple(_sheet(sheet, renames) for sheet in kept.sheets))


def _sheet(sheet: KeptSheet, renames: Mapping[str, str]) -> KeptSheet:
    layout = replace(
        sheet.layout,
        boxes={with_new_ids(name, renames): box for name, box in sheet.layout.boxes.items()},
        links={with_new_ids(name, renames): link for name, link in sheet.layout.links.items()},
    )
    nodes = {
        with_new_ids(end, renames): with_new_ids(node, renames) for end, node in sheet.nodes.items()
    }
    pins = {with_new_ids(node, renames): pin for node, pin in sheet.pins.items()}
    return replace(sheet, layout=layout, nodes=nodes, pins=pins)
