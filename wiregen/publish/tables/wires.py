"""The wire list, and what becomes of every old wire."""

from __future__ import annotations

from wiregen.connect import Network, split_node
from wiregen.connect.legs import size_words
from wiregen.connect.route import rides
from wiregen.layout.tables import Table, columns
from wiregen.model import Design, Wire
from wiregen.model.faces import cavity_contact
from wiregen.publish.tables.cutting import Cut, Cutting, cut_of, insulation_of, is_built
from wiregen.publish.tables.grouped import group_words


def wire_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return every wire from end to end with what is needed to make it."""
    along = rides(design, network)
    groups = group_words(design, network)
    rows = tuple(
        (*_row(design, network, wire, cut_of(wire, along, cutting)), groups.get(wire.id, ""))
        for wire in design.wires.values()
    )
    return Table(
        "wires",
        "Wire list",
        columns(
            "@Wire",
            "From",
            "To",
            "~Colour",
            "Size",
            "Type",
            "#Length mm",
            "#Cut mm",
            "Contact from",
            "Contact to",
            "Seals",
            "Loom",
            "State",
            "Groups",
        ),
        rows,
        (
            f"{cutting.words} Cut lengths and contacts are given for new wires. "
            "Strip length and tool: after the contact maker's sheet.",
        ),
    )


def _row(design: Design, network: Network, wire: Wire, cut: Cut | None) -> tuple[str, ...]:
    written = network.written[wire.id]
    built = is_built(design, wire)
    ends = [*written, *[""] * (2 - len(written))]
    if wire.start is None:
        ends.reverse()
    contacts = [contact_words(design, node) if built else "" for node in ends]
    sealed = [node for node in ends if built and _is_sealed(design, node)]
    return (
        wire.id,
        *(end or f"({wire.fate or 'not recorded'})" for end in ends),
        wire.colour.iec if wire.colour else "",
        size_words(wire.size),
        insulation_of(design, wire),
        f"{wire.length_mm:g}" if wire.length_mm is not None else "",
        f"{cut.cut_mm:g}" if built and cut else "",
        *contacts,
        str(len(sealed)) if sealed else "",
        wire.loom,
        state_words(design, wire),
    )


def state_words(design: Design, wire: Wire) -> str:
    """Return new, existing or removed, with the fate where it says more."""
    state = design.status_of(wire)
    return f"{state}, {wire.fate}" if wire.fate not in ("", "used", state) else state


def contact_words(design: Design, node: str) -> str:
    """Return the contact a wire gets at a node: sort and record; empty where nothing is said."""
    owner, point = split_node(node)
    plug = design.plugs.get(owner)
    if plug is not None:
        sort = {"pins": "pin", "sockets": "socket"}.get(plug.contacts, "")
        return " ".join(word for word in (sort, cavity_contact(plug, point)) if word)
    if owner in design.earths:
        return "ring"
    return "splice" if owner in design.splices else ""


def _is_sealed(design: Design, node: str) -> bool:
    plug = design.plugs.get(split_node(node)[0])
    return plug is not None and plug.sealed


def fate_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return what becomes of every wire that was there before, and of every end left over."""
    rows = []
    for wire in design.wires.values():
        if is_built(design, wire) and not wire.fate:
            continue
        written = network.written[wire.id]
        rows.append(
            (
                wire.id,
                wire.fate or "used as it is",
                written[0] if wire.start is not None else "",
                written[-1] if wire.end is not None else "",
                wire.was.text if wire.was else "",
                wire.colour.iec if wire.colour else "",
                wire.why,
            )
        )
    said = ("insulated", "removed", "moved", "used", "used as it is")
    rows.sort(key=lambda row: said.index(row[1]))
    return Table(
        "fates",
        "What became of the old wires",
        columns("@Wire", "Fate", "From", "To", "Was at", "~Colour", "Why"),
        tuple(rows),
        ("Every wire that was there before has a fate; insulated ends come first.",),
    )
