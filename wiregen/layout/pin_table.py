"""The pin table of a face: one row a cavity, long texts wrapped, columns as wide as needed (mm)."""

from __future__ import annotations

import math
from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.layout.cavity_facts import SCREEN, CavityFacts, DrawnAt
from wiregen.sheet import style
from wiregen.sheet.metrics import fit, text_width_mm, wrap

NOT_RECORDED = "not recorded"
SWATCH = 8.0
PAD = 2.0
SWATCH_ROOM = SWATCH + 1.8
_MARK_ROOM = 5.0
"""Beside the name of a cavity, for the ring of a finding, mm."""
_MAX_LINES = 4
_MOST_LONGER = 3
"""Columns are fitted anew when that makes the table so many lines shorter."""


@dataclass(frozen=True, slots=True)
class Density:
    """Text size, distance of lines, free space of a row and height of the head, mm."""

    text: float
    line: float
    free: float
    head: float = 6.4


ROOMY = Density(style.TEXT_PIN, 3.3, 3.0)
COMPACT = Density(style.TEXT_WIRE, 3.0, 1.9)
TIGHT = Density(2.2, 2.8, 1.4)
DENSE = Density(2.0, 2.5, 0.8, 4.6)
FINE = Density(1.9, 2.5, 0.4, 4.4)
DENSITIES = (ROOMY, COMPACT, TIGHT)
"""Tried before the closer ones, which are for plugs whose table would not fit their sheet."""
ALL_DENSITIES = (*DENSITIES, DENSE, FINE)


