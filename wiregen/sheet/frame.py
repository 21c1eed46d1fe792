"""The page around a drawing: frame, zones, title block, heading, legends, foot (mm)."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

from wiregen.sheet import style
from wiregen.sheet.foot import (
    CAUTIONS,
    FINDING_PITCH,
    GAP,
    PLUG_CAUTIONS,
    REVISIONS_WIDTH,
    Block,
    Cells,
    FootFinding,
    FootPlace,
    Legend,
    cautions_block,
    cells_for,
    colours_block,
    findings_block,
    foot_rule,
    legends_block,
    no_room_words,
    revisions_block,
)
from wiregen.sheet.grey import without_hue
from wiregen.sheet.items import Item, Sheet, Text
from wiregen.sheet.metrics import shrink, text_width_mm
from wiregen.sheet.moves import shifted
from wiregen.sheet.title_block import (
    Revision,
    TitleBlock,
    fitted,
    title_block_group,
    title_block_height,
)
from wiregen.sheet.wire import sample
from wiregen.sheet.zones import (
    A1,
    A2,
    A3,
    A4,
    A4_PORTRAIT,
    PAPERS,
    Area,
    Paper,
    frame_area,
    frame_items,
    zone_at,
)

__all__ = [
    "A1",
    "A2",
    "A3",
    "A4",
    "A4_PORTRAIT",
    "CAUTIONS",
    "FINDING_PITCH",
    "FOOT_GAP",
    "PAPERS",
    "PLUG_CAUTIONS",
    "Area",
    "Cells",
    "FootFinding",
    "FootPlace",
    "Frame",
    "Legend",
    "Paper",
    "Revision",
    "TitleBlock",
    "framed",
    "zone_at",
]

PAD = 6.0
"""Between frame line and drawing, mm."""

FOOT_GAP = 3.0
"""Between drawing and foot, mm."""

NO_CELLS = Cells(1, 0)
_COMING = 2
"""So many more findings have a place where there is room."""
FINDINGS_SHARE = 0.12
"""The list of findings takes at most this share of the height of the paper."""

_FATE_WORDS: dict[style.Fate, str] = {
    "new": "new wire",
    "existing": "existing wire",
    "removed": "removed",
}


@dataclass(frozen=True, slots=True)
class Frame:
    """Everything around the drawing, and the `area` that is left for it.

    Attributes:
        paper: its size.
        around: draws frame, title block, heading, legends and foot.
        area: room for the drawing, mm.
        mono: for printing without colours.
        listed: findings with a number up to this stand in the foot.
        foot: where the foot stands.
    """

    paper: Paper
    around: Callable[[], tuple[Item, ...]]
    area: Area
    mono: bool
    listed: int
    foot: FootPlace

    @property
    def items(self) -> tuple[Item, ...]:
        """What stands around the drawing, drawn when it is asked for."""
        return self.around()

    def sheet(self, name: str, title: str, content: tuple[Item, ...]) -> Sheet:
        """Return the page with `content` within the frame, in greys where it is mono."""
        items = (*self.items, *content)
        if self.mono:
            items = tuple(without_hue(item) for item in items)
        return Sheet(name, title, self.paper.width, self.paper.height, items)


def framed(
    paper: Paper,
    block: TitleBlock,
    *,
    heading: str = "",
    subheading: str = "",
    colours: tuple[str, ...] = (),
    fates: tuple[style.Fate, ...] = (),
    findings: tuple[FootFinding, ...] = (),
    legends: tuple[Legend, ...] = (),
    cautions: tuple[str, ...] = CAUTIONS,
    mono: bool = False,
    reach: float = 0.0,
    before: FootPlace | None = None,
) -> Frame:
    """Return frame, title block and foot of a sheet, and the area left for the drawing.

    Args:
        paper: one of `PAPERS`.
        block: title block and revision table.
        heading: what this sheet shows, printed large at the top; empty for none.
        subheading: one grey line below it.
        colours: colours on this sheet in IEC form (`BU/WH`); the legend lists each part once,
            `""` stands for wires without a colour.
        fates: which of new, existing and removed occur here, for their legend.
        findings: findings marked on this sheet.
        legends: of the marks that occur here.
        cautions: sentences printed small in the foot.
        mono: ink patterns in place of colours.
        reach: how far down a drawing stands already that must not be moved, mm; the list of
            findings is cut short to end below it, and has places for more where there is room.
        before: where the foot stood when the sheet was drawn before.
    """
    frame = frame_area(paper)
    height = frame.height - title_block_height(frame)
    inside = Area(frame.x + PAD, frame.y, frame.width - 2 * PAD, height)
    foot = _Foot(block, inside, findings, colours, legends, cautions, mono)
    cells, foot_top = _foot_place(foot, paper.height * FINDINGS_SHARE, before, reach)
    legend_width = _legend_width(fates)
    beside = legend_width < inside.width / 2
    head_width = inside.width - (legend_width if beside else 0)
    head_items, head_bottom = _head(heading, subheading, inside, head_width)
    if fates:
        legend_y = inside.y + 8.0 if beside else head_bottom + 4.0
        head_bottom = max(head_bottom, legend_y + 2.0)
        head_items += tuple(_fate_legend(fates, inside.right - legend_width, legend_y, mono))

    def around() -> tuple[Item, ...]:
        title = title_block_group(block, frame)
        return (*frame_items(paper), title, *head_items, *_foot_items(foot, cells, foot_top))

    top = head_bottom + 3.0
    area = Area(inside.x, top, inside.width, foot_top - FOOT_GAP - top)
    listed = cells.listed(foot.highest)
    return Frame(paper, around, area, mono, listed, FootPlace(round(foot_top, 2), cells))


def _head(
    heading: str, subheading: str, inside: Area, width: float
) -> tuple[tuple[Item, ...], float]:
    """Heading and grey line below it; returns them and where they end."""
    items: list[Item] = []
    y = inside.y + 2.0
    if heading:
        lines, size = fitted(heading, width, style.TEXT_TITLE)
        for line in lines:
            y += size * 1.3
            words = ((line, True, style.INK),)
            items.append(Text(inside.x, y, words, size, cls="heading"))
        y += 1.0
    if subheading:
        words_fit, size = shrink(subheading, width, style.TEXT_PIN, style.TEXT_SMALLEST)
        y += 4.0
        items.append(Text(inside.x, y, ((words_fit, False, style.SECONDARY),), size))
    return tuple(items), y + (1.5 if items else 0.0)


def _legend_width(fates: tuple[style.Fate, ...]) -> float:
    return sum(text_width_mm(_FATE_WORDS[fate], 2.3) + 30 for fate in fates)


def _fate_legend(fates: tuple[style.Fate, ...], x: float, y: float, mono: bool) -> Iterator[Item]:
    """New, existing and removed wires side by side."""
    for fate in fates:
        words = _FATE_WORDS[fate]
        x += 8.0
        yield Text(x, y + 0.8, ((words, False, style.INK),), 2.3)
        x += text_width_mm(words, 2.3) + 4.0
        yield sample(x, y, 18.0, fate, mono)
        x += 18.0


@dataclass(frozen=True)
class _Foot:
    """What stands in the foot, from the top, and the room above the title block."""

    block: TitleBlock
    inside: Area
    findings: tuple[FootFinding, ...]
    colours: tuple[str, ...]
    legends: tuple[Legend, ...]
    cautions: tuple[str, ...]
    mono: bool

    @property
    def bottom(self) -> float:
        """Where it ends, mm."""
        return self.inside.bottom - 3.0

    @property
    def highest(self) -> int:
        """The highest number of a finding."""
        return max((finding.number for finding in self.findings), default=0)

    @property
    def beside(self) -> bool:
        """Whether the revision table stands at the right."""
        return bool(self.block.revisions) and self.inside.width >= 220

    @cached_property
    def below(self) -> tuple[Block, ...]:
        """What stands below the findings, from the top."""
        return tuple(_below(self))


def _foot_place(
    foot: _Foot, room: float, before: FootPlace | None, reach: float
) -> tuple[Cells, float]:
    """Return the places of the findings, which take `room` (mm) at most, and the top of the foot.

    A foot that has to stay clear of a drawing stays where it was before, if it can, and has
    places for findings that come.
    """
    known = before.cells if before is not None else None
    width, highest = foot.inside.width, foot.highest
    cells = cells_for(highest, width, room, known) if foot.findings else known or NO_CELLS
    lowest = reach + FOOT_GAP
    top = _foot_top(foot, cells)
    if foot.findings and top < lowest:
        room = min(room, cells.rows * FINDING_PITCH - (lowest - top))
        cells = cells_for(highest, width, max(0.0, room))
        top = _foot_top(foot, cells)
    while cells.count < highest + _COMING and foot.findings and reach > 0 and cells != known:
        more = Cells(cells.columns, cells.rows + 1)
        if more.rows * FINDING_PITCH > room or _foot_top(foot, more) < lowest:
            break
        cells, top = more, _foot_top(foot, more)
    if before is not None and lowest <= before.top < top:
        top = before.top
    return cells, top


def _foot_top(foot: _Foot, cells: Cells) -> float:
    """Return where a foot begins, mm."""
    above = cells.rows * FINDING_PITCH + GAP if cells.rows else 0.0
    height = sum(part.height + GAP for part in foot.below) + above
    if foot.beside:
        height = max(height, revisions_block(foot.block.revisions).height + GAP + above)
    return foot.bottom - height


def _below(foot: _Foot) -> Iterator[Block]:
    """Yield what stands below the findings, from the top."""
    width = foot.inside.width - (REVISIONS_WIDTH + 8 if foot.beside else 0)
    if foot.colours:
        yield colours_block(foot.colours, width, foot.mono)
    if foot.legends:
        yield legends_block(foot.legends, width)
    if foot.cautions:
        yield cautions_block(foot.cautions, width)
    if foot.block.revisions and not foot.beside:
        yield revisions_block(foot.block.revisions)


def _foot_items(foot: _Foot, cells: Cells, top: float) -> list[Item]:
    """Draw a foot, its findings at the top."""
    items: list[Item] = [foot_rule(foot.inside, top)] if top < foot.bottom else []
    if foot.findings and not cells.count:
        items.append(no_room_words(len(foot.findings), foot.inside.right, top - 0.8))
    elif foot.findings:
        listing = findings_block(foot.findings, foot.inside.width, cells)
        items.extend(shifted(item, foot.inside.x, top + GAP) for item in listing.items)
    y = foot.bottom - sum(part.height + GAP for part in foot.below)
    for part in foot.below:
        items.extend(shifted(item, foot.inside.x, y + GAP) for item in part.items)
        y += GAP + part.height
    if foot.beside:
        table = revisions_block(foot.block.revisions)
        x = foot.inside.right - REVISIONS_WIDTH
        items.extend(shifted(item, x, foot.bottom - table.height) for item in table.items)
    return items
