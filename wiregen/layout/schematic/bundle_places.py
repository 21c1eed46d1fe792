"""Where the mark of a screen or twist stands on its wires, clear of everything else (mm)."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from typing import Literal

from wiregen.layout.lint_view import Index, Ink, Stroke, overlap
from wiregen.sheet.items import Point
from wiregen.sheet.zones import Area

REACH_MM: dict[str, tuple[float, float]] = {"screen": (2.0, 1.9), "twist": (1.65, 1.85)}
"""How far a ring and a twist reach along their wires, and beyond the outermost of them."""
SIZES = (1.0, 0.7)
"""A mark is drawn smaller where it finds no free place otherwise."""
_CLEAR_MM = 0.15
_STEP_MM = 1.0
_TOUCH_MM = 1e-4
_SAME_MM = 0.02
"""Places closer than this are one place, mm."""
_FAR_MM = 18.0
"""A name that finds no room at its mark stands so far from it at most."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One stroke of a mark, and its distance along the wires from the first."""

    kind: Literal["screen", "twist"]
    along: float


@dataclass(frozen=True, slots=True)
class Span:
    """Wires side by side: from the nearest to the farthest across, over a stretch along them.

    Attributes:
        level: whether they lie level; then `near` and `far` are heights.
        near: of the first wire.
        far: of the last.
        start: of the stretch.
        stop: of the stretch.
    """

    level: bool
    near: float
    far: float
    start: float
    stop: float

    @classmethod
    def of(cls, stroke: Stroke) -> Span:
        """Return the span of one stroke."""
        if stroke.level:
            return cls(True, stroke.top, stroke.top, stroke.left, stroke.right)
        return cls(False, stroke.left, stroke.left, stroke.top, stroke.bottom)

    def with_stroke(self, stroke: Stroke) -> Span:
        """Return the span widened by a stroke beside it, where both are."""
        other = Span.of(stroke)
        return Span(
            self.level,
            min(self.near, other.near),
            max(self.far, other.far),
            max(self.start, other.start),
            min(self.stop, other.stop),
        )

    def ink(self, at: float, along: float, beyond: float) -> Ink:
        """Return the rectangle around `at` on the sheet, so far along and beyond the wires."""
        one, other = (at - along, at + along), (self.near - beyond, self.far + beyond)
        (left, right), (top, bottom) = (one, other) if self.level else (other, one)
        return Ink("", left, top, right, bottom)


@dataclass(frozen=True, slots=True)
class Asked:
    """A mark that looks for its place.

    Attributes:
        spots: its strokes.
        members: wires that it may cross.
        name_mm: width of its name.
        size: it is drawn so much larger than usual.
    """

    spots: tuple[Spot, ...]
    members: AbstractSet[str]
    name_mm: float
    size: float = 1.0

    def reaches(self) -> Iterator[tuple[float, float, float]]:
        """Yield how far along from the first stroke each stroke is, and its reaches, mm."""
        for spot in self.spots:
            along, beyond = REACH_MM[spot.kind]
            yield spot.along * self.size, along * self.size, beyond * self.size


@dataclass(frozen=True, slots=True)
class Place:
    """Where a mark stands on its wires.

    Attributes:
        span: the wires.
        at: place of its first stroke along them, mm.
        size: it is drawn so much larger than usual.
        inks: what its strokes fill, with some room around.
        hits: how much they would cross.
        named: whether its name has room close by.
    """

    span: Span
    at: float
    size: float
    inks: tuple[Ink, ...]
    hits: int
    named: bool = False

    @property
    def middle(self) -> Point:
        """The middle of its first stroke."""
        across = (self.span.near + self.span.far) / 2
        return (self.at, across) if self.span.level else (across, self.at)

    @property
    def flaws(self) -> int:
        """How bad the place is: what the mark crosses counts more than a name without room."""
        return 10 * self.hits + (not self.named)