TITLES = (
    "Cavity",
    "Carries",
    "Wire",
    "Colour",
    "Size",
    "Goes to",
    "Sheet",
    "Protected by",
    "Contact",
    "Known from",
)
"""Headings of all columns."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes:
        title: in the head.
        parts: texts of a cavity, each a paragraph; part n belongs to wire n when `by_wire`.
        most: widest width its content may claim, mm.
        by_wire: keep its parts level with those of other such columns.
        samples: show the colour of each part.
        places: its parts stand for the places of `CavityFacts.drawn`, numbered later.
    """

    title: str
    parts: Callable[[CavityFacts], tuple[str, ...]]
    most: float
    by_wire: bool = False
    samples: bool = False
    places: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One printed line of a cell.

    Attributes:
        number: from the top, 0 is the first.
        text: what it says.
        sample: a colour to show before it, None for none.
        at: a place of the schematic it names in place of the text.
    """

    number: int
    text: str
    sample: str | None = None
    at: DrawnAt | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """A cavity with the lines of each cell, how many lines it has room for, and its height (mm)."""

    facts: CavityFacts
    cells: tuple[tuple[Line, ...], ...]
    lines: int
    height: float


@dataclass(frozen=True, slots=True)
class PinTable:
    """A table measured for one width."""

    columns: tuple[Column, ...]
    widths: tuple[float, ...]
    rows: tuple[Row, ...]
    density: Density

    @property
    def height(self) -> float:
        """Of the whole table with its head, mm."""
        return self.density.head + sum(row.height for row in self.rows)


def pin_table(facts: Sequence[CavityFacts], width: float, density: Density) -> PinTable:
    """Measure the table of some cavities.

    Args:
        facts: in the order of the rows.
        width: mm.
        density: one of `DENSITIES`, or `DENSE`.
    """
    columns = _columns(facts, ())
    return _table(facts, columns, _widths(columns, facts, width, density), density)


def repeated_table(
    fitted: PinTable, width: float, *, widths: Mapping[str, float], lines: Mapping[str, int]
) -> PinTable:
    """Measure a table with the columns and the rows it had; as it is where they are unfit.

    Args:
        fitted: from `pin_table`.
        width: mm.
        widths: heading of a column -> its width, mm.
        lines: cavity -> lines its row had room for, one where not named.
    """
    facts, density = [row.facts for row in fitted.rows], fitted.density
    columns = _columns(facts, widths)
    if any(column.title not in widths for column in columns):
        return fitted
    kept = tuple(widths[column.title] for column in columns)
    if abs(sum(kept) - width) > 0.01:
        return fitted
    same = kept == fitted.widths and len(columns) == len(fitted.columns)
    bare = fitted if same else _table(facts, columns, kept, density)
    longer = bare.height - fitted.height
    if longer > _MOST_LONGER * density.line or _shortened(bare) > _shortened(fitted):
        return fitted
    rows = (_with_room(row, lines.get(row.facts.name, 1), density) for row in bare.rows)
    return replace(bare, rows=tuple(rows))


def _table(
    facts: Sequence[CavityFacts],
    columns: tuple[Column, ...],
    widths: tuple[float, ...],
    density: Density,
) -> PinTable:
    rows = (_row(cavity, columns, widths, density) for cavity in facts)
    return PinTable(columns, widths, tuple(rows), density)


def _with_room(row: Row, lines: int, density: Density) -> Row:
    count = max(row.lines, lines)
    return Row(row.facts, row.cells, count, count * density.line + density.free)


def _shortened(table: PinTable) -> int:
    """Return how many texts do not fit their cells."""
    return sum(line.text.endswith("…") for row in table.rows for cell in row.cells for line in cell)


def rows_that_fit(table: PinTable, begin: int, height: float) -> int:
    """Return how many rows from `begin` on stand below a head in `height` mm."""
    left = height - table.density.head
    count = 0
    for row in table.rows[begin:]:
        left -= row.height
        if left < -0.01:
            break
        count += 1
    return count


def shared_rows(table: PinTable, first: int, height: float) -> list[int]:
    """Return how many rows stand on each page: as many on each as can be, none nearly empty.

    Args:
        table: all rows.
        first: how many have room on the first page; 0 where it has none.
        height: for head and rows of each further page, mm.
    """
    begun, pages = first, [first]
    while begun < len(table.rows):
        pages.append(max(1, rows_that_fit(table, begun, height)))
        begun += pages[-1]
    even, begun = [], 0
    for number, most in enumerate(pages):
        wanted = math.ceil((len(table.rows) - begun) / (len(pages) - number))
        room = most if not number else max(1, rows_that_fit(table, begun, height))
        even.append(min(wanted, room) if most else 0)
        begun += even[-1]
    return even if begun == len(table.rows) else pages


def _columns(facts: Sequence[CavityFacts], kept: Container[str]) -> tuple[Column, ...]:
    """The columns that have something to say of at least one cavity, or had before."""
    used = [cavity for cavity in facts if not is_plain(cavity)]
    columns = (
        (True, Column("Cavity", lambda f: (f.name,), 26.0)),
        (True, Column("Carries", lambda f: (f.carries,), 62.0)),
        (any(f.ends for f in used), Column("Wire", lambda f: f.ends, 20.0, by_wire=True)),
        (True, Column("Colour", _colour_parts, 46.0, by_wire=True, samples=True)),
        (any(f.sizes for f in used), Column("Size", _size_parts, 30.0, by_wire=True)),
        (any(f.goes_to for f in used), Column("Goes to", _goes_to_parts, 66.0, by_wire=True)),
        (any(f.drawn for f in used), Column("Sheet", _place_parts, 20.0, True, places=True)),
        (any(f.protected_by for f in used), Column("Protected by", _fuse_parts, 40.0)),
        (any(f.contact for f in used), Column("Contact", lambda f: (f.contact or "—",), 30.0)),
        (True, Column("Known from", lambda f: (f.known.words,), 52.0)),
    )
    return tuple(column for needed, column in columns if needed or column.title in kept)


def _fuse_parts(facts: CavityFacts) -> tuple[str, ...]:
    return (", ".join(facts.protected_by) or "—",)


def _colour_parts(facts: CavityFacts) -> tuple[str, ...]:
    written = [f" ({marking})" if marking else "" for marking in facts.markings]
    codes = [code or NOT_RECORDED for code in facts.colours] + [SCREEN] * len(facts.bare)
    codes = codes or [NOT_RECORDED]
    written += [""] * (len(codes) - len(written))
    return tuple(code + extra for code, extra in zip(codes, written, strict=True))


def _size_parts(facts: CavityFacts) -> tuple[str, ...]:
    return tuple(size or "—" for size in facts.sizes) or ("—",)


def _place_parts(facts: CavityFacts) -> tuple[str, ...]:
    """Hold the room of a sheet number and a zone."""
    return tuple("000 A0" if at else "—" for at in facts.drawn) or ("—",)


def _goes_to_parts(facts: CavityFacts) -> tuple[str, ...]:
    return tuple(f"{end} {title}".strip() for end, title in facts.goes_to) or ("—",)


def _widths(
    columns: Sequence[Column], facts: Sequence[CavityFacts], width: float, density: Density
) -> tuple[float, ...]:
    """Each column as wide as its content asks for; the room left or missing is shared out."""
    found = _unrounded_widths(columns, facts, width, density)
    cut = tuple(math.ceil(wide * 100 - 1e-6) / 100 for wide in found[:-1])
    return (*cut, round(width - sum(cut), 2))


def _unrounded_widths(
    columns: Sequence[Column], facts: Sequence[CavityFacts], width: float, density: Density
) -> tuple[float, ...]:
    wished = []
    for column in columns:
        extra = PAD * 2 + _beside(column)
        widest = text_width_mm(column.title, density.text, bold=True) + PAD * 2
        if column.samples:
            widest = max(widest, text_width_mm(NOT_RECORDED, density.text) + extra)
        for cavity in facts:
            if is_plain(cavity) and column.title not in ("Cavity", "Known from"):
                continue
            for part in column.parts(cavity):
                bold = column.title == "Cavity"
                widest = max(widest, text_width_mm(part, density.text, bold) + extra)
            if widest >= column.most:
                break
        wished.append(min(widest, column.most))
    total = sum(wished)
    if total <= width:
        return tuple(wide + (width - total) * wide / total for wide in wished)
    # Too wide: every column gives up in proportion to what it has above a narrow width.
    narrow = [
        min(wide, 14.0 + _beside(column)) for wide, column in zip(wished, columns, strict=True)
    ]
    share = (width - sum(narrow)) / (total - sum(narrow))
    return tuple(low + (wide - low) * share for low, wide in zip(narrow, wished, strict=True))


def is_plain(facts: CavityFacts) -> bool:
    """Whether the row has nothing but its name and one sentence."""
    return facts.state != "used"


def _row(
    facts: CavityFacts, columns: Sequence[Column], widths: Sequence[float], density: Density
) -> Row:
    if is_plain(facts):
        room = sum(widths[1:]) - 2 * PAD
        name = fit(facts.name, widths[0] - 2 * PAD - _MARK_ROOM, density.text, bold=True)
        words = (Line(0, fit(facts.carries, room, density.text)),)
        cells = ((Line(0, name),), words, *(() for _ in columns[2:]))
        return Row(facts, cells, 1, density.line + density.free)
    wrapped = [
        [_wrapped(part, column, wide, density) for part in column.parts(facts)]
        for column, wide in zip(columns, widths, strict=True)
    ]
    starts = _part_starts(columns, wrapped)
    made = tuple(
        _lines(facts, column, parts, starts) for column, parts in zip(columns, wrapped, strict=True)
    )
    count = max((line.number + 1 for cell in made for line in cell), default=1)
    return Row(facts, made, count, count * density.line + density.free)


def _beside(column: Column) -> float:
    """Return the room beside the words of a column, mm."""
    if column.title == "Cavity":
        return _MARK_ROOM
    return SWATCH_ROOM if column.samples else 0.0


def _wrapped(part: str, column: Column, wide: float, density: Density) -> tuple[str, ...]:
    room = wide - 2 * PAD - _beside(column)
    return wrap(part, room, density.text, column.title == "Cavity", _MAX_LINES)


def _part_starts(
    columns: Sequence[Column], wrapped: Sequence[Sequence[tuple[str, ...]]]
) -> list[int]:
    """The line on which each wire begins, so that its facts stand level."""
    starts = [0]
    by_wire = [parts for column, parts in zip(columns, wrapped, strict=True) if column.by_wire]
    for number in range(max(len(parts) for parts in by_wire)):
        tallest = max((len(parts[number]) for parts in by_wire if number < len(parts)), default=1)
        starts.append(starts[-1] + tallest)
    return starts


def _lines(
    facts: CavityFacts, column: Column, parts: Sequence[tuple[str, ...]], starts: Sequence[int]
) -> tuple[Line, ...]:
    made = []
    number = 0
    for place, part in enumerate(parts):
        if column.by_wire:
            number = starts[place]
        for row, text in enumerate(part):
            colour = None
            if column.samples and row == 0:
                missing = None if facts.bare else ""
                colour = facts.colours[place] if place < len(facts.colours) else missing
            at = facts.drawn[place] if column.places and place < len(facts.drawn) else None
            made.append(Line(number, text, colour, at))
            number += 1
    return tuple(made)
