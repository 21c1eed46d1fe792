"""A plug with everything its face sheets are made from, and the pages they become."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property

from wiregen.connect import Network
from wiregen.layout.cavity_facts import CavityFacts
from wiregen.layout.finding_mark import Mark
from wiregen.layout.pin_rows import with_sheets
from wiregen.layout.pin_table import Density, PinTable, pin_table
from wiregen.layout.title import title_block
from wiregen.model import Design, Plug, in_order
from wiregen.model.faces import FaceLayout
from wiregen.problems import Problem
from wiregen.sheet.frame import (
    A4,
    PLUG_CAUTIONS,
    Area,
    FootFinding,
    Frame,
    Paper,
    TitleBlock,
    framed,
)
from wiregen.sheet.items import Item, Sheet

MANY_CAVITIES = 3
"""A finding about more cavities than this is marked in the pin table only."""


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
        return framed(
            paper,
            block,
            colours=self.colours,
            findings=self.findings,
            cautions=PLUG_CAUTIONS,
            mono=self.mono,
        )


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

    def sheet(self, number: int, count: int, first: int = 1) -> Sheet:
        """Return the page as sheet `number` of `count`; `first` is the first schematic sheet."""
        frame = self.foot.frame(self.paper, number, count)
        return frame.sheet(self.name, self.title, with_sheets(self.content, first))


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
        facts_of: plug -> facts of each of its cavities, made once.
    """

    design: Design
    network: Network
    plug: Plug
    layouts: Mapping[str, FaceLayout]
    findings: tuple[Problem, ...]
    mono: bool
    facts_of: Callable[[str], dict[str, CavityFacts]]

    @cached_property
    def mate(self) -> Plug | None:
        """The other half, None when nobody recorded it."""
        return self.design.plugs.get(self.network.mate(self.plug.id) or "")

    @cached_property
    def facts(self) -> dict[str, CavityFacts]:
        """Of every cavity of the plug."""
        return self.facts_of(self.plug.id)

    @cached_property
    def mate_facts(self) -> dict[str, CavityFacts]:
        """Of every cavity of the other half."""
        return self.facts_of(self.mate.id) if self.mate else {}

    @cached_property
    def marks(self) -> dict[str, Mark]:
        """Cavity -> the first finding about it that the foot of an A4 sheet holds."""
        found: dict[str, Mark] = {}
        listed = self.findings[: self._frame(A4).listed]
        for number, problem in enumerate(listed, start=1):
            named = [subject.partition(":") for subject in problem.subjects]
            cavities = [cavity for plug, _, cavity in named if plug == self.plug.id and cavity]
            mark = Mark(number, problem.code, len(cavities) <= MANY_CAVITIES)
            for cavity in cavities:
                found.setdefault(cavity, mark)
        return found

    @cached_property
    def foot(self) -> Foot:
        """Around every page."""
        facts = [*self.facts.values(), *self.mate_facts.values()]
        return Foot(
            replace(title_block(self.design), revisions=()),
            tuple(sorted({code for cavity in facts for code in cavity.colours if code})),
            tuple(
                FootFinding(number, problem.code, problem.message)
                for number, problem in enumerate(self.findings, start=1)
            ),
            self.mono,
        )

    @cached_property
    def _frame(self) -> Callable[[Paper], Frame]:
        """Return the frame of a page, made once a paper."""
        return cache(self.foot.frame)

    def area(self, paper: Paper) -> Area:
        """Return the free area of a page."""
        return self._frame(paper).area

    @cached_property
    def table(self) -> Callable[[Paper, Density], PinTable]:
        """Return the pin table for a paper, cavities in natural order; measured once."""
        rows = [self.facts[name] for name in in_order(self.facts)]
        frame, marks = self._frame, self.marks  # not `self`: a ring would outlive the plug
        return cache(
            lambda paper, density: pin_table(rows, frame(paper).area.width, density, marks)
        )
