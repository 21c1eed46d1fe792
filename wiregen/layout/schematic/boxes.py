"""Boxes with pins at their edges: units with their plugs, relays, switches, sources (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

from wiregen.connect.links import terminals_of
from wiregen.layout.kept import KeptSize
from wiregen.layout.schematic.block import (
    Block,
    Part,
    Side,
    body,
    line,
    stamp,
    words,
)
from wiregen.layout.schematic.box_plugs import (
    HALF_MM,
    BoxFrame,
    Edge,
    middle_of,
    plug_parts,
    slot_ports,
)
from wiregen.layout.schematic.heads import Head, head, up_to_grid
from wiregen.layout.schematic.held import held_head, held_top, held_width
from wiregen.layout.schematic.interior import (
    Columns,
    Inner,
    Rows,
    columns,
    drawable,
    make_room,
    reached,
)
from wiregen.layout.schematic.interior_draw import draw_interior
from wiregen.layout.schematic.parts import CONTACT_KINDS, facts, inner_parts, symbol_kind
from wiregen.layout.schematic.plugs import CONTACT_MM, PAIR_GAP_MM
from wiregen.layout.schematic.scene import Scene
from wiregen.layout.schematic.slots import Slot, find_slots
from wiregen.layout.schematic.small import earth_items
from wiregen.layout.schematic.variants import marked, variant_note
from wiregen.model import Device
from wiregen.model.faces import face_layout
from wiregen.sheet import style
from wiregen.sheet.items import Anchor, Item
from wiregen.sheet.metrics import fit, text_width_mm
from wiregen.sheet.moves import shifted
from wiregen.sheet.symbols import placed, symbol

_EDGE_MM = 3.5
_UNDER_MM = 1.0
"""Between a symbol and the lower edge of its box."""
_STRIP_MM = 8.0
_TEXT_MM = 34.0
_CASE_MM = 12.0
_NAME_MM = 5.8
"""Beside the name of a pin: its distance from the edge, and the mark of its standing."""


def device_block(scene: Scene, device: Device) -> Block:
    """Return the box of a device with its plugs and what is inside drawn inside."""
    terminals = _terminal_names(scene, device)
    here = _wired(scene, device)
    everything = _at_own_pins(scene, inner_parts(device, terminals, scene.design))
    inners = reached(everything, here, _wired_elsewhere(scene, everything, here))
    whole = len(inners) == len(everything)
    slots = find_slots(scene, device, inners)
    west = _edge(scene, "W", [slot for slot in slots if slot.side == "W"])
    east = _edge(scene, "E", [slot for slot in slots if slot.side == "E"])
    rows = _rows(scene, slots)
    inners = drawable(inners, rows)
    if scene.state is not None:
        inners = scene.state.in_position(inners)
    make_room(inners, rows, scene.row_mm)
    found = columns(inners, rows)
    inner_mm = _interior_mm(device, found, bool(west.slots and east.slots))
    room = west.inside + inner_mm + east.inside
    edge_mm = _EDGE_MM + _label_room(slots, inners)
    make = partial(_heading, scene, device, slots, whole=whole)
    title = held_head(scene, device.id, edge_mm, make, max(room, 34.0))
    width = held_width(scene, device.id, room, min(title.width, 48.0))
    top = held_top(scene, device.id, up_to_grid(title.height + edge_mm, scene.row_mm))
    for side in ("W", "E"):
        rows.push(side, -1e9, top)
    drawing = _Drawing(
        scene, device, west=west, east=east, rows=rows, left=west.outside, width=width
    )
    parts, height = drawing.parts(title, found, inners)
    whole_mm = west.outside + width + east.outside
    size = KeptSize(width, 0.0 if west.slots else whole_mm, top)
    flow = scene.flow.at(device.id)
    return Block(device.id, whole_mm, height, parts, flow, ((device.id, size),))


def _terminal_names(scene: Scene, device: Device) -> tuple[str, ...]:
    known = (*scene.at, *scene.network.own_pins)
    used = [node.partition(":")[2] for node in known if node.startswith(f"{device.id}:")]
    return tuple(dict.fromkeys((*terminals_of(device, used), *used)))


def _at_own_pins(scene: Scene, inners: Sequence[Inner]) -> tuple[Inner, ...]:
    """Return inner parts that end at the pins of the device's own plug where it has them."""
    pin_of = scene.network.own_pins
    return tuple(
        replace(part, a=pin_of.get(part.a, part.a), b=pin_of.get(part.b, part.b)) for part in inners
    )


def _wired(scene: Scene, device: Device) -> frozenset[str]:
    """Return the pins of a device that wires of this sheet reach, on the device's own half."""
    wired = {node for node in scene.at if node.partition(":")[0] == device.id}
    for plug in scene.design.plugs.values():
        if plug.of == device.id:
            halves = (plug.id, scene.network.mate(plug.id) or plug.id)
            for node in scene.at:
                owner, _, cavity = node.partition(":")
                if owner in halves:
                    wired.add(f"{plug.id}:{cavity}")
    return frozenset(wired)


