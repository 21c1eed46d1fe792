"""Free places for the marks of an operating state: on a wire, beside it, beside a pin (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from wiregen.layout.lint_view import Index, Ink, inks_of, overlap
from wiregen.sheet.items import Group, Item, Path, Point, Rect, Text, walk
from wiregen.sheet.metrics import text_width_mm
from wiregen.sheet.state_shapes import REACH_MM, SMALL_MM
from wiregen.sheet.zones import Area

_STEP_MM = 1.0
_CORNER_MM = 0.6
"""A mark keeps this far from the corners and ends of its wire."""
_ABOVE_MM, _BELOW_MM, _BESIDE_MM = 1.1, 2.75, 1.9
_UP_MM, _DOWN_MM = 1.75, 0.25
"""Text of the size used here reaches this far over and under its base line."""
_AFTER_MM = 0.7
_APART_MM = 0.6
"""Between a number and other words, mm."""
_PIN_MM = 15.0
_CELL_MM = 20.0


@dataclass(frozen=True, slots=True)
class Leg:
    """One straight stroke of a wire.

    Attributes:
        level: it runs across the sheet.
        at: its height, or its x where it is upright.
        low: where it begins, the smaller end.
        high: where it ends.
        forward: the wire runs from `low` to `high` on its way from its `from` end.
    """

    level: bool
    at: float
    low: float
    high: float
    forward: bool


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a mark stands on a wire, how far it reaches, and the base line of its number."""

    leg: Leg
    x: float
    y: float
    reach: float
    text: Point | None = None


def legs_of(wire: Group) -> tuple[Leg, ...]:
    """Return the strokes of a wire as drawn, longest first, level ones before upright ones."""
    legs = []
    for path in wire.items:
        if isinstance(path, Path) and path.cls == "run":
            for (ax, ay), (bx, by) in pairwise(path.points):
                if abs(ay - by) < 0.02:
                    legs.append(Leg(True, ay, min(ax, bx), max(ax, bx), ax < bx))
                else:
                    legs.append(Leg(False, ax, min(ay, by), max(ay, by), ay < by))
    return tuple(sorted(legs, key=lambda leg: (not leg.level, leg.low - leg.high)))


