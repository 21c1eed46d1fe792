"""Tables on pages: one below the other as long as they fit (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from wiregen.layout.table_rows import draw_rows, measure, rows_that_fit
from wiregen.layout.tables import Table
from wiregen.layout.title import title_block
from wiregen.model import Design
from wiregen.sheet import style
from wiregen.sheet.frame import A4, Area, Paper, framed
from wiregen.sheet.items import Item, Sheet, Text
from wiregen.sheet.metrics import wrap

_GAP = 7.0
_HEADING = 5.4
_NOTE_LINE = 3.1
_LEAST_ROWS = 3
_KEPT_WHOLE = 0.5
"""A table that takes up to this share of a page is not parted."""


@dataclass(frozen=True, slots=True)
class TablePage:
    """One page of tables, not numbered yet.

    Attributes:
        name: file part such as `tables-02`.
        heading: of the page.
        begins: titles of the tables that begin on it.
        items: what stands below the heading.
    """

    design: Design
    name: str
    heading: str
    begins: tuple[str, ...]
    paper: Paper
    items: tuple[Item, ...]
    mono: bool = False

    def sheet(self, number: int, count: int) -> Sheet:
        """Return the page as sheet `number` of `count`."""
        block = replace(title_block(self.design), sheet=number, sheets=count, revisions=())
        frame = framed(self.paper, block, heading=self.heading, cautions=(), mono=self.mono)
        return frame.sheet(self.name, self.heading, self.items)


def table_pages(
    design: Design,
    tables: Sequence[Table],
    *,
    name: str = "tables",
    paper: Paper = A4,
    mono: bool = False,
) -> tuple[TablePage, ...]:
    """Return tables on pages, in order.

    Args:
        design: for the title block.
        tables: tables without rows print their heading and what their notes say.
        name: first part of the pages' names.
        paper: of every page.
        mono: for printing without colours.
    """
    writer = _Writer(_area(design, paper), mono)
    for table in tables:
        writer.add(table)
    return tuple(
        TablePage(design, f"{name}-{number:02}", page.heading, page.begins, paper, page.items, mono)
        for number, page in enumerate(writer.finished(), start=1)
    )


def _area(design: Design, paper: Paper) -> Area:
    block = replace(title_block(design), revisions=())
    return framed(paper, block, heading="Tables", cautions=()).area


@dataclass(frozen=True, slots=True)
class _Filled:
    heading: str
    begins: tuple[str, ...]
    items: tuple[Item, ...]


class _Writer:
    """Fills page after page."""

    def __init__(self, area: Area, mono: bool) -> None:
        self._area = area
        self._mono = mono
        self._pages: list[_Filled] = []
        self._open("")

    def _open(self, heading: str) -> None:
        self._heading = heading
        self._begins: list[str] = []
        self._items: list[Item] = []
        self._y = self._area.y

    def _close(self) -> None:
        if self._items:
            page = _Filled(self._heading, tuple(self._begins), tuple(self._items))
            self._pages.append(page)

    def finished(self) -> list[_Filled]:
        """Return the pages; nothing may be added after."""
        self._close()
        return self._pages

    def add(self, table: Table) -> None:
        """Add a table below the last one, or on a new page."""
        area = self._area
        measured = measure(table, area.width, mono=self._mono)
        said = table.notes if table.rows else (*table.notes, table.nothing)
        notes = [line for note in said for line in wrap(note, area.width, style.TEXT_SMALL)]
        notes_mm = len(notes) * _NOTE_LINE + (1.5 if notes else 0.0)
        whole = sum(measured.heights)
        first = whole if whole <= _KEPT_WHOLE * area.height else sum(measured.heights[:_LEAST_ROWS])
        need = _HEADING + notes_mm + measured.head_mm + first
        if self._items and self._y + _GAP + need > area.bottom:
            self._close()
            self._open(table.title)
        if self._items:
            self._y += _GAP + _HEADING
            words = ((table.title, True, style.INK),)
            self._items.append(Text(area.x, self._y - 1.6, words, style.TEXT_BLOCK, cls="heading"))
        else:
            self._heading = table.title
        self._begins.append(table.title)
        self._items += self._notes(notes)
        self._y += notes_mm
        begin = 0
        while begin < len(table.rows):
            count = rows_that_fit(measured, begin, area.bottom - self._y)
            if count == 0 and self._y > area.y + notes_mm + 0.1:
                self._close()
                self._open(f"{table.title}, continued")
                continue
            count = max(count, 1)
            items, self._y = draw_rows(measured, begin, count, area.x, self._y, mono=self._mono)
            self._items += items
            begin += count
            if begin < len(table.rows):
                self._close()
                self._open(f"{table.title}, continued")

    def _notes(self, lines: Sequence[str]) -> Iterator[Item]:
        for number, line in enumerate(lines, start=1):
            y = self._y + number * _NOTE_LINE - 0.6
            words = ((line, False, style.SECONDARY),)
            yield Text(self._area.x, y, words, style.TEXT_SMALL)