def _wired_elsewhere(scene: Scene, inners: Sequence[Inner], here: frozenset[str]) -> frozenset[str]:
    """Return the pins of inner parts that only wires of other sheets reach."""
    nodes = {node for part in inners for node in (part.a, part.b)}
    return frozenset(node for node in nodes - here if scene.network.wires_at(node))


def _label_room(slots: Sequence[Slot], inners: Sequence[Inner]) -> float:
    """Room over the first pin for the name of a plug, or for a symbol that stands high, mm."""
    plug = 3.0 if any(slot.plug for slot in slots) else 0.0
    high = max((symbol(part.symbol).height - 6.0 for part in inners if part.symbol), default=0.0)
    named = 2.5 if any(part.name for part in inners) else 0.0
    return max(plug, min(high, 2.0), named)


def _edge(scene: Scene, side: Side, slots: list[Slot]) -> Edge:
    texts = [text_width_mm(slot.text, style.TEXT_PIN) for slot in slots]
    text = min(max(texts, default=0.0), _TEXT_MM)
    mated = any(slot.mate for slot in slots)
    plugged = any(slot.plug for slot in slots)
    names = [text_width_mm(name, style.TEXT_PIN_NUMBER, bold=True) for name in _names(scene, slots)]
    strip = max(_STRIP_MM if plugged else 0.0, min(max(names, default=0.0), 12.0) + _NAME_MM)
    return Edge(
        side,
        tuple(slots),
        HALF_MM if mated else 0.0,
        (PAIR_GAP_MM if mated else CONTACT_MM) if plugged else 0.0,
        strip if slots else 0.0,
        text + 3.0 if text else 0.0,
    )


def _names(scene: Scene, slots: Sequence[Slot]) -> Iterator[str]:
    """Yield the names of pins at an edge, and of all cavities of their plugs: one may come."""
    yield from (slot.name for slot in slots)
    for plug in dict.fromkeys(slot.plug for slot in slots if slot.plug):
        yield from face_layout(scene.design, plug).cavities


def _rows(scene: Scene, slots: Sequence[Slot]) -> Rows:
    """Stack the pins of each edge: a free line between plugs, a line for each wire of a pin."""
    rows = Rows()
    for side in ("W", "E"):
        y, last = 0.0, None
        for slot in slots:
            if slot.side != side:
                continue
            if last is not None and slot.plug != last:
                y += scene.row_mm
            rows.at[side][slot.node] = y
            y += max(1, len(slot.ends)) * scene.row_mm
            last = slot.plug
    return rows


def _interior_mm(device: Device, found: Columns, both: bool) -> float:
    if found.left or found.right or found.level:
        return found.width_mm + 2.0
    if device.kind in ("unit", "bus bar"):
        return 8.0 if both else 4.0
    return symbol(symbol_kind(device.kind)).width + 3.0


def _heading(
    scene: Scene, device: Device, slots: Sequence[Slot], room_mm: float, *, whole: bool
) -> Head:
    design = scene.design
    only = variant_note(design, device.id)
    notes = [only, "" if whole else "in part", facts(device), device.where]
    plugs = list(dict.fromkeys(slot.plug for slot in slots if slot.plug))
    for plug_id in plugs:
        plug = design.plugs[plug_id]
        says = [plug_id, plug.contacts, marked(design, plug.only)]
        if not scene.network.loom_half(plug_id):
            says.append("mating half not recorded")
        notes.append(" · ".join(text for text in says if text))
    if device.kind in CONTACT_KINDS:
        notes.append("drawn at rest" if scene.state is None else "in this state")
    lines = [note for note in notes if note]
    grey = [" · ".join(lines)] if len(lines) > 1 else lines
    face = plugs[0] if len(plugs) == 1 else ""
    return head(device.id, device.title, tuple(grey), room_mm, face=face)


def _lowest(found: Columns, rows: Rows) -> Iterator[float]:
    """Yield how far down each level part needs its box, mm."""
    for part, y in zip(found.level, found.heights(rows), strict=True):
        half = symbol(part.symbol).height / 2 if part.symbol else 0.0
        yield y + max(_EDGE_MM, half + _UNDER_MM)


