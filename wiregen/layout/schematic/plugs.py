"""Plug halves: alone, or two mated halves side by side with their contacts between them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from wiregen.connect import node_name, split_node
from wiregen.layout.kept import KeptSize
from wiregen.layout.schematic.block import Block, Part, Port, Side, body, line, words
from wiregen.layout.schematic.ends import WireEnd
from wiregen.layout.schematic.heads import Head, head, up_to_grid
from wiregen.layout.schematic.held import held_head, held_top, held_width
from wiregen.layout.schematic.pin_marks import standing, standing_mark
from wiregen.layout.schematic.scene import Scene
from wiregen.layout.schematic.sides import majority, wire_edge
from wiregen.layout.schematic.variants import marked, variant_note
from wiregen.layout.schematic.wishes import wished_edge
from wiregen.model import Design, Plug
from wiregen.model.order import in_order
from wiregen.sheet import style
from wiregen.sheet.items import Arc, Item, Pen, Rect
from wiregen.sheet.metrics import fit, text_width_mm
from wiregen.sheet.moves import shifted

CONTACT_MM = 2.2
"""How far a contact stands out of its half."""
PAIR_GAP_MM = 3.6
STANDING_MM = 1.7
"""From the edge of a half to the mark of a pin's standing."""
_NUMBER_AT_MM = 3.0
_NUMBER_MM = 9.0
"""From the edge of a half to its words; more where a cavity has a longer name."""
_CLOSE_MM, _GAP_MM = 0.35, 1.2
_NAME_MM = 12.0
_TEXT_MM = 38.0
_EDGE_MM = 3.5


@dataclass(frozen=True, slots=True)
class Row:
    """One cavity on the sheet.

    Attributes:
        cavity: its name.
        y: of its first wire, mm below the block's top.
        step: distance of further wires in the same contact, mm.
        left: wire ends that reach it from the left.
        right: wire ends that reach it from the right.
    """

    cavity: str
    y: float
    step: float
    left: tuple[WireEnd, ...] = ()
    right: tuple[WireEnd, ...] = ()

    @property
    def lines(self) -> int:
        """How many wire lines the row is high."""
        return max(1, len(self.left), len(self.right))

    @property
    def middle(self) -> float:
        """Height of its number, mm."""
        return self.y + (self.lines - 1) * self.step / 2


@dataclass(frozen=True, slots=True)
class Half:
    """One half as it will be drawn: which plug, where, and what it says in each row.

    Attributes:
        plug: its id.
        x: left edge of its body, mm.
        width: of its body, mm.
        texts: cavity -> words beside the number; empty draws the number alone.
        text_at: where the words begin, from the edge the numbers stand at, mm.
        number_at: edge the numbers stand at, or `middle`.
        contacts_at: edge its contacts stand at; empty draws none.
    """

    plug: str
    x: float
    width: float
    texts: dict[str, str]
    text_at: float
    number_at: str
    contacts_at: str


def pin_text(design: Design, plug: Plug | None, cavity: str) -> str:
    """Return what a pin carries, or the circuit it belongs to, and its variants."""
    pin = plug.pins.get(cavity) if plug else None
    if pin is None:
        return ""
    return f"{pin.carries or pin.circuit} {marked(design, pin.only)}".strip()


def pair_block(scene: Scene, block_id: str) -> Block:
    """Return the block of a plug that is not built into a device, with its mate beside it."""
    mate = scene.network.mate(block_id)
    halves = [block_id] if mate not in scene.design.plugs else [block_id, str(mate)]
    cavities = in_order(
        {end.point for half in halves for node in _nodes(scene, half) for end in scene.at[node]}
    )
    nodes = {c: [node_name(half, c) for half in halves] for c in cavities}
    cavities = scene.before.sequence(nodes)
    if len(halves) == 1:
        return _alone(scene, block_id, cavities)
    return _mated(scene, block_id, halves, cavities)


def _nodes(scene: Scene, plug_id: str) -> list[str]:
    return [node for node in scene.at if split_node(node)[0] == plug_id]


def _ends(scene: Scene, plug_id: str, cavities: Iterable[str]) -> dict[str, tuple[WireEnd, ...]]:
    return {cavity: scene.at.get(node_name(plug_id, cavity), ()) for cavity in cavities}


def _alone(scene: Scene, plug_id: str, cavities: Sequence[str]) -> Block:
    """A half whose mate is not recorded: contacts on one edge, wires on the other."""
    ends = _ends(scene, plug_id, cavities)
    wires = (end for group in ends.values() for end in group)
    wire_side = wire_edge(scene, (plug_id,), wires, "E")
    plug = scene.design.plugs[plug_id]
    texts = {cavity: pin_text(scene.design, plug, cavity) for cavity in cavities}
    text_at = _text_at(cavities)
    width = _half_width(texts, text_at)
    title = _held_head(scene, plug_id, max(width, 40.0))
    width = held_width(scene, plug_id, width, min(title.width, 48.0))
    top = held_top(scene, plug_id, _first_row(scene, title.height))
    rows = make_rows(
        scene,
        top,
        [(c, ends[c], ()) if wire_side == "W" else (c, (), ends[c]) for c in cavities],
    )
    back: Side = "E" if wire_side == "W" else "W"
    x = CONTACT_MM if back == "W" else 0.0
    half = Half(plug_id, x, width, texts, text_at, wire_side, back)
    part = half_part(scene, half, rows, title, wires_at=wire_side)
    whole = width + CONTACT_MM
    size = KeptSize(width, 0.0 if wire_side == "W" else whole, top)
    flow = scene.flow.at(plug_id)
    return Block(plug_id, whole, _height(scene, rows), (part,), flow, ((plug_id, size),))


