"""Label texts: one for each end of each wire to be made."""

from __future__ import annotations

from wiregen.connect import Network, split_node
from wiregen.connect.legs import size_words
from wiregen.connect.screens import find_screens
from wiregen.layout.label_sheet import WireLabel
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
            rows.append(
                (
                    wire.id,
                    here,
                    far,
                    wire.colour.iec if wire.colour else "",
                    size_words(wire.size),
                    f"{wire.id} {here} > {far}",
                    wire.label or _marking(design, here),
                )
            )
    for screen in find_screens(design, network):
        if any(is_built(design, design.wires[wire]) for wire in screen.wires):
            here, far = screen.node, f"screen of {screen.over}"
            label = f"{screen.id} {here} > {far}"
            rows.append((screen.id, here, far, "", "", label, _marking(design, here)))
    return Table(
        "labels",
        "Labels",
        columns("@Wire", "At", "Goes to", "~Colour", "Size", "Label", "Marking of the file"),
        tuple(rows),
        ("One label at each end: wire, this end > other end. A screen has one, at its pin.",),
    )


def wire_labels(table: Table) -> tuple[WireLabel, ...]:
    """Return what stands on each label, from the table of labels."""
    return tuple(
        WireLabel(wire, " ".join(word for word in facts if word), f"{here} > {far}")
        for wire, here, far, colour, size, _, marking in table.rows
        for facts in [(size, colour, marking)]
    )


def _marking(design: Design, node: str) -> str:
    owner, point = split_node(node)
    plug = design.plugs.get(owner)
    pin = plug.pins.get(point) if plug else None
    return pin.label if pin else ""