class Finder:
    """Finds places for one mark after the other.

    Args:
        taken: everything that is printed on the sheet.
        bodies: its things; no name stands in one.
        room: for the drawing.
    """

    def __init__(self, taken: Index[Ink], bodies: Index[Ink], room: Area) -> None:
        self.taken = taken
        self.bodies = bodies
        self.room = Ink("", room.x, room.y, room.right, room.bottom)
        self.marks: list[Ink] = []

    def best(self, spans: Sequence[Span], asked: Asked, beside: Sequence[Ink] = ()) -> Place | None:
        """Return the place that crosses least and has room for the name, on the longest stretch.

        Args:
            spans: to choose from; level ones are better.
            asked: the mark.
            beside: what else is taken.
        """
        marks = (*self.marks, *beside)
        places = [
            place
            for span in spans
            if not self._stranger_between(span, asked.members)
            and (place := self._on(span, asked, marks)) is not None
        ]

        def worth(place: Place) -> tuple[object, ...]:
            span = place.span
            return place.flaws, not span.level, span.start - span.stop, span.near

        return min(places, key=worth, default=None)

    def again(
        self,
        spans: Sequence[Span],
        asked: Asked,
        stood: Sequence[Point],
        beside: Sequence[Ink] = (),
    ) -> Place | None:
        """Return the place where a mark stood, if it still crosses nothing there.

        Args:
            spans: of its wires.
            asked: the mark.
            stood: middles of its first strokes.
            beside: what else is taken.
        """
        marks = (*self.marks, *beside)
        for span in spans:
            for x, y in stood:
                at, across = (x, y) if span.level else (y, x)
                lies = abs((span.near + span.far) / 2 - across) < _SAME_MM
                if not lies or self._stranger_between(span, asked.members):
                    continue
                first, last = _ends(span, asked)
                place = self._at(span, asked, at, marks)
                if first - _SAME_MM <= at <= last + _SAME_MM and not place.hits:
                    return replace(place, named=True)
        return None

    def _stranger_between(self, span: Span, members: AbstractSet[str]) -> bool:
        """Tell whether a wire that is not of the group lies among its wires."""
        middle, half = (span.start + span.stop) / 2, (span.stop - span.start) / 2
        area = span.ink(middle, half, -0.1)
        return span.near < span.far and any(
            isinstance(ink, Stroke)
            and ink.wire not in members
            and ink.level == span.level
            and overlap(area, ink)
            for ink in self.taken.near(area)
        )

    def _on(self, span: Span, asked: Asked, marks: Sequence[Ink]) -> Place | None:
        """Return the best place on one span, nearest to its middle; None on one too short."""
        found: list[Place] = []
        for at in _steps(*_ends(span, asked)):
            place = self._at(span, asked, at, marks)
            if not found or place.hits < found[0].hits:
                found = []
            if not found or place.hits == found[0].hits:
                found.append(place)
            if not place.hits:
                names = _close_names(place, asked.name_mm)
                if self._free_name(names, asked.name_mm, (*marks, *place.inks)) is not None:
                    return replace(place, named=True)
        return found[0] if found else None

    def _at(self, span: Span, asked: Asked, at: float, marks: Sequence[Ink]) -> Place:
        inks = tuple(
            span.ink(at + place, along + _CLEAR_MM, beyond + _CLEAR_MM)
            for place, along, beyond in asked.reaches()
        )
        hits = sum(self._hits(ink, span, asked.members, marks) for ink in inks)
        return Place(span, at, asked.size, inks, hits)

    def name(self, place: Place, asked: Asked, stood: Sequence[Point] = ()) -> Point | None:
        """Return the base line of a mark's name: where it stood, close by, or as near as it can.

        Args:
            place: of the mark.
            asked: the mark.
            stood: where the name stood, if anywhere.
        """
        wide = asked.name_mm
        for names in (stood, _close_names(place, wide), _far_names(place, wide)):
            found = self._free_name(names, wide, self.marks)
            if found is not None:
                self.marks.append(_name_ink(found, asked.name_mm))
                return found
        return None

    def _hits(self, area: Ink, span: Span, members: AbstractSet[str], marks: Sequence[Ink]) -> int:
        """Return how much an area of a mark would cross, its own wires left out."""
        if not _within(area, self.room):
            return 99
        found = 0
        for ink in (*self.taken.near(area), *marks):
            own = (
                isinstance(ink, Stroke)
                and ink.wire in members
                and ink.level == span.level
                and _beside(ink, span)
            )
            found += not own and overlap(area, ink, _TOUCH_MM)
        return found

    def _free_name(self, names: Iterable[Point], wide: float, marks: Sequence[Ink]) -> Point | None:
        """Return the first base line that is free for a name."""
        for name in names:
            area = _name_ink(name, wide)
            if _within(area, self.room) and not any(
                overlap(area, ink, _TOUCH_MM)
                for ink in (*self.taken.near(area), *self.bodies.near(area), *marks)
            ):
                return name
        return None


