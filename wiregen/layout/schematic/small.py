"""Small blocks: splices, earths, loose ends, references to other sheets."""

from __future__ import annotations

from collections.abc import Sequence

from wiregen.connect import split_node
from wiregen.layout.schematic.block import (
    NOTE_MM,
    Block,
    Part,
    Port,
    Side,
    line,
    number,
    stamp,
    unseen_body,
    words,
)
from wiregen.layout.schematic.ends import WireEnd
from wiregen.layout.schematic.scene import Scene
from wiregen.layout.schematic.variants import variant_note
from wiregen.model import Earth
from wiregen.sheet import style
from wiregen.sheet.items import Anchor, Circle, Item, Pen, Rect
from wiregen.sheet.metrics import fit, text_width_mm
from wiregen.sheet.symbols import placed, symbol

SPLICE_MM = 2.5
_EARTH_TEXT_MM = 30.0
_TEXT_REFERENCE = 2.5


def splice_block(scene: Scene, splice_id: str) -> Block:
    """Return a splice: a dot, drawn out to an upright bar where many wires meet.

    Its ports are free: the layout engine chooses side and height of each.
    """
    found = [node for node in scene.at if split_node(node)[0] == splice_id]
    ends = [(node, end) for node in found for end in scene.at[node]]
    places = len(ends) if len(ends) <= 6 else (len(ends) * 2 + 2) // 3
    step = scene.row_mm
    ports = tuple(
        Port(node, 0.0, step * (1 + min(i, places - 1)), "W", end.key)
        for i, (node, end) in enumerate(ends)
    )
    part = Part("splice", (("splice", splice_id),), (), ports)
    return Block(splice_id, SPLICE_MM, step * (places + 1), (part,), scene.flow.at(splice_id))


def splice_part(scene: Scene, splice_id: str, ports: Sequence[Port]) -> Part:
    """Return a splice as drawn, once its ports have their places on the sheet."""
    x = (
        SPLICE_MM / 2
        + min(port.x for port in ports)
        - (SPLICE_MM if all(port.side == "E" for port in ports) else 0.0)
    )
    top, bottom = min(port.y for port in ports), max(port.y for port in ports)
    record = scene.design.splices[splice_id]
    radius = SPLICE_MM / 2
    capsule = Rect(
        x - radius,
        top - radius,
        SPLICE_MM,
        bottom - top + SPLICE_MM,
        Pen(fill=style.INK),
        corner=radius,
        cls="body",
    )
    name = words(x, top - 2.2, splice_id, style.TEXT_PIN, bold=True, anchor="middle")
    only = words(
        x, top - 4.9, variant_note(scene.design, splice_id), NOTE_MM, bold=True, anchor="middle"
    )
    items = (capsule, name, only) if only.plain else (capsule, name)
    return Part("splice", (("splice", splice_id),), items, tuple(ports), record.title)


def earth_symbol(kind: str) -> str:
    """Return the symbol of an earth kind."""
    return "isolated earth" if kind == "isolated" else "earth"


def earth_items(
    earth: Earth | None,
    earth_id: str,
    x: float,
    y: float,
    *,
    note: str = "",
    where: str = "",
    leftward: bool = False,
) -> tuple[tuple[Item, ...], float]:
    """Return an earth symbol hanging from (x, y) with its name, and the room it takes, mm.

    Args:
        earth: its record; None when the design has none.
        earth_id: its id.
        x: where it hangs, mm.
        y: where it hangs, mm.
        note: printed in place of its title.
        where: sheet and zone of the earth point, printed behind its name.
        leftward: set the name left of the symbol.
    """
    drawn = placed(symbol(earth_symbol(earth.kind if earth else "")), x, y, at="1")
    says = note or (earth.title if earth else "not in the design")
    says = fit(says, _EARTH_TEXT_MM, NOTE_MM)
    name = fit(earth_id, _EARTH_TEXT_MM, style.TEXT_PIN, bold=True)
    name = f"{name}, {where}" if where else name
    text_x = x - 5.0 if leftward else x + 4.0
    anchor: Anchor = "end" if leftward else "start"
    items = (
        stamp(drawn),
        words(text_x, y + 4.4, name, style.TEXT_PIN, bold=True, anchor=anchor),
        words(text_x, y + 7.2, says, NOTE_MM, colour=style.SECONDARY, anchor=anchor),
    )
    width = max(text_width_mm(name, style.TEXT_PIN, bold=True), text_width_mm(says, NOTE_MM))
    return items, abs(text_x - x) + width


