"""The parts list: what to buy to build the new looms."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from wiregen.connect import Network, split_node
from wiregen.connect.legs import size_words
from wiregen.connect.screens import find_screens
from wiregen.layout.tables import Table, columns
from wiregen.model import Design, natural_key
from wiregen.model.faces import cavity_contact
from wiregen.publish.tables.crimps import new_halves
from wiregen.publish.tables.cutting import Cutting, is_built, reel_table

Part = tuple[str, str]
_SORTS = ("housing", "contact", "wire seal", "cavity plug", "ring terminal", "terminal", "splice")


def parts_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return parts with quantities; what is not written in the design is not in it."""
    counts: Counter[Part] = Counter()
    used: dict[Part, dict[str, None]] = {}
    for part, owner, number in (*_plug_parts(design, network), *_end_parts(design, network)):
        counts[part] += number
        used.setdefault(part, {})[owner] = None
    order = sorted(counts, key=lambda part: (_SORTS.index(part[0]), natural_key(part[1])))
    rows = [
        (sort, words, str(counts[sort, words]), "pcs", ", ".join(used[sort, words]))
        for sort, words in order
    ]
    rows += _fuse_rows(design)
    rows += [
        ("wire", " ".join(cell for cell in row[:3] if cell), row[5], "m", "")
        for row in reel_table(design, network, cutting).rows
    ]
    rows += [
        ("covering", leg.covering, f"{leg.length_mm / 1000:.2f}", "m", f"{leg.start} to {leg.end}")
        for leg in design.route
        if leg.covering and leg.length_mm is not None
    ]
    return Table(
        "parts",
        "Parts list",
        columns("*Sort", "What", "#Quantity", "Unit", "For"),
        tuple(rows),
        ("For the new looms; all fuses are listed. Cavity plugs: blocked cavities not counted.",),
    )


def _plug_parts(design: Design, network: Network) -> Iterator[tuple[Part, str, int]]:
    for plug, open_cavities, wired in new_halves(design, network):
        sort = {"pins": "with pins", "sockets": "with sockets"}.get(plug.contacts, "")
        ways = len(open_cavities) + len(wired)
        name = plug.housing or f"{plug.title or plug.id}, {ways} cavities"
        yield ("housing", f"{name} {sort}".rstrip()), plug.id, 1
        kind = {"pins": "pin", "sockets": "socket"}.get(plug.contacts, "contact")
        for cavity in wired:
            record = cavity_contact(plug, cavity) or "record not given"
            yield ("contact", f"{kind} {record}"), plug.id, 1
            if plug.sealed:
                yield ("wire seal", f"for {kind} {record}"), plug.id, 1
        if plug.sealed and open_cavities:
            yield ("cavity plug", f"for {name}"), plug.id, len(open_cavities)


def _end_parts(design: Design, network: Network) -> Iterator[tuple[Part, str, int]]:
    """Rings on studs, terminals on devices, and splices of new wires and their screens."""
    for wire in design.wires.values():
        if not is_built(design, wire):
            continue
        size = size_words(wire.size) or "size?"
        for node in network.ends_of[wire.id]:
            owner = split_node(node)[0]
            if owner in design.earths:
                yield ("ring terminal", f"for {size}"), owner, 1
            elif owner not in design.plugs and owner not in design.splices:
                yield ("terminal", f"for {size}"), owner, 1
    for screen in find_screens(design, network):
        owner = split_node(screen.node)[0]
        if owner in design.plugs or owner in design.splices:
            continue
        if any(is_built(design, design.wires[wire]) for wire in screen.wires):
            sort = "ring terminal" if owner in design.earths else "terminal"
            yield (sort, "for a screen"), owner, 1
    for splice in design.splices.values():
        wires = [design.wires[wire] for wire in network.wires_at(splice.id)]
        if wires and any(is_built(design, wire) for wire in wires):
            area = sum(wire.size.area_mm2 for wire in wires if wire.size)
            yield ("splice", f"of {len(wires)} wires, {area:.2f} mm² in sum"), splice.id, 1


def _fuse_rows(design: Design) -> list[tuple[str, str, str, str, str]]:
    alike: dict[tuple[str, float], list[str]] = {}
    for fuse in design.fuses.values():
        if fuse.rating_a is not None:
            alike.setdefault((fuse.style or "style?", fuse.rating_a), []).append(fuse.id)
    return [
        ("fuse", f"{style} {rating:g} A", str(len(fuses)), "pcs", ", ".join(fuses))
        for (style, rating), fuses in sorted(alike.items())
    ]
