"""What is drawn inside a box: parts between its pins, contacts at rest, coils, links (mm).

A part between two pins of one edge stands upright in a column of its own; a part between pins of
opposite edges lies level. Columns are nested, the part with the nearest pins next to its edge, so
that leads do not cross where they need not.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from wiregen.layout.schematic.block import NOTE_MM, Side, line, stamp, words
from wiregen.sheet import style
from wiregen.sheet.items import Circle, Item, Path, Pen
from wiregen.sheet.metrics import fit, text_width_mm
from wiregen.sheet.symbols import placed, symbol

UPRIGHT_MM = 15.0
"""Height of an upright part with its leads."""
LEVEL_MM = 15.0
"""Width of a level part with its leads."""
CLEAR_MM = 10.0
"""Least distance of two level parts."""
_COLUMN_MM = 8.5
_LABEL_MM = 22.0
_BUS_MM = 2.0
_NOTE_X = 5.2
"""Notes of a level part begin this far from its middle, mm."""
_NOTE_ROOM = 24.0
_DASHED = Pen(style.INK, 0.25, dash=(1.0, 0.8))


@dataclass(frozen=True, slots=True)
class Inner:
    """A part between two pins of the box, or metal where `symbol` is empty.

    Attributes:
        symbol: kind of its symbol.
        a: node it starts at (its plus side).
        b: node it ends at.
        name: printed bold beside it.
        note: printed grey below that.
        linked: a contact that a coil above it moves.
    """

    symbol: str
    a: str
    b: str
    name: str = ""
    note: str = ""
    linked: bool = False


@dataclass(slots=True)
class Rows:
    """Heights of the pins of a box at each edge, changed while room is made for the parts."""

    at: dict[Side, dict[str, float]] = field(default_factory=lambda: {"W": {}, "E": {}})

    def side_of(self, node: str) -> Side | None:
        """Return the edge a pin is at, None for a pin that is not drawn."""
        return next((side for side in ("W", "E") if node in self.at[side]), None)

    def y(self, node: str) -> float:
        """Return the height of a pin, mm."""
        for side in ("W", "E"):
            if node in self.at[side]:
                return self.at[side][node]
        raise KeyError(node)

    def push(self, side: Side, from_mm: float, by_mm: float) -> None:
        """Move every pin of an edge at or below a height further down, mm."""
        rows = self.at[side]
        for node, y in rows.items():
            if y >= from_mm - 1e-6:
                rows[node] = y + by_mm


def drawable(inners: Sequence[Inner], rows: Rows) -> tuple[Inner, ...]:
    """Return the parts whose two pins are both drawn."""
    return tuple(
        part
        for part in inners
        if part.a != part.b and rows.side_of(part.a) and rows.side_of(part.b)
    )


def reached(inners: Sequence[Inner], wired: frozenset[str]) -> tuple[Inner, ...]:
    """Return the parts that hang together with a pin that a wire of the sheet reaches."""
    seen, kept = set(wired), list[Inner]()
    todo = list(inners)
    while todo:
        more = [part for part in todo if part.a in seen or part.b in seen]
        if not more:
            break
        seen |= {node for part in more for node in (part.a, part.b)}
        kept += more
        todo = [part for part in todo if part not in more]
    return tuple(part for part in inners if part in kept)


def make_room(inners: Sequence[Inner], rows: Rows, step_mm: float) -> None:
    """Spread the pin rows so that every part has room, and level parts lie straight."""
    for part in sorted(inners, key=lambda p: abs(rows.y(p.a) - rows.y(p.b))):
        side = rows.side_of(part.a)
        if side is None or side != rows.side_of(part.b) or not part.symbol:
            continue
        low, high = sorted((rows.y(part.a), rows.y(part.b)))
        if high - low < UPRIGHT_MM:
            rows.push(side, high, _steps(UPRIGHT_MM - (high - low), step_mm))
    last = -CLEAR_MM
    level = [part for part in inners if rows.side_of(part.a) != rows.side_of(part.b)]
    for part in sorted(level, key=lambda p: max(rows.y(p.a), rows.y(p.b))):
        wanted = max(rows.y(part.a), rows.y(part.b))
        if part.symbol and wanted - last < CLEAR_MM and wanted > last + 1e-6:
            wanted += _steps(CLEAR_MM - (wanted - last), step_mm)
        for node in (part.a, part.b):
            y, side = rows.y(node), rows.side_of(node)
            if side is not None and y < wanted and y > last + 1e-6:
                rows.push(side, y, wanted - y)
        if part.symbol:
            last = max(rows.y(part.a), rows.y(part.b))


def _steps(value_mm: float, step_mm: float) -> float:
    return -(-round(value_mm, 6) // step_mm) * step_mm


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the upright parts stand: index of the column of each, counted from its own edge."""

    left: tuple[Inner, ...]
    right: tuple[Inner, ...]
    level: tuple[Inner, ...]
    at_left: frozenset[str] = frozenset()
    at_right: frozenset[str] = frozenset()

    @property
    def left_mm(self) -> float:
        """Width of the columns at the left edge, mm."""
        return sum(column_mm(part) for part in self.left)

    @property
    def right_mm(self) -> float:
        """Width of the columns at the right edge, mm."""
        return sum(column_mm(part) for part in self.right)

    @property
    def width_mm(self) -> float:
        """Width of the interior, mm."""
        return self.left_mm + sum(self.level_mm) + self.right_mm

    @property
    def level_mm(self) -> tuple[float, float]:
        """Room the level parts need left and right of their middle, mm."""
        if not self.level:
            return 0.0, 0.0
        drawn = LEVEL_MM / 2 if any(part.symbol for part in self.level) else 1.0
        left = drawn + _BUS_MM * len(_buses(self.level, self.at_left)) + 1.0
        right = drawn + _BUS_MM * len(_buses(self.level, self.at_right)) + 1.0
        note = max((_note_mm(part) for part in self.level), default=0.0)
        if self.notes_left:
            return max(left, note), right
        return left, max(right, note)

    @property
    def notes_left(self) -> bool:
        """Whether the words of contacts stand left of their blades: where no line joins them."""
        right, left = _buses(self.level, self.at_right), _buses(self.level, self.at_left)
        return len(right) > len(left)


