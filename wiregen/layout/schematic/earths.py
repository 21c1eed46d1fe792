"""Earth points of a design with several sheets: the point with all its wires, and what leads there.

On the sheet of a circuit a wire to earth ends on the symbol of its earth point, with the sheet and
zone where the point itself is drawn.
"""

from __future__ import annotations

from wiregen.layout.schematic.block import Block, Part, Port, Side, line, stamp, unseen_body
from wiregen.layout.schematic.ends import WireEnd
from wiregen.layout.schematic.heads import head, up_to_grid
from wiregen.layout.schematic.scene import Scene
from wiregen.layout.schematic.sides import majority
from wiregen.layout.schematic.small import earth_items, earth_symbol, reference_data
from wiregen.layout.schematic.variants import variant_note
from wiregen.model import Design
from wiregen.sheet import style
from wiregen.sheet.items import Item
from wiregen.sheet.moves import shifted
from wiregen.sheet.symbols import placed, symbol

_HEAD_MM = 60.0
_LEAD_MM = 5.0
_STEM_MM = 4.2
_SYMBOL_MM = 8.0


def point_block(scene: Scene, earth_id: str) -> Block:
    """Return an earth point: a bar that all its wires on the sheet land on, its symbol below.

    Args:
        scene: the sheet.
        earth_id: the earth point.
    """
    record = scene.design.earths[earth_id]
    ends = scene.at[earth_id]
    side = majority(scene, ends, "W")
    step = scene.row_mm
    notes = (f"{record.kind} earth", record.at, record.note, variant_note(scene.design, earth_id))
    title = head(earth_id, record.title, tuple(note for note in notes if note), _HEAD_MM)
    top = up_to_grid(title.height + 1.0, step)
    last = top + step * (len(ends) - 1)
    width = max(title.width, 20.0)
    edge, bar = (0.0, _LEAD_MM) if side == "W" else (width, width - _LEAD_MM)
    drawn = placed(symbol(earth_symbol(record.kind)), bar, last + 2.0, at="1")
    rows = [top + step * index for index in range(len(ends))]
    items: list[Item] = [
        unseen_body(min(edge, bar), top - 1.0, _LEAD_MM, last - top + 2.0),
        *(shifted(item, 0.0, top - 2.0) for item in title.items),
        line((bar, top - 1.0), (bar, last + 2.0), width=style.LINE_HEAVY),
        *(line((edge, y), (bar, y)) for y in rows),
        stamp(drawn),
    ]
    ports = tuple(Port(earth_id, edge, y, side, end.key) for y, end in zip(rows, ends, strict=True))
    part = Part("earth", (("earth", earth_id),), tuple(items), ports, record.title)
    return Block(earth_id, width, last + 2.0 + _SYMBOL_MM, (part,), scene.flow.at(earth_id))


def reference_block(scene: Scene, here: WireEnd, there: WireEnd, side: Side) -> Block:
    """Return the room for the symbol of an earth point that is on another sheet."""
    port = Port("", 0.0, 0.0, side, f"{here.key}>")
    width = _symbol(scene.design, there, port, "00", "A0")[1]
    if side == "E":
        port = Port("", width, 0.0, side, f"{here.key}>")
    part = Part("reference", (), (), (port,))
    return Block(f"ref {here.key}", width, _SYMBOL_MM, (part,), scene.flow.at(there.block))


def reference_part(design: Design, there: WireEnd, port: Port, sheet: str, zone: str) -> Part:
    """Return the symbol of an earth point that is on another sheet, with that place.

    Args:
        design: the design.
        there: the end at the earth point.
        port: where the wire stops here, mm on the sheet.
        sheet: number of the other sheet.
        zone: where on it the earth point is.
    """
    items, _ = _symbol(design, there, port, sheet, zone)
    data = reference_data(there, port, sheet, zone)
    return Part("reference", data, items, (), design.earths[there.owner].title)


def _symbol(
    design: Design, there: WireEnd, port: Port, sheet: str, zone: str
) -> tuple[tuple[Item, ...], float]:
    """Return the symbol at the end of a short lead from the port, and the room they take, mm."""
    leftward = port.side == "E"
    x = port.x - _STEM_MM if leftward else port.x + _STEM_MM
    where = f"sheet {sheet} {zone}"
    earth = design.earths[there.owner]
    note = f"{earth.title} {variant_note(design, earth.id)}".strip()
    items, width = earth_items(
        earth, earth.id, x, port.y, note=note, where=where, leftward=leftward
    )
    return (line((port.x, port.y), (x, port.y)), *items), _STEM_MM + width