def earth_block(scene: Scene, end: WireEnd, side: Side) -> Block:
    """Return the earth symbol that one wire ends on."""
    earth = scene.design.earths.get(end.owner)
    only = variant_note(scene.design, end.owner)
    note = f"{earth.title} {only}".strip() if earth and only else ""
    stem = 4.2
    items, right = earth_items(earth, end.owner, stem, 0.0, note=note)
    width = stem + right
    x = 0.0
    if side == "E":
        items, right = earth_items(earth, end.owner, 3.8, 0.0, note=note)
        width = 3.8 + right
        x = width
    lead = line((x, 0.0), (stem if side == "W" else 3.8, 0.0))
    port = Port(end.node, x, 0.0, side, end.key)
    part = Part(
        "earth",
        (("earth", end.owner),),
        (unseen_body(0.0, 0.0, width, 8.0), lead, *items),
        (port,),
        title=earth.title if earth else "",
    )
    return Block(end.block, width, 8.0, (part,), 1.1)


def loose_block(scene: Scene, end: WireEnd, side: Side) -> Block:
    """Return the mark of a wire that ends nowhere: insulated, parked or not recorded."""
    wire = scene.design.wires[end.wire]
    fate = {"insulated": "insulated", "removed": "removed", "moved": "moved"}.get(wire.fate)
    says = fit(fate or "end not recorded", 26.0, style.TEXT_PIN, bold=True)
    why = fit(wire.why, 40.0, NOTE_MM)
    text = max(text_width_mm(says, style.TEXT_PIN, True), text_width_mm(why, NOTE_MM))
    width = text + 5.0
    y = scene.row_mm
    x, cap_x = (0.0, 0.0) if side == "W" else (width, width - 2.6)
    cap = Rect(cap_x, y - 0.9, 2.6, 1.8, Pen(style.INK, 0.3, fill=style.PAPER), corner=0.9)
    text_x = 3.6 if side == "W" else width - 3.6
    anchor: Anchor = "start" if side == "W" else "end"
    items: tuple[Item, ...] = (
        unseen_body(0.0, 0.0, width, 2 * y),
        cap,
        words(text_x, y + 0.9, says, style.TEXT_PIN, bold=True, anchor=anchor),
        words(text_x, y + 3.9, why, NOTE_MM, colour=style.SECONDARY, anchor=anchor),
    )
    port = Port(end.node, x, y, side, end.key)
    part = Part("loose-end", (("wire", end.wire),), items, (port,), wire.why)
    return Block(end.block, width, 2 * y, (part,), scene.flow.at(end.block))


def reference_block(scene: Scene, here: WireEnd, there: WireEnd, side: Side) -> Block:
    """Return the room for the mark where a wire goes on to another sheet; see `reference_part`.

    It is a line of text at the end of a wire and needs no more height than the wire does.
    """
    text = f"{there.node or 'loose end'}, sheet 00 A0"
    width = text_width_mm(text, _TEXT_REFERENCE, bold=True) + 6.5
    x = 0.0 if side == "W" else width
    port = Port("", x, 0.0, side, f"{here.key}>")
    part = Part("reference", (), (), (port,))
    return Block(f"ref {here.key}", width, 0.0, (part,), scene.flow.at(there.block))


def reference_part(there: WireEnd, port: Port, sheet: str, zone: str) -> Part:
    """Return the mark of a wire that goes on: arrow, end, sheet and zone.

    Args:
        there: the end that is on the other sheet.
        port: where the wire stops here, mm on the sheet.
        sheet: number of the other sheet.
        zone: where on it the wire goes on.
    """
    text = f"{there.node or 'loose end'}, sheet {sheet} {zone}".rstrip()
    right = port.side == "W"
    label = words(
        port.x + (1.2 if right else -1.2),
        port.y + 0.9,
        f"→ {text}" if right else f"← {text}",
        _TEXT_REFERENCE,
        bold=True,
        anchor="start" if right else "end",
    )
    return Part("reference", reference_data(there, port, sheet, zone), (label,))


def reference_data(
    there: WireEnd, port: Port, sheet: str, zone: str
) -> tuple[tuple[str, str], ...]:
    """Return what the mark of a wire that goes on tells readers of the drawing."""
    return (
        ("wire", there.wire),
        ("to", there.node),
        ("sheet", sheet),
        ("zone", zone),
        ("x", number(port.x)),
        ("y", number(port.y)),
    )


def stud(x: float, y: float) -> Circle:
    """Return the mark of a screw terminal at the edge of a box."""
    return Circle((x, y), 0.75, Pen(style.INK, 0.3, fill=style.PAPER))