def _mated(scene: Scene, block_id: str, halves: list[str], cavities: Sequence[str]) -> Block:
    """Two halves pushed together; each half keeps its wires on its own outer edge."""
    left, right = _left_first(scene, halves, cavities)
    design = scene.design
    texts = [{c: pin_text(design, design.plugs[p], c) for c in cavities} for p in (left, right)]
    if texts[0] == texts[1]:
        texts[1 if any(_ends(scene, right, cavities).values()) else 0] = {}
    text_at = _text_at(cavities)
    widths = [_half_width(text, text_at) for text in texts]
    halves = [left, right]
    heads = [_held_head(scene, p, max(w, 24.0)) for p, w in zip(halves, widths, strict=True)]
    widths = [
        held_width(scene, p, w, min(h.width, 48.0))
        for p, w, h in zip(halves, widths, heads, strict=True)
    ]
    top = held_top(scene, left, _first_row(scene, max(h.height for h in heads)))
    ends = _ends(scene, left, cavities), _ends(scene, right, cavities)
    rows = make_rows(scene, top, [(c, ends[0][c], ends[1][c]) for c in cavities])
    second_x = widths[0] + PAIR_GAP_MM
    one, other = (
        half_part(
            scene,
            Half(left, 0.0, widths[0], texts[0], text_at, "E", "E"),
            rows,
            heads[0],
            wires_at="W",
        ),
        half_part(
            scene,
            Half(right, second_x, widths[1], texts[1], text_at, "W", "W"),
            rows,
            heads[1],
            wires_at="E",
        ),
    )
    parts = _through_mate(scene, left, one, other), _through_mate(scene, right, other, one)
    sizes = tuple((p, KeptSize(w, widths[0], top)) for p, w in zip(halves, widths, strict=True))
    width, flow = second_x + widths[1], scene.flow.at(block_id)
    return Block(block_id, width, _height(scene, rows), parts, flow, sizes)


def _through_mate(scene: Scene, plug_id: str, part: Part, mate: Part) -> Part:
    """Return a half; one built into something the design lacks has its pins where its mate has."""
    if scene.network.halves.loom_half(plug_id) in (plug_id, None):
        return part
    marks = {port.node: port.items for port in part.ports}
    ports = []
    for port in mate.ports:
        node = node_name(plug_id, split_node(port.node)[1])
        ports.append(Port(node, port.x, port.y, port.side, items=marks.pop(node, ())))
    return replace(part, ports=tuple(ports))


def _left_first(scene: Scene, halves: list[str], cavities: Sequence[str]) -> tuple[str, str]:
    """Return the two halves, the one whose wires come from the left first."""
    first, second = halves
    asked = [wished_edge(scene.design.plugs[half]) for half in halves]
    if asked[0] == "E" or (asked[0] is None and asked[1] == "W"):
        return second, first
    if any(asked):
        return first, second
    wanted = [
        majority(scene, (end for ends in _ends(scene, half, cavities).values() for end in ends))
        if any(_ends(scene, half, cavities).values())
        else None
        for half in halves
    ]
    if wanted[0] == "E" and wanted[1] != "E":
        return second, first
    if wanted[1] == "W" and wanted[0] != "W":
        return second, first
    return first, second


def _held_head(scene: Scene, plug_id: str, room_mm: float) -> Head:
    """Return the heading of a half, in the box it was drawn with before where it fits."""
    make = partial(half_head, scene, plug_id)
    return held_head(scene, plug_id, _EDGE_MM, make, room_mm)


def half_head(scene: Scene, plug_id: str, room_mm: float) -> Head:
    """Return the heading of a plug half: id, title, and loom, contacts and face sheet in grey."""
    plug = scene.design.plugs[plug_id]
    notes = [scene.loom_title(plug.loom), plug.contacts, variant_note(scene.design, plug_id)]
    note = " · ".join(text for text in notes if text)
    return head(plug_id, plug.title, (note,), room_mm, face=plug_id)


def _text_at(cavities: Iterable[str]) -> float:
    """Return where words begin beside the names of cavities, from the edge these stand at, mm."""
    names = (text_width_mm(c, style.TEXT_PIN_NUMBER, bold=True) for c in cavities)
    end = _NUMBER_AT_MM + min(max(names, default=0.0), _NAME_MM)
    return _NUMBER_MM if end + _CLOSE_MM <= _NUMBER_MM else end + _GAP_MM


