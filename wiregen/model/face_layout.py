"""One arrangement of cavities seen from one side, and its mirror; made from what was stated."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from wiregen.facts import faces as catalogue
from wiregen.model.arrange import Place, place_free, place_rings, place_rows, smallest_gap
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
    outside: tuple[str, ...] = ()

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
    plain = strip_layout(layout.cavities)
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


def stated_layout(face: Face, opening_mm: Callable[[str], float | None]) -> FaceLayout | None:
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


def standard_layout(plug: Plug, face_id: str) -> FaceLayout | None:
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
        origin=f"standard {face_id}, {found.half}",
        positions_status=found.positions_status,
        note=found.note,
    )
    if _is_other_half(plug, found):
        return replace(mirrored(layout), origin=f"{layout.origin}, mirrored for this half")
    return layout


def _is_other_half(plug: Plug, found: catalogue.StandardFace) -> bool:
    """Whether a plug pushes into the half of the catalogue: its contacts tell, or its side."""
    if found.contacts and plug.contacts:
        return found.contacts != plug.contacts
    return "vehicle" in found.half and plug.side == "trailer"


def strip_layout(cavities: Iterable[str]) -> FaceLayout:
    """Cavities in plain rows of ten or more, because nobody recorded where they are."""
    names = in_order(dict.fromkeys(cavities))
    count = max(10, math.isqrt(2 * len(names)))
    rows = tuple(tuple(names[i : i + count]) for i in range(0, len(names), count))
    places = place_rows(rows, 0.0, 1.0) if rows else {}
    layout = (
        _sized(places, "strip", False, {}) if places else FaceLayout({}, "strip", 1.5, 1.5, False)
    )
    return replace(layout, origin=NOT_RECORDED, positions_status="not recorded")


def _mirrored_cavity(cavity: Cavity) -> Cavity:
    angle = cavity.blade_angle_deg
    turned = angle if angle is None else (180 - angle) % 180
    return replace(cavity, x=0.0 - cavity.x, blade_angle_deg=turned)


def _other_side(found: re.Match[str]) -> str:
    word = found[0]
    other = "right" if word.lower() == "left" else "left"
    return other.capitalize() if word[0].isupper() else other


def _other_hour(found: re.Match[str]) -> str:
    return str((12 - int(found[0])) % 12 or 12)
