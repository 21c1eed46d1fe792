"""One schematic sheet laid out on its paper, and what every sheet of a design shares."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from wiregen.connect import Network
from wiregen.layout.engine import Room
from wiregen.layout.finding_numbers import found_again
from wiregen.layout.kept import KeptFoot, KeptSheet
from wiregen.layout.schematic.block import ROW_MM
from wiregen.layout.schematic.build import make_scene
from wiregen.layout.schematic.bundles import Bundle, find_bundles
from wiregen.layout.schematic.ends import Ends
from wiregen.layout.schematic.flow import Flow
from wiregen.layout.schematic.half_lines import full_rows
from wiregen.layout.schematic.heads import with_faces
from wiregen.layout.schematic.keeping import DECIMALS
from wiregen.layout.schematic.keeping_rows import bare_pins
from wiregen.layout.schematic.legend import legends_of
from wiregen.layout.schematic.marks import Marks, find_marks
from wiregen.layout.schematic.narrowed import Findings
from wiregen.layout.schematic.page import (
    LEAST_SCALE,
    Laid,
    colour_text,
    draw_page,
    lay_again,
    lay_page,
)
from wiregen.layout.schematic.rings import Ring, find_rings
from wiregen.layout.schematic.scene import Plan, Scene
from wiregen.layout.schematic.spill import clashing, is_as_before, longer_parts
from wiregen.layout.schematic.split import MOST_ON_A4
from wiregen.layout.schematic.state_view import StateView
from wiregen.layout.title import title_block
from wiregen.model import Design
from wiregen.model.order import in_order
from wiregen.sheet.frame import (
    A3,
    A4,
    A4_PORTRAIT,
    CAUTIONS,
    PAPERS,
    Area,
    FootPlace,
    Frame,
    Paper,
    framed,
    zone_at,
)
from wiregen.sheet.items import Item, Point
from wiregen.sheet.style import FATES

SLACK_MM = 0.05
ASIDE_MM = 4.0
"""A repeated drawing may reach so far into the margin beside its area before all of it moves."""
COMING_MM = (6.0, 7.5)
"""Room left at the right and below where a sheet has it, so that what comes moves nothing, mm."""
_ANY_SHEET, _ANY_ZONE = "88", "D8"
MOST_SCALE = 1.25
"""A small layout is drawn up to this much larger."""


@dataclass(frozen=True, slots=True)
class Page:
    """A schematic sheet that is laid out but not numbered.

    Attributes:
        plan: what it shows.
        laid: where everything stands.
        paper: its size.
        scale: at which the layout is drawn, around 1.
        area: room for the drawing, mm.
        marks: findings marked on it.
        corner: where the layout's top left corner stands on the page, mm.
        foot: where its foot stands; None before the page is finished.
        rings: around its findings.
        bundles: marks of screens and twists.
    """

    plan: Plan
    laid: Laid
    paper: Paper
    scale: float
    area: Area
    marks: Marks
    corner: Point
    foot: FootPlace | None = None
    rings: tuple[Ring, ...] = ()
    bundles: tuple[Bundle, ...] = ()

    @property
    def reach(self) -> float:
        """How far down the drawing stands on the page, mm."""
        return self.corner[1] + self.laid.placement.height * self.scale

    def room(self, area: Area) -> Area:
        """Return an area of the page in the lengths of the layout."""
        left, top = self.corner
        corner = ((area.x - left) / self.scale, (area.y - top) / self.scale)
        return Area(*corner, area.width / self.scale, area.height / self.scale)

    def on_page(self, point: Point) -> Point:
        """Return where a place of the layout is on the page, as a file keeps it, mm."""
        (left, top), (x, y) = self.corner, point
        return round(left + x * self.scale, DECIMALS), round(top + y * self.scale, DECIMALS)

    def in_layout(self, point: Point) -> Point:
        """Return which place of the layout is at a place of the page, mm."""
        (left, top), (x, y) = self.corner, point
        return (x - left) / self.scale, (y - top) / self.scale

    def snapped(self, point: Point) -> Point:
        """Return a place of the layout as it will be read from a file."""
        return self.in_layout(self.on_page(point))

    def zone(self, key: str) -> str:
        """Return the zone where a cut wire end stops on this page."""
        return self.zone_of(*self.laid.stops[key])

    def zone_of(self, x: float, y: float) -> str:
        """Return the zone of a place of the layout, mm, rounded as drawings write it."""
        left, top = self.corner
        places = (left + round(x, 2) * self.scale, top + round(y, 2) * self.scale)
        return zone_at(*places, self.paper)


@dataclass(frozen=True, slots=True)
class Maker:
    """What every sheet of one design shares."""

    design: Design
    network: Network
    ends: Ends
    flow: Flow
    findings: Findings
    mono: bool
    state: StateView | None = None

    def page(
        self,
        plan: Plan,
        papers: Sequence[Paper] = (),
        least: float = LEAST_SCALE,
        before: KeptFoot | None = None,
    ) -> Page | None:
        """Lay out one sheet on the first paper it is readable on; None when none is.

        Args:
            plan: what it shows.
            papers: to try; A4 for few wires and A3 where not given.
            least: scale it has to be drawn at.
            before: its findings when it was drawn before.
        """
        marks = self._marks(plan, before)
        scene = self._scene(plan, None)
        for paper in papers or papers_for(plan):
            area = self.frame(plan, paper, marks).area
            laid = lay_page(scene, area.height, area.width / area.height)
            area = next((a for a in _roomy(area) if _scale(laid, a) >= least), area)
            scale = _scale(laid, area)
            if scale >= least:
                return Page(plan, laid, paper, scale, area, marks, _centred(laid, area, scale))
        return None

    def repeated(self, plan: Plan, keep: KeptSheet) -> Page | None:
        """Lay out a sheet as it was drawn before; None when it does not fit its paper any more.

        Words that got longer reach over the edge of their part, before anything moves for them.
        """
        page = self._again(plan, keep)
        if page is not None and is_as_before(page.laid, keep):
            return page
        longer = longer_parts(self._scene(plan, keep), keep)
        while longer:
            tried = self._again(plan, keep, longer)
            if tried is None:
                break
            hit = clashing(self._drawn(tried), longer, tried.room(tried.area))
            if not hit:
                return tried
            longer -= hit
        return page

    def _again(
        self, plan: Plan, keep: KeptSheet, spill: frozenset[str] = frozenset()
    ) -> Page | None:
        """Lay out a sheet again; the words of some parts may reach over their edge."""
        marks = self._marks(plan, keep.foot, bare_pins(self.network, keep))
        paper = next(paper for paper in PAPERS if paper.name == keep.paper and paper != A4_PORTRAIT)
        scale, aspect = keep.scale, paper.width / paper.height
        room = _room(self.frame(plan, paper, marks).area, keep)
        laid = self._least_moved(plan, keep, (paper.height, aspect), room, spill)
        left, top = laid.placement.origin
        corner = (round(keep.corner[0] - left * scale, 2), round(keep.corner[1] - top * scale, 2))
        right = corner[0] + laid.placement.width * scale
        bottom = corner[1] + laid.placement.height * scale
        area = self.frame(plan, paper, marks, reach=bottom).area
        if (
            corner[0] < area.x - ASIDE_MM
            or corner[1] < area.y - SLACK_MM
            or right > area.right + ASIDE_MM
            or bottom > area.bottom + SLACK_MM
        ):
            area = self.frame(plan, paper, marks).area
            scale = min(scale, _scale(laid, area))
            if scale < LEAST_SCALE:
                return None
            corner = _centred(laid, area, scale)
        return Page(plan, laid, paper, scale, area, marks, corner)

    def _marks(self, plan: Plan, before: KeptFoot | None, bare: Sequence[str] = ()) -> Marks:
        """Return the findings of a sheet; those of a state are numbered by themselves."""
        known = before.numbers if before is not None and self.state is None else {}
        return find_marks(self.ends, plan, self.findings, known, bare)

    def finished(self, page: Page, keep: KeptSheet | None) -> Page:
        """Return a page with its foot, its marks and the rings of its findings, as they stood.

        Args:
            page: laid out for good.
            keep: the sheet as it was drawn before.
        """
        known = keep.foot if self.state is None and keep is not None else None
        place = known.place if known is not None else None
        frame = self.frame(page.plan, page.paper, page.marks, reach=page.reach, before=place)
        rings: tuple[Ring, ...] = ()
        bundles: tuple[Bundle, ...] = ()
        if page.marks.foot or any(w in page.laid.scene.grouped for w in shown_wires(page.plan)):
            items = self._drawn(page)
            room = page.room(frame.area)
            bundles = self._bundles(page, keep, items, room)
            items = (*items, *(bundle.drawn for bundle in bundles))
            stood = known.steps if known is not None else {}
            again = found_again(page.marks.keys, stood)
            steps = {key: stood[old] for key, old in again.items()}
            rings = find_rings(page.marks, items, frame.listed, steps, room)
        return replace(page, foot=frame.foot, rings=rings, bundles=bundles)

    def _drawn(self, page: Page) -> tuple[Item, ...]:
        """Return blocks and wires of a page; for numbers of sheets not known yet others stand."""
        targets = {cut.here.key: (_ANY_SHEET, _ANY_ZONE) for cut in page.plan.cuts}
        faces = dict.fromkeys(self.design.plugs, int(_ANY_SHEET))
        return with_faces(draw_page(page.laid, 0.0, 0.0, targets, self.mono), faces)

    def _bundles(
        self, page: Page, keep: KeptSheet | None, items: Sequence[Item], room: Area
    ) -> tuple[Bundle, ...]:
        """Return the marks of screens and twists on a page, in the lengths of its layout."""
        stood = {
            group: [mark.moved(page.in_layout) for mark in marks]
            for group, marks in (keep.marks if keep is not None else {}).items()
        }
        return find_bundles(self.design, items, room, stood, page.snapped)

    def _least_moved(
        self,
        plan: Plan,
        keep: KeptSheet,
        size: tuple[float, float],
        room: Room,
        spill: frozenset[str],
    ) -> Laid:
        """Lay out a sheet as it was, with as few full rows for further wires at a pin as can be."""
        first = self._scene(plan, keep, spill=spill)
        scenes = (
            self._scene(plan, keep, full, spill) if full else first
            for full in full_rows(first.halves, keep)
        )
        return lay_again(scenes, *size, keep, room)

    def _scene(
        self,
        plan: Plan,
        keep: KeptSheet | None,
        full: frozenset[str] = frozenset(),
        spill: frozenset[str] = frozenset(),
    ) -> Scene:
        scene = make_scene(
            self.design, self.network, self.ends, self.flow, plan=plan, row_mm=ROW_MM, keep=keep,
            full=full,
        )  # fmt: skip
        return replace(scene, state=self.state, spill=spill)

    def frame(
        self,
        plan: Plan,
        paper: Paper,
        marks: Marks,
        number: tuple[int, int] = (1, 1),
        *,
        reach: float = 0.0,
        before: FootPlace | None = None,
    ) -> Frame:
        """Return the frame of one sheet.

        Args:
            plan: what it shows.
            paper: its size.
            marks: findings to be listed.
            number: of the sheet, and how many there are.
            reach: how far down its drawing stands, mm.
            before: where its foot stood.
        """
        wires = [self.design.wires[name] for name in shown_wires(plan)]
        fates = {self.design.status_of(wire) for wire in wires}
        block = replace(title_block(self.design), sheet=number[0], sheets=number[1])
        if not block.state:
            block = replace(block, state="all switches at rest")
        if self.state is not None:
            block = replace(block, state=self.state.drawn_state)
        return framed(
            paper,
            block,
            heading=plan.title,
            subheading=self.state.subtitle if self.state is not None else plan.subtitle,
            colours=tuple(in_order({colour_text(wire) for wire in wires})),
            fates=tuple(fate for fate in FATES if fate in fates),
            findings=marks.foot,
            legends=legends_of(self.design, self.network, self.ends, plan),
            cautions=CAUTIONS if self.state is None else (*self.state.cautions, *CAUTIONS),
            mono=self.mono,
            reach=reach - SLACK_MM,
            before=before,
        )


def _room(area: Area, keep: KeptSheet) -> Room:
    """Return how far the area of a sheet drawn before reaches, in the lengths of the engine."""
    by, (left, top) = LEAST_SCALE / keep.scale, keep.corner
    return Room(
        (area.x - ASIDE_MM - left) * by,
        (area.y - top) * by,
        (area.right + ASIDE_MM - left) * by,
        (area.bottom - top) * by,
    )


def _roomy(area: Area) -> Iterator[Area]:
    """Yield an area with room left for a run at the right, for findings below, the most first."""
    right, below = COMING_MM
    for dx, dy in ((right, below), (0.0, below), (right, 0.0)):
        yield replace(area, width=area.width - dx, height=area.height - dy)


def _scale(laid: Laid, area: Area) -> float:
    """Return the scale at which a layout fits an area, `MOST_SCALE` at most."""
    width, height = max(laid.placement.width, 1), max(laid.placement.height, 1)
    return math.floor(min(MOST_SCALE, area.width / width, area.height / height) * 1e4) / 1e4


def _centred(laid: Laid, area: Area, scale: float) -> Point:
    """Return where the corner of a layout stands that is in the middle of an area, mm."""
    width, height = laid.placement.width * scale, laid.placement.height * scale
    x = area.x + max(0.0, (area.width - width) / 2)
    y = area.y + max(0.0, (area.height - height) / 2)
    return round(x, 2), round(y, 2)


def papers_for(plan: Plan) -> tuple[Paper, ...]:
    """Return the papers that a sheet with so many wires may be on, the smallest first."""
    return (A4, A3) if len(shown_wires(plan)) <= MOST_ON_A4 else (A3,)


def shown_wires(plan: Plan) -> tuple[str, ...]:
    """Return every wire on a sheet, whole or cut, natural order."""
    return tuple(in_order({*plan.wires, *(cut.here.wire for cut in plan.cuts)}))
