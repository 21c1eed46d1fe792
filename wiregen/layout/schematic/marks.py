"""Findings on a schematic sheet: a numbered ring at the place, a sentence in the foot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from wiregen.layout.lint_view import Index, Ink, inks_of, overlap
from wiregen.layout.schematic.ends import Ends
from wiregen.layout.schematic.narrowed import narrowed
from wiregen.layout.schematic.scene import Plan
from wiregen.model import Design
from wiregen.problems import Problem
from wiregen.sheet.frame import FootFinding
from wiregen.sheet.items import Group, Item, Path, Point, Rect, walk
from wiregen.sheet.marks import finding_radius_mm, finding_ring

_SURE = 10
"""So many findings get a ring in any case; further ones where it covers nothing close by."""
_CLOSE_MM = 21.0
_OFFSETS = tuple(
    sorted(
        ((dx * 1.5, dy * 1.5) for dx in range(-40, 41) for dy in range(-40, 41)),
        key=lambda offset: (offset[0] ** 2 + offset[1] ** 2, offset),
    )
)


@dataclass(frozen=True, slots=True)
class Marks:
    """Findings of one sheet.

    Attributes:
        foot: lines of the foot, numbered from 1.
        subjects: for each line the ids and pins to put the ring at, best first.
    """

    foot: tuple[FootFinding, ...] = ()
    subjects: tuple[tuple[str, ...], ...] = ()


def find_marks(design: Design, ends: Ends, plan: Plan, findings: Sequence[Problem]) -> Marks:
    """Return the findings about something the sheet shows, in order of the report."""
    wires = [*plan.wires, *(cut.here.wire for cut in plan.cuts)]
    shown = set(wires)
    for wire in plan.wires:
        shown |= {text for end in ends.of_wire[wire] for text in (end.node, end.owner, end.block)}
    for cut in plan.cuts:
        shown |= {cut.here.node, cut.here.owner, cut.here.block}
    foot: list[FootFinding] = []
    subjects: list[tuple[str, ...]] = []
    for problem in findings:
        here = narrowed(problem, shown)
        hits = tuple(subject for subject in here.subjects if subject in shown and subject)
        if hits:
            foot.append(FootFinding(len(foot) + 1, problem.code, here.message))
            subjects.append(hits)
    return Marks(tuple(foot), tuple(subjects))


def ring_groups(marks: Marks, items: Sequence[Item], listed: int) -> Iterator[Group]:
    """Yield one ring for each finding, in the free place nearest to the object it is about.

    Args:
        marks: of the sheet.
        items: what stands on it.
        listed: how many of them the foot holds; the others have no number to point to.
    """
    if not listed:
        return
    places = _places(items)
    taken = inks_of(items)
    rings: list[Ink] = []
    for line, subjects in zip(marks.foot[:listed], marks.subjects, strict=False):
        spot = next((places[subject] for subject in subjects if subject in places), None)
        if spot is None:
            continue
        radius = finding_radius_mm(line.number) + 0.4
        x, y, free = _free_place(spot, radius, taken, rings)
        close = max(abs(x - spot[0]), abs(y - spot[1])) <= _CLOSE_MM
        if line.number > _SURE and not (free and close):
            continue
        rings.append(_square(x, y, radius))
        yield finding_ring(line.number, x, y, line.code)


def _square(x: float, y: float, radius: float) -> Ink:
    return Ink("", x - radius, y - radius, x + radius, y + radius)


def _free_place(
    spot: Point, radius: float, taken: Index[Ink], rings: Sequence[Ink]
) -> tuple[float, float, bool]:
    """Return the place nearest to a spot where a ring covers nothing, or the least, and which."""
    best, least = spot, -1
    for dx, dy in _OFFSETS:
        x, y = spot[0] + dx, spot[1] + dy
        ring = _square(x, y, radius)
        covered = taken.covered(ring) + 5 * sum([overlap(ring, other) for other in rings])
        if covered == 0:
            return x, y, True
        if least < 0 or covered < least:
            best, least = (x, y), covered
    return *best, False


def _places(items: Sequence[Item]) -> Mapping[str, Point]:
    """Return the spot of each id: at its pin, at the corner of its body, midway on its wire."""
    places: dict[str, Point] = {}
    for item in walk(tuple(items)):
        if not isinstance(item, Group):
            continue
        data = dict(item.data)
        if item.cls == "pin" and data.get("pin"):
            places.setdefault(data["pin"], (float(data["x"]), float(data["y"])))
        elif "wire" in data and item.cls.startswith("wire"):
            run = next((i for i in item.items if isinstance(i, Path)), None)
            if run is not None:
                places.setdefault(data["wire"], _middle(run.points))
        else:
            rect = next((i for i in item.items if isinstance(i, Rect) and i.cls == "body"), None)
            if rect is not None and item.data:
                places.setdefault(item.data[0][1], (rect.x + rect.width, rect.y))
    return places


def _middle(points: Sequence[Point]) -> Point:
    """Return a point beside the middle of the longest stroke of a run."""
    strokes = pairwise(points)
    (ax, ay), (bx, by) = max(strokes, key=lambda s: abs(s[0][0] - s[1][0]) + abs(s[0][1] - s[1][1]))
    return (ax + bx) / 2, (ay + by) / 2
