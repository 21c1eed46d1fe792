"""Parts with two ends as bare symbols: level between two sides, or upright at one side (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from wiregen.layout.kept import KeptSize
from wiregen.layout.schematic.block import (
    NOTE_MM,
    Block,
    Part,
    Port,
    Side,
    line,
    stamp,
    unseen_body,
    words,
)
from wiregen.layout.schematic.ends import WireEnd
from wiregen.layout.schematic.heads import up_to_grid
from wiregen.layout.schematic.held import held_lines, held_top, held_width
from wiregen.layout.schematic.scene import Scene
from wiregen.layout.schematic.small import earth_items
from wiregen.sheet import style
from wiregen.sheet.items import Anchor, Item
from wiregen.sheet.metrics import fit, text_width_mm
from wiregen.sheet.symbols import placed, symbol

_TEXT_NAME = 3.0
_CASE = "through its case"
_LINE_MM = 2.7
_LONG_MM = 15.0
"""Every two-ended symbol is this long with its leads."""


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
        case: earth its housing is bolted to, in place of the terminal that has no wire.
    """
    shape = symbol(kind)
    step = scene.row_mm
    leftward = bool(case) and bool(east[1])
    record = scene.design.earths.get(case)
    earth_mm = (
        earth_items(record, case, 0.0, 0.0, note=_CASE, leftward=leftward)[1] if case else 0.0
    )
    said, below = _level_words(notes, bool(case))
    ref = fit(device_id, 34.0, _TEXT_NAME, bold=True)
    ref_mm = text_width_mm(ref, _TEXT_NAME, True) + 1.5
    above = held_lines(scene, device_id, (said,), NOTE_MM, earth_mm + ref_mm) if said else ("",)
    if not case:
        below = list(held_lines(scene, device_id, below, NOTE_MM, 1.0))
    y = up_to_grid(shape.anchors[0][1][1] + 4.6 + _LINE_MM * (len(above) - 1), step)
    y = held_top(scene, device_id, y)
    above_mm = ref_mm + max(text_width_mm(text, NOTE_MM) for text in above)
    above_mm -= 0.0 if said else 1.5
    below_mm = max((text_width_mm(note, NOTE_MM, True) for note in below), default=0.0)
    if case:
        width = held_width(scene, device_id, earth_mm + _LONG_MM, earth_mm + above_mm)
        left = earth_mm if leftward else 0.0
    else:
        width = held_width(scene, device_id, _LONG_MM, max(above_mm, below_mm) + 1.0)
        left = (width - _LONG_MM) / 2
    anchor = shape.anchors[1 if mirror else 0][0]
    drawn = placed(shape, left, y, mirror=mirror, at=anchor)
    ref_x = left if case else (width - above_mm) / 2
    items: list[Item] = [
        unseen_body(left, drawn.y, _LONG_MM, drawn.height),
        stamp(placed(symbol(scene.shown(device_id, kind)), left, y, mirror=mirror, at=anchor)),
        words(ref_x, drawn.y - 1.0, ref, _TEXT_NAME, bold=True),
    ]
    for line_up, text in enumerate(reversed(above)):
        base = drawn.y - 1.0 - _LINE_MM * line_up
        items.append(words(ref_x + ref_mm, base, text, NOTE_MM, colour=style.SECONDARY))
    ports: list[Port] = []
    if case:
        hangs = left if leftward else left + _LONG_MM
        items += earth_items(record, case, hangs, y, note=_CASE, leftward=leftward)[0]
    if not case or not leftward:
        ports += _stacked(west, left, y, side="W", step=step, items=items)
    if not case or leftward:
        ports += _stacked(east, left + _LONG_MM, y, side="E", step=step, items=items)
    lowest = max(port.y for port in ports)
    between = below_mm <= _LONG_MM - 2.0
    base = max(drawn.y + drawn.height, lowest if lowest > y and not between else 0.0)
    at: Anchor = "end" if leftward else "start" if case else "middle"
    x = left + _LONG_MM if leftward else left if case else width / 2
    items += _below(below, x, base + 2.8, at, rated=cls == "fuse")
    last = lowest if lowest > y else 0.0
    height = max(
        base + 1.3 + _LINE_MM * len(below), last + 1.3, y + step / 2, y + 8.0 if case else 0.0
    )
    part = Part(cls, ((cls, device_id),), tuple(items), tuple(ports))
    flow = scene.flow.at(scene.ends.block_of[device_id])
    size = KeptSize(width, left, y)
    return Block(device_id, width, height, (part,), flow, ((device_id, size),))


