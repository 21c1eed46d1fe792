"""A plug with everything its face sheets are made from, and the pages they become."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, cached_property

from wiregen.connect import Network
from wiregen.layout.cavity_facts import CavityFacts
from wiregen.layout.face_fit import Fit, Way
from wiregen.layout.finding_mark import Mark
from wiregen.layout.finding_numbers import Key, finding_keys, finding_numbers, finding_words
from wiregen.layout.kept import KeptFace
from wiregen.layout.pin_rows import with_sheets
from wiregen.layout.pin_table import Density, PinTable, pin_table
from wiregen.layout.title import title_block
from wiregen.model import Design, Plug, in_order
from wiregen.model.faces import FaceLayout
from wiregen.problems import Problem
from wiregen.sheet.frame import (
    PLUG_CAUTIONS,
    Area,
    FootFinding,
    FootPlace,
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
    """Frame, legend and findings around every page of a plug.

    Attributes:
        block: title block, not numbered.
        colours: of the legend.
        findings: listed in it.
        mono: for printing without colours.
        reach: how far down the pages are filled, mm; 0 while that is not known.
        before: where it stood.
    """

    block: TitleBlock
    colours: tuple[str, ...]
    findings: tuple[FootFinding, ...]
    mono: bool
    reach: float = 0.0
    before: FootPlace | None = None

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
            reach=self.reach,
            before=self.before,
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
        kept: what is kept of all pages of the plug.
    """

    plug: str
    name: str
    title: str
    paper: Paper
    foot: Foot
    content: tuple[Item, ...]
    kept: KeptFace

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
        before: numbers of findings when the plug was drawn before.
        fits: way of drawing, and whether in plain rows -> what `find_fits` found for it.
    """

    design: Design
    network: Network
    plug: Plug
    layouts: Mapping[str, FaceLayout]
    findings: tuple[Problem, ...]
    mono: bool
    facts_of: Callable[[str], dict[str, CavityFacts]]
    before: Mapping[Key, int] = field(default_factory=dict)
    fits: dict[tuple[Way, bool], tuple[Fit, ...]] = field(default_factory=dict)

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
    def numbers(self) -> dict[Key, int]:
        """Number of each finding, in their order."""
        own = (self.plug.id, f"{self.plug.id}:")
        places = (
            next(s for s in p.subjects if s == own[0] or s.startswith(own[1]))
            for p in self.findings
        )
        named = zip(self.findings, places, strict=True)
        keys = finding_keys([(p.code, finding_words(place, p.subjects)) for p, place in named])
        return dict(zip(keys, finding_numbers(keys, self.before), strict=True))

    def marks(self, listed: int) -> dict[str, Mark]:
        """Return cavity -> the first finding about it with a number up to `listed`."""
        found: dict[str, Mark] = {}
        numbered = zip(self.numbers.values(), self.findings, strict=True)
        for number, problem in sorted(numbered, key=lambda one: one[0]):
            named = [subject.partition(":") for subject in problem.subjects]
            cavities = [cavity for plug, _, cavity in named if plug == self.plug.id and cavity]
            mark = Mark(number, problem.code, len(cavities) <= MANY_CAVITIES)
            for cavity in cavities if number <= listed else ():
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
                for number, problem in zip(self.numbers.values(), self.findings, strict=True)
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
    def rows(self) -> list[CavityFacts]:
        """The cavities in natural order."""
        return [self.facts[name] for name in in_order(self.facts)]

    @cached_property
    def table(self) -> Callable[[Paper, Density], PinTable]:
        """Return the pin table for a paper, measured once."""
        rows, frame = self.rows, self._frame  # not `self`: a ring would outlive the plug
        return cache(lambda paper, density: pin_table(rows, frame(paper).area.width, density))
