"""A table measured for one width and drawn (mm)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from wiregen.layout.tables import Column, Table
from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Path, Pen, Rect, Text
from wiregen.sheet.metrics import fit, text_width_mm, wrap
from wiregen.sheet.swatch import HEIGHT, MONO_WIDTH, WIDTH, swatch

HEAD = 6.0
PAD_MM = 1.5
_SWATCH_GAP = 1.4
TEXT_MM = 2.2
_LINE = 2.9
_FREE = 1.6
_MOST = 70.0
_NARROW = 11.0
_BLANK_ROW = 6.5
_MAX_LINES = 8


@dataclass(frozen=True, slots=True)
class Measured:
    """A table with the width of each column and the wrapped lines and height of each row."""

    table: Table
    widths: tuple[float, ...]
    head: tuple[tuple[str, ...], ...]
    cells: tuple[tuple[tuple[str, ...], ...], ...]
    heights: tuple[float, ...]

    @property
    def head_mm(self) -> float:
        """Height of the head, mm."""
        return HEAD + (max((len(lines) for lines in self.head), default=1) - 1) * _LINE


def measure(table: Table, width: float, *, mono: bool = False) -> Measured:
    """Wrap every cell of a table for a width in mm; ink patterns need wider samples."""
    sample = (MONO_WIDTH if mono else WIDTH) + _SWATCH_GAP
    widths = _widths(table, width, sample)
    head = tuple(
        wrap(column.title, wide - 2 * PAD_MM, TEXT_MM, True, 3)
        for column, wide in zip(table.columns, widths, strict=True)
    )
    least = _BLANK_ROW if any(c.kind == "blank" for c in table.columns) else 0.0
    cells, heights = [], []
    for row in table.rows:
        lines = tuple(
            _wrapped(text, column, wide, sample)
            for text, column, wide in zip(row, table.columns, widths, strict=True)
        )
        cells.append(lines)
        heights.append(max(max(len(cell) for cell in lines) * _LINE + _FREE, least))
    return Measured(table, widths, head, tuple(cells), tuple(heights))


def _wrapped(text: str, column: Column, wide: float, sample: float) -> tuple[str, ...]:
    room = wide - 2 * PAD_MM - (sample if column.kind == "colour" else 0.0)
    return wrap(text, room, TEXT_MM, column.kind in ("name", "wire"), _MAX_LINES)


def _widths(table: Table, width: float, sample: float) -> tuple[float, ...]:
    """Each column as wide as it asks for; the room left or missing is shared out.

    Where room is missing, words stay whole as long as all columns together leave room for that.
    """
    wished, whole, narrow = [], [], []
    for place, column in enumerate(table.columns):
        swatch_mm = sample if column.kind == "colour" else 0.0
        extra = 2 * PAD_MM + 0.2 + swatch_mm
        bold = column.kind in ("name", "wire")
        texts = {row[place] for row in table.rows}
        widest = max(_head_width(column.title), _widest(texts, bold) + extra)
        wished.append(max(min(widest, _MOST), column.least_mm))
        narrow.append(min(wished[-1], _NARROW + swatch_mm))
        words = {word for text in texts for word in text.split()}
        whole.append(min(wished[-1], max(narrow[-1], _widest(words, bold) + extra)))
    total = sum(wished)
    if total <= width:
        return _widened(table.columns, wished, width - total)
    least = whole if sum(whole) <= width else narrow
    share = max(0.0, (width - sum(least)) / (total - sum(least)))
    return tuple(low + (wide - low) * share for low, wide in zip(least, wished, strict=True))


def _widest(texts: Iterable[str], bold: bool) -> float:
    return max((text_width_mm(text, TEXT_MM, bold) for text in texts), default=0.0)


def _head_width(title: str) -> float:
    """Return the width in which a heading takes two lines at most."""
    words = max(title.split() or [""], key=len)
    widest = text_width_mm(words, TEXT_MM, True) + 2 * PAD_MM + 0.2
    while len(wrap(title, widest - 2 * PAD_MM, TEXT_MM, True)) > 2:
        widest += 2.0
    return widest


def _widened(columns: Sequence[Column], wished: Sequence[float], spare: float) -> tuple[float, ...]:
    """Share spare room: blanks first get up to twice their width, then all alike."""
    blanks = sum(wide for column, wide in zip(columns, wished, strict=True) if _is_blank(column))
    more = min(spare, blanks)
    widths = [
        wide + (more * wide / blanks if blanks and _is_blank(column) else 0.0)
        for column, wide in zip(columns, wished, strict=True)
    ]
    rest = min(spare - more, 0.35 * sum(widths))
    return tuple(wide + rest * wide / sum(widths) for wide in widths)


def _is_blank(column: Column) -> bool:
    return column.kind == "blank"


def rows_that_fit(measured: Measured, begin: int, height: float) -> int:
    """Return how many rows from `begin` on stand below a head in `height` mm.

    Rows that go on with the name of the one above stay with it, where that leaves any row at all.
    """
    left = height - measured.head_mm
    count = 0
    for row in measured.heights[begin:]:
        left -= row
        if left < -0.01:
            break
        count += 1
    whole = count
    while whole and _goes_on(measured.table, begin + whole):
        whole -= 1
    return whole or count


def _goes_on(table: Table, number: int) -> bool:
    """Tell whether a row belongs to what a row above it names."""
    if number >= len(table.rows) or table.columns[0].kind != "name":
        return False
    return not table.rows[number][0]


def draw_rows(
    measured: Measured, begin: int, count: int, x: float, y: float, *, mono: bool = False
) -> tuple[tuple[Item, ...], float]:
    """Return head and some rows of a table, upper left corner at (x, y), and where they end."""
    width = sum(measured.widths)
    items: list[Item] = [Rect(x, y, width, measured.head_mm, Pen(fill=style.INK), cls="table-head")]
    left = x
    for lines, wide in zip(measured.head, measured.widths, strict=True):
        base = y + measured.head_mm / 2 + 0.8 - (len(lines) - 1) * _LINE / 2
        for number, line in enumerate(lines):
            words = ((line, True, style.PAPER),)
            items.append(Text(left + PAD_MM, base + number * _LINE, words, TEXT_MM))
        left += wide
    y += measured.head_mm
    for number in range(begin, begin + count):
        items.append(_row(measured, number, x, y, mono))
        y += measured.heights[number]
    return tuple(items), y


def _row(measured: Measured, number: int, x: float, y: float, mono: bool) -> Group:
    width, height = sum(measured.widths), measured.heights[number]
    columns = measured.table.columns
    items: list[Item] = []
    if number % 2:
        items.append(Rect(x, y, width, height, Pen(fill=style.TINT)))
    base = y + _FREE / 2 + TEXT_MM * 0.9
    left = x
    cells = zip(columns, measured.widths, measured.cells[number], strict=True)
    for place, (column, wide, lines) in enumerate(cells):
        text = measured.table.rows[number][place]
        items += _cell(column, lines, text, (left, base, wide), mono)
        if column.kind == "blank" and place:
            rule = ((left, y + 0.8), (left, y + height - 0.8))
            items.append(Path(rule, style.TABLE_PEN))
        left += wide
    items.append(Path(((x, y + height), (x + width, y + height)), style.TABLE_PEN))
    first = fit(measured.table.rows[number][0], _MOST, TEXT_MM)
    return Group(tuple(items), cls="row", data=(("table", measured.table.name), ("row", first)))


def _cell(
    column: Column,
    lines: Sequence[str],
    text: str,
    at: tuple[float, float, float],
    mono: bool,
) -> Iterator[Item]:
    left, base, wide = at
    x = left + PAD_MM
    sample = MONO_WIDTH if mono else WIDTH
    if column.kind == "colour":
        if text:
            yield swatch(x, base - TEXT_MM * 0.36 - HEIGHT / 2, text, width=sample, mono=mono)
        x += sample + _SWATCH_GAP
    bold = column.kind in ("name", "wire")
    end = column.kind == "number"
    for number, line in enumerate(lines):
        if not line:
            continue
        words = ((line, bold, style.INK),)
        y = base + number * _LINE
        data = (("leads-to", text),) if column.kind == "wire" else ()
        if end:
            yield Text(left + wide - PAD_MM, y, words, TEXT_MM, anchor="end")
        else:
            yield Text(x, y, words, TEXT_MM, data=data)
