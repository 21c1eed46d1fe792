"""The page around a drawing: frame, zones, title block, legends, findings, cautions (mm)."""

from __future__ import annotations

from dataclasses import dataclass

from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Sheet


@dataclass(frozen=True, slots=True)
class Paper:
    """A page size after ISO 216, mm as it lies on the bench."""

    name: str
    width: float
    height: float


A4_PORTRAIT = Paper("A4", 210, 297)
A4 = Paper("A4", 297, 210)
A3 = Paper("A3", 420, 297)
A2 = Paper("A2", 594, 420)
A1 = Paper("A1", 841, 594)
PAPERS: tuple[Paper, ...] = (A4_PORTRAIT, A4, A3, A2, A1)


@dataclass(frozen=True, slots=True)
class Area:
    """An upright rectangle, mm."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Revision:
    """One line of the revision table."""

    revision: str
    date: str
    what: str


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What the title block says (ISO 7200); an empty field is printed as a dash."""

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
class FootFinding:
    """One finding in the foot of a sheet: number in the ring, rule code, one sentence."""

    number: int
    code: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Frame:
    """Everything around the drawing, and the `area` that is left for it."""

    paper: Paper
    items: tuple[Item, ...]
    area: Area

    def sheet(self, name: str, title: str, content: tuple[Item, ...]) -> Sheet:
        """Return the page with `content` within the frame."""
        return Sheet(name, title, self.paper.width, self.paper.height, (*self.items, *content))


def framed(
    paper: Paper,
    block: TitleBlock,
    *,
    heading: str = "",
    subheading: str = "",
    colours: tuple[str, ...] = (),
    fates: tuple[style.Fate, ...] = (),
    findings: tuple[FootFinding, ...] = (),
    cautions: tuple[str, ...] = (),
    mono: bool = False,
) -> Frame:
    """Return frame, title block and foot of a sheet, and the area left for the drawing.

    Args:
        paper: one of `PAPERS`.
        block: title block and revision table.
        heading: what this sheet shows, printed large at the top; empty for none.
        subheading: one grey line below it.
        colours: colours on this sheet in IEC form (`BU/WH`); the legend lists each part once.
        fates: which of new, existing and removed occur here, for their legend.
        findings: findings marked on this sheet.
        cautions: sentences; `()` prints `CAUTIONS_SHORT`.
        mono: ink patterns in place of colours.
    """
    raise NotImplementedError


def zone_at(x: float, y: float, paper: Paper) -> str:
    """Return the zone of a point (mm) as letter and number, such as `B3`."""
    raise NotImplementedError


def finding_ring(number: int, x: float, y: float) -> Group:
    """Return the numbered ring that marks a finding at (x, y), mm."""
    raise NotImplementedError
