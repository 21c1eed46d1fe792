"""The pieces a drawn trace is put together from, top end at (0, 0), line going down (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wiregen.connect import Network, split_node
from wiregen.connect.legs import Leg, ohm_words
from wiregen.layout.schematic.fuses import fuse_symbol
from wiregen.layout.schematic.parts import CONTACT_KINDS, symbol_kind
from wiregen.model import Design
from wiregen.sheet import style
from wiregen.sheet.items import Circle, Group, Item, Path, Pen, Rect, Text
from wiregen.sheet.metrics import text_width_mm, wrap
from wiregen.sheet.symbols import placed, symbol
from wiregen.sheet.wire import LabelSpot, wire_group

TEXT_X = 5.0
TEXT_WIDTH = 52.0
_WIRE = 15.0
_PART = 15.0
_JOINT = 7.0
_POLE = 9.0
_HALF = 5.6
_PLUG = 2 * _HALF + 2.4
_NOTE = style.TEXT_SMALL
_LINE = 3.0
_PLAIN_LOADS = ("unit", "battery", "alternator", *CONTACT_KINDS)


@dataclass(frozen=True, slots=True)
class Piece:
    """One leg, drawn downwards.

    Attributes:
        start: node at its top end.
        items: what is drawn.
        height: mm.
    """

    start: str
    items: tuple[Item, ...]
    height: float


@dataclass(frozen=True, slots=True)
class Pieces:
    """Makes the pieces of one trace.

    Attributes:
        design: the design.
        network: from `connect`.
        asked: the pin that is traced; it is shown reversed.
        mono: for printing without colours.
    """

    design: Design
    network: Network
    asked: str
    mono: bool

    def chain(self, legs: Sequence[Leg]) -> list[Piece]:
        """Return the pieces of some legs, from the top down; their first node is not named."""
        return [self._piece(leg, named=number > 0) for number, leg in enumerate(legs)]

    def _piece(self, leg: Leg, named: bool) -> Piece:
        if leg.kind == "plug":
            return _plug_piece(leg, self.asked)
        items: tuple[Item, ...]
        if leg.kind == "wire":
            items, height = _wire_items(self.design, self.network, leg, self.mono), _WIRE
        elif leg.kind == "joint":
            items, height = (_line(0.0, _JOINT), *_notes(leg.words, 1.5, bold=False)), _JOINT
        else:
            items, height = _part_items(self.design, leg), _PART
        plug = split_node(leg.start)[0]
        boxed = plug in self.design.plugs and self.network.mate(plug) is not None
        if named and not boxed:
            items = (*items, *_name(leg.start, self.asked))
        return Piece(leg.start, items, height)


def pole_piece(design: Design, node: str, words: str, *, top: bool) -> Piece:
    """Return the end of a chain: a heavy bar with the name of the pole, or an earth symbol."""
    owner = split_node(node)[0]
    titles: list[str] = []
    if owner in design.devices:
        titles.append(design.devices[owner].title)
    if owner in design.earths:
        titles.append(design.earths[owner].title)
    bar_y = 4.0 if top else 3.0
    items: list[Item] = [
        Path(((-8.0, bar_y), (8.0, bar_y)), Pen(style.INK, style.LINE_HEAVY)),
        _line(bar_y, _POLE) if top else _line(0.0, bar_y),
    ]
    if not top and owner in design.earths:
        items = [placed(symbol("earth"), 0.0, 0.0, at="1").group]
    x, y = (-8.0, 2.6) if top else (TEXT_X + 5.0, bar_y + 0.9)
    items.append(Text(x, y, ((node, True, style.INK),), style.TEXT_PIN))
    x += text_width_mm(node, style.TEXT_PIN, True) + 2.0
    title = ", ".join(part for part in (*titles, words) if part)
    items.append(Text(x, y, ((title, False, style.SECONDARY),), _NOTE))
    return Piece(node, tuple(items), _POLE)


def pin_piece(node: str, words: str, *, top: bool) -> Piece:
    """Return the pin asked for where a chain begins or ends at it, and why it does."""
    width = text_width_mm(node, style.TEXT_PIN, True) + 4.0
    y = 0.6 if top else 3.4
    box = Rect(-width / 2, y, width, _HALF, Pen(fill=style.INK), corner=1.0, cls="body")
    at = ((node, True, style.PAPER),)
    name = Text(0.0, y + 3.7, at, style.TEXT_PIN, anchor="middle")
    line = _line(y + _HALF, _POLE) if top else _line(0.0, y)
    said = Text(width / 2 + 2.0, y + 3.7, ((words, False, style.SECONDARY),), _NOTE)
    return Piece(node, (Group((box, name), cls="pin", data=(("pin", node),)), line, said), _POLE)


def reference_piece(node: str, above: bool) -> Piece:
    """Return the mark where a chain goes on elsewhere on the sheet."""
    height = 8.0
    words = f"from {node}" if above else f"on to {node}"
    ends = (4.2, height) if above else (0.0, 3.6)
    y = 3.0 if above else 6.6
    said = Text(0.0, y, ((words, True, style.INK),), style.TEXT_PIN, anchor="middle")
    return Piece(node, (_line(*ends), said), height)


def _line(start: float, end: float) -> Path:
    return Path(((0.0, start), (0.0, end)), Pen(style.INK, style.LINE_SYMBOL))


def _wire_items(design: Design, network: Network, leg: Leg, mono: bool) -> tuple[Item, ...]:
    wire = design.wires[leg.id]
    written = network.written[wire.id]
    drawn = wire_group(
        wire.id,
        start=written[0],
        end=written[-1],
        colour=leg.colour,
        size=wire.size.printed if wire.size else "",
        runs=(((0.0, 0.0), (0.0, _WIRE)),),
        labels=(LabelSpot(TEXT_X - 1.5, 6.8),),
        fate="new" if design.status_of(wire) == "new" else "existing",
        mono=mono,
    )
    facts = [f"{leg.length_mm:g} mm" if leg.length_mm is not None else "length not given"]
    if leg.ohm is not None:
        facts.append(ohm_words(leg.ohm).replace("ohm", "Ω"))
    items: list[Item] = [drawn, _grey(" · ".join(facts), 9.9)]
    if leg.change:
        words = (f"colour changes: {leg.change}", True, style.ATTENTION)
        items.append(Text(TEXT_X - 1.5, 13.0, (words,), _NOTE))
    return (*items, *_splices(design, leg))


def _splices(design: Design, leg: Leg) -> Iterator[Item]:
    """Dots at splices, each named once: where the leg below begins."""
    for node, y in ((leg.start, 0.0), (leg.end, _WIRE)):
        if node in design.splices:
            yield Circle((0.0, y), 1.25, Pen(fill=style.INK))
    record = design.splices.get(leg.start) or design.earths.get(leg.start)
    if record is not None and record.title:
        yield _grey(record.title, 0.8)


def _grey(words: str, y: float) -> Text:
    return Text(TEXT_X - 1.5, y, ((words, False, style.SECONDARY),), _NOTE)


def _plug_piece(leg: Leg, asked: str) -> Piece:
    """Both contacts of a mated pair, one above the other."""
    items: list[Item] = []
    tops = (0.6, _HALF + 1.4)
    for node, y in zip((leg.start, leg.end), tops, strict=True):
        ink, paper = (style.PAPER, style.INK) if node == asked else (style.INK, style.PAPER)
        width = max(18.0, text_width_mm(node, style.TEXT_PIN, True) + 4.0)
        pen = Pen(style.INK, style.LINE_SYMBOL, fill=paper)
        box = Rect(-width / 2, y, width, _HALF, pen, corner=1.0, cls="body")
        name = Text(0.0, y + 3.7, ((node, True, ink),), style.TEXT_PIN, anchor="middle")
        items.append(Group((box, name), cls="pin", data=(("pin", node),)))
    items += [_line(0.0, 0.6), _line(tops[0] + _HALF, tops[1]), _line(tops[1] + _HALF, _PLUG)]
    items += _notes("|".join(w for w in (leg.words, leg.probe) if w), 0.6, left=12.0)
    return Piece(leg.start, tuple(items), _PLUG)


def _part_items(design: Design, leg: Leg) -> tuple[Item, ...]:
    """A fuse, contact, load or diode as its symbol, upright."""
    shape = symbol(_shape(design, leg))
    back = leg.kind == "diode" and leg.start.endswith(":minus")
    at = "cathode" if back else shape.anchors[0][0]
    drawn = placed(shape, 0.0, 0.0, turn=270 if back else 90, at=at)
    foot = max(y for _, y in drawn.anchors.values())
    lead = (_line(foot, _PART),) if foot < _PART else ()
    left = max(TEXT_X + 1.5, drawn.x + drawn.width + 2.0)
    return (drawn.group, *lead, *_notes(leg.words.replace(", ", "|", 1), 4.0, left=left))


def _shape(design: Design, leg: Leg) -> str:
    """Return the symbol of a part."""
    if leg.kind == "fuse":
        return fuse_symbol(design.fuses[leg.id])
    owner, _, inner = leg.id.partition(".")
    device = design.devices.get(leg.id) or design.devices.get(owner)
    if device is None:
        return "load"
    kind = device.inside.get(inner, device).kind if device.id != leg.id else device.kind
    if leg.kind == "contact":
        return kind if kind in ("isolator", "flasher") else "switch"
    if kind == "relay":
        return "relay coil"
    return "load" if kind in _PLAIN_LOADS else symbol_kind(kind)


def _notes(words: str, y: float, *, left: float = TEXT_X, bold: bool = True) -> Iterator[Text]:
    """Words beside the line: what is before the bar strong, the rest small and grey."""
    first, _, rest = words.partition("|")
    room = TEXT_WIDTH + TEXT_X - left
    y += 2.6
    ink = style.INK if bold else style.SECONDARY
    size = style.TEXT_WIRE if bold else _NOTE
    for line in wrap(first, room, size, bold, max_lines=2):
        yield Text(left, y, ((line, bold, ink),), size)
        y += _LINE
    for line in wrap(rest, room, _NOTE, max_lines=3) if rest else ():
        yield Text(left, y, ((line, False, style.SECONDARY),), _NOTE)
        y += _LINE


def _name(node: str, asked: str) -> Iterator[Item]:
    """A node left of the line, reversed where it is the pin asked for."""
    ink = style.INK
    if node == asked:
        width = text_width_mm(node, style.TEXT_WIRE, True) + 2.0
        yield Rect(-2.2 - width, -1.7, width, 3.4, Pen(fill=style.INK), corner=0.6)
        ink = style.PAPER
    yield Text(-3.2, 0.8, ((node, True, ink),), style.TEXT_WIRE, anchor="end")