def _ends(span: Span, asked: Asked) -> tuple[float, float]:
    """Return the first and the last place of a mark on a span, along it, mm."""
    before = max(along - place for place, along, _ in asked.reaches())
    behind = max(along + place for place, along, _ in asked.reaches())
    return span.start + before, span.stop - behind


def _name_ink(name: Point, wide: float) -> Ink:
    """Return what a name fills, with some room around."""
    x, base = name
    return Ink("", x - 0.4, base - 1.8, x + wide + 0.4, base + 0.5)


def _outline(inks: Sequence[Ink]) -> Ink:
    """Return the rectangle around some inks."""
    return Ink(
        "",
        min(ink.left for ink in inks),
        min(ink.top for ink in inks),
        max(ink.right for ink in inks),
        max(ink.bottom for ink in inks),
    )


def _close_names(place: Place, wide: float) -> Iterator[Point]:
    """Yield base lines for a name over, below or beside a mark."""
    mark = _outline(place.inks)
    half = (mark.right - mark.left + wide) / 2 + 0.4
    bases = [mark.top - 0.5, mark.bottom + 1.8, (mark.top + mark.bottom) / 2 - 1.2]
    if place.span.level:
        bases += [place.span.near - 1.2, place.span.far - 1.2]
    bases += [mark.top - 2.9, mark.bottom + 4.4]
    for share in (0.0, 1.0, -1.0, 1.6, -1.6):
        for base in bases:
            yield (mark.left + mark.right - wide) / 2 + share * half, base


def _far_names(place: Place, wide: float) -> Iterator[Point]:
    """Yield base lines for a name around a mark, the nearest to it first."""
    mark = _outline(place.inks)
    middle = (mark.left + mark.right - wide) / 2
    high = (mark.bottom - mark.top) / 2
    beside, beyond = (mark.right - mark.left + wide) / 2, high + 1.1

    def gap(step: tuple[int, int]) -> tuple[float, tuple[int, int]]:
        return math.hypot(max(0, abs(step[0]) - beside), max(0, abs(step[1]) - beyond)), step

    across, up = int(beside + _FAR_MM), int(beyond + _FAR_MM)
    steps = [(dx, dy) for dx in range(-across, across + 1) for dy in range(-up, up + 1)]
    for dx, dy in sorted(steps, key=gap):
        yield middle + dx, mark.top + high + 0.8 + dy


def _beside(stroke: Stroke, span: Span) -> bool:
    """Tell whether a stroke is one of those a span is made of."""
    across = (stroke.top + stroke.bottom if span.level else stroke.left + stroke.right) / 2
    return span.near - 0.05 <= across <= span.far + 0.05


def _within(ink: Ink, room: Ink) -> bool:
    return (
        ink.left >= room.left
        and ink.right <= room.right
        and ink.top >= room.top
        and ink.bottom <= room.bottom
    )


def _steps(start: float, stop: float) -> Iterator[float]:
    """Yield places from the middle of a stretch outwards."""
    if stop < start:
        return
    middle = (start + stop) / 2
    yield middle
    for step in range(1, int((stop - start) / 2 / _STEP_MM) + 1):
        yield middle + step * _STEP_MM
        yield middle - step * _STEP_MM