def _note_mm(part: Inner) -> float:
    if not part.symbol or not part.note:
        return 0.0
    return _NOTE_X + min(text_width_mm(part.note, NOTE_MM), _NOTE_ROOM) + 1.5


def column_mm(part: Inner) -> float:
    """Return the width of the column of an upright part, with its words, mm."""
    if not part.symbol:
        return 3.0
    name = text_width_mm(part.name, style.TEXT_PIN, bold=True)
    note = text_width_mm(part.note, NOTE_MM)
    return _COLUMN_MM / 2 + _reach_mm(part.symbol) + 1.0 + min(max(name, note), _LABEL_MM) + 1.0


def _reach_mm(kind: str) -> float:
    """How far an upright symbol reaches to the right of its leads, mm."""
    shape = symbol(kind)
    rise = shape.anchors[0][1][1]
    return max(3.0, rise, shape.height - rise)


def columns(inners: Sequence[Inner], rows: Rows) -> Columns:
    """Sort the parts into columns: at each edge the part with the nearest pins first."""
    sides: dict[str, list[Inner]] = {"W": [], "E": [], "": []}
    for part in inners:
        side = rows.side_of(part.a)
        sides[side if side and side == rows.side_of(part.b) else ""].append(part)

    def span(part: Inner) -> float:
        return abs(rows.y(part.a) - rows.y(part.b))

    return Columns(
        tuple(sorted(sides["W"], key=span)),
        tuple(sorted(sides["E"], key=span)),
        tuple(sides[""]),
        frozenset(rows.at["W"]),
        frozenset(rows.at["E"]),
    )


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
            lane = x + sign * (_COLUMN_MM / 2 if part.symbol else 1.5)
            if side == "E" and part.symbol:
                lane = x - column_mm(part) + _COLUMN_MM / 2
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
    turn = 90 if ya < yb else 270
    anchor = symbol(part.symbol).anchors[0][0]
    start = middle - UPRIGHT_MM / 2 if ya < yb else middle + UPRIGHT_MM / 2
    drawn = placed(symbol(part.symbol), x, start, turn=turn, at=anchor)  # type: ignore[arg-type]
    items: list[Item] = [stamp(drawn)]
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
        name = fit(part.name, _LABEL_MM, style.TEXT_PIN, bold=True)
        items.append(words(x, y - up, name, style.TEXT_PIN, bold=True))
    if part.note:
        note = fit(part.note, _LABEL_MM, NOTE_MM)
        items.append(words(x, y + 2.5, note, NOTE_MM, colour=style.SECONDARY))
    return items


