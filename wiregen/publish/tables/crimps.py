"""Contacts, seals and cavity plugs of each new plug half; what its crimps have to stand."""

from __future__ import annotations

from collections import Counter

from wiregen.connect import Network
from wiregen.connect.screens import screens_at
from wiregen.facts.crimps import bend, crimp_pull
from wiregen.facts.sizes import WireSize
from wiregen.facts.tables import table
from wiregen.layout.tables import Table, columns
from wiregen.model import Design, Plug, in_order
from wiregen.model.faces import cavity_contact, face_layouts
from wiregen.publish.tables.cutting import Cutting, is_built


def contact_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return contacts, seals and cavity plugs of every plug half that is to be made."""
    rows: list[tuple[str, ...]] = []
    for plug, open_cavities, wired in new_halves(design, network):
        records = Counter(cavity_contact(plug, cavity) for cavity in wired)
        names = in_order(records) or [""]
        for number, name in enumerate(names):
            first = number == 0
            record = design.contacts.get(name)
            count = records.get(name, 0)
            rows.append(
                (
                    plug.id if first else "",
                    plug.title if first else "",
                    plug.housing if first else "",
                    {"pins": "pin", "sockets": "socket"}.get(plug.contacts, ""),
                    name,
                    record.wire_mm2.text if record and record.wire_mm2 else "",
                    str(count),
                    str(count) if plug.sealed else "",
                    str(len(open_cavities)) if plug.sealed and first else "",
                    ", ".join(open_cavities) if first else "",
                )
            )
    return Table(
        "contacts",
        "Contacts, seals and cavity plugs",
        columns(
            "*Plug",
            "Title",
            "Housing",
            "Sort",
            "Contact",
            "For mm²",
            "#Contacts",
            "#Wire seals",
            "#Cavity plugs",
            "Open cavities",
        ),
        tuple(rows),
        (
            "Plug halves of new looms. A sealed half needs a wire seal at each contact and a "
            "cavity plug in each open cavity; tug every contact, check that the lock is flush.",
        ),
    )


def new_halves(
    design: Design, network: Network
) -> list[tuple[Plug, tuple[str, ...], tuple[str, ...]]]:
    """Return each plug half of a new loom with its open cavities and those with a contact."""
    layouts = face_layouts(design)
    screens = screens_at(design, network)
    found = []
    for plug in design.plugs.values():
        loom = design.looms.get(plug.loom)
        if loom is None or loom.status != "new":
            continue
        names = [*layouts[plug.id].order, *layouts[plug.id].outside]
        names += [name for name in plug.pins if name not in names]
        nodes = {name: f"{plug.id}:{name}" for name in names}
        wired = tuple(n for n, node in nodes.items() if network.wires_at(node) or node in screens)
        blocked = {name for name, pin in plug.pins.items() if pin.state == "blocked"}
        open_ones = (name for name in names if name not in wired and name not in blocked)
        found.append((plug, tuple(open_ones), wired))
    return found


def crimp_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return the pull-out force and the bend radius of each size of new wire."""
    sizes: dict[str, WireSize] = {}
    for wire in design.wires.values():
        if is_built(design, wire) and wire.size is not None:
            sizes.setdefault(wire.size.label, wire.size)
    rows = []
    for size in sorted(sizes.values(), key=lambda size: (size.area_mm2, size.label)):
        pull, radius = crimp_pull(size), bend(size)
        rows.append(
            (
                f"{size.label} mm²" if size.system == "mm2" else size.label,
                f"{pull.force_n:g}" if pull else "",
                pull.status if pull else "not in the table",
                f"{radius.outside_mm:g}" if radius else "",
                f"{radius.short_term_mm:g}" if radius else "",
                f"{radius.long_term_mm:g}" if radius else "",
            )
        )
    pull_source, bend_source = table("crimp_pull").source, table("bend_radius").source
    return Table(
        "crimps",
        "Crimps and bends",
        columns(
            "*Size",
            "#Pull at least N",
            "Pull known",
            "#Outside mm",
            "#Bend at least mm",
            "#Bend long term mm",
        ),
        tuple(rows),
        (
            f"Pull: {pull_source}. Bend: 6 and 10 outside diameters, {bend_source}; largest "
            "thin-wall diameter. The contact and cable makers' data prevail.",
        ),
    )