def _below(
    notes: Sequence[str], x: float, y: float, anchor: Anchor, *, rated: bool
) -> Iterator[Item]:
    """Lines below a symbol; the rating of a fuse is bold."""
    for index, note in enumerate(notes):
        bold = rated and index == 0
        colour = style.INK if bold else style.SECONDARY
        base = y + _LINE_MM * index
        yield words(x, base, note, NOTE_MM, bold=bold, colour=colour, anchor=anchor)


def _level_words(notes: Sequence[str], case: bool) -> tuple[str, list[str]]:
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
    cls: str,
    *,
    upper: tuple[str, tuple[WireEnd, ...]],
    lower: tuple[str, tuple[WireEnd, ...]],
    side: Side,
    notes: tuple[str, ...],
    turned: bool = False,
) -> Block:
    """Return a part whose wires all come from one side: symbol upright, words beyond it.

    Args:
        scene: the sheet.
        device_id: what it is called.
        kind: its symbol.
        cls: class of its group, `device` or `fuse`.
        upper: terminal and the wire ends there; further wires come in above.
        lower: terminal and the wire ends there; further wires come in below.
        side: where the wires come from.
        notes: lines beside the symbol.
        turned: the lower terminal is the first one of the symbol.
    """
    step = scene.row_mm
    gap = up_to_grid(15.0, step)
    names = [end[0].partition(":")[2] for end in (upper, lower)]
    lane = max(5.0, *(text_width_mm(fit(name, 12.0, NOTE_MM), NOTE_MM) + 1.5 for name in names))
    top = step * len(upper[1])
    middle = top + gap / 2
    name = symbol(kind).anchors[1 if turned else 0][0]
    stood = partial(placed, y=middle - 7.5, turn=90, mirror=turned, at=name)
    drawn = stood(symbol(kind), 0.0)
    beyond = drawn.x + drawn.width if side == "W" else -drawn.x
    beyond = max(6.0, beyond + 1.5)
    texts = [fit(note, 34.0, NOTE_MM) for note in notes if note]
    texts = list(held_lines(scene, device_id, texts, NOTE_MM, lane + beyond + 0.5))
    ref = fit(device_id, 34.0, style.TEXT_BLOCK, bold=True)
    text_width = max(
        [text_width_mm(ref, style.TEXT_BLOCK, True)]
        + [text_width_mm(text, NOTE_MM) for text in texts]
    )
    words_mm = lane + beyond + 0.5 + text_width
    width = held_width(scene, device_id, lane + beyond, words_mm)
    at = lane if side == "W" else width - lane
    text_x = lane + beyond if side == "W" else min(0.0, width - words_mm)
    drawn = stood(symbol(kind), at)
    edge = 0.0 if side == "W" else width
    items: list[Item] = [
        unseen_body(drawn.x, middle - 7.5, drawn.width, 15.0),
        stamp(stood(symbol(scene.shown(device_id, kind)), at)),
        line((edge, top), (at, top), (at, middle - 7.5)),
        line((edge, top + gap), (at, top + gap), (at, middle + 7.5)),
    ]
    y = middle - (len(texts) * 2.8) / 2 + 1.0
    items.append(words(text_x, y, ref, style.TEXT_BLOCK, bold=True))
    for text in texts:
        y += 2.9
        items.append(words(text_x, y, text, NOTE_MM, colour=style.SECONDARY))
    above = _stacked(upper, edge, step, side=side, step=step, items=items)
    below = _stacked(lower, edge, top + gap, side=side, step=step, items=items)
    items.extend(terminal_name(port, side) for port in (above[-1], below[0]))
    part = Part(cls, ((cls, device_id),), tuple(items), (*above, *below))
    height = below[-1].y + step
    flow = scene.flow.at(scene.ends.block_of[device_id])
    size = KeptSize(width, edge)
    return Block(device_id, width, height, (part,), flow, ((device_id, size),))


def terminal_name(port: Port, side: Side) -> Item:
    """Return the name of a terminal over its lead."""
    name = port.node.partition(":")[2]
    x = port.x + 0.8 if side == "W" else port.x - 0.8
    anchor: Anchor = "start" if side == "W" else "end"
    return words(x, port.y - 0.8, fit(name, 12.0, NOTE_MM), NOTE_MM,
                 colour=style.SECONDARY, anchor=anchor)  # fmt: skip
