"""The title block after ISO 7200 and the revision table (mm)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Path, Pen, Text
from wiregen.sheet.metrics import fit, text_width_mm, tidy, wrap
from wiregen.sheet.zones import Area

ROW = 15.0
"""Height of one row of cells, mm."""

WIDEST = 400.0
"""On larger paper the title block stays this wide, at the lower right, mm."""

_PAD = 2.0
_SMALLEST = style.TEXT_SMALLEST


@dataclass(frozen=True, slots=True)
class Revision:
    """One line of the revision table."""

    revision: str
    date: str
    what: str


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What the title block says; an empty field is printed as a dash."""

    title: str
    number: str = ""
    revision: str = ""
    date: str = ""
    by: str = ""
    state: str = ""
    sheet: int = 1
    sheets: int = 1
    units: str = "mm · mm² · V · A"
    revisions: tuple[Revision, ...] = ()


@dataclass(frozen=True, slots=True)
class _Cell:
    label: str
    value: str
    share: float
    size: float = 3.0


def title_block_height(frame: Area) -> float:
    """Return the height of the title block within a frame, mm; narrow paper takes two rows."""
    return ROW if frame.width >= 240 else 2 * ROW


def title_block_group(block: TitleBlock, frame: Area) -> Group:
    """Return the title block along the foot of the frame."""
    title = _Cell("Title", block.title, 0.32, style.TEXT_BLOCK)
    cells = (
        _Cell("Drawing", block.number, 0.11),
        _Cell("Revision", block.revision, 0.07),
        _Cell("Date", block.date, 0.10),
        _Cell("Drawn by", block.by, 0.10),
        _Cell("Drawn state", block.state, 0.14),
        _Cell("Units", block.units, 0.09, 2.4),
        _Cell("Sheet", f"{block.sheet} of {block.sheets}", 0.07),
    )
    height = title_block_height(frame)
    width = min(frame.width, WIDEST)
    top = frame.bottom - height
    area = Area(frame.right - width, top, width, ROW)
    items: list[Item] = [Path(((area.x, top), (frame.right, top)), _rule(style.LINE_SYMBOL))]
    if width < frame.width:
        items.append(Path(((area.x, top), (area.x, frame.bottom)), _rule(style.LINE_SYMBOL)))
    if height == ROW:
        items.extend(_row((title, *cells), area))
    else:
        below = Area(area.x, top + ROW, width, ROW)
        items.append(Path(((below.x, below.y), (below.right, below.y)), _rule()))
        items.extend(_row((title,), area))
        items.extend(_row(cells, below))
    return Group(tuple(items), cls="title-block")


def fitted(text: str, width: float, size: float, lines: int = 2) -> tuple[tuple[str, ...], float]:
    """Return the lines and the font size (mm) at which bold `text` fits `width`.

    It is first made smaller by up to a quarter on one line, then broken into `lines` lines, then
    made as small as `TEXT_SMALLEST` and at last shortened with an ellipsis.
    """
    text = tidy(text)
    wide = text_width_mm(text, size, bold=True)
    if wide <= width * 4 / 3:
        shrunk = size if wide <= width else int(size * width / wide * 20) / 20
        return (fit(text, width, shrunk, bold=True),), shrunk
    for step in range(6):
        smaller = max(_SMALLEST, size * (0.8 - 0.08 * step))
        broken = wrap(text, width, smaller, bold=True)
        if len(broken) <= lines:
            return broken, smaller
    return wrap(text, width, _SMALLEST, bold=True, max_lines=lines), _SMALLEST


def _row(cells: tuple[_Cell, ...], area: Area) -> Iterator[Item]:
    whole = sum(cell.share for cell in cells)
    x = area.x
    for number, cell in enumerate(cells):
        width = area.width * cell.share / whole
        if number:
            yield Path(((x, area.y), (x, area.bottom)), _rule())
        yield from _cell(cell, Area(x, area.y, width, area.height))
        x += width


def _cell(cell: _Cell, area: Area) -> Iterator[Item]:
    x = area.x + _PAD
    grey = ((cell.label, False, style.SECONDARY),)
    yield Text(x, area.y + 3.8, grey, _SMALLEST, cls="field")
    if not cell.value.strip():
        yield Text(x, area.y + 10.4, (("—", False, style.SECONDARY),), cell.size, cls="value")
        return
    lines, size = fitted(cell.value, area.width - 2 * _PAD, cell.size)
    first = area.y + 10.4 - (len(lines) - 1) * size * 0.6
    for number, line in enumerate(lines):
        words = ((line, True, style.INK),)
        yield Text(x, first + number * size * 1.25, words, size, cls="value")


def _rule(width: float = style.LINE_TABLE) -> Pen:
    return Pen(style.INK, width)
