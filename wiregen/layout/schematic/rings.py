"""The numbered rings of findings on a schematic sheet, each in a free place near its object."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from wiregen.layout.finding_numbers import Key
from wiregen.layout.kept import Steps
from wiregen.layout.lint_view import Index, Ink, inks_of, overlap
from wiregen.layout.schematic.marks import Marks
from wiregen.sheet.frame import Area
from wiregen.sheet.items import Group, Item, Path, Point, Rect, walk
from wiregen.sheet.marks import finding_radius_mm, finding_ring

_SURE = 10
"""So many findings get a ring in any case; further ones where it covers nothing close by."""
_STEP_MM = 1.5
_CLOSE_STEPS = 14
_AROUND: tuple[Steps, ...] = tuple(
    sorted(
        ((dx, dy) for dx in range(-40, 41) for dy in range(-40, 41)),
        key=lambda step: (step[0] ** 2 + step[1] ** 2, step),
    )
)


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring around a place of the layout, mm.

    Attributes:
        key: of its finding.
        number: in it.
        x: of its middle.
        y: of its middle.
        steps: how far that is from the place of its object.
    """

    key: Key
    number: int
    x: float
    y: float
    steps: Steps


def find_rings(
    marks: Marks, items: Sequence[Item], listed: int, before: Mapping[Key, Steps], room: Area
) -> tuple[Ring, ...]:
    """Return one ring for each finding, in the free place nearest to the object it is about.

    A ring that stood in a place which is still free stays there.

    Args:
        marks: of the sheet.
        items: what stands on it.
        listed: findings with a number up to this stand in the foot; others have no ring.
        before: where the rings stood when the sheet was drawn before.
        room: of the drawing, in its lengths; no ring stands beyond it.
    """
    wanted = [
        (line.number, key, subjects)
        for line, key, subjects in zip(marks.foot, marks.keys, marks.subjects, strict=True)
        if line.number <= listed
    ]
    if not wanted:
        return ()
    places = _places(items)
    taken = inks_of(items)
    rings: list[Ring] = []
    for number, key, subjects in sorted(wanted, key=lambda one: (one[1] not in before, one[0])):
        spot = next((places[subject] for subject in subjects if subject in places), None)
        if spot is None:
            continue
        others = [_square(ring.x, ring.y, ring.number) for ring in rings]
        tried = (*([before[key]] if key in before else []), *_AROUND)
        within = (steps for steps in tried if _is_within(_stepped(spot, steps), number, room))
        steps, free = _free_steps(spot, number, taken, others, within)
        close = max(map(abs, steps)) <= _CLOSE_STEPS
        if number <= _SURE or (free and close):
            rings.append(Ring(key, number, *_stepped(spot, steps), steps))
    return tuple(sorted(rings, key=lambda ring: ring.number))


def ring_groups(rings: Sequence[Ring]) -> Iterator[Group]:
    """Yield the rings drawn."""
    for ring in rings:
        yield finding_ring(ring.number, ring.x, ring.y, ring.key[0])


def _stepped(spot: Point, steps: Steps) -> Point:
    return spot[0] + steps[0] * _STEP_MM, spot[1] + steps[1] * _STEP_MM


def _is_within(at: Point, number: int, room: Area) -> bool:
    radius = finding_radius_mm(number)
    return (
        room.x <= at[0] - radius
        and at[0] + radius <= room.right
        and room.y <= at[1] - radius
        and at[1] + radius <= room.bottom
    )


def _square(x: float, y: float, number: int) -> Ink:
    radius = finding_radius_mm(number) + 0.4
    return Ink("", x - radius, y - radius, x + radius, y + radius)


def _free_steps(
    spot: Point, number: int, taken: Index[Ink], rings: Sequence[Ink], tried: Iterable[Steps]
) -> tuple[Steps, bool]:
    """Return the way to the first place where a ring covers nothing, or the least, and which."""

    def covered(steps: Steps) -> int:
        ring = _square(*_stepped(spot, steps), number)
        return taken.covered(ring) + 5 * sum(overlap(ring, other) for other in rings)

    passed: list[Steps] = []
    for steps in tried:
        ring = _square(*_stepped(spot, steps), number)
        if taken.is_free(ring) and not any(overlap(ring, other) for other in rings):
            return steps, True
        passed.append(steps)
    return min(passed, key=covered, default=(0, 0)), False


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
