"""Every plug half: what it is, where it is, what it pushes into."""

from __future__ import annotations

from wiregen.connect import Network
from wiregen.connect.screens import screens_at
from wiregen.layout.tables import Table, columns
from wiregen.model import Design
from wiregen.model.faces import face_layouts
from wiregen.publish.tables.cutting import Cutting


def plug_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return every plug half with its place, its mate and how full it is."""
    layouts = face_layouts(design)
    screens = screens_at(design, network)
    rows = []
    for plug in design.plugs.values():
        cavities = {*layouts[plug.id].order, *layouts[plug.id].outside, *plug.pins}
        nodes = (network.halves.wire_node(f"{plug.id}:{name}") for name in cavities)
        wired = sum(bool(network.wires_at(node)) or node in screens for node in nodes)
        rows.append(
            (
                plug.id,
                plug.title,
                network.mate(plug.id) or "",
                f"built into {plug.of}" if plug.of else plug.loom,
                plug.contacts,
                plug.housing,
                plug.where,
                "sealed" if plug.sealed else "",
                str(len(cavities)),
                str(wired),
            )
        )
    return Table(
        "plugs",
        "Plugs",
        columns(
            "*Plug",
            "Title",
            "Mates with",
            "Loom",
            "Contacts",
            "Housing",
            "Where",
            "Seal",
            "#Cavities",
            "#Wired",
        ),
        tuple(rows),
    )
