"""Cavity arrangements: every plug's face as one layout, as seen from its mating side.

A face may be stated as rows, rings or free positions, seen from either side, copied from another
plug or a standard, or be left to the other half. Whatever way it was said, one `FaceLayout` comes
out; the wire side is `mirrored` of it, and so is the mating side of the other half.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from wiregen.facts import faces as catalogue
from wiregen.model.arrange import Place, place_free, place_rings, place_rows, smallest_gap
from wiregen.model.design import Design
from wiregen.model.order import in_order
from wiregen.model.plugs import Face, Plug

Shape = Literal["rows", "ring", "box", "strip"]
PositionsStatus = Literal["stated", "confirmed", "from memory", "not recorded"]

NOT_RECORDED = "arrangement not recorded"
OPENING_SHARE = 0.62
"""Opening of a cavity of unknown size, as a share of the smallest distance to a neighbour."""


@dataclass(frozen=True, slots=True)
class Cavity:
    """One cavity: centre to the right and down from the middle of the face.

    Attributes:
        name: as written in the file.
        x: to the right, in the unit of the layout.
        y: downwards, in the unit of the layout.
        diameter: of the opening, in the unit of the layout.
        blade_angle_deg: 0 for a blade lying across, 90 for an upright one, None for a round
            opening.
    """

    name: str
    x: float
    y: float
    diameter: float
    blade_angle_deg: float | None = None


@dataclass(frozen=True, slots=True)
class FaceLayout:
    """The arrangement of one plug as seen from one side; `face_layout` gives the mating side.

    Attributes:
        cavities: by name, in numbering order.
        shape: of the outline: rows, ring, box (free positions), strip (nothing recorded).
        width: of the outline, in the unit of the layout.
        height: of the outline, in the unit of the layout.
        to_scale: True when the unit is mm; False when only proportions are known.
        key: where the key is, in words; empty when not recorded.
        latch: where the latch is, in words; empty when not recorded.
        origin: where the arrangement comes from, in words.
        positions_status: how far the places can be trusted.
        note: what to look at before trusting it; empty when there is nothing to say.
        outside: cavities named by pins that the face does not have, in natural order.
    """

    cavities: Mapping[str, Cavity]
    shape: Shape
    width: float
    height: float
    to_scale: bool = False
    key: str = ""
    latch: str = ""
    origin: str = "own face"
    positions_status: PositionsStatus = "stated"
    note: str = ""
    outside: tuple[str, ...] = field(default=())

    @property
    def order(self) -> tuple[str, ...]:
        """Names in numbering order: row by row, ring by ring, else in natural order."""
        return tuple(self.cavities)

    @property
    def first(self) -> str:
        """The first cavity of the numbering, empty when there is none."""
        return next(iter(self.cavities), "")

    @property
    def names(self) -> tuple[str, ...]:
        """Every cavity, those outside of the face last."""
        return (*self.cavities, *self.outside)


def face_layout(design: Design, plug_id: str) -> FaceLayout:
    """Return the layout of a plug as seen from its mating side.

    A half without a face takes its mate's, mirrored; then the standard it names; then a plain
    strip of its pins with `origin` "arrangement not recorded".

    Args:
        design: the design; `plug_id` must be one of its plugs.
        plug_id: id of the plug.
    """
    return _Resolver(design).layout(plug_id)


def face_layouts(design: Design) -> dict[str, FaceLayout]:
    """Return the layout of every plug as seen from its mating side, in natural order."""
    resolver = _Resolver(design)
    return {plug_id: resolver.layout(plug_id) for plug_id in in_order(design.plugs)}


def mirrored(layout: FaceLayout) -> FaceLayout:
    """Return the layout as the other side shows it: left and right exchanged, top stays top."""
    return replace(
        layout,
        cavities={name: _mirrored_cavity(cavity) for name, cavity in layout.cavities.items()},
        key=mirrored_words(layout.key),
        latch=mirrored_words(layout.latch),
    )


def as_strip(layout: FaceLayout, note: str) -> FaceLayout:
    """Return the cavities in plain rows, for places that cannot be drawn as they are.

    Args:
        layout: with places that lie too close together.
        note: why, in words.
    """
    plain = _strip(layout.cavities)
    return replace(
        plain,
        origin=layout.origin,
        positions_status=layout.positions_status,
        note=" ".join(part for part in (note, layout.note) if part),
        outside=layout.outside,
    )


def mirrored_words(words: str) -> str:
    """Exchange left and right, and turn the hours of a clock, in words for a place.

    Example:
        >>> mirrored_words("top left"), mirrored_words("at 10 o'clock")
        ('top right', "at 2 o'clock")
    """
    words = re.sub(r"\b(left|right)\b", _other_side, words, flags=re.IGNORECASE)
    return re.sub(r"\b(\d{1,2})(?= ?o'clock)", _other_hour, words)


def cavity_contact(plug: Plug, cavity: str) -> str:
    """Return the contact record or opening stated for a cavity; empty when nothing is said."""
    pin = plug.pins.get(cavity)
    if pin and pin.contact:
        return pin.contact
    sizes: Mapping[str, str] = plug.face.cavity if plug.face else {}
    return sizes.get(cavity) or sizes.get("default") or plug.contact


class _Resolver:
    """Follows `like` and `mates` from plug to plug; a loop or a dead end is not recorded."""

    def __init__(self, design: Design) -> None:
        self._design = design
        self._mates: dict[str, str] = {}
        for plug_id in in_order(design.plugs):
            other = design.plugs[plug_id].mates
            if other:
                self._mates.setdefault(plug_id, other)
                self._mates.setdefault(other, plug_id)
        self._done: dict[str, FaceLayout | None] = {}

    def layout(self, plug_id: str) -> FaceLayout:
        plug = self._design.plugs[plug_id]
        found = self._arrangement(plug_id)
        if found is None:
            mate = self._design.plugs.get(self._mates.get(plug_id, ""))
            return _strip([*plug.pins, *(mate.pins if mate else ())])
        return _with_outside(found, plug)

    def _arrangement(self, plug_id: str) -> FaceLayout | None:
        """The layout without what only concerns this plug's pins; None when nothing is known."""
        trail = [plug_id]
        seen = {plug_id}
        found = self._at(plug_id)
        while found is None:
            onward = next((p for p in self._onward(trail[-1]) if p not in seen), "")
            if not onward:
                break
            trail.append(onward)
            seen.add(onward)
            found = self._at(onward)
        last = trail[-1]
        for here in reversed(trail):
            if here != last:
                found = self._taken_over(here, last, found)
            found = found or _standard(self._design.plugs[here], self._design.plugs[here].standard)
            last = here
            self._done[here] = found
        return found

    def _at(self, plug_id: str) -> FaceLayout | None:
        """What is known of a plug without asking another one."""
        if plug_id in self._done:
            return self._done[plug_id]
        plug = self._design.plugs[plug_id]
        if plug.face is None:
            return None
        if plug.face.like in self._design.plugs:
            return None
        if plug.face.like:
            return _marked(_standard(plug, plug.face.like), plug.face)
        return _stated(plug.face, self._opening(plug))

    def _onward(self, plug_id: str) -> list[str]:
        """The plugs to ask, the one it is said to be like first."""
        face = self._design.plugs[plug_id].face
        asked = (face.like if face else "", self._mates.get(plug_id, ""))
        return [other for other in asked if other in self._design.plugs]

    def _taken_over(self, here: str, other: str, found: FaceLayout | None) -> FaceLayout | None:
        """The layout of `here` when `other` was asked for it."""
        if found is None:
            return None
        face = self._design.plugs[here].face
        if face is not None and face.like == other:
            return _marked(replace(found, origin=f"as {other}"), face)
        return replace(mirrored(found), origin=f"face of {other}, mirrored")

    def _opening(self, plug: Plug) -> Callable[[str], float | None]:
        """Return the lookup of a cavity's opening in mm."""

        def opening_mm(cavity: str) -> float | None:
            text = cavity_contact(plug, cavity)
            record = self._design.contacts.get(text)
            if record is not None:
                return record.blade_mm
            try:
                size = float(text.removesuffix("mm"))
            except ValueError:
                return None
            return size if 0 < size < 1000 else None

        return opening_mm


