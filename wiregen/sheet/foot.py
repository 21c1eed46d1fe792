"""The foot of a sheet, above the title block: findings, colours, cautions, revisions (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Path, Pen, Text
from wiregen.sheet.marks import finding_radius_mm, finding_ring
from wiregen.sheet.metrics import fit, text_width_mm, wrap
from wiregen.sheet.moves import shifted
from wiregen.sheet.swatch import HEIGHT, MONO_WIDTH, WIDTH, swatch
from wiregen.sheet.title_block import Revision
from wiregen.sheet.zones import Area

CAUTIONS: tuple[str, ...] = (
    "Disconnect the battery first, then wait: restraint systems and capacitors stay charged.",
    "Never probe or cut yellow-marked restraint (airbag) wiring.",
    "Ignition primary and coil leads carry hundreds of volts.",
    "Never fit a larger fuse; fit fuses last.",
    "Insulation meter only with every unit unplugged.",
    "First start with wheels chocked, in neutral, with a way to stop the engine.",
    "Batteries give off explosive gas; take rings off.",
    "Boats and fuel spaces: ignition-protected parts only.",
    "Above 60 V DC is outside this drawing.",
    "Brake, steering, restraint and lighting circuits fall under local vehicle rules: have them "
    "done by a licensed or qualified person.",
    "The cable and fuse makers’ data prevail.",
)

PLUG_CAUTIONS: tuple[str, ...] = tuple(CAUTIONS[place] for place in (0, 1, 2, 4, 9, 10))
"""What matters to somebody with a plug in the hand; the schematic sheets have them all."""

LABEL = 17.0
"""Room for the bold word that opens a block, mm."""

GAP = 3.6
"""Between two blocks, mm."""

REVISIONS_WIDTH = 92.0
_REVISION_ROWS = 4
_SMALL = style.TEXT_SMALL
_LEGEND = 2.2
_DATE, _CHANGE = 15.0, 34.0
_PITCH, _BASE = 4.2, 2.9
_LINE = 3.0
_FINDING_LINE = 3.4
_BETWEEN = 8.0
LEAST_COLUMN = 110.0
"""A column of findings is at least this wide, mm."""
FEW_FINDINGS = 3
"""Findings that stand below one another also where there is room for columns."""
_COLUMNS = 3
_MOST_LINES = 2


@dataclass(frozen=True, slots=True)
class FootFinding:
    """One finding in the foot of a sheet: number in the ring, rule code, one sentence."""

    number: int
    code: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Legend:
    """One line of the legend: a title, then marks drawn around (0, 0) with what they mean."""

    title: str
    entries: tuple[tuple[Item, str], ...]


@dataclass(frozen=True, slots=True)
class Block:
    """Items laid out below y = 0 and the height they take, mm."""

    items: tuple[Item, ...]
    height: float


def findings_block(
    findings: tuple[FootFinding, ...], width: float, room: float
) -> tuple[Block, int]:
    """Return the list of findings and how many of them it holds.

    On a wide sheet they stand in as many columns as they need; what does not fit is counted in
    words.

    Args:
        findings: in order.
        width: mm.
        room: greatest height, mm.
    """
    most = max(1, min(_COLUMNS, int(width // LEAST_COLUMN)))
    few = 1 if len(findings) <= FEW_FINDINGS else min(2, most)
    tried = [_columns(findings, width, room, count) for count in range(few, most + 1)]
    shown = max(sum(len(column) for column in columns) for columns in tried)
    columns = next(columns for columns in tried if sum(map(len, columns)) == shown)
    wide = (width + _BETWEEN) / len(columns)
    items: list[Item] = []
    high = 0.0
    for place, column in enumerate(columns):
        top = 0.0
        for row, height in column:
            items.append(shifted(row, place * wide, top))
            top += height
        high = max(high, top)
    if shown < len(findings):
        plural = "" if len(findings) == 1 else "s"
        rest = f"and {len(findings) - shown} more" if shown else f"{len(findings)} finding{plural}"
        words = f"{rest} on this sheet: wiregen check"
        items.append(_text(words, 0.0, high + 2.6, style.TEXT_WIRE, style.ATTENTION))
        high += _FINDING_LINE + 0.4
    return Block(tuple(items), high), shown


_Row = tuple[Group, float]


def _columns(
    findings: Sequence[FootFinding], width: float, room: float, count: int
) -> list[list[_Row]]:
    """Return the rows of findings in columns of one height: as low as holds them all, or full."""
    wide = (width - _BETWEEN * (count - 1)) / count
    rows = [_finding_row(finding, wide, _MOST_LINES) for finding in findings]
    heights = [height for _, height in rows]
    low = max(*heights, sum(heights) / count)
    while low <= room:
        parts = _parted(heights, count, low)
        if sum(parts) == len(rows):
            break
        low += 1.0
    else:
        parts = _parted(heights, count, room - _FINDING_LINE - 0.4)
    columns: list[list[_Row]] = []
    done = 0
    for part in parts:
        columns.append(rows[done : done + part])
        done += part
    return columns


def _parted(heights: Sequence[float], columns: int, room: float) -> list[int]:
    """Return how many rows stand in each column of a height, mm."""
    parts: list[int] = []
    for _ in range(columns):
        parts.append(_that_fit(heights[sum(parts) :], room))
    return parts


def _that_fit(heights: Sequence[float], room: float) -> int:
    total = 0.0
    for count, height in enumerate(heights):
        total += height
        if total > room:
            return count
    return len(heights)


def _finding_row(finding: FootFinding, width: float, most: int) -> tuple[Group, float]:
    """Return the row of a finding at the top, its sentence on `most` lines, and its height, mm."""
    radius = finding_radius_mm(finding.number)
    code_x = 2 * radius + 2.4
    words_x = code_x + text_width_mm(finding.code, 2.4, bold=True) + 3.0
    lines = wrap(finding.sentence, width - words_x, 2.4, max_lines=most)
    middle = max(radius, len(lines) * _FINDING_LINE / 2)
    first = middle + 0.9 - (len(lines) - 1) * _FINDING_LINE / 2
    items: list[Item] = [
        finding_ring(finding.number, radius, middle, finding.code),
        _text(finding.code, code_x, middle + 0.9, 2.4, style.ATTENTION, bold=True),
    ]
    for number, line in enumerate(lines):
        items.append(_text(line, words_x, first + number * _FINDING_LINE, 2.4, style.INK))
    height = max(2 * radius, len(lines) * _FINDING_LINE) + 0.6
    data = (("number", str(finding.number)), ("code", finding.code))
    return Group(tuple(items), cls="finding-row", data=data), height


def colours_block(colours: tuple[str, ...], width: float, mono: bool) -> Block:
    """Return the legend of the colours used, each base and tracer colour once, by code."""
    parts = sorted({part for colour in colours for part in colour.split("/") if part})
    entries = [(part, _entry(part)) for part in parts]
    if "" in colours:
        entries.append(("", "no colour given"))
    items: list[Item] = [_text("Colours", 0.0, 2.2, style.TEXT_WIRE, style.INK, bold=True)]
    left, top, wide = LABEL, 0.0, MONO_WIDTH if mono else WIDTH
    longest = max((text_width_mm(words, _LEGEND) for _, words in entries), default=0.0)
    step = wide + 1.5 + longest + 4.0
    for part, words in entries:
        if left + step - 4.0 > width and left > LABEL:
            left, top = LABEL, top + 4.2
        items.append(swatch(left, top, part, width=wide, mono=mono))
        items.append(_text(words, left + wide + 1.5, top + 2.2, _LEGEND, style.INK))
        left += step
    note = "base/tracer"
    if len(parts) > 1 and left + text_width_mm(note, _LEGEND) < width:
        items.append(_text(note, left, top + 2.2, _LEGEND, style.SECONDARY))
    return Block(tuple(items), top + HEIGHT)


def legends_block(legends: tuple[Legend, ...], width: float) -> Block:
    """Return the marks of the legends with their words; a legend that fits beside one does so."""
    items: list[Item] = []
    left, top = 0.0, 0.0
    for number, legend in enumerate(legends):
        if number and left + 8.0 + _legend_width(legend) <= width:
            left += 8.0
        elif number:
            left, top = 0.0, top + 4.2
        items.append(_text(legend.title, left, top + 2.2, style.TEXT_WIRE, style.INK, bold=True))
        left += LABEL
        for place, (mark, said) in enumerate(legend.entries):
            words = fit(said, width - LABEL - 4.0, _LEGEND)
            room = 3.6 + text_width_mm(words, _LEGEND)
            if place and left + room > width:
                left, top = LABEL, top + 4.2
            items.append(shifted(mark, left + 1.2, top + HEIGHT / 2))
            items.append(_text(words, left + 3.6, top + 2.2, _LEGEND, style.INK))
            left += room + 4.0
    return Block(tuple(items), top + HEIGHT)


def _legend_width(legend: Legend) -> float:
    return LABEL + sum(7.6 + text_width_mm(said, _LEGEND) for _, said in legend.entries)


def _entry(part: str) -> str:
    name = style.colour_name(part)
    return part if name == part else f"{part} {name}"


@cache
def cautions_block(cautions: tuple[str, ...], width: float) -> Block:
    """Return the cautions as one small grey paragraph."""
    size = style.TEXT_SMALLEST
    lines = wrap(" ".join(cautions), width - LABEL, size)
    items: list[Item] = [_text("Cautions", 0.0, 2.0, style.TEXT_WIRE, style.INK, bold=True)]
    for number, line in enumerate(lines):
        items.append(_text(line, LABEL, 2.0 + number * _LINE, size, style.SECONDARY))
    return Block(tuple(items), (len(lines) - 1) * _LINE + 2.6)


def revisions_block(revisions: tuple[Revision, ...]) -> Block:
    """Return the revision table, newest first as given last; older ones are counted."""
    rows = tuple(reversed(revisions))[:_REVISION_ROWS]
    older = len(revisions) - len(rows)
    items: list[Item] = []
    for word, left in (("Revision", 0.0), ("Date", _DATE), ("Change", _CHANGE)):
        items.append(_text(word, left, _BASE, _SMALL, style.SECONDARY))
    for number, row in enumerate(rows, start=1):
        items.append(_rule(number * _PITCH))
        items.extend(_revision_row(row, number * _PITCH + _BASE))
    if older:
        y = (len(rows) + 1) * _PITCH
        items.append(_rule(y))
        items.append(_text(f"and {older} earlier", _CHANGE, y + _BASE, _SMALL, style.SECONDARY))
    height = _PITCH * (len(rows) + 1 + bool(older))
    return Block((Group(tuple(items), cls="revisions"),), height)


def _revision_row(row: Revision, y: float) -> Iterator[Item]:
    yield _text(fit(row.revision, 13, _SMALL, bold=True), 0.0, y, _SMALL, style.INK, bold=True)
    yield _text(fit(row.date, 17.5, _SMALL), _DATE, y, _SMALL, style.INK)
    words = fit(row.what, REVISIONS_WIDTH - _CHANGE, _SMALL)
    yield _text(words, _CHANGE, y, _SMALL, style.INK)


def _rule(y: float) -> Path:
    return Path(((0.0, y), (REVISIONS_WIDTH, y)), style.TABLE_PEN)


def foot_rule(area: Area, y: float) -> Path:
    """Return the hairline that parts drawing and foot."""
    return Path(((area.x, y), (area.right, y)), Pen(style.HAIRLINE, style.LINE_TABLE))


def _text(words: str, x: float, y: float, size: float, colour: str, *, bold: bool = False) -> Text:
    return Text(x, y, ((words, bold, colour),), size)