class _Drawing:
    """Puts the layers of a box together; all x from the left of the block, mm."""

    def __init__(
        self,
        scene: Scene,
        device: Device,
        *,
        west: Edge,
        east: Edge,
        rows: Rows,
        left: float,
        width: float,
    ) -> None:
        self.scene = scene
        self.device = device
        self.edges = (west, east)
        self.rows = rows
        self.left = left
        self.right = left + width
        self.frame = BoxFrame(
            scene, (west, east), rows, left, left + width, left + width + east.outside
        )
        ys = [
            rows.y(slot.node) + (max(1, len(slot.ends)) - 1) * scene.row_mm
            for edge in self.edges
            for slot in edge.slots
        ]
        self.first = min((rows.y(s.node) for e in self.edges for s in e.slots), default=0.0)
        self.last = max(ys, default=self.first)

    def parts(
        self, title: Head, found: Columns, inners: Sequence[Inner]
    ) -> tuple[tuple[Part, ...], float]:
        """Return the groups of the box, the box first, and the height of all."""
        device = self.device
        slots = [*self.edges[0].slots, *self.edges[1].slots]
        top = self.first - _EDGE_MM - _label_room(slots, inners)
        symbol_items, need = self._symbol(found, top)
        bottom = max(self.last + _EDGE_MM, *_lowest(found, self.rows), top + need)
        new = self.scene.is_new(device.loom)
        items: list[Item] = [shifted(item, self.left, top) for item in title.items]
        items.append(body(self.left, top, self.right - self.left, bottom - top, new=new))
        items.extend(symbol_items)
        ends = {
            slot.node: self._words_end(edge, slot) for edge in self.edges for slot in edge.slots
        }
        start = self.left + self.edges[0].inside + 1.0
        stop = self.right - self.edges[1].inside - 1.0
        items.extend(draw_interior(found, self.rows, start, stop, ends))
        if device.kind == "bus bar":
            items.extend(self._bar(ends))
        height = bottom
        if device.case:
            earth = self.scene.design.earths.get(device.case)
            x = self.left + 6.0
            items.append(line((x, bottom), (x, bottom + 2.0)))
            drawn, _ = earth_items(earth, device.case, x, bottom + 2.0, note="through its case")
            items.extend(drawn)
            height += _CASE_MM
        ports = [
            port for edge in self.edges for slot in edge.slots if not slot.plug
            for port in slot_ports(self.frame, edge, slot, slot.node)
        ]  # fmt: skip
        for edge in self.edges:
            for slot in edge.slots:
                items.extend(self._row_words(edge, slot))
        own = Part("device", (("device", device.id),), tuple(items), tuple(ports), device.title)
        return (own, *plug_parts(self.frame)), height

    def _symbol(self, found: Columns, top: float) -> tuple[list[Item], float]:
        """The symbol of a device whose inside is not drawn, in the middle of its box."""
        if found.left or found.right or found.level or self.device.kind in ("unit", "bus bar"):
            return [], 0.0
        shape = symbol(symbol_kind(self.device.kind))
        middle = (self.left + self.edges[0].inside + self.right - self.edges[1].inside) / 2
        need = shape.height + 5.0
        y = top + max(need, self.last + _EDGE_MM - top) / 2
        drawn = placed(shape, middle - shape.width / 2, y - shape.height / 2)
        return [stamp(drawn)], need

    def _bar(self, ends: Mapping[str, float]) -> list[Item]:
        """The metal of a bus bar: a heavy upright line that every terminal is joined to."""
        x = (self.left + self.right) / 2
        bar = line((x, self.first - 1.5), (x, self.last + 1.5), width=1.2)
        return [bar, *(line((end, self.rows.y(node)), (x, self.rows.y(node)))
                       for node, end in ends.items())]  # fmt: skip

    def _row_words(self, edge: Edge, slot: Slot) -> list[Item]:
        y = middle_of(self.frame, slot)
        base = y + style.TEXT_PIN_NUMBER * 0.365
        text = fit(slot.text, _TEXT_MM, style.TEXT_PIN)
        if edge.side == "W":
            x, text_x = self.left + 2.6, self.left + edge.strip + 1.5
        else:
            x, text_x = self.right - 2.6, self.right - edge.strip - 1.5
        anchor: Anchor = "start" if edge.side == "W" else "end"
        number = fit(slot.name, edge.strip - _NAME_MM + 1.0, style.TEXT_PIN_NUMBER, bold=True)
        items: list[Item] = [
            words(x, base, number, style.TEXT_PIN_NUMBER, bold=True, anchor=anchor)
        ]
        if text:
            items.append(words(text_x, base, text, style.TEXT_PIN, anchor=anchor))
        return items

    def _words_end(self, edge: Edge, slot: Slot) -> float:
        text = text_width_mm(fit(slot.text, _TEXT_MM, style.TEXT_PIN), style.TEXT_PIN)
        number = text_width_mm(slot.name, style.TEXT_PIN_NUMBER, bold=True)
        used = edge.strip + 2.5 + text if text else 3.6 + min(number, edge.strip - _NAME_MM + 1.0)
        return self.left + used if edge.side == "W" else self.right - used
