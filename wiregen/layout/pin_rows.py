"""Draws rows of a pin table that has been measured (mm)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from wiregen.layout.cavity_facts import CavityFacts
from wiregen.layout.finding_mark import Mark, mark_group
from wiregen.layout.pin_table import (
    PAD,
    SWATCH,
    SWATCH_ROOM,
    Column,
    Density,
    Line,
    PinTable,
    Row,
    is_plain,
)
from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Path, Pen, Rect, Text
from wiregen.sheet.metrics import fit
from wiregen.sheet.swatch import HEIGHT, swatch

_ASCENT = 0.86
"""From the top of a line to its base, in text sizes."""
_CLEAR = 0.15
"""Between a sample and the edges of its row, mm."""


def table_items(
    table: PinTable,
    part: tuple[int, int],
    at: tuple[float, float],
    marks: Mapping[str, Mark],
    mono: bool = False,
) -> Iterator[Item]:
    """Draw head and some rows of a table.

    Args:
        table: from `pin_table`.
        part: first row and number of rows.
        at: its upper left corner, mm.
        marks: cavity -> the finding to mark beside its name.
        mono: no colours.
    """
    begin, count = part
    x, y = at
    size, high = table.density.text, table.density.head
    yield Rect(x, y, sum(table.widths), high, Pen(fill=style.INK), cls="table-head")
    left = x
    for column, wide in zip(table.columns, table.widths, strict=True):
        title = fit(column.title, wide - PAD, size, bold=True)
        words = ((title, True, style.PAPER),)
        yield Text(left + PAD, y + high / 2 + size * 0.36, words, size)
        left += wide
    top = y + high
    for number, row in enumerate(table.rows[begin : begin + count]):
        tint = style.TINT if number % 2 else ""
        yield _row_group(table, row, (x, top), tint, mark=marks.get(row.facts.name), mono=mono)
        top += row.height


def _row_group(
    table: PinTable,
    row: Row,
    at: tuple[float, float],
    tint: str,
    *,
    mark: Mark | None,
    mono: bool,
) -> Group:
    x, y = at
    width = sum(table.widths)
    items: list[Item] = []
    if tint:
        items.append(Rect(x, y, width, row.height, Pen(fill=tint)))
    base = y + _first_base(table.density)
    left = x + PAD
    for column, wide, cell in zip(table.columns, table.widths, row.cells, strict=True):
        lines = _Lines(cell, column, table.density)
        items.extend(_cell(row.facts, lines, (left, base), mono))
        left += wide
    if mark:
        radius = min(mark.radius, (table.density.line + table.density.free - 0.3) / 2)
        middle = base - table.density.text * 0.36
        items.append(mark_group(mark, x + table.widths[0] - 2.4 - radius, middle, radius))
    rule = ((x, y + row.height), (x + width, y + row.height))
    items.append(Path(rule, style.TABLE_PEN))
    return Group(tuple(items), cls="pin-row", data=(("pin", row.facts.node),))


def _first_base(density: Density) -> float:
    """Return where the first base line of a row is, from its top; samples keep within their row."""
    plain = density.free / 2 + density.text * _ASCENT
    return max(plain, HEIGHT / 2 + _CLEAR + density.text * 0.36)


@dataclass(frozen=True, slots=True)
class _Lines:
    """The lines of one cell with the column and the density they are set in."""

    lines: tuple[Line, ...]
    column: Column
    density: Density


def _cell(facts: CavityFacts, cell: _Lines, at: tuple[float, float], mono: bool) -> Iterator[Item]:
    column, density = cell.column, cell.density
    left, base = at
    words_left = left + (SWATCH_ROOM if column.samples and cell.lines else 0.0)
    for line in cell.lines:
        y = base + line.number * density.line
        if line.sample is not None:
            top = y - density.text * 0.36 - HEIGHT / 2
            yield _sample(left, top, line.sample, mono)
        if line.at:
            data = (("page", str(line.at.page)), ("zone", line.at.zone))
            words = ((line.at.zone, False, style.INK),)
            yield Text(words_left, y, words, density.text, cls="drawn-on", data=data)
            continue
        bold = column.title == "Cavity"
        yield Text(words_left, y, ((line.text, bold, _colour(facts, column)),), density.text)


def with_sheets(items: Iterable[Item], first: int) -> tuple[Item, ...]:
    """Return the items with the numbers of the schematic sheets in front of their zones.

    Args:
        items: of a page.
        first: number of the first schematic sheet.
    """
    out: list[Item] = []
    for item in items:
        if isinstance(item, Group):
            inner = with_sheets(item.items, first)
            out.append(Group(inner, item.cls, item.id, item.data, item.title))
        elif isinstance(item, Text) and item.cls == "drawn-on":
            page, zone = dict(item.data)["page"], dict(item.data)["zone"]
            sheet = str(first + int(page))
            parts = ((f"{sheet} {zone}", False, style.INK),)
            out.append(replace(item, parts=parts, data=(("sheet", sheet), ("zone", zone))))
        else:
            out.append(item)
    return tuple(out)


def _sample(x: float, y: float, colour: str, mono: bool) -> Item:
    if colour:
        return swatch(x, y, colour, width=SWATCH, mono=mono)
    return Rect(x, y, SWATCH, HEIGHT, Pen(style.SECONDARY, 0.25, style.PAPER, (0.8, 0.6)))


def _colour(facts: CavityFacts, column: Column) -> str:
    if is_plain(facts):
        unknown = facts.state == "unknown" and column.title == "Carries"
        return style.ATTENTION if unknown else style.SECONDARY
    attention = {
        "Known from": facts.known.attention,
        "Colour": "" in facts.colours or not (facts.colours or facts.screens),
    }
    return style.ATTENTION if attention.get(column.title) else style.INK
