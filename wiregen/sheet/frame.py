"""The page around a drawing: frame, zones, title block, heading, legends, foot (mm)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from wiregen.sheet import style
from wiregen.sheet.foot import (
    CAUTIONS,
    GAP,
    PLUG_CAUTIONS,
    REVISIONS_WIDTH,
    Block,
    FootFinding,
    Legend,
    cautions_block,
    colours_block,
    findings_block,
    foot_rule,
    legends_block,
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
    "PAPERS",
    "PLUG_CAUTIONS",
    "Area",
    "FootFinding",
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
        items: frame, title block, heading, legends and foot.
        area: room for the drawing, mm.
        mono: for printing without colours.
        listed: how many of the findings the foot holds.
    """

    paper: Paper
    items: tuple[Item, ...]
    area: Area
    mono: bool = False
    listed: int = 0

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
            findings is cut short to end below it.
    """
    frame = frame_area(paper)
    height = frame.height - title_block_height(frame)
    inside = Area(frame.x + PAD, frame.y, frame.width - 2 * PAD, height)
    listing, listed = None, 0
    if findings:
        room = paper.height * FINDINGS_SHARE
        listing, listed = findings_block(findings, inside.width, room)
    foot = _Foot(colours, listing, legends, cautions, mono)
    foot_items, foot_top = _foot(block, inside, foot)
    over = reach - (foot_top - FOOT_GAP)
    if listing and over > 0:
        listing, listed = findings_block(findings, inside.width, listing.height - over)
        foot_items, foot_top = _foot(block, inside, replace(foot, listing=listing))
    legend_width = _legend_width(fates)
    beside = legend_width < inside.width / 2
    head_width = inside.width - (legend_width if beside else 0)
    head_items, head_bottom = _head(heading, subheading, inside, head_width)
    if fates:
        legend_y = inside.y + 8.0 if beside else head_bottom + 4.0
        head_bottom = max(head_bottom, legend_y + 2.0)
        head_items += tuple(_fate_legend(fates, inside.right - legend_width, legend_y, mono))
    items = (
        *frame_items(paper),
        title_block_group(block, frame),
        *head_items,
        *foot_items,
    )
    top = head_bottom + 3.0
    area = Area(inside.x, top, inside.width, foot_top - FOOT_GAP - top)
    return Frame(paper, items, area, mono, listed)


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


@dataclass(frozen=True, slots=True)
class _Foot:
    """What stands in the foot, from the top."""

    colours: tuple[str, ...]
    listing: Block | None
    legends: tuple[Legend, ...]
    cautions: tuple[str, ...]
    mono: bool


def _foot(block: TitleBlock, inside: Area, foot: _Foot) -> tuple[tuple[Item, ...], float]:
    """Foot of the sheet and where it starts; the revision table stands at its right if it can."""
    bottom = inside.bottom - 3.0
    table = revisions_block(block.revisions)
    beside = bool(block.revisions) and inside.width >= 220
    width = inside.width - (REVISIONS_WIDTH + 8 if beside else 0)
    blocks: list[Block] = []
    if foot.listing:
        blocks.append(foot.listing)
    if foot.colours:
        blocks.append(colours_block(foot.colours, width, foot.mono))
    if foot.legends:
        blocks.append(legends_block(foot.legends, width))
    if foot.cautions:
        blocks.append(cautions_block(foot.cautions, width))
    if block.revisions and not beside:
        blocks.append(table)
    height = sum(part.height for part in blocks) + GAP * len(blocks)
    if beside:
        above = blocks[0].height + GAP if foot.listing else 0.0
        height = max(height, table.height + GAP + above)
    top = bottom - height
    items: list[Item] = [foot_rule(inside, top)] if height else []
    for part in blocks:
        items.extend(shifted(item, inside.x, top + GAP) for item in part.items)
        top += GAP + part.height
    if beside:
        x, y = inside.right - REVISIONS_WIDTH, bottom - table.height
        items.extend(shifted(item, x, y) for item in table.items)
    return tuple(items), bottom - height
