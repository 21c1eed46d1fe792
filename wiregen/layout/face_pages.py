"""The pages of one plug: pictures first, the pin table below them or on pages of its own (mm)."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from wiregen.connect import Network
from wiregen.layout.cavity_facts import CavityFacts, plug_facts
from wiregen.layout.face_arrange import BETWEEN, Arrangement, Room, arrange
from wiregen.layout.face_fit import fit_face
from wiregen.layout.face_head import (
    FaceHead,
    arrangement_words,
    belonging,
    doubt_words,
    head_items,
    plug_words,
)
from wiregen.layout.face_picture import Picture, Side, picture_group, picture_height, subtitle_words
from wiregen.layout.pin_table import (
    COMPACT,
    HEAD,
    ROOMY,
    PinTable,
    pin_table,
    rows_that_fit,
    table_items,
)
from wiregen.layout.title import title_block
from wiregen.model import Design, Plug, in_order
from wiregen.model.faces import FaceLayout, as_strip
from wiregen.problems import Problem
from wiregen.sheet.frame import Area, FootFinding, Frame, Paper, TitleBlock, framed
from wiregen.sheet.items import Item, Sheet

GAP = 3.5
"""Between head, pictures and table, mm."""
LEAST_TABLE = GAP + HEAD + 3 * (ROOMY.line + ROOMY.free)
"""A table is begun below the pictures only when three rows fit there, mm."""
ROOMY_ROWS = 12
"""A longer table is set more closely."""
TOO_CLOSE = "Places too close together to be drawn: cavities in plain rows."


@dataclass(frozen=True, slots=True)
class Foot:
    """Frame, legend and findings around every page of a plug."""

    block: TitleBlock
    colours: tuple[str, ...]
    findings: tuple[FootFinding, ...]
    mono: bool

    def frame(self, paper: Paper, number: int = 1, count: int = 1) -> Frame:
        """Return the frame of sheet `number` of `count`."""
        block = replace(self.block, sheet=number, sheets=count)
        return framed(paper, block, colours=self.colours, findings=self.findings, mono=self.mono)


@dataclass(frozen=True, slots=True)
class FacePage:
    """One page of a plug's face sheets, not yet numbered.

    Attributes:
        plug: id of the plug.
        name: file part, `face-X1`, `face-X1-2`.
        title: heading and bookmark.
        paper: its size.
        foot: frame, legends and findings.
        content: what stands on it.
    """

    plug: str
    name: str
    title: str
    paper: Paper
    foot: Foot
    content: tuple[Item, ...]

    def sheet(self, number: int, count: int) -> Sheet:
        """Return the page as sheet `number` of `count`."""
        return self.foot.frame(self.paper, number, count).sheet(self.name, self.title, self.content)


@dataclass(frozen=True)
class FaceSubject:
    """A plug with everything its pages are made from.

    Attributes:
        design: the design.
        network: what is connected.
        plug: the half the pages are about.
        layouts: of every plug, as seen from the mating side.
        findings: about this plug, most dangerous first.
        mono: for printing without colours.
    """

    design: Design
    network: Network
    plug: Plug
    layouts: Mapping[str, FaceLayout]
    findings: tuple[Problem, ...]
    mono: bool

    @cached_property
    def mate(self) -> Plug | None:
        """The other half, None when nobody recorded it."""
        return self.design.plugs.get(self.network.mate(self.plug.id) or "")

    @cached_property
    def facts(self) -> dict[str, CavityFacts]:
        """Of every cavity of the plug."""
        return self._facts(self.plug)

    @cached_property
    def mate_facts(self) -> dict[str, CavityFacts]:
        """Of every cavity of the other half."""
        return self._facts(self.mate) if self.mate else {}

    @cached_property
    def marks(self) -> dict[str, int]:
        """Cavity -> number of the first finding about it."""
        numbers: dict[str, int] = {}
        for number, problem in enumerate(self.findings, start=1):
            for subject in problem.subjects:
                plug, _, cavity = subject.partition(":")
                if plug == self.plug.id:
                    numbers.setdefault(cavity, number)
        return numbers

    @cached_property
    def foot(self) -> Foot:
        """Around every page."""
        facts = [*self.facts.values(), *self.mate_facts.values()]
        return Foot(
            title_block(self.design),
            tuple(sorted({code for cavity in facts for code in cavity.colours if code})),
            tuple(
                FootFinding(number, problem.code, problem.message)
                for number, problem in enumerate(self.findings, start=1)
            ),
            self.mono,
        )

    def table(self, width: float) -> PinTable:
        """Return the pin table for a width in mm, cavities in natural order."""
        rows = [self.facts[name] for name in in_order(self.facts)]
        return pin_table(rows, width, ROOMY if len(rows) <= ROOMY_ROWS else COMPACT, self.marks)

    def _facts(self, plug: Plug) -> dict[str, CavityFacts]:
        return plug_facts(self.design, self.network, plug.id, self.layouts[plug.id].names)


def compose(subject: FaceSubject) -> list[FacePage]:
    """Return the pages of one plug: pictures, then what is left of its pin table."""
    pictures, chosen = _choose(subject)
    groups = [[picture] for picture in pictures] if chosen.apart else [pictures]
    contents = []
    for group in groups:
        items, bottom = _pictures_on_page(subject, group, chosen)
        contents.append((items, bottom))
    paper = chosen.paper
    table = subject.table(subject.foot.frame(paper).area.width)
    begun = 0
    if chosen.shared:
        items, bottom = contents[-1]
        area = subject.foot.frame(paper).area
        begun = rows_that_fit(table, 0, area.bottom - bottom - GAP)
        if begun:
            drawn = table_items(table, (0, begun), (area.x, bottom + GAP), subject.mono)
            contents[-1] = ((*items, *drawn), bottom)
    pages = [items for items, _ in contents]
    pages.extend(_table_pages(subject, table, begun, paper))
    return [_page(subject, number, paper, items) for number, items in enumerate(pages, start=1)]


def _page(subject: FaceSubject, number: int, paper: Paper, items: tuple[Item, ...]) -> FacePage:
    plug = subject.plug
    name = f"face-{plug.id}" if number == 1 else f"face-{plug.id}-{number}"
    title = f"{plug.id} {plug.title}".rstrip()
    if number > 1:
        title = f"{title} ({number})"
    return FacePage(plug.id, name, title, paper, subject.foot, items)


def _choose(subject: FaceSubject) -> tuple[list[Picture], Arrangement]:
    """Try ever denser pictures until all can be read; the last ones are plain rows."""
    ways = ((True, False, False), (True, True, False), (False, True, False), (True, True, True))
    for codes, dense, strip in ways:
        pictures = _pictures(subject, codes, dense, strip)
        chosen = arrange(
            pictures,
            _room(subject, pictures[0].fit.layout),
            lambda paper: GAP + subject.table(subject.foot.frame(paper).area.width).height,
            LEAST_TABLE,
            last=strip,
        )
        if chosen is not None:
            return pictures, chosen
    raise AssertionError("plain rows always find a paper")


def _room(subject: FaceSubject, layout: FaceLayout) -> Callable[[Paper], Room]:
    """Width and height below the head, by paper."""

    def room(paper: Paper) -> Room:
        area = subject.foot.frame(paper).area
        _, bottom = head_items(_head(subject, layout, 1.0), area)
        return area.width, area.bottom - bottom - GAP

    return room


def _head(subject: FaceSubject, layout: FaceLayout, scale: float) -> FaceHead:
    plug = subject.plug
    return FaceHead(
        plug.id,
        plug.title,
        plug_words(subject.design, subject.network, plug, len(layout.cavities)),
        arrangement_words(layout, scale),
        doubt_words(layout),
    )


def _pictures(subject: FaceSubject, codes: bool, dense: bool, strip: bool) -> list[Picture]:
    plug, mate = subject.plug, subject.mate

    def view(half: Plug, facts: Mapping[str, CavityFacts], side: Side, title: str) -> Picture:
        layout = subject.layouts[half.id]
        if strip:
            layout = as_strip(layout, TOO_CLOSE)
        picture = Picture(
            half.id, side, title, "", fit_face(layout, facts, codes=codes, dense=dense), facts
        )
        words = subtitle_words(half.id, half.contacts, picture.key, picture.latch)
        if half is mate:
            words = " · ".join(part for part in (words, belonging(subject.design, half)) if part)
        return replace(
            picture, subtitle=words, strong=_is_new(subject.design, half), mate=half is mate
        )

    pictures = [
        view(plug, subject.facts, "wire", "seen from the wire side"),
        view(plug, subject.facts, "mating", "seen from the mating side"),
    ]
    if mate:
        pictures.append(view(mate, subject.mate_facts, "mating", "mating half, mating side"))
    return _same_scale(pictures)


def _same_scale(pictures: Sequence[Picture]) -> list[Picture]:
    """Draw both halves of a pair at one scale: the one of the half that needs more room."""
    return list(pictures)


def _is_new(design: Design, plug: Plug) -> bool:
    loom = design.looms.get(plug.loom)
    return loom.status == "new" if loom else not plug.of


def _pictures_on_page(
    subject: FaceSubject, pictures: Sequence[Picture], chosen: Arrangement
) -> tuple[tuple[Item, ...], float]:
    """Head and pictures of one page, and the y where they end (mm)."""
    area = subject.foot.frame(chosen.paper).area
    fit = pictures[0].fit
    head = _head(subject, fit.layout, fit.scale * chosen.grown)
    items, top = head_items(head, area)
    top += GAP
    columns = min(chosen.columns, len(pictures))
    slot = (area.width - BETWEEN * (columns - 1)) / columns
    placed: list[Item] = list(items)
    bottom = top
    for row in range(math.ceil(len(pictures) / columns)):
        line = pictures[row * columns : (row + 1) * columns]
        for column, picture in enumerate(line):
            x = area.x + slot / 2 + column * (slot + BETWEEN)
            placed.append(_drawn(subject, picture, (x, top), slot, chosen.grown))
        bottom = top + max(picture_height(picture, chosen.grown) for picture in line)
        top = bottom + BETWEEN
    return tuple(placed), bottom


def _drawn(
    subject: FaceSubject, picture: Picture, at: tuple[float, float], slot: float, grown: float
) -> Item:
    marks = subject.marks if picture.side == "wire" else {}
    return picture_group(picture, at, slot, grown, marks, mono=subject.mono)


def _table_pages(
    subject: FaceSubject, table: PinTable, begun: int, paper: Paper
) -> Iterator[tuple[Item, ...]]:
    """The rest of the pin table, page by page."""
    area: Area = subject.foot.frame(paper).area
    head = FaceHead(subject.plug.id, subject.plug.title, "pin table, continued" if begun else "")
    while begun < len(table.rows):
        items, bottom = head_items(head, area, small=True)
        top = bottom + GAP
        count = max(1, rows_that_fit(table, begun, area.bottom - top))
        yield (*items, *table_items(table, (begun, count), (area.x, top), subject.mono))
        begun += count
