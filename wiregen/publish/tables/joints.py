"""The splice table."""

from __future__ import annotations

from wiregen.connect import Network
from wiregen.connect.legs import size_words
from wiregen.connect.screens import screens_at
from wiregen.layout.tables import Table, columns
from wiregen.model import Design
from wiregen.publish.tables.cutting import Cutting


def splice_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return every splice with its members, where each goes, and the summed area."""
    rows = []
    screens = screens_at(design, network)
    for splice in design.splices.values():
        wires = [design.wires[wire] for wire in network.wires_at(splice.id)]
        area = sum(wire.size.area_mm2 for wire in wires if wire.size)
        unknown = any(wire.size is None for wire in wires)
        for wire in wires:
            far = [node for node in network.written[wire.id] if node != splice.id]
            first = wire is wires[0]
            rows.append(
                (
                    splice.id if first else "",
                    splice.title if first else "",
                    splice.loom if first else "",
                    ", ".join(w for w in (splice.at, splice.zone) if w) if first else "",
                    f"{area:.2f}{'+' if unknown else ''}" if first else "",
                    wire.id,
                    wire.colour.iec if wire.colour else "",
                    size_words(wire.size),
                    far[0] if far else f"({wire.fate or 'not recorded'})",
                )
            )
        for screen in screens.get(splice.id, ()):
            named = (splice.id, splice.title, splice.loom) if not wires else ("", "", "")
            rows.append((*named, "", "", screen.id, "", "", f"screen of {screen.over}"))
    return Table(
        "splices",
        "Splices",
        columns(
            "*Splice", "Title", "Loom", "Place", "Sum mm²", "@Wire", "~Colour", "Size", "Goes to"
        ),
        tuple(rows),
        ("Stagger splices, tie them on both sides, keep them out of flexing and wet places.",),
    )
