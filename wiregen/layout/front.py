"""The front pages of a pack: cover and contents (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from wiregen.layout.title import title_block
from wiregen.model import Design
from wiregen.sheet import style
from wiregen.sheet.frame import A4_PORTRAIT, CAUTIONS, Area, framed
from wiregen.sheet.items import Item, Path, Pen, Rect, Sheet, Text
from wiregen.sheet.metrics import fit, text_width_mm, wrap

_TITLE = 9.0
_KIND = 5.0
_VALUE = 3.0
_LABEL_WIDTH = 36.0
_LINE = 4.4
_ENTRY = 5.2
_COLUMNS = 2
_BETWEEN = 8.0


@dataclass(frozen=True, slots=True)
class Fact:
    """One row of the cover: a label and what it says, line by line; `warn` prints it as a call."""

    label: str
    lines: tuple[str, ...]
    warn: bool = False


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the contents: title and page; a chapter stands bold above its pages."""

    title: str
    page: int
    chapter: bool = False


def cover_sheet(
    design: Design, kind: str, facts: Sequence[Fact], number_of: tuple[int, int]
) -> Sheet:
    """Return the cover.

    Args:
        design: its title block and revisions are printed.
        kind: what the pack is, such as `Pack for the bench`.
        facts: rows below the title.
        number_of: number of this page and count of all.
    """
    block = replace(title_block(design), sheet=number_of[0], sheets=number_of[1])
    frame = framed(A4_PORTRAIT, block, cautions=CAUTIONS)
    area = frame.area
    items: list[Item] = []
    y = area.y + 26.0
    for line in wrap(block.title, area.width, _TITLE, True, max_lines=3):
        items.append(Text(area.x, y, ((line, True, style.INK),), _TITLE, cls="heading"))
        y += _TITLE * 1.25
    items.append(Text(area.x, y, ((kind, False, style.SECONDARY),), _KIND))
    y += 6.0
    items.append(Path(((area.x, y), (area.right, y)), Pen(style.INK, style.LINE_HEAVY)))
    y += 9.0
    for fact in facts:
        rows = list(_fact(fact, area, y))
        if y + len(fact.lines) * _LINE > area.bottom:
            break
        items += rows
        y = max(item.y for item in rows) + _LINE + 1.6
    return frame.sheet("cover", "Cover", tuple(items))


def _fact(fact: Fact, area: Area, y: float) -> Iterator[Text]:
    yield Text(area.x, y, ((fact.label, False, style.SECONDARY),), style.TEXT_PIN)
    x = area.x + _LABEL_WIDTH
    ink = style.ATTENTION if fact.warn else style.INK
    for said in fact.lines or ("—",):
        for line in wrap(said, area.right - x, _VALUE, max_lines=6):
            yield Text(x, y, ((line, False, ink),), _VALUE)
            y += _LINE


def contents_count(design: Design, entries: int) -> int:
    """Return how many pages so many entries of the contents take."""
    return max(1, -(-entries // (_rows(_area(design)) * _COLUMNS)))


def contents_sheets(
    design: Design, entries: Sequence[Entry], first: int, count: int
) -> tuple[Sheet, ...]:
    """Return the contents; each line is marked with the page it leads to.

    Args:
        design: for the title block.
        entries: in order.
        first: number of the first page of the contents.
        count: of all pages.
    """
    area = _area(design)
    rows = _rows(area)
    fill = rows * _COLUMNS
    sheets = []
    for number in range(contents_count(design, len(entries))):
        shown = entries[number * fill : (number + 1) * fill]
        block = replace(title_block(design), sheet=first + number, sheets=count, revisions=())
        frame = framed(A4_PORTRAIT, block, heading="Contents", cautions=())
        items = [item for place, e in enumerate(shown) for item in _entry(e, place, rows, area)]
        name = f"contents-{number + 1:02}"
        sheets.append(frame.sheet(name, "Contents", tuple(items)))
    return tuple(sheets)


def _area(design: Design) -> Area:
    block = replace(title_block(design), revisions=())
    return framed(A4_PORTRAIT, block, heading="Contents", cautions=()).area


def _rows(area: Area) -> int:
    return int((area.height - 4.0) // _ENTRY)


def _entry(entry: Entry, place: int, rows: int, area: Area) -> Iterator[Item]:
    width = (area.width - _BETWEEN * (_COLUMNS - 1)) / _COLUMNS
    column, row = divmod(place, rows)
    x = area.x + column * (width + _BETWEEN)
    y = area.y + 5.0 + row * _ENTRY
    left = x if entry.chapter else x + 4.0
    size = 2.8 if entry.chapter else 2.5
    page = str(entry.page)
    room = x + width - left - text_width_mm(page, size, entry.chapter) - 4.0
    title = fit(entry.title, room, size, entry.chapter)
    begin = left + text_width_mm(title, size, entry.chapter) + 1.5
    end = x + width - text_width_mm(page, size, entry.chapter) - 1.5
    yield Rect(x, y - 3.8, width, _ENTRY, Pen(), cls="link", data=(("page", page),))
    yield Text(left, y, ((title, entry.chapter, style.INK),), size)
    if end > begin:
        dots = Pen(style.HAIRLINE, 0.3, dash=(0.3, 1.2))
        yield Path(((begin, y - 0.2), (end, y - 0.2)), dots)
    yield Text(x + width, y, ((page, entry.chapter, style.INK),), size, anchor="end")
