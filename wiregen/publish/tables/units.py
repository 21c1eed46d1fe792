"""Lamps and gauges of each unit, and what is lost where a pin stays unwired."""

from __future__ import annotations

from wiregen.connect import Network, node_of
from wiregen.connect.legs import part_words
from wiregen.connect.screens import screens_at
from wiregen.connect.trace import Tracer
from wiregen.layout.tables import Table, columns
from wiregen.model import Design
from wiregen.publish.tables.cutting import Cutting

_SHOWN = ("lamp", "led", "gauge", "horn")


def lamp_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return every lamp and gauge of every unit: its pins, and what works it from outside."""
    rows = []
    tracer = Tracer(network)
    for unit in design.devices.values():
        for part in unit.inside.values():
            if part.kind not in _SHOWN:
                continue
            ends = [node_of(end) for end in (part.start, part.end) if end is not None]
            fuses = list(network.protecting_fuses(ends[0])) if ends else []
            rows.append(
                (
                    f"{unit.id} {unit.title}".rstrip(),
                    part.id,
                    part.title or part.kind,
                    part.kind,
                    ends[0] if ends else "",
                    ends[1] if len(ends) > 1 else "",
                    f"{part.watts_w:g}" if part.watts_w is not None else "",
                    ", ".join(fuses),
                    _worked_by(design, tracer, f"{unit.id}.{part.id}", ends),
                )
            )
    return Table(
        "lamps",
        "Lamps and gauges of the units",
        columns("*Unit", "Part", "Shows", "Kind", "Fed at", "Other pin", "#W", "Fuse", "Worked by"),
        tuple(rows),
    )


def _worked_by(design: Design, tracer: Tracer, own: str, ends: list[str]) -> str:
    """Return what lies beyond the lamp: the senders, switches and outputs that work it."""
    if len(ends) < 2:
        return ""
    found: dict[str, None] = {}
    for way in tracer.trace(ends[1]).down:
        beyond = [hop.id for hop in way.hops if hop.kind in ("load", "contact") and hop.id != own]
        if not beyond and way.to:
            found["lit whenever fed: straight to earth"] = None
        found.update(dict.fromkeys(part_words(design, link) for link in beyond[:1]))
    return "; ".join(found)


def lost_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return every optional pin, whether it is wired, and what is lost if it stays unwired."""
    rows = []
    screens = screens_at(design, network)
    for plug in design.plugs.values():
        for pin in plug.pins.values():
            if not pin.without and not pin.use:
                continue
            node = f"{plug.id}:{pin.name}"
            mate = network.mate(plug.id)
            wires = [*network.wires_at(node), *network.wires_at(f"{mate}:{pin.name}")]
            used = [w for w in dict.fromkeys(wires) if design.wires[w].fate != "insulated"]
            used += [s.id for s in screens.get(network.halves.wire_node(node), ())]
            rows.append(
                (
                    node,
                    pin.carries or pin.circuit,
                    ", ".join(used) or "not wired",
                    pin.without or pin.use,
                )
            )
    return Table(
        "lost",
        "Optional pins and what is lost without them",
        columns("*Pin", "Carries", "Wired by", "Lost when not wired"),
        tuple(rows),
    )
