"""Label texts: one for each end of each wire to be made."""

from __future__ import annotations

from wiregen.connect import Network, split_node
from wiregen.layout.tables import Table, columns
from wiregen.model import Design
from wiregen.publish.tables.cutting import Cutting, is_built


def label_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return the label of each end of every new wire: its number, here and where it goes."""
    rows = []
    for wire in design.wires.values():
        if not is_built(design, wire):
            continue
        written = network.written[wire.id]
        for here, there in zip(written, reversed(written), strict=True):
            far = there if len(written) > 1 else (wire.fate or "not recorded")
            marking = wire.label or _marking(design, here)
            rows.append((wire.id, here, f"{wire.id} {here} > {far}", marking))
    return Table(
        "labels",
        "Labels",
        columns("@Wire", "At", "Label", "Marking of the file"),
        tuple(rows),
        ("One label at each end: wire, this end > other end.",),
    )


def _marking(design: Design, node: str) -> str:
    owner, point = split_node(node)
    plug = design.plugs.get(owner)
    pin = plug.pins.get(point) if plug else None
    return pin.label if pin else ""