def _stated(face: Face, opening_mm: Callable[[str], float | None]) -> FaceLayout | None:
    """The layout of rows, rings or positions written in the file."""
    if face.rows:
        places = place_rows(face.rows, face.stagger, face.pitch_mm or 1.0)
        shape: Shape = "rows"
        to_scale = face.pitch_mm is not None
    elif face.rings:
        places, to_scale = place_rings(face.rings)
        to_scale = to_scale and face.unit == "mm"
        shape = "ring"
    else:
        places = place_free(face.places)
        to_scale = face.unit == "mm"
        shape = "box"
    if not places:
        return None
    layout = _sized(places, shape, to_scale, {name: opening_mm(name) for name in places})
    layout = replace(layout, key=face.key, latch=face.latch)
    return mirrored(layout) if face.seen_from == "wire side" else layout


def _sized(
    places: Mapping[str, Place],
    shape: Shape,
    to_scale: bool,
    openings_mm: Mapping[str, float | None],
) -> FaceLayout:
    """Give every cavity its opening and the face its outline."""
    gap = smallest_gap(places.values())
    usual = OPENING_SHARE * gap
    known = [size for size in openings_mm.values() if size]
    # To proportion, the smallest known contact gets the usual opening and the rest its ratio.
    ratio = 1.0 if to_scale or not known else usual / min(known)
    cavities = {}
    for name, (x, y) in places.items():
        size = openings_mm.get(name)
        cavities[name] = Cavity(name, x, y, size * ratio if size else usual)
    rim = max(0.75 * gap, max(c.diameter for c in cavities.values()) * 0.75)
    wide = max(abs(c.x) for c in cavities.values()) + rim
    high = max(abs(c.y) for c in cavities.values()) + rim
    if shape == "ring":
        wide = high = max((c.x**2 + c.y**2) ** 0.5 for c in cavities.values()) + rim
    return FaceLayout(cavities, shape, 2 * wide, 2 * high, to_scale)


