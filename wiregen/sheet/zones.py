"""Paper sizes, the frame's place on them and the grid of zones after ISO 5457 (mm)."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from wiregen.sheet import style
from wiregen.sheet.items import Item, Path, Pen, Rect, Text

FILING_MARGIN = 20.0
MARGIN = 10.0
FIELD = 50.0
"""Zones are 50 mm long, counted from the middle of each side; the corners take the rest."""

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""ISO 5457 leaves out I and O."""


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

    @property
    def right(self) -> float:
        """Right edge, mm."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Bottom edge, mm."""
        return self.y + self.height


def frame_area(paper: Paper) -> Area:
    """Return what the frame line encloses; the filing margin is at the left."""
    width = paper.width - FILING_MARGIN - MARGIN
    return Area(FILING_MARGIN, MARGIN, width, paper.height - 2 * MARGIN)


def zone_at(x: float, y: float, paper: Paper) -> str:
    """Return the zone of a point (mm) as letter and number.

    Letters run from the top down, numbers from left to right; a point outside the frame
    counts to the nearest zone. Places count as drawings write them, with two decimals.

    Example:
        >>> zone_at(30, 20, A3), zone_at(215, 150, A3), zone_at(405, 280, A3)
        ('A1', 'D5', 'F8')
    """
    area = frame_area(paper)
    column = _field(round(x, 2), _borders(area.x, area.right, paper.width))
    row = _field(round(y, 2), _borders(area.y, area.bottom, paper.height))
    return f"{_LETTERS[row]}{column + 1}"


@cache
def frame_items(paper: Paper) -> tuple[Item, ...]:
    """Return frame line, zone marks and zone names."""
    area = frame_area(paper)
    pen = Pen(style.INK, style.LINE_FRAME)
    return (
        *_columns(paper, area),
        *_rows(paper, area),
        *_centre_marks(paper, area),
        Rect(area.x, area.y, area.width, area.height, pen, cls="frame"),
    )


def _borders(start: float, end: float, side: float) -> tuple[float, ...]:
    """Zone borders from `start` to `end` on a sheet whose side is `side` long.

    An even number of fields, counted from the middle; the two at the corners end at the frame.
    """
    half = round(side / (2 * FIELD))
    inner = (side / 2 + FIELD * step for step in range(1 - half, half))
    return (start, *inner, end)


def _field(value: float, borders: tuple[float, ...]) -> int:
    return max(0, min(len(borders) - 2, sum(value >= border for border in borders) - 1))


def _columns(paper: Paper, area: Area) -> Iterator[Item]:
    borders = _borders(area.x, area.right, paper.width)
    for number, (left, right) in enumerate(itertools.pairwise(borders), start=1):
        for y in (area.y - 1.4, area.bottom + 3.2):
            yield _name(str(number), (left + right) / 2, y)
        if number > 1:
            yield _tick((left, area.y - 2.2), (left, area.y))
            yield _tick((left, area.bottom), (left, area.bottom + 2.2))


def _rows(paper: Paper, area: Area) -> Iterator[Item]:
    borders = _borders(area.y, area.bottom, paper.height)
    for number, (top, bottom) in enumerate(itertools.pairwise(borders)):
        for x in (area.x - 2.6, area.right + 2.6):
            yield _name(_LETTERS[number], x, (top + bottom) / 2 + 0.8)
        if number > 0:
            yield _tick((area.x - 2.2, top), (area.x, top))
            yield _tick((area.right, top), (area.right + 2.2, top))


def _centre_marks(paper: Paper, area: Area) -> Iterator[Item]:
    """Heavier marks at the middle of each side, for folding and copying."""
    x, y = paper.width / 2, paper.height / 2
    pen = Pen(style.INK, style.LINE_FRAME)
    for points in (
        ((x, area.y - 3.5), (x, area.y)),
        ((x, area.bottom), (x, area.bottom + 3.5)),
        ((area.x - 3.5, y), (area.x, y)),
        ((area.right, y), (area.right + 3.5, y)),
    ):
        yield Path(points, pen)


def _name(word: str, x: float, y: float) -> Text:
    return Text(x, y, ((word, False, style.SECONDARY),), 2.2, anchor="middle", cls="zone")


def _tick(start: tuple[float, float], end: tuple[float, float]) -> Path:
    return Path((start, end), Pen(style.SECONDARY, style.LINE_TABLE))
