"""Small blocks: splices, earths, loose ends, references to other sheets, parts with two ends."""

from __future__ import annotations

from collections.abc import Sequence

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
from wiregen.layout.schematic.heads import up_to_grid
from wiregen.layout.schematic.scene import Scene
from wiregen.model import Earth
from wiregen.sheet import style
from wiregen.sheet.items import Circle, Item, Pen, Rect
from wiregen.sheet.metrics import fit, text_width_mm
from wiregen.sheet.symbols import placed, symbol

SPLICE_MM = 2.5
_EARTH_TEXT_MM = 30.0
_TEXT_REFERENCE = 2.5
_TEXT_NAME = 3.0


def splice_block(scene: Scene, splice_id: str) -> Block:
    """Return a splice: a dot, drawn out to an upright bar where many wires meet.

    Its ports are free: the layout engine chooses side and height of each.
    """
    ends = scene.at[splice_id]
    places = len(ends) if len(ends) <= 4 else (len(ends) * 2 + 2) // 3
    step = scene.row_mm
    ports = tuple(
        Port(splice_id, 0.0, step * (1 + min(i, places - 1)), "W", end.key)
        for i, end in enumerate(ends)
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
    return Part("splice", (("splice", splice_id),), (capsule, name), tuple(ports), record.title)


def earth_symbol(kind: str) -> str:
    """Return the symbol of an earth kind."""
    return "isolated earth" if kind == "isolated" else "earth"


def earth_items(
    earth: Earth | None, earth_id: str, x: float, y: float, note: str = ""
) -> tuple[tuple[Item, ...], float]:
    """Return an earth symbol hanging from (x, y) with its name, and the width right of x, mm."""
    drawn = placed(symbol(earth_symbol(earth.kind if earth else "")), x, y, at="1")
    says = note or (earth.title if earth else "not in the design")
    says = fit(says, _EARTH_TEXT_MM, NOTE_MM)
    name = fit(earth_id, _EARTH_TEXT_MM, style.TEXT_PIN, bold=True)
    text_x = x + 4.0
    items = (
        stamp(drawn),
        words(text_x, y + 4.4, name, style.TEXT_PIN, bold=True),
        words(text_x, y + 7.2, says, NOTE_MM, colour=style.SECONDARY),
    )
    width = max(text_width_mm(name, style.TEXT_PIN, bold=True), text_width_mm(says, NOTE_MM))
    return items, 4.0 + width


def earth_block(scene: Scene, end: WireEnd, side: Side) -> Block:
    """Return the earth symbol that one wire ends on."""
    earth = scene.design.earths.get(end.owner)
    stem = 4.2
    items, right = earth_items(earth, end.owner, stem, 0.0)
    width = stem + right
    x = 0.0
    if side == "E":
        items, right = earth_items(earth, end.owner, 3.8, 0.0)
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
    text_x, anchor = (3.6, "start") if side == "W" else (width - 3.6, "end")
    items: tuple[Item, ...] = (
        unseen_body(0.0, 0.0, width, 2 * y),
        cap,
        words(text_x, y + 0.9, says, style.TEXT_PIN, bold=True, anchor=anchor),  # type: ignore[arg-type]
        words(text_x, y + 3.9, why, NOTE_MM, colour=style.SECONDARY, anchor=anchor),  # type: ignore[arg-type]
    )
    port = Port(end.node, x, y, side, end.key)
    part = Part("loose-end", (("wire", end.wire),), items, (port,), wire.why)
    return Block(end.block, width, 2 * y, (part,), scene.flow.at(end.block))


def reference_block(scene: Scene, here: WireEnd, there: WireEnd, side: Side) -> Block:
    """Return the room for the mark where a wire goes on to another sheet; see `reference_part`."""
    text = f"{there.node or 'loose end'}, sheet 00 A0"
    width = text_width_mm(text, _TEXT_REFERENCE, bold=True) + 6.5
    x = 0.0 if side == "W" else width
    port = Port("", x, scene.row_mm / 2, side, f"{here.key}>")
    part = Part("reference", (), (), (port,))
    return Block(f"ref {here.key}", width, scene.row_mm, (part,), scene.flow.at(there.block))


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
    data = (
        ("wire", there.wire),
        ("to", there.node),
        ("sheet", sheet),
        ("zone", zone),
        ("x", number(port.x)),
        ("y", number(port.y)),
    )
    return Part("reference", data, (label,))


def level_block(
    scene: Scene,
    device_id: str,
    kind: str,
    cls: str,
    *,
    west: tuple[str, tuple[WireEnd, ...]],
    east: tuple[str, tuple[WireEnd, ...]],
    notes: tuple[str, ...],
    mirror: bool = False,
    case: str = "",
) -> Block:
    """Return a part with two ends as a level symbol, its id above, its facts below.

    Args:
        scene: the sheet.
        device_id: what it is called.
        kind: its symbol.
        cls: class of its group, `device` or `fuse`.
        west: left terminal and the wire ends there.
        east: right terminal and the wire ends there; unused where `case` is given.
        notes: lines below the symbol; the first is printed bold.
        mirror: draw the symbol flipped.
        case: earth its housing is bolted to, in place of the right terminal.
    """
    shape = symbol(kind)
    step = scene.row_mm
    ref = fit(device_id, 34.0, _TEXT_NAME, bold=True)
    above, below = _level_words(notes, cls, bool(case))
    ref_mm = text_width_mm(ref, _TEXT_NAME, True) + (
        1.5 + text_width_mm(above, NOTE_MM) if above else 0.0
    )
    below_mm = max((text_width_mm(note, NOTE_MM, True) for note in below), default=0.0)
    width = max(15.0, ref_mm + 1.0, below_mm + 1.0)
    y = up_to_grid(shape.anchors[0][1][1] + 4.6, step)
    left = 0.0 if case else (width - 15.0) / 2
    anchor = shape.anchors[1 if mirror else 0][0]
    drawn = placed(shape, left, y, mirror=mirror, at=anchor)
    ref_x = 0.0 if case else (width - ref_mm) / 2
    items: list[Item] = [
        unseen_body(left, drawn.y, 15.0, drawn.height),
        stamp(drawn),
        words(ref_x, drawn.y - 1.0, ref, _TEXT_NAME, bold=True),
    ]
    if above:
        x = ref_x + text_width_mm(ref, _TEXT_NAME, True) + 1.5
        items.append(words(x, drawn.y - 1.0, above, NOTE_MM, colour=style.SECONDARY))
    stacked = max(len(west[1]), 0 if case else len(east[1]))
    base = max(drawn.y + drawn.height, y + (stacked - 1) * step if stacked > 1 else 0.0) + 2.8
    for index, note in enumerate(below):
        bold = index == 0 and cls == "fuse"
        colour = style.INK if bold else style.SECONDARY
        x, at = (0.0, "start") if case else (width / 2, "middle")
        items.append(words(x, base, note, NOTE_MM, bold=bold, colour=colour, anchor=at))  # type: ignore[arg-type]
        base += 2.7
    height = max(base - 1.5, y + step / 2)
    ports = _stacked(west, left, y, side="W", step=step, items=items)
    if case:
        earth, right = earth_items(
            scene.design.earths.get(case), case, left + 15.0, y, "through its case"
        )
        items.extend(earth)
        width = max(width, left + 15.0 + right)
        height = max(height, y + 8.0)
    else:
        ports += _stacked(east, left + 15.0, y, side="E", step=step, items=items)
    height = max(height, max((port.y for port in ports), default=0.0) + 1.0)
    part = Part(cls, ((cls, device_id),), tuple(items), tuple(ports))
    return Block(device_id, width, height, (part,), scene.flow.at(scene.ends.block_of[device_id]))


def _level_words(notes: Sequence[str], cls: str, case: bool) -> tuple[str, list[str]]:
    """Return what stands beside the name, and the lines below the symbol."""
    said = [fit(note, 32.0, NOTE_MM) for note in notes if note]
    if case and said:
        room = 11.0
        short = [note for note in said[1:] if text_width_mm(note, NOTE_MM) <= room]
        rest = [note for note in said[1:] if note not in short]
        return " · ".join([said[0], *rest]), short
    return "", said


def _stacked(
    terminal: tuple[str, tuple[WireEnd, ...]],
    x: float,
    y: float,
    *,
    side: Side,
    step: float,
    items: list[Item],
) -> list[Port]:
    """Ports of one terminal; further wires on it come in below, joined by a bar."""
    node, ends = terminal
    if not ends:
        return [Port(node, x, y, side)]
    if len(ends) > 1:
        items.append(line((x, y), (x, y + step * (len(ends) - 1)), width=style.LINE_HEAVY))
    return [Port(node, x, y + index * step, side, end.key) for index, end in enumerate(ends)]


def upright_block(
    scene: Scene,
    device_id: str,
    kind: str,
    *,
    first: tuple[str, WireEnd],
    second: tuple[str, WireEnd],
    side: Side,
    lines: tuple[str, ...],
) -> Block:
    """Return a part both of whose wires come from one side: symbol upright, words beyond it."""
    step = scene.row_mm
    gap = up_to_grid(15.0, step)
    texts = [fit(line_, 34.0, NOTE_MM) for line_ in lines if line_]
    ref = fit(device_id, 34.0, style.TEXT_BLOCK, bold=True)
    text_width = max(
        [text_width_mm(ref, style.TEXT_BLOCK, True)]
        + [text_width_mm(text, NOTE_MM) for text in texts]
    )
    names = [end[0].partition(":")[2] for end in (first, second)]
    lane = max(5.0, *(text_width_mm(fit(name, 12.0, NOTE_MM), NOTE_MM) + 1.5 for name in names))
    width = lane + 6.5 + text_width
    at = lane if side == "W" else width - lane
    text_x = lane + 6.0 if side == "W" else 0.0
    top = step
    middle = top + gap / 2
    name = symbol(kind).anchors[0][0]
    drawn = placed(symbol(kind), at, middle - 7.5, turn=90, at=name)
    edge = 0.0 if side == "W" else width
    items: list[Item] = [
        unseen_body(drawn.x, middle - 7.5, drawn.width, 15.0),
        stamp(drawn),
        line((edge, top), (at, top), (at, middle - 7.5)),
        line((edge, top + gap), (at, top + gap), (at, middle + 7.5)),
    ]
    y = middle - (len(texts) * 2.8) / 2 + 1.0
    items.append(words(text_x, y, ref, style.TEXT_BLOCK, bold=True))
    for text in texts:
        y += 2.9
        items.append(words(text_x, y, text, NOTE_MM, colour=style.SECONDARY))
    ports = (
        Port(first[0], edge, top, side, first[1].key),
        Port(second[0], edge, top + gap, side, second[1].key),
    )
    items.extend(terminal_name(port, side) for port in ports)
    part = Part("device", (("device", device_id),), tuple(items), ports)
    return Block(device_id, width, top + gap + step, (part,), scene.flow.at(device_id))


def terminal_name(port: Port, side: Side) -> Item:
    """Return the name of a terminal over its lead."""
    name = port.node.partition(":")[2]
    x, anchor = (port.x + 0.8, "start") if side == "W" else (port.x - 0.8, "end")
    return words(x, port.y - 0.8, fit(name, 12.0, NOTE_MM), NOTE_MM,
                 colour=style.SECONDARY, anchor=anchor)  # type: ignore[arg-type] # fmt: skip


def stud(x: float, y: float) -> Circle:
    """Return the mark of a screw terminal at the edge of a box."""
    return Circle((x, y), 0.75, Pen(style.INK, 0.3, fill=style.PAPER))
