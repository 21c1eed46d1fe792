"""A trace drawn as one sheet: supply at the top, earth at the bottom (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from wiregen.connect import Network
from wiregen.connect.legs import Leg, legs_of, part_words
from wiregen.connect.ways import Trace, Way
from wiregen.layout.title import title_block
from wiregen.layout.trace_pieces import Piece, Pieces, pin_piece, pole_piece, reference_piece
from wiregen.model import Design
from wiregen.sheet import style
from wiregen.sheet.frame import A1, A2, A3, A4_PORTRAIT, Area, Frame, Paper, framed
from wiregen.sheet.items import Group, Item, Sheet, Text
from wiregen.sheet.metrics import wrap
from wiregen.sheet.moves import shifted

_PAPERS: tuple[tuple[Paper, int], ...] = ((A4_PORTRAIT, 2), (A3, 4), (A2, 6), (A1, 8))
_LINE_X = 25.0
_HEADING = 3.6
_BETWEEN = 7.0


@dataclass(frozen=True, slots=True)
class _Strand:
    """One chain of pieces, top to bottom, below a heading."""

    heading: str
    pieces: tuple[Piece, ...]

    @property
    def height(self) -> float:
        return sum(piece.height for piece in self.pieces)


def trace_sheet(
    design: Design,
    network: Network,
    found: Trace,
    *,
    said: Sequence[str] = (),
    mono: bool = False,
) -> Sheet:
    """Return a trace as one sheet.

    Args:
        design: the design.
        network: from `connect`.
        found: from `trace`.
        said: short sentences for the line below the heading, such as expected volts.
        mono: for printing without colours.
    """
    strands = _strands(Pieces(design, network, found.node, mono), found)
    block = title_block(design)
    notes = (*said, "ohm at 20 °C of each wire; fuses, switches and loads not counted")
    colours = tuple(dict.fromkeys(_colours(design, network, found)))

    def on(paper: Paper, notes: tuple[str, ...]) -> Frame:
        return framed(
            paper,
            block,
            heading=f"Trace of {found.node}",
            subheading=" · ".join(notes),
            colours=colours,
            mono=mono,
        )

    for paper, columns in _PAPERS:
        frame = on(paper, notes)
        items, left = _flow(strands, frame.area, columns)
        if not left:
            break
    if left:
        frame = on(paper, (f"{left} pieces found no room: see the printed trace", *notes))
    name = f"trace-{found.node.replace(':', '-')}"
    return frame.sheet(name, f"Trace of {found.node}", items)


def _colours(design: Design, network: Network, found: Trace) -> Iterator[str]:
    for way in (*found.up, *found.down):
        for hop in way.hops:
            if hop.kind == "wire":
                colour = design.wires[hop.id].colour
                yield colour.iec if colour else ""


def _strands(make: Pieces, found: Trace) -> tuple[_Strand, ...]:
    """Return the way through the pin first, then what the other ways add to it."""
    drawn = {found.node}
    returns = any(way.to == "load" for way in found.up)
    up, down = () if returns else found.up[:1], found.down[:1]
    legs: list[Leg] = []
    for way in up:
        legs += [_turned(leg) for leg in reversed(legs_of(make.design, make.network, way))]
        drawn.update(way.nodes)
    for way in down:
        legs += legs_of(make.design, make.network, way)
        drawn.update(way.nodes)
    head, foot = _ends(make.design, found, (up, down), returns=returns)
    strands = [_Strand("", (head, *make.chain(legs), *foot))]
    strands += [_branch(make, way, drawn, upwards=True) for way in found.up[len(up) :]]
    strands += [_branch(make, way, drawn, upwards=False) for way in found.down[1:]]
    return tuple(strand for strand in strands if strand.pieces)


def _ends(
    design: Design, found: Trace, ways: tuple[Sequence[Way], Sequence[Way]], *, returns: bool
) -> tuple[Piece, tuple[Piece, ...]]:
    """Return what the chain through the pin begins and ends with: a pole, or the pin itself."""
    up, down = ways
    supply = "" if returns else "no supply known"
    if not up and not down:
        said = ", ".join(words for words in (supply, "no earth known") if words)
        return pin_piece(found.node, said, top=True), ()
    head = pin_piece(found.node, supply, top=True)
    if up:
        said = "" if any(way.to for way in up) else "no supply known"
        head = pole_piece(design, up[0].end, said, top=True)
    if not down:
        return head, (pin_piece(found.node, "no earth known", top=False),)
    said = "" if any(way.to for way in found.down) else "no earth known"
    return head, (pole_piece(design, down[0].end, said, top=False),)


def _turned(leg: Leg) -> Leg:
    return replace(leg, start=leg.end, end=leg.start)


def _branch(make: Pieces, way: Way, drawn: set[str], *, upwards: bool) -> _Strand:
    """Return what a way adds to what is drawn: from where it leaves to where it comes back."""
    legs = list(legs_of(make.design, make.network, way))
    while legs and legs[0].end in drawn:
        legs.pop(0)
    back = next((n for n, leg in enumerate(legs, start=1) if leg.end in drawn), len(legs))
    legs = legs[:back]
    if not legs:
        return _Strand("", ())
    drawn.update(way.nodes)
    leaves, ends = legs[0].start, legs[-1].end
    through = ", ".join(part_words(make.design, load) for load in dict.fromkeys(way.loads))
    heading = f"Through {through}" if through else f"Also fed by {way.end}"
    if way.to == "load":
        heading = f"Return of {through}"
    if not way.to:
        heading += ", which leads nowhere"
    far = reference_piece(ends, upwards)
    if ends == way.end and way.to != "load":
        far = pole_piece(make.design, ends, "", top=upwards)
    near = reference_piece(leaves, not upwards)
    if upwards:
        chain = make.chain([_turned(leg) for leg in reversed(legs)])
        return _Strand(heading, (far, *chain, near))
    return _Strand(heading, (near, *make.chain(legs), far))


def _flow(strands: Sequence[_Strand], area: Area, columns: int) -> tuple[tuple[Item, ...], int]:
    """Fill columns from the left; return the items and how many pieces found no room."""
    width = area.width / columns
    items: list[Item] = []
    column, y, left = 0, area.y, 0
    for strand in strands:
        lines = wrap(strand.heading, width - 6.0, style.TEXT_PIN, True) if strand.heading else ()
        head = len(lines) * _HEADING + (1.5 if lines else 0.0)
        if y > area.y and y + head + min(strand.height, 60.0) > area.bottom:
            column, y = column + 1, area.y
        for line in lines:
            y += _HEADING
            if column < columns:
                at = (line, True, style.INK)
                items.append(Text(area.x + column * width, y, (at,), style.TEXT_PIN))
        y += 1.5 if lines else 0.0
        for number, piece in enumerate(strand.pieces):
            last = number == len(strand.pieces) - 1
            room = area.bottom - (0.0 if last else reference_piece("", False).height)
            if y + piece.height > room:
                if column < columns and number:
                    items += _placed(reference_piece(piece.start, False), area, column, width, y)
                column, y = column + 1, area.y
                if column < columns and number:
                    again = reference_piece(piece.start, True)
                    items += _placed(again, area, column, width, y)
                    y += again.height
            if column >= columns:
                left += 1
            else:
                items += _placed(piece, area, column, width, y)
            y += piece.height
        y += _BETWEEN
    return tuple(items), left


def _placed(piece: Piece, area: Area, column: int, width: float, y: float) -> Iterator[Item]:
    x = area.x + column * width + _LINE_X
    for item in piece.items:
        yield shifted(item, x, y) if not isinstance(item, Group) else _moved(item, x, y)


def _moved(group: Group, x: float, y: float) -> Group:
    data = tuple(
        (key, f"{float(value) + (x if key == 'x' else y):.2f}" if key in ("x", "y") else value)
        for key, value in group.data
    )
    return replace(group, items=tuple(shifted(item, x, y) for item in group.items), data=data)
