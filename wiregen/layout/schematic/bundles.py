"""Screens and twists on a sheet: a mark across the wires of a group, with the group's name (mm)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
_BESIDE_MM = 3.0
"""A twist stands this far beside the ring of its screen."""
_STEP_MM = 1.0
_NEAR_MM = 26.0
_NAME_ROOM_MM = 28.0


@dataclass(frozen=True, slots=True)
class _Span:
    """Wires that lie side by side: from the top one to the bottom one, over a stretch of x."""

    top: float
    bottom: float
    left: float
    right: float


@dataclass(frozen=True, slots=True)
class _Place:
    """Where on a stretch a mark and its name would stand, and how much the mark would cross."""

    span: _Span
    x: float
    hits: int
    name: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class _Finder:
    """What a place must be clear of, and how wide the mark (right of x) and its name are, mm."""

    taken: Index[Ink]
    wide: float
    name: float


def group_marks(design: Design, items: Sequence[Item]) -> tuple[Group, ...]:
    """Return a mark for every group of wires that is on the sheet.

    Args:
        design: the design.
        items: the drawn sheet.
    """
    if not design.groups:
        return ()
    strokes = [stroke for stroke in strokes_of(items) if stroke.level]
    by_wire: dict[str, list[Stroke]] = {}
    for stroke in strokes:
        by_wire.setdefault(stroke.wire, []).append(stroke)
    taken = inks_of(items)
    marks: list[Group] = []
    for group in design.groups.values():
        members = [wire for wire in _members(group) if wire in by_wire]
        wide = _HALF_MM + (_BESIDE_MM if group.screened and group.twisted else 0.0)
        finder = _Finder(taken, wide, text_width_mm(_name(group), NOTE_MM, bold=True))
        together = _together_spans(members, by_wire, strokes)
        best = [_best(together, finder)] if together else []
        if not best or best[0].hits:
            alone = [
                _best([_Span(s.top, s.top, s.left, s.right) for s in by_wire[wire]], finder)
                for wire in members
            ]
            if not best or sum(place.hits for place in alone) < best[0].hits:
                best = alone
        drawn = [item for place in best for item in _mark(group, place)]
        if drawn:
            data = (("group", group.id),)
            marks.append(Group(tuple(drawn), "group-mark", data=data, title=group.title))
    return tuple(marks)


def _members(group: WireGroup) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*group.screened, *group.twisted, *group.multicore)))


def _together_spans(
    members: Sequence[str], by_wire: Mapping[str, list[Stroke]], strokes: Sequence[Stroke]
) -> list[_Span]:
    """Return the stretches where all wires of a group lie side by side, with none between."""
    if len(members) < 2:
        return []
    return [
        span
        for first in by_wire[members[0]]
        if (span := _together(first, members, by_wire)) is not None
        and not _stranger_between(span, members, strokes)
    ]


def _best(spans: Sequence[_Span], finder: _Finder) -> _Place:
    """Return the place that crosses least and has room for the name, on the longest stretch."""
    places = [_clear_place(span, finder) for span in spans]
    return min(
        places, key=lambda p: (p.hits, p.name is None, p.span.left - p.span.right, p.span.top)
    )


def _together(
    first: Stroke, members: Sequence[str], by_wire: Mapping[str, list[Stroke]]
) -> _Span | None:
    """Return where one stroke of every wire lies beside a stroke of the first."""
    top, bottom, left, right = first.top, first.top, first.left, first.right
    for wire in members[1:]:
        beside = [
            s for s in by_wire[wire]
            if top - _NEAR_MM < s.top < bottom + _NEAR_MM
            and min(s.right, right) - max(s.left, left) > 3 * _HALF_MM
        ]  # fmt: skip
        if not beside:
            return None
        best = min(beside, key=lambda s: (max(top - s.top, s.top - bottom), s.left))
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


def _name(group: WireGroup) -> str:
    """Return what stands beside the mark: the group, and where its screen is connected."""
    to = f" to {group.screen.text}" if group.screen is not None else ""
    return fit(f"{group.id}{to}", _NAME_ROOM_MM, NOTE_MM, bold=True)


def _mark(group: WireGroup, place: _Place) -> list[Item]:
    """The ring, the twist or both, and the name of the group."""
    items: list[Item] = []
    span, x = place.span, place.x
    if group.screened:
        items.append(screen_mark(x, span.top, span.bottom))
    if group.twisted:
        at = x + _BESIDE_MM if group.screened else x
        items.append(twist_mark(at, span.top, span.bottom))
    if group.multicore and not items:
        items.append(screen_mark(x, span.top, span.bottom))
    if place.name is not None:
        items.append(words(*place.name, _name(group), NOTE_MM, bold=True, colour=style.SECONDARY))
    return items


def _clear_place(span: _Span, finder: _Finder) -> _Place:
    """Return where on a stretch the mark crosses least but the wires of its own."""
    middle = (span.left + span.right - finder.wide + _HALF_MM) / 2
    count = max(0, int((span.right - span.left - finder.wide - _HALF_MM) / 2 / _STEP_MM))
    best = None
    for offset in (sign * step * _STEP_MM for step in range(count + 1) for sign in (1, -1)):
        x = middle + offset
        area = Ink("", x - _HALF_MM, span.top - 2.4, x + finder.wide, span.bottom + 2.4)
        hits = sum(overlap(area, ink) for ink in finder.taken.near(area))
        if best is None or hits < best.hits or (hits == best.hits and best.name is None):
            best = _Place(span, x, hits, _name_place(x, span, finder))
        if best.hits == 0 and best.name is not None:
            break
    assert best is not None
    return best


def _name_place(x: float, span: _Span, finder: _Finder) -> tuple[float, float] | None:
    """Return a free base line for the name: over the mark, below it, or a little aside."""
    aside = finder.wide + 0.8 + finder.name / 2
    for dx in (0.0, aside, -aside, 1.5 * aside, -1.5 * aside, 2.5 * aside, -2.5 * aside):
        for base in (span.top - 2.4, span.bottom + 4.2, span.top - 1.1, span.top - 5.0):
            if dx == 0.0 and span.top - 2.4 < base <= span.bottom:
                continue
            left = x - finder.name / 2 + dx
            area = Ink("", left - 0.4, base - 1.8, left + finder.name + 0.4, base + 0.3)
            if not any(overlap(area, ink) for ink in finder.taken.near(area)):
                return left, base
    return None