def _standard(plug: Plug, face_id: str) -> FaceLayout | None:
    """The face of the catalogue, mirrored when this plug is the other half of what it lays out."""
    if not face_id:
        return None
    try:
        found = catalogue.face(face_id)
    except catalogue.FaceError:
        return None
    layout = FaceLayout(
        {
            name: Cavity(name, c.x, c.y, c.diameter, c.blade_angle_deg)
            for name, c in found.cavities.items()
        },
        "ring" if found.outline == "round" else "rows",
        found.width,
        found.height,
        found.unit == "mm",
        key=found.key,
        origin=f"standard {face_id}",
        positions_status=found.positions_status,
        note=found.note,
    )
    if found.contacts and plug.contacts and found.contacts != plug.contacts:
        return replace(mirrored(layout), origin=f"standard {face_id}, mirrored for {plug.contacts}")
    return layout


def _marked(layout: FaceLayout | None, face: Face) -> FaceLayout | None:
    """The layout with the key and latch this face states for itself."""
    if layout is None:
        return None
    return replace(layout, key=face.key or layout.key, latch=face.latch or layout.latch)


def _strip(cavities: Iterable[str]) -> FaceLayout:
    """Cavities in plain rows of ten or more, because nobody recorded where they are."""
    names = in_order(dict.fromkeys(cavities))
    count = max(10, math.isqrt(2 * len(names)))
    rows = tuple(tuple(names[i : i + count]) for i in range(0, len(names), count))
    places = place_rows(rows, 0.0, 1.0) if rows else {}
    layout = (
        _sized(places, "strip", False, {}) if places else FaceLayout({}, "strip", 1.5, 1.5, False)
    )
    return replace(layout, origin=NOT_RECORDED, positions_status="not recorded")


def _with_outside(layout: FaceLayout, plug: Plug) -> FaceLayout:
    outside = tuple(name for name in in_order(plug.pins) if name not in layout.cavities)
    return replace(layout, outside=outside) if outside else layout


def _mirrored_cavity(cavity: Cavity) -> Cavity:
    angle = cavity.blade_angle_deg
    turned = angle if angle is None else (180 - angle) % 180
    return replace(cavity, x=-cavity.x, blade_angle_deg=turned)


def _other_side(found: re.Match[str]) -> str:
    word = found[0]
    other = "right" if word.lower() == "left" else "left"
    return other.capitalize() if word[0].isupper() else other


def _other_hour(found: re.Match[str]) -> str:
    return str((12 - int(found[0])) % 12 or 12)
