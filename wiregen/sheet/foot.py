"""The foot of a sheet, above the title block: findings, colours, cautions, revisions (mm)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

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
_FINDING_LINE = 2.9
FINDING_PITCH = 6.3
"""Height of the place of a finding, whose ring or two lines it holds, mm."""
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
class Cells:
    """The places of findings in a foot: number n has the n-th, row by row from the left."""

    columns: int
    rows: int

    @property
    def count(self) -> int:
        """How many there are."""
        return self.columns * self.rows

    def listed(self, highest: int) -> int:
        """Return up to which number findings stand in the list; what is left takes one place."""
        return highest if highest <= self.count else max(0, self.count - 1)


@dataclass(frozen=True, slots=True)
class FootPlace:
    """Where a foot stands: the y of its rule, mm, and the places of its findings."""

    top: float
    cells: Cells


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


def cells_for(highest: int, width: float, room: float, before: Cells | None = None) -> Cells:
    """Return places for findings with numbers up to `highest`, as many as there is room for.

    Few findings stand below one another; on a wide sheet more of them stand in columns.

    Args:
        highest: number of a finding.
        width: mm.
        room: greatest height, mm.
        before: the places the sheet had; they stay, and rows are added below.
    """
    rows = int(room / FINDING_PITCH + 1e-6)
    most = max(1, min(_COLUMNS, int(width // LEAST_COLUMN)))
    if before is not None and before.columns <= most:
        needed = max(before.rows, math.ceil(highest / before.columns))
        if needed <= rows:
            return Cells(before.columns, needed)
    few = 1 if highest <= FEW_FINDINGS else min(2, most)
    tried = (Cells(count, math.ceil(highest / count)) for count in range(few, most + 1))
    return next((cells for cells in tried if cells.rows <= rows), Cells(most, rows))


def findings_block(findings: Sequence[FootFinding], width: float, cells: Cells) -> Block:
    """Return the list of findings.

    What has no place is counted in words in the last one.

    Args:
        findings: each stands at the place of its number.
        width: mm.
        cells: from `cells_for`.
    """
    highest = max((finding.number for finding in findings), default=0)
    listed = cells.listed(highest)
    wide = (width - _BETWEEN * (cells.columns - 1)) / cells.columns
    items: list[Item] = []
    for finding in sorted(findings, key=lambda finding: finding.number):
        if finding.number <= listed:
            row, column = divmod(finding.number - 1, cells.columns)
            at = (column * (wide + _BETWEEN), row * FINDING_PITCH)
            items.append(shifted(_finding_row(finding, wide), *at))
    if listed < highest:
        rest = sum(finding.number > listed for finding in findings)
        row, column = divmod(listed, cells.columns)
        more = f"and {rest} more" if listed else _count_words(rest)
        at = (column * (wide + _BETWEEN), row * FINDING_PITCH + FINDING_PITCH / 2 + 0.9)
        words = f"{more} on this sheet: wiregen check"
        items.append(_text(words, *at, style.TEXT_WIRE, style.ATTENTION))
    return Block(tuple(items), cells.rows * FINDING_PITCH)


def no_room_words(count: int, right: float, y: float) -> Text:
    """Return how many findings a sheet has that has no room to list any, ending at (right, y)."""
    words = f"{_count_words(count)} on this sheet: wiregen check"
    return Text(right, y, ((words, False, style.ATTENTION),), style.TEXT_WIRE, "end")


def _count_words(count: int) -> str:
    return f"{count} finding{'' if count == 1 else 's'}"


def _finding_row(finding: FootFinding, width: float) -> Group:
    """Return the row of a finding at the top, its sentence on two lines at most."""
    radius = finding_radius_mm(finding.number)
    code_x = 2 * radius + 2.4
    words_x = code_x + text_width_mm(finding.code, 2.4, bold=True) + 3.0
    lines = wrap(finding.sentence, width - words_x, 2.4, max_lines=_MOST_LINES)
    middle = FINDING_PITCH / 2
    first = middle + 0.9 - (len(lines) - 1) * _FINDING_LINE / 2
    items: list[Item] = [
        finding_ring(finding.number, radius, middle, finding.code),
        _text(finding.code, code_x, middle + 0.9, 2.4, style.ATTENTION, bold=True),
    ]
    for number, line in enumerate(lines):
        items.append(_text(line, words_x, first + number * _FINDING_LINE, 2.4, style.INK))
    data = (("number", str(finding.number)), ("code", finding.code))
    return Group(tuple(items), cls="finding-row", data=data)


@lru_cache(maxsize=1 << 8)
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
