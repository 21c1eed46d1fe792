"""What is drawn inside a box: parts between its pins, contacts at rest, coils, links (mm).

A part between two pins of one edge stands upright in a column of its own; a part between pins of
opposite edges lies level. Columns are nested, the part with the nearest pins next to its edge, so
that leads do not cross where they need not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from wiregen.layout.schematic.block import NOTE_MM, Side
from wiregen.sheet import style
from wiregen.sheet.metrics import text_width_mm
from wiregen.sheet.symbols import symbol

UPRIGHT_MM = 15.0
"""Height of an upright part with its leads."""
LEVEL_MM = 15.0
"""Width of a level part with its leads."""
CLEAR_MM = 10.0
"""Least distance of two level parts."""
COLUMN_MM = 8.5
_FEW_PARTS = 2
"""A pin of more parts than this is a common feed or return."""
LABEL_MM = 22.0
BUS_MM = 2.0
NOTE_X = 5.2
"""Notes of a level part begin this far from its middle, mm."""
NOTE_ROOM = 24.0


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
        shown: symbol to draw in its room instead: a contact in the position of one state.
    """

    symbol: str
    a: str
    b: str
    name: str = ""
    note: str = ""
    linked: bool = False
    shown: str = ""

    @property
    def drawn(self) -> str:
        """Kind of the symbol that is printed."""
        return self.shown or self.symbol


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


def reached(
    inners: Sequence[Inner], here: frozenset[str], elsewhere: frozenset[str]
) -> tuple[Inner, ...]:
    """Return the parts that a sheet shows: those its wires lead into.

    A part that shares only a common feed or return with this sheet belongs on the sheet of its
    other pin.

    Args:
        inners: all parts of the box.
        here: pins that wires of the sheet reach.
        elsewhere: pins that only wires of other sheets reach.
    """
    uses: dict[str, int] = {}
    for part in inners:
        for node in (part.a, part.b):
            uses[node] = uses.get(node, 0) + 1
    seen = set(here)
    for part in inners:
        if not part.symbol and (part.a in seen or part.b in seen):
            seen |= {part.a, part.b}

    def leads_into(node: str, other: str) -> bool:
        return node in seen and (
            other in seen or other not in elsewhere or uses[node] <= _FEW_PARTS
        )

    return tuple(
        part for part in inners if leads_into(part.a, part.b) or leads_into(part.b, part.a)
    )


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

    def heights(self, rows: Rows) -> tuple[float, ...]:
        """Return the height of each level part, mm: that of a pin only it uses, or a free one."""
        shared = {*buses(self.level, self.at_left), *buses(self.level, self.at_right)}
        taken: list[float] = []
        for part in self.level:
            own = [rows.y(node) for node in (part.a, part.b) if node not in shared]
            wishes = own or [rows.y(part.a), rows.y(part.b)]
            y = max(own) if own else next((w for w in wishes if _is_free(w, taken)), None)
            if y is None:
                y = max((*taken, *wishes)) + CLEAR_MM
            taken.append(y)
        return tuple(taken)

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
        lanes = [
            BUS_MM * len(buses(self.level, pins)) + 1.0 for pins in (self.at_left, self.at_right)
        ]
        note = max((_note_mm(part) for part in self.level), default=0.0)
        left = max(drawn, note if self.notes_left else 0.0)
        right = max(drawn, 0.0 if self.notes_left else note)
        return left + lanes[0], right + lanes[1]

    @property
    def notes_left(self) -> bool:
        """Whether the words of contacts stand left of their blades: where no line joins them."""
        right, left = buses(self.level, self.at_right), buses(self.level, self.at_left)
        return len(right) > len(left)


def _is_free(y: float, taken: Sequence[float]) -> bool:
    return all(abs(y - other) >= CLEAR_MM - 1e-6 for other in taken)


def _note_mm(part: Inner) -> float:
    if not part.symbol or not part.note:
        return 0.0
    return NOTE_X + min(text_width_mm(part.note, NOTE_MM), NOTE_ROOM) + 2.5


def column_mm(part: Inner) -> float:
    """Return the width of the column of an upright part, with its words, mm."""
    if not part.symbol:
        return 3.0
    name = text_width_mm(part.name, style.TEXT_PIN, bold=True)
    note = text_width_mm(part.note, NOTE_MM)
    return COLUMN_MM / 2 + _reach_mm(part.symbol) + 1.0 + min(max(name, note), LABEL_MM) + 1.0


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


def buses(level: Sequence[Inner], pins: frozenset[str]) -> list[str]:
    """Pins that more than one level part uses: these get an upright line of their own."""
    uses: dict[str, int] = {}
    for part in level:
        for node in (part.a, part.b):
            uses[node] = uses.get(node, 0) + 1
    return [node for node, count in uses.items() if count > 1 and node in pins]
