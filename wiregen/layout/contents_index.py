"""The index of a drawing set: object, title, sheets, in columns (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from wiregen.sheet import style
from wiregen.sheet.frame import Area
from wiregen.sheet.items import Item, Path, Pen, Rect, Text
from wiregen.sheet.metrics import fit, text_width_mm

_COLUMN = 84.0
_BETWEEN = 8.0
_LINE = 4.2
_HEAD = 6.4
_TEXT = style.TEXT_WIRE
_NOWHERE = "not wired"
_A_LINE = 4
"""So many numbers, or runs of numbers, stand on one line."""


@dataclass(frozen=True, slots=True)
class IndexEntry:
    """One object: id, title, the schematic sheets that show it, and its face sheet, if any."""

    id: str
    title: str
    sheets: tuple[int, ...]
    face: int | None = None

    @property
    def lines(self) -> tuple[str, ...]:
        """Its sheets as printed, line by line.

        Example:
            >>> IndexEntry("X1", "", (3, 4, 5, 9), 12).lines
            ('3–5, 9 · face 12',)
        """
        return _lines(self.sheets, self.face)

    @property
    def words(self) -> str:
        """Its sheets in one line.

        Example:
            >>> IndexEntry("X1", "", (1, 3, 5, 7, 9), 12).words
            '1, 3, 5, 7, 9 · face 12'
        """
        return ", ".join(self.lines).replace(", face", " · face")


@dataclass(frozen=True, slots=True)
class IndexGroup:
    """Objects of one kind under a heading."""

    title: str
    entries: tuple[IndexEntry, ...]


@lru_cache(maxsize=1 << 14)
def _lines(sheets: tuple[int, ...], face: int | None) -> tuple[str, ...]:
    runs = list(_runs(sheets))
    lines = [", ".join(runs[at : at + _A_LINE]) for at in range(0, len(runs), _A_LINE)]
    if face is not None:
        words = f"face {face}"
        if lines and len(runs) % _A_LINE:
            lines[-1] = f"{lines[-1]} · {words}"
        else:
            lines.append(words)
    return tuple(lines) or (_NOWHERE,)


def _runs(numbers: Sequence[int]) -> Iterator[str]:
    """Yield `3–5` for three numbers or more that follow each other, else the number."""
    begin = 0
    while begin < len(numbers):
        end = begin
        while end + 1 < len(numbers) and numbers[end + 1] == numbers[end] + 1:
            end += 1
        if end - begin >= 2:
            yield f"{numbers[begin]}–{numbers[end]}"
            begin = end + 1
        else:
            yield str(numbers[begin])
            begin += 1


def index_columns(
    groups: Sequence[IndexGroup], area: Area
) -> tuple[tuple[Item, ...], tuple[IndexGroup, ...]]:
    """Draw as much of an index as an area holds, and return what is left of it.

    Args:
        groups: at least one.
        area: mm.
    """
    count = max(1, int((area.width + _BETWEEN) // (_COLUMN + _BETWEEN)))
    width = (area.width - _BETWEEN * (count - 1)) / count
    level = _level(groups, count, area.height)
    items: list[Item] = []
    left = tuple(groups)
    for column in range(count):
        x = area.x + column * (width + _BETWEEN)
        shown, left = _cut(left, area.y, area.y + level)
        items += _column(shown, x, area.y, width)
        if not left:
            break
    return tuple(items), left


def _level(groups: Sequence[IndexGroup], count: int, room: float) -> float:
    """Return the least height at which the columns hold the index, `room` if none does, mm."""
    lines = sum(len(entry.lines) for group in groups for entry in group.entries)
    level = max((lines * _LINE + len(groups) * _HEAD) / count, _HEAD + _LINE)
    while level < room:
        left = tuple(groups)
        for _ in range(count):
            _, left = _cut(left, 0.0, level)
        if not left:
            return level
        level += _LINE
    return room


def _cut(
    groups: tuple[IndexGroup, ...], y: float, bottom: float
) -> tuple[list[IndexGroup], tuple[IndexGroup, ...]]:
    """Return what stands in a column from `y` to `bottom` (mm), and what is left.

    A heading never stands without an entry below it.
    """
    shown: list[IndexGroup] = []
    for place, group in enumerate(groups):
        first = len(group.entries[0].lines) * _LINE
        if y + _HEAD + first > bottom + 0.01 and shown:
            return shown, groups[place:]
        y += _HEAD
        for done, entry in enumerate(group.entries):
            high = len(entry.lines) * _LINE
            if y + high > bottom + 0.01 and done:
                shown.append(replace(group, entries=group.entries[:done]))
                rest = replace(group, entries=group.entries[done:])
                return shown, (rest, *groups[place + 1 :])
            y += high
        shown.append(group)
    return shown, ()


def _column(groups: Sequence[IndexGroup], x: float, y: float, width: float) -> Iterator[Item]:
    """Draw a column of an index, its corner at (x, y), mm."""
    for group in groups:
        y += _HEAD
        words = ((group.title, True, style.INK),)
        yield Text(x, y - 2.0, words, style.TEXT_PIN_NUMBER)
        rule = ((x, y - 0.9), (x + width, y - 0.9))
        yield Path(rule, Pen(style.INK, style.LINE_TABLE))
        for entry in group.entries:
            yield from _entry(entry, x, y, width)
            y += len(entry.lines) * _LINE


def _entry(entry: IndexEntry, x: float, y: float, width: float) -> Iterator[Item]:
    base = y + 3.0
    name = fit(entry.id, width / 3, _TEXT, bold=True)
    at = x + max(11.0, text_width_mm(name, _TEXT, bold=True) + 2.0)
    first = entry.lines[0]
    end = x + width - text_width_mm(first, _TEXT)
    title = fit(entry.title, max(0.0, end - at - 3.0), _TEXT) if entry.title else ""
    yield Text(x, base, ((name, True, style.INK),), _TEXT)
    if title:
        yield Text(at, base, ((title, False, style.INK),), _TEXT)
        at += text_width_mm(title, _TEXT)
    if end - at > 4.0:
        dots = Pen(style.HAIRLINE, 0.3, dash=(0.3, 1.2))
        yield Path(((at + 1.2, base - 0.2), (end - 1.2, base - 0.2)), dots)
    pages = (*entry.sheets, *((entry.face,) if entry.face else ()))
    for number, line in enumerate(entry.lines):
        words = ((line, False, style.INK),)
        data = (("object", entry.id), ("sheets", entry.words)) if pages and not number else ()
        yield Text(
            x + width, base + number * _LINE, words, _TEXT, anchor="end", cls="found", data=data
        )
    if pages:
        link = (("page", str(pages[0])),)
        yield Rect(x, y, width, len(entry.lines) * _LINE, Pen(), cls="link", data=link)