class Room:
    """What is printed already, and what was added to it."""

    def __init__(self, items: Sequence[Item], area: Area) -> None:
        self.area = area
        self.printed: Index[Ink] = inks_of(items)
        rects = (item for item in walk(tuple(items)) if isinstance(item, Rect))
        self.bodies = Index([
            Ink("", r.x, r.y, r.x + r.width, r.y + r.height) for r in rects if r.cls == "body"
        ])  # fmt: skip
        self.added: dict[tuple[int, int], list[Ink]] = {}
        self._add(*(ink for item in items for ink in _metal_inks(item)))

    def on_wire(self, wire: str, legs: Sequence[Leg], near: Point, wide: float) -> Spot | None:
        """Return where a mark and its number stand, as near to a point as there is room.

        Args:
            wire: id, whose own strokes are no obstacle to its mark.
            legs: its strokes.
            near: where the label of the wire ends.
            wide: of the number, 0 for none.

        Returns:
            The spot, without a number where only the mark has room; None where nothing has.
        """
        spots = [
            spot
            for reach in (REACH_MM, SMALL_MM)
            for spot in sorted(self._spots(wire, legs, reach), key=lambda s: _away(s, near))
        ]
        for spot in spots if wide else ():
            for x, y in _beside(spot, wide):
                text = Ink("", x - _APART_MM, y - _UP_MM, x + wide + _APART_MM, y + _DOWN_MM)
                if self._free(text):
                    self._add(text, _mark_ink(spot))
                    return replace(spot, text=(x, y))
        for spot in spots[:1]:
            self._add(_mark_ink(spot))
            return spot
        return None

    def beside(self, pin: Point, wide: float) -> Point | None:
        """Return a free base line for a number next to a pin; None where there is no room."""
        best: tuple[float, Point] | None = None
        steps = [0.8 + step * _STEP_MM for step in range(int(_PIN_MM / _STEP_MM))]
        for base in (pin[1] - _ABOVE_MM, pin[1] + _BELOW_MM, pin[1] - 3.4, pin[1] + 5.0):
            for left in (x for step in steps for x in (pin[0] + step, pin[0] - step - wide)):
                away = abs(left + wide / 2 - pin[0]) + 2 * abs(base - 0.7 - pin[1])
                if best is not None and away >= best[0]:
                    continue
                ink = Ink("", left - 0.3, base - _UP_MM, left + wide + 0.3, base + _DOWN_MM)
                if self._free(ink) and not any(overlap(ink, b) for b in self.bodies.near(ink)):
                    best = away, (left, base)
        if best is None:
            return None
        x, y = best[1]
        self._add(Ink("", x, y - _UP_MM, x + wide, y + _DOWN_MM))
        return best[1]

    def _spots(self, wire: str, legs: Sequence[Leg], reach: float) -> Iterator[Spot]:
        """Yield the places on a wire where a mark covers nothing but the wire itself."""
        for leg in legs:
            first, last = leg.low + reach + _CORNER_MM, leg.high - reach - _CORNER_MM
            for step in range(int((last - first) / _STEP_MM) + 1 if last >= first else 0):
                along = first + step * _STEP_MM
                x, y = (along, leg.at) if leg.level else (leg.at, along)
                spot = Spot(leg, x, y, reach)
                if self._free(_mark_ink(spot), wire):
                    yield spot

    def _free(self, ink: Ink, wire: str = "") -> bool:
        area = self.area
        if ink.left < area.x or ink.right > area.right:
            return False
        if ink.top < area.y or ink.bottom > area.bottom:
            return False
        printed = (other for other in self.printed.near(ink) if not wire or other.name != wire)
        if any(overlap(ink, other) for other in printed):
            return False
        near = (other for cell in _cells(ink) for other in self.added.get(cell, ()))
        return not any(overlap(ink, other) for other in near)

    def _add(self, *inks: Ink) -> None:
        for ink in inks:
            for cell in _cells(ink):
                self.added.setdefault(cell, []).append(ink)


def _metal_inks(item: Item) -> Iterator[Ink]:
    """Yield the strokes of the metal between a terminal and the fuse that sits on it."""
    for path in item.items if isinstance(item, Group) and item.cls == "metal" else ():
        for (ax, ay), (bx, by) in pairwise(path.points) if isinstance(path, Path) else ():
            yield Ink(
                "", min(ax, bx) - 0.3, min(ay, by) - 0.3, max(ax, bx) + 0.3, max(ay, by) + 0.3
            )


def label_end(wire: Group) -> Point | None:
    """Return where the first label of a wire ends, None where it has none."""
    text = next((i for i in wire.items if isinstance(i, Text) and i.cls == "wire-label"), None)
    if text is None:
        return None
    width = sum(text_width_mm(part, text.size, bold) for part, bold, _ in text.parts)
    return text.x + width, text.y


def _away(spot: Spot, near: Point) -> float:
    return abs(spot.x - near[0]) + abs(spot.y - near[1])


def _mark_ink(spot: Spot) -> Ink:
    by = spot.reach
    return Ink("", spot.x - by, spot.y - by, spot.x + by, spot.y + by)


def _beside(spot: Spot, wide: float) -> Iterator[Point]:
    """Yield base lines for the number of a mark: after it, before it, over it, under it."""
    x, y = spot.x, spot.y
    if spot.leg.level:
        for base in (y - _ABOVE_MM, y + _BELOW_MM):
            yield x + spot.reach + _AFTER_MM, base
            yield x - spot.reach - _AFTER_MM - wide, base
        for base in (y - spot.reach - 0.4, y + spot.reach + 2.0):
            yield x - wide / 2, base
    else:
        yield x + _BESIDE_MM, y + 0.8
        yield x - _BESIDE_MM - wide, y + 0.8


def _cells(ink: Ink) -> Iterator[tuple[int, int]]:
    for column in range(int(ink.left // _CELL_MM), int(ink.right // _CELL_MM) + 1):
        for row in range(int(ink.top // _CELL_MM), int(ink.bottom // _CELL_MM) + 1):
            yield column, row