def _buses(level: Sequence[Inner], pins: frozenset[str]) -> list[str]:
    """Pins that more than one level part uses: these get an upright line of their own."""
    uses: dict[str, int] = {}
    for part in level:
        for node in (part.a, part.b):
            uses[node] = uses.get(node, 0) + 1
    return [node for node, count in uses.items() if count > 1 and node in pins]


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
        node: edge + sign * (1.0 + _BUS_MM * index)
        for edge, sign, pins in ((left, 1.0, found.at_left), (right, -1.0, found.at_right))
        for index, node in enumerate(_buses(found.level, pins))
    }
    items: list[Item] = []
    touched: dict[str, list[float]] = {}
    for part in found.level:
        west, east = (part.a, part.b) if part.a in found.at_left else (part.b, part.a)
        y = _height(west, east, lanes, rows)
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
    for node, heights in touched.items():
        items.extend(_bus(lanes[node], reach.get(node, ends[node]), rows.y(node), heights))
    items.extend(_linkage(found.level, middle, rows, lanes))
    return items


def _bus(x: float, begin: float, own: float, heights: Sequence[float]) -> list[Item]:
    """The upright line from a pin to the level parts that share it, with dots."""
    top, bottom = min(*heights, own), max(*heights, own)
    dots = (dot(x, y) for y in dict.fromkeys((*heights, own)) if top < y < bottom)
    return [line((x, top), (x, bottom)), line((begin, own), (x, own)), *dots]


def _linkage(
    level: Sequence[Inner], x: float, rows: Rows, lanes: Mapping[str, float]
) -> list[Item]:
    """The dashed line from a coil to its contacts, or between the contacts of a switch."""
    heights = {id(part): _height_of(part, rows, lanes) for part in level}
    linked = [heights[id(part)] for part in level if part.linked]
    coils = [heights[id(part)] for part in level if part.symbol == "relay coil"]
    if not linked or (len(linked) < 2 and not coils):
        return []
    top = coils[0] + 4.0 if coils else min(linked) - 1.5
    return [Path(((x, top), (x, max(linked) - 1.5)), _DASHED)] if max(linked) > top else []


def _height_of(part: Inner, rows: Rows, lanes: Mapping[str, float]) -> float:
    west, east = (part.a, part.b) if rows.side_of(part.a) == "W" else (part.b, part.a)
    return _height(west, east, lanes, rows)


def _height(west: str, east: str, lanes: Mapping[str, float], rows: Rows) -> float:
    if west in lanes and east not in lanes:
        return rows.y(east)
    return rows.y(west) if east in lanes or rows.y(west) >= rows.y(east) else rows.y(east)


def _level_symbol(
    part: Inner, mirror: bool, x: float, y: float, notes_left: bool
) -> Iterator[Item]:
    """A level symbol with its middle at x, its name over it, its note over the free lead."""
    shape = symbol(part.symbol)
    anchor = shape.anchors[1 if mirror else 0][0]
    drawn = placed(shape, x - LEVEL_MM / 2, y, mirror=mirror, at=anchor)
    yield stamp(drawn)
    if part.name:
        name = fit(part.name, LEVEL_MM + 4.0, style.TEXT_PIN, bold=True)
        yield words(x, drawn.y - 0.8, name, style.TEXT_PIN, bold=True, anchor="middle")
    if part.note:
        note = fit(part.note, _NOTE_ROOM, NOTE_MM)
        at, anchor_at = (x - _NOTE_X, "end") if notes_left else (x + _NOTE_X, "start")
        yield words(at, y - 1.0, note, NOTE_MM, colour=style.SECONDARY, anchor=anchor_at)  # type: ignore[arg-type]
