"""Screens and twists on a sheet: a mark across the wires of a group, with the group's name (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wiregen.layout.lint_view import Index, Ink, Stroke, inks_of, overlap, strokes_of
from wiregen.layout.schematic.block import NOTE_MM, words
from wiregen.model import Design
from wiregen.model import Group as WireGroup
from wiregen.sheet import style
from wiregen.sheet.items import Group, Item
from wiregen.sheet.marks import screen_mark, twist_mark
from wiregen.sheet.metrics import fit, text_width_mm

_HALF_MM = 2.0
_STEP_MM = 2.0
_NEAR_MM = 26.0


@dataclass(frozen=True, slots=True)
class _Span:
    """Wires that lie side by side: from the top one to the bottom one, over a stretch of x."""

    top: float
    bottom: float
    left: float
    right: float


def group_marks(design: Design, items: Sequence[Item]) -> tuple[Group, ...]:
    """Return a mark for every group of wires that is on the sheet.

    Args:
        design: the design.
        items: the drawn sheet.
    """
    strokes = [stroke for stroke in strokes_of(items) if stroke.level]
    by_wire: dict[str, list[Stroke]] = {}
    for stroke in strokes:
        by_wire.setdefault(stroke.wire, []).append(stroke)
    taken = inks_of(items)
    marks: list[Group] = []
    for group in design.groups.values():
        members = [wire for wire in _members(group) if wire in by_wire]
        spans = list(_spans(members, by_wire, strokes))
        drawn = [mark for span in spans for mark in _mark(group, span, taken)]
        if drawn:
            data = (("group", group.id),)
            marks.append(Group(tuple(drawn), "group-mark", data=data, title=group.title))
    return tuple(marks)


def _members(group: WireGroup) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*group.screened, *group.twisted, *group.multicore)))


def _spans(
    members: Sequence[str], by_wire: dict[str, list[Stroke]], strokes: Sequence[Stroke]
) -> Iterator[_Span]:
    """Yield the longest stretch where all lie side by side, or else a stretch of each alone."""
    if len(members) > 1:
        together = [
            span
            for first in by_wire[members[0]]
            if (span := _together(first, members, by_wire)) is not None
            and not _stranger_between(span, members, strokes)
        ]
        if together:
            yield max(together, key=lambda span: (span.right - span.left, -span.top))
            return
    for wire in members:
        longest = max(by_wire[wire], key=lambda s: (s.right - s.left, -s.top))
        yield _Span(longest.top, longest.top, longest.left, longest.right)


def _together(
    first: Stroke, members: Sequence[str], by_wire: dict[str, list[Stroke]]
) -> _Span | None:
    """Return where one stroke of every wire lies beside a stroke of the first."""
    top, bottom, left, right = first.top, first.top, first.left, first.right
    for wire in members[1:]:
        beside = [
            s for s in by_wire[wire]
            if abs(s.top - first.top) < _NEAR_MM
            and min(s.right, right) - max(s.left, left) > 3 * _HALF_MM
        ]  # fmt: skip
        if not beside:
            return None
        best = min(beside, key=lambda s: (abs(s.top - first.top), s.left))
        top, bottom = min(top, best.top), max(bottom, best.top)
        left, right = max(left, best.left), min(right, best.right)
    return _Span(top, bottom, left, right) if right - left > 3 * _HALF_MM else None


def _stranger_between(span: _Span, members: Sequence[str], strokes: Sequence[Stroke]) -> bool:
    own = frozenset(members)
    return any(
        span.top < stroke.top < span.bottom
        and stroke.wire not in own
        and stroke.left < span.right
        and stroke.right > span.left
        for stroke in strokes
    )


def _mark(group: WireGroup, span: _Span, taken: Index[Ink]) -> list[Item]:
    """The ring or the twist in a clear place of its stretch, and the name of the group."""
    x = _clear_x(span, taken)
    items: list[Item] = []
    if group.screened:
        items.append(screen_mark(x, span.top, span.bottom))
    if group.twisted:
        at = x + 3.0 if group.screened else x
        items.append(twist_mark(at, span.top, span.bottom))
    if group.multicore and not items:
        items.append(screen_mark(x, span.top, span.bottom))
    name = fit(group.id, 20.0, NOTE_MM, bold=True)
    place = _name_place(x, span, text_width_mm(name, NOTE_MM, bold=True), taken)
    if place is not None:
        items.append(words(*place, name, NOTE_MM, bold=True, colour=style.SECONDARY))
    return items


def _clear_x(span: _Span, taken: Index[Ink]) -> float:
    """Return where the mark crosses nothing but the wires of its own, nearest to the middle."""
    middle = (span.left + span.right) / 2
    count = int((span.right - span.left - 2 * _HALF_MM) / 2 / _STEP_MM)
    offsets = [sign * step * _STEP_MM for step in range(count + 1) for sign in (1, -1)]
    best, least = middle, -1
    for offset in offsets:
        x = middle + offset
        area = Ink("", x - _HALF_MM, span.top - 2.0, x + _HALF_MM, span.bottom + 2.0)
        hits = sum(overlap(area, ink) for ink in taken.near(area))
        if least < 0 or hits < least:
            best, least = x, hits
    return best


def _name_place(
    x: float, span: _Span, width: float, taken: Index[Ink]
) -> tuple[float, float] | None:
    """Return a free base line for the name: over the mark, below it, or a little aside."""
    for dx in (0.0, 3.0, -3.0, 6.0, -6.0, 9.0, -9.0):
        for base in (span.top - 2.4, span.bottom + 4.2, span.top - 5.0, span.bottom + 7.0):
            left = x - width / 2 + dx
            area = Ink("", left - 0.4, base - 2.0, left + width + 0.4, base + 0.4)
            if not any(overlap(area, ink) for ink in taken.near(area)):
                return left, base
    return None
