"""Findings on a schematic sheet: a numbered ring at the place, a sentence in the foot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from wiregen.layout.schematic.ends import Ends
from wiregen.layout.schematic.page import Laid
from wiregen.layout.schematic.scene import Plan
from wiregen.model import Design
from wiregen.problems import Problem
from wiregen.sheet.frame import FootFinding
from wiregen.sheet.items import Group, Item, Path, Point, Rect, walk
from wiregen.sheet.marks import finding_ring

_MOST = 24


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
        shown |= {text for end in ends.of_wire[wire] for text in (end.node, end.owner)}
    for cut in plan.cuts:
        shown |= {cut.here.node, cut.here.owner}
    foot: list[FootFinding] = []
    subjects: list[tuple[str, ...]] = []
    for problem in findings:
        hits = tuple(subject for subject in problem.subjects if subject in shown and subject)
        if hits and len(foot) < _MOST:
            foot.append(FootFinding(len(foot) + 1, problem.code, problem.message))
            subjects.append(hits)
    return Marks(tuple(foot), tuple(subjects))


def ring_groups(marks: Marks, laid: Laid, items: Sequence[Item]) -> Iterator[Group]:
    """Yield one ring for each finding, beside the object it is about."""
    if not marks.foot:
        return
    places = _places(items)
    used: list[Point] = []
    for line, subjects in zip(marks.foot, marks.subjects, strict=True):
        spot = next((places[subject] for subject in subjects if subject in places), None)
        if spot is None:
            continue
        x, y = spot
        while any(abs(x - ux) < 6.0 and abs(y - uy) < 6.0 for ux, uy in used):
            x += 6.2
        used.append((x, y))
        yield finding_ring(line.number, x, y)


def _places(items: Sequence[Item]) -> Mapping[str, Point]:
    """Return where a ring for each id may stand: beside a pin, over a body, on a wire's corner."""
    places: dict[str, Point] = {}
    for item in walk(tuple(items)):
        if not isinstance(item, Group):
            continue
        data = dict(item.data)
        if item.cls == "pin" and data.get("pin"):
            places.setdefault(data["pin"], (float(data["x"]), float(data["y"]) + 4.5))
        elif "wire" in data and item.cls.startswith("wire"):
            run = next((i for i in item.items if isinstance(i, Path)), None)
            if run is not None:
                places.setdefault(data["wire"], _middle(run.points))
        else:
            rect = next((i for i in item.items if isinstance(i, Rect) and i.cls == "body"), None)
            if rect is not None and item.data:
                places.setdefault(item.data[0][1], (rect.x + rect.width - 4.0, rect.y - 5.0))
    return places


def _middle(points: Sequence[Point]) -> Point:
    """Return a point beside the middle of the longest stroke of a run."""
    strokes = zip(points, points[1:], strict=False)
    (ax, ay), (bx, by) = max(strokes, key=lambda s: abs(s[0][0] - s[1][0]) + abs(s[0][1] - s[1][1]))
    return (ax + bx) / 2, (ay + by) / 2
