"""The plugs at the edges of a box, and the loom halves that push into them (mm)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wiregen.connect import node_name
from wiregen.layout.schematic.block import NOTE_MM, Part, Port, Side, body, line, words
from wiregen.layout.schematic.interior import Rows
from wiregen.layout.schematic.pin_marks import standing, standing_mark
from wiregen.layout.schematic.plugs import CONTACT_MM, PAIR_GAP_MM, STANDING_MM, contact_mark
from wiregen.layout.schematic.scene import Scene
from wiregen.layout.schematic.slots import Slot
from wiregen.layout.schematic.small import stud
from wiregen.layout.schematic.variants import marked
from wiregen.sheet import style
from wiregen.sheet.items import Anchor, Item, Path, Pen, Rect
from wiregen.sheet.metrics import fit

HALF_MM = 12.0
"""Width of a loom half beside a box."""


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge of the box: its pins, and how wide each layer of it is, from outside inwards.

    Attributes:
        side: `W` or `E`.
        slots: pins from top to bottom.
        halves: width of the loom halves that push in, 0 when there is none.
        contact: width of the contacts between halves and box.
        strip: width of the box's own plug strips.
        text: width of the words.
    """

    side: Side
    slots: tuple[Slot, ...]
    halves: float
    contact: float
    strip: float
    text: float

    @property
    def outside(self) -> float:
        """Room outside the box, mm."""
        return self.halves + self.contact

    @property
    def inside(self) -> float:
        """Room inside the box, mm."""
        return self.strip + self.text


@dataclass(frozen=True, slots=True)
class BoxFrame:
    """Where the edges of a box stand, x from the left of its block, mm.

    Attributes:
        scene: the sheet.
        edges: left edge, right edge.
        rows: heights of the pins.
        left: left edge of the body.
        right: right edge of the body.
        total: width of the block, loom halves included.
    """

    scene: Scene
    edges: tuple[Edge, Edge]
    rows: Rows
    left: float
    right: float
    total: float


def middle_of(frame: BoxFrame, slot: Slot) -> float:
    """Return the height of a pin's number, midway between its wires, mm."""
    lines = max(1, len(slot.ends))
    return frame.rows.y(slot.node) + (lines - 1) * frame.scene.row_mm / 2


def slot_ports(frame: BoxFrame, edge: Edge, slot: Slot, node: str) -> list[Port]:
    """Ports of a pin at the outer edge of what is drawn for it."""
    x, sign = (frame.left, -1.0) if edge.side == "W" else (frame.right, 1.0)
    if slot.plug:
        x += sign * (PAIR_GAP_MM + HALF_MM if slot.mate else CONTACT_MM)
    y = frame.rows.y(slot.node)
    if not slot.ends:
        return [Port(node, x, y, edge.side, "", () if slot.plug else (stud(x, y),))]
    ports = []
    for index, end in enumerate(slot.ends):
        at = y + index * frame.scene.row_mm
        marks: tuple[Item, ...] = ()
        if index == 0 and len(slot.ends) > 1:
            last = y + (len(slot.ends) - 1) * frame.scene.row_mm
            marks = (line((x, y), (x, last), width=style.LINE_HEAVY),)
        if not slot.plug:
            marks = (*marks, stud(x, at))
        ports.append(Port(node, x, at, edge.side, end.key, marks))
    return ports


def plug_parts(frame: BoxFrame) -> list[Part]:
    """The plugs of the box and the halves that push into them."""
    parts = []
    for edge in frame.edges:
        for plug_id in dict.fromkeys(slot.plug for slot in edge.slots if slot.plug):
            slots = [slot for slot in edge.slots if slot.plug == plug_id]
            parts.append(_own_plug(frame, edge, plug_id, slots))
            if slots[0].mate:
                parts.append(_loom_half(frame, edge, slots))
    return parts


def _span(frame: BoxFrame, slots: Sequence[Slot]) -> tuple[float, float]:
    top = frame.rows.y(slots[0].node) - 2.5
    last = slots[-1]
    lines = max(1, len(last.ends)) - 1
    return top, frame.rows.y(last.node) + lines * frame.scene.row_mm + 2.5


def _own_plug(frame: BoxFrame, edge: Edge, plug_id: str, slots: Sequence[Slot]) -> Part:
    plug = frame.scene.design.plugs[plug_id]
    top, bottom = _span(frame, slots)
    x = frame.left if edge.side == "W" else frame.right - edge.strip
    rule = x + edge.strip if edge.side == "W" else x
    items: list[Item] = [
        Rect(x, top, edge.strip, bottom - top, Pen(), cls="body"),
        Path(((rule, top), (rule, bottom)), style.TABLE_PEN),
    ]
    anchor: Anchor = "start" if edge.side == "W" else "end"
    label_x = frame.left + 2.6 if edge.side == "W" else frame.right - 2.6
    items.append(
        words(label_x, top - 0.7, plug_id, NOTE_MM, bold=True,
              colour=style.SECONDARY, anchor=anchor)
    )  # fmt: skip
    edge_x = frame.left if edge.side == "W" else frame.right
    ports: list[Port] = []
    for slot in slots:
        y = middle_of(frame, slot)
        items.append(contact_mark(plug.contacts, edge_x, y, edge.side))
        known = standing(plug.pins.get(slot.name))
        if known:
            inward = rule - STANDING_MM if edge.side == "W" else rule + STANDING_MM
            items.append(standing_mark(known, inward, y))
        found = slot_ports(frame, edge, slot, slot.node)
        keys = [p.key if not slot.mate else "" for p in found]
        ports.extend(
            Port(p.node, p.x, p.y, p.side, key, () if slot.mate else p.items)
            for p, key in zip(found, keys, strict=True)
        )
    return Part("plug", (("plug", plug_id),), tuple(items), tuple(ports), plug.title)


def _loom_half(frame: BoxFrame, edge: Edge, slots: Sequence[Slot]) -> Part:
    mate = frame.scene.design.plugs[slots[0].mate]
    top, bottom = _span(frame, slots)
    x = 0.0 if edge.side == "W" else frame.total - HALF_MM
    inner = x + HALF_MM if edge.side == "W" else x
    facing: Side = "E" if edge.side == "W" else "W"
    new = frame.scene.is_new(mate.loom)
    middle = x + HALF_MM / 2
    items: list[Item] = [body(x, top, HALF_MM, bottom - top, new=new, tint=new)]
    only = marked(frame.scene.design, mate.only)
    name = fit(f"{mate.id} {only}".strip(), HALF_MM + 6.0, 3.0, bold=True)
    items.append(words(middle, top - 1.0, name, 3.0, bold=True, anchor="middle"))
    ports: list[Port] = []
    for slot in slots:
        y = middle_of(frame, slot)
        cavity = fit(slot.name, HALF_MM - 2.0, style.TEXT_PIN_NUMBER, bold=True)
        base = y + style.TEXT_PIN_NUMBER * 0.365
        items.append(words(middle, base, cavity, style.TEXT_PIN_NUMBER, bold=True, anchor="middle"))
        items.append(contact_mark(mate.contacts, inner, y, facing))
        known = standing(mate.pins.get(slot.name))
        if known:
            outer = x + STANDING_MM if edge.side == "W" else x + HALF_MM - STANDING_MM
            items.append(standing_mark(known, outer, y))
        ports.extend(slot_ports(frame, edge, slot, node_name(mate.id, slot.name)))
    return Part("plug", (("plug", mate.id),), tuple(items), tuple(ports), mate.title)