def _half_width(texts: dict[str, str], text_at: float) -> float:
    widest = max((text_width_mm(text, style.TEXT_PIN) for text in texts.values()), default=0.0)
    return text_at + 3.0 + (min(widest, _TEXT_MM) + 3.0 if widest else 0.0)


def _first_row(scene: Scene, head_mm: float) -> float:
    """Height of the first pin row below a heading, on the grid, mm."""
    return up_to_grid(head_mm + _EDGE_MM, scene.row_mm)


def make_rows(
    scene: Scene,
    top: float,
    cavities: Iterable[tuple[str, tuple[WireEnd, ...], tuple[WireEnd, ...]]],
) -> tuple[Row, ...]:
    """Return the rows one below the other; a contact with two wires takes two lines."""
    rows: list[Row] = []
    y = top
    for cavity, left, right in cavities:
        rows.append(Row(cavity, y, scene.row_mm, left, right))
        y += rows[-1].lines * scene.row_mm
    return tuple(rows)


def _height(scene: Scene, rows: tuple[Row, ...]) -> float:
    last = rows[-1]
    return last.y + (last.lines - 1) * last.step + _EDGE_MM


def half_part(scene: Scene, half: Half, rows: tuple[Row, ...], title: Head, wires_at: Side) -> Part:
    """Return one half: body, a number and words for each row, its contacts, its wire ends."""
    plug = scene.design.plugs[half.plug]
    top = rows[0].y - _EDGE_MM
    height = _height(scene, rows) - top
    new = scene.is_new(plug.loom)
    items: list[Item] = [shifted(item, half.x, top) for item in title.items]
    items.append(body(half.x, top, half.width, height, new=new, tint=new))
    ports: list[Port] = []
    for row in rows:
        marks = list(row_marks(half, plug, row))
        ends = row.left if wires_at == "W" else row.right
        x = half.x if wires_at == "W" else half.x + half.width
        ports.extend(
            row_ports(node_name(half.plug, row.cavity), ends, row, x, side=wires_at, marks=marks)
        )
    return Part("plug", (("plug", half.plug),), tuple(items), tuple(ports), title=plug.title)


def row_ports(
    node: str,
    ends: tuple[WireEnd, ...],
    row: Row,
    x: float,
    *,
    side: Side,
    marks: list[Item],
) -> list[Port]:
    """Return the ports of one row; wires in one contact get a bar that joins them."""
    if not ends:
        return [Port(node, x, row.middle, side, "", tuple(marks))]
    ports = []
    offset = row.middle - (len(ends) - 1) * row.step / 2
    offset = round(offset / row.step) * row.step
    for index, end in enumerate(ends):
        ports.append(Port(node, x, offset + index * row.step, side, end.key))
    if len(ends) > 1:
        marks.append(line((x, ports[0].y), (x, ports[-1].y), width=style.LINE_HEAVY))
    first = ports[0]
    ports[0] = Port(first.node, first.x, first.y, first.side, first.key, tuple(marks))
    return ports


def row_marks(half: Half, plug: Plug, row: Row) -> Iterator[Item]:
    """Number, words, contact and standing of one row."""
    right = half.x + half.width
    base = row.middle + style.TEXT_PIN_NUMBER * 0.365
    text = fit(half.texts.get(row.cavity, ""), half.width - half.text_at - 3.0, style.TEXT_PIN)
    size = style.TEXT_PIN_NUMBER
    number = fit(row.cavity, _NAME_MM if text else half.width - 3.0, size, bold=True)
    if not text:
        yield words((half.x + right) / 2, base, number, size, bold=True, anchor="middle")
    elif half.number_at == "E":
        x = right - _NUMBER_AT_MM
        yield words(x, base, number, size, bold=True, anchor="end")
        yield words(right - half.text_at, base, text, style.TEXT_PIN, anchor="end")
    else:
        yield words(half.x + _NUMBER_AT_MM, base, number, size, bold=True)
        yield words(half.x + half.text_at, base, text, style.TEXT_PIN)
    if half.contacts_at == "E":
        yield contact_mark(plug.contacts, right, row.middle, "E")
    elif half.contacts_at == "W":
        yield contact_mark(plug.contacts, half.x, row.middle, "W")
    known = standing(plug.pins.get(row.cavity))
    if known:
        far = half.number_at if text else half.contacts_at
        x = half.x + STANDING_MM if far == "E" else right - STANDING_MM
        yield standing_mark(known, x, row.middle)


def contact_mark(contacts: str, x: float, y: float, side: Side) -> Item:
    """Return the contact at the edge of a half: a bar for a pin, a half circle for a socket."""
    if contacts == "pins":
        left = x if side == "E" else x - CONTACT_MM
        return Rect(left, y - 0.55, CONTACT_MM, 1.1, Pen(fill=style.INK))
    pen = Pen(style.INK, style.LINE_SYMBOL, fill=style.PAPER)
    start, end = (-90.0, 90.0) if side == "E" else (90.0, 270.0)
    if contacts == "sockets":
        return Arc((x, y), 1.3, start, end, pen)
    step = CONTACT_MM if side == "E" else -CONTACT_MM
    return line((x, y), (x + step, y), width=0.25)
