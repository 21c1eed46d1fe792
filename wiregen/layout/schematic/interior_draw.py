"""Drawing the inside of a box: leads, symbols at rest, dots, linkages, names (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from wiregen.layout.schematic.block import NOTE_MM, line, stamp, words
from wiregen.layout.schematic.interior import (
    BUS_MM,
    COLUMN_MM,
    LABEL_MM,
    LEVEL_MM,
    NOTE_ROOM,
    NOTE_X,
    UPRIGHT_MM,
    Columns,
    Inner,
    Rows,
    buses,
    column_mm,
)
from wiregen.sheet import style
from wiregen.sheet.items import Anchor, Circle, Item, Path, Pen
from wiregen.sheet.metrics import fit
from wiregen.sheet.symbols import Turn, placed, symbol

_DASHED = Pen(style.INK, 0.25, dash=(1.0, 0.8))


def draw_interior(
    found: Columns, rows: Rows, left_mm: float, right_mm: float, ends: Mapping[str, float]
) -> tuple[Item, ...]:
    """Return leads, symbols and names of all inner parts.

    Args:
        found: the parts in columns.
        rows: heights of the pins.
        left_mm: where the columns of the left edge begin.
        right_mm: where the columns of the right edge begin, counted from the right.
        ends: node -> x where its own words end: leads start there.
    """
    items: list[Item] = []
    reach: dict[str, float] = {}
    taps: dict[str, list[float]] = {}
    for side, parts, start, sign in (
        ("W", found.left, left_mm, 1.0),
        ("E", found.right, right_mm, -1.0),
    ):
        x = start
        for part in parts:
            lane = x + sign * (COLUMN_MM / 2 if part.symbol else 1.5)
            if side == "E" and part.symbol:
                lane = x - column_mm(part) + COLUMN_MM / 2
            items.extend(_upright(part, rows, lane))
            for node in (part.a, part.b):
                taps.setdefault(node, []).append(lane)
                reach[node] = lane
            x += sign * column_mm(part)
    for node, lanes in taps.items():
        items.append(line((ends[node], rows.y(node)), (reach[node], rows.y(node))))
        for lane in lanes:
            if abs(lane - reach[node]) > 0.01:
                items.append(dot(lane, rows.y(node)))
    items.extend(_level(found, rows, (left_mm, right_mm), ends, reach))
    return tuple(items)


def dot(x: float, y: float) -> Circle:
    """Return the dot that joins lines inside a box."""
    return Circle((x, y), 0.6, Pen(fill=style.INK))


def _upright(part: Inner, rows: Rows, x: float) -> list[Item]:
    """A part in its column: symbol midway between its pins, leads up and down."""
    ya, yb = rows.y(part.a), rows.y(part.b)
    if not part.symbol:
        return [line((x, ya), (x, yb))]
    top, bottom = sorted((ya, yb))
    middle = (top + bottom) / 2
    turn: Turn = 90 if ya < yb else 270
    anchor = symbol(part.drawn).anchors[0][0]
    start = middle - UPRIGHT_MM / 2 if ya < yb else middle + UPRIGHT_MM / 2
    drawn = placed(symbol(part.drawn), x, start, turn=turn, at=anchor)
    items: list[Item] = [stamp(drawn, (part.a, part.b))]
    if bottom - top > UPRIGHT_MM:
        items.append(line((x, top), (x, middle - UPRIGHT_MM / 2)))
        items.append(line((x, middle + UPRIGHT_MM / 2), (x, bottom)))
    items.extend(names(part, max(x + 3.0, drawn.x + drawn.width) + 1.0, middle))
    return items


def names(part: Inner, x: float, y: float) -> list[Item]:
    """Return the words beside a part: its name bold, a note below."""
    items: list[Item] = []
    up = 0.3 if part.note else -0.9
    if part.name:
        name = fit(part.name, LABEL_MM, style.TEXT_PIN, bold=True)
        items.append(words(x, y - up, name, style.TEXT_PIN, bold=True))
    if part.note:
        note = fit(part.note, LABEL_MM, NOTE_MM)
        items.append(words(x, y + 2.5, note, NOTE_MM, colour=style.SECONDARY))
    return items


def _level(
    found: Columns,
    rows: Rows,
    span_mm: tuple[float, float],
    ends: Mapping[str, float],
    reach: Mapping[str, float],
) -> list[Item]:
    """Parts between the edges, each on the height of the pin that only it uses."""
    if not found.level:
        return []
    left, right = span_mm[0] + found.left_mm, span_mm[1] - found.right_mm
    room_left, room_right = found.level_mm
    middle = left + room_left + max(0.0, right - left - room_left - room_right) / 2
    lanes = {
        node: edge + sign * (1.0 + BUS_MM * index)
        for edge, sign, pins in ((left, 1.0, found.at_left), (right, -1.0, found.at_right))
        for index, node in enumerate(buses(found.level, pins))
    }
    items: list[Item] = []
    touched: dict[str, list[float]] = {}
    heights = found.heights(rows)
    for part, y in zip(found.level, heights, strict=True):
        west, east = (part.a, part.b) if part.a in found.at_left else (part.b, part.a)
        half = LEVEL_MM / 2 if part.symbol else 0.0
        for node, stop, jog in (
            (west, middle - half, left + 0.5),
            (east, middle + half, right - 0.5),
        ):
            if node in lanes:
                items.append(line((lanes[node], y), (stop, y)))
                touched.setdefault(node, []).append(y)
                continue
            own, begin = rows.y(node), reach.get(node, ends[node])
            straight = abs(own - y) < 0.01
            corners = [(begin, own), *([] if straight else [(jog, own), (jog, y)]), (stop, y)]
            items.append(line(*corners))
        if part.symbol:
            items.extend(_level_symbol(part, part.a == east, middle, y, found.notes_left))
    for node, met in touched.items():
        items.extend(_bus(lanes[node], reach.get(node, ends[node]), rows.y(node), met))
    items.extend(_linkage(found.level, heights, middle))
    return items


def _bus(x: float, begin: float, own: float, heights: Sequence[float]) -> list[Item]:
    """The upright line from a pin to the level parts that share it, with dots."""
    top, bottom = min(*heights, own), max(*heights, own)
    dots = (dot(x, y) for y in dict.fromkeys((*heights, own)) if top < y < bottom)
    return [line((x, top), (x, bottom)), line((begin, own), (x, own)), *dots]


def _linkage(level: Sequence[Inner], heights: Sequence[float], x: float) -> list[Item]:
    """The dashed line from a coil to its contacts, or between the contacts of a switch."""
    pairs = list(zip(level, heights, strict=True))
    linked = [y for part, y in pairs if part.linked]
    coils = [y for part, y in pairs if part.symbol == "relay coil"]
    if not linked or (len(linked) < 2 and not coils):
        return []
    top = coils[0] + 4.0 if coils else min(linked) - 1.5
    return [Path(((x, top), (x, max(linked) - 1.5)), _DASHED)] if max(linked) > top else []


def _level_symbol(
    part: Inner, mirror: bool, x: float, y: float, notes_left: bool
) -> Iterator[Item]:
    """A level symbol with its middle at x, its name over it, its note over the free lead."""
    shape = symbol(part.drawn)
    terminal = shape.anchors[1 if mirror else 0][0]
    drawn = placed(shape, x - LEVEL_MM / 2, y, mirror=mirror, at=terminal)
    yield stamp(drawn, (part.a, part.b))
    if part.name:
        name = fit(part.name, LEVEL_MM + 4.0, style.TEXT_PIN, bold=True)
        yield words(x, drawn.y - 0.8, name, style.TEXT_PIN, bold=True, anchor="middle")
    if part.note:
        note = fit(part.note, NOTE_ROOM, NOTE_MM)
        off = NOTE_X + (1.2 if part.drawn == "closed contact" else 0.0)
        at = x - off if notes_left else x + off
        anchor: Anchor = "end" if notes_left else "start"
        yield words(at, y - 1.0, note, NOTE_MM, colour=style.SECONDARY, anchor=anchor)
