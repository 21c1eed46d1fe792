"""Screens and twists on a sheet: a mark across the wires of a group, with the group's name (mm)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.layout.kept import KeptMark
from wiregen.layout.lint_view import Ink, Stroke, bodies_of, inks_of, strokes_of
from wiregen.layout.schematic.block import NOTE_MM, words
from wiregen.layout.schematic.bundle_places import SIZES, Asked, Finder, Place, Span, Spot
from wiregen.model import Design
from wiregen.model import Group as WireGroup
from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Point
from wiregen.sheet.marks import screen_mark, twist_mark
from wiregen.sheet.metrics import fit, text_width_mm
from wiregen.sheet.moves import moved
from wiregen.sheet.zones import Area

_BESIDE_MM = 3.0
"""A twist stands this far beside the ring of its screen."""
_NEAR_MM = 26.0
_LEAST_MM = 6.0
_NAME_ROOM_MM = 28.0


@dataclass(frozen=True, slots=True)
class Bundle:
    """The marks of one screen, twist or cable on a sheet.

    Attributes:
        group: its id.
        marks: where they stand, in the lengths of the drawing.
        drawn: all of them.
    """

    group: str
    marks: tuple[KeptMark, ...]
    drawn: Group


def find_bundles(
    design: Design,
    items: Sequence[Item],
    room: Area,
    stood: Mapping[str, Sequence[KeptMark]],
    snapped: Callable[[Point], Point],
) -> tuple[Bundle, ...]:
    """Return the marks of every group of wires that is on the sheet.

    A mark that stood in a place which is still free stays there.

    Args:
        design: the design.
        items: the drawn sheet.
        room: for the drawing, in its lengths.
        stood: group -> its marks when the sheet was drawn before, in the lengths of the drawing.
        snapped: returns a place as it is kept.
    """
    if not design.groups:
        return ()
    strokes = strokes_of(items)
    by_wire: dict[str, list[Stroke]] = {}
    for stroke in strokes:
        by_wire.setdefault(stroke.wire, []).append(stroke)
    finder = Finder(inks_of(items), bodies_of(items), room)
    found: list[tuple[WireGroup, Asked, Place]] = []
    for group in design.groups.values():
        members = [wire for wire in group.wires if wire in by_wire]
        asked = Asked(
            _spots(group), frozenset(members), text_width_mm(_name(group), NOTE_MM, bold=True)
        )
        before = [mark.at for mark in stood.get(group.id, ())]
        places = _places(members, by_wire, asked, finder, before)
        finder.marks += _inks(places)
        found += [(group, asked, place) for place in places]
    drawn: dict[str, list[tuple[KeptMark, tuple[Item, ...]]]] = {}
    for group, asked, place in found:
        before = [mark.name for mark in stood.get(group.id, ()) if mark.name is not None]
        name = finder.name(place, asked, before)
        name = snapped(name) if name is not None else None
        at = snapped(place.middle)
        set_there = replace(place, at=at[0] if place.span.level else at[1])
        mark = tuple(_mark(group, set_there, name))
        drawn.setdefault(group.id, []).append((KeptMark(at, name), mark))
    return tuple(_bundle(design.groups[name], marks) for name, marks in drawn.items())


def _bundle(group: WireGroup, marks: Sequence[tuple[KeptMark, tuple[Item, ...]]]) -> Bundle:
    items = tuple(item for _, mark in marks for item in mark)
    drawn = Group(items, "group-mark", data=(("group", group.id),), title=group.title)
    return Bundle(group.id, tuple(kept for kept, _ in marks), drawn)


def _places(
    members: Sequence[str],
    by_wire: Mapping[str, list[Stroke]],
    asked: Asked,
    finder: Finder,
    before: Sequence[Point],
) -> list[Place]:
    """Return where a group is marked: once where its wires lie together, else on each of them."""
    together = None
    if len(members) > 1:
        spans = _together_spans(members, by_wire)
        together = _sized(spans, asked, finder, before)
        if together is not None and not together.flaws:
            return [together]
    alone: list[Place] = []
    for wire in members:
        spans = [Span.of(stroke) for stroke in by_wire[wire]]
        place = _sized(spans, asked, finder, before, _inks(alone))
        alone += [place] if place is not None else []
    if together is not None and together.flaws <= sum(place.flaws for place in alone):
        return [together]
    return alone


def _sized(
    spans: Sequence[Span],
    asked: Asked,
    finder: Finder,
    before: Sequence[Point],
    beside: Sequence[Ink] = (),
) -> Place | None:
    """Return where a mark stood or its best place, drawn smaller where none is free otherwise."""
    found = []
    for size in SIZES:
        sized = replace(asked, size=size)
        place = finder.again(spans, sized, before, beside) or finder.best(spans, sized, beside)
        if place is not None and not place.hits:
            return place
        found += [place] if place is not None else []
    return min(found, key=lambda place: place.hits, default=None)


def _inks(places: Iterable[Place]) -> list[Ink]:
    return [ink for place in places for ink in place.inks]


def _spots(group: WireGroup) -> tuple[Spot, ...]:
    """Return the strokes of a group's mark along its wires: a ring, a twist, or both."""
    spots = []
    if group.screened or (group.multicore and not group.twisted):
        spots.append(Spot("screen", 0.0))
    if group.twisted:
        spots.append(Spot("twist", _BESIDE_MM if spots else 0.0))
    return tuple(spots)


def _together_spans(members: Sequence[str], by_wire: Mapping[str, list[Stroke]]) -> list[Span]:
    """Return the stretches where all wires of a group lie side by side."""
    found = (_beside(first, members, by_wire) for first in by_wire[members[0]])
    return [span for span in found if span is not None]


def _beside(
    first: Stroke, members: Sequence[str], by_wire: Mapping[str, list[Stroke]]
) -> Span | None:
    """Return where one stroke of every wire lies beside a stroke of the first."""
    span = Span.of(first)
    for wire in members[1:]:
        wider = [
            both
            for stroke in by_wire[wire]
            if stroke.level == first.level
            and (both := span.with_stroke(stroke)).far - span.far < _NEAR_MM
            and span.near - both.near < _NEAR_MM
            and both.stop - both.start > _LEAST_MM
        ]
        if not wider:
            return None
        span = min(wider, key=lambda both: (both.far - both.near, both.start))
    return span if span.stop - span.start > _LEAST_MM else None


def _name(group: WireGroup) -> str:
    """Return what stands beside the mark: the group, and where its screen is connected."""
    to = f" to {group.screen.text}" if group.screen is not None else ""
    return fit(f"{group.id}{to}", _NAME_ROOM_MM, NOTE_MM, bold=True)


def _mark(group: WireGroup, place: Place, name: Point | None) -> Iterator[Item]:
    """Yield the ring, the twist or both, and the name of the group."""
    span = place.span
    for spot in _spots(group):
        draw = screen_mark if spot.kind == "screen" else twist_mark
        at = place.at + spot.along * place.size
        mark: Item = draw(at, span.near, span.far, place.size)
        yield mark if span.level else moved(mark, lambda point: (point[1], point[0]))
    if name is not None:
        yield words(*name, _name(group), NOTE_MM, bold=True, colour=style.SECONDARY)
