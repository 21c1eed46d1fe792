"""How large a face must be drawn to be read, and where each cavity then stands (mm).

Every cavity needs room for its opening, the number in it and the code below. From the places of
two neighbours follows the smallest scale at which their rooms do not overlap; the largest of
these is the scale the whole face needs for text of 1.8 mm. Everything grows with the scale.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.layout.cavity_facts import CavityFacts
from wiregen.layout.cavity_mark import CODE_LINE, SMALLEST_TEXT, Spot
from wiregen.layout.kept import FaceBox
from wiregen.model.arrange import place_rows
from wiregen.model.faces import Cavity, FaceLayout
from wiregen.sheet.metrics import text_width_mm

LARGEST_NAME = 10.0
"""A longer cavity name is shortened in its opening; the table has it in full (mm)."""
LARGEST_RATIO = 2.2
"""Openings differ by at most this ratio on paper."""
LARGEST_GROWTH = 1.75
"""A face with few cavities is drawn this much larger than its smallest size."""
NUMBER_TEXT = 2.8
SIDE_GAP = 1.0
BELOW_GAP = 0.9
CODE_TEXT = 2.2
ASIDE_GAP = 5.0
"""Between the face and the cavities without a place, room for their label, mm."""
RIM = 2.2
"""Between the outermost cavity and the outline, mm."""


@dataclass(frozen=True, slots=True)
class Way:
    """How closely a face is drawn, at text of 1.8 mm.

    Attributes:
        radius: of the smallest opening, mm.
        line: a colour code wider than this is broken at a stroke, mm; 0 leaves the codes to the
            pin table.
    """

    radius: float
    line: float


ROOMY_WAY = Way(3.0, 8.0)
WITH_CODES = (ROOMY_WAY, Way(2.5, 8.0), Way(2.1, 8.0), Way(2.1, 99.0), Way(2.1, 6.6))
"""Tried one after another until the face can be read on the paper."""
NUMBERS_ONLY = Way(2.1, 0.0)
WAYS = (*WITH_CODES, NUMBERS_ONLY)


@dataclass(frozen=True, slots=True)
class Room:
    """What one cavity needs at text of 1.8 mm, from its centre (mm).

    Attributes:
        radius: of the opening.
        text: half the width of the widest code.
        half: to the side, with free space.
        above: upwards.
        below: down to the end of the codes, with free space.
        codes: lines below the opening.
    """

    radius: float
    text: float
    half: float
    above: float
    below: float
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Fit:
    """A layout with the room each cavity needs, and the scale at which all of them have it.

    Attributes:
        layout: as seen from the mating side, only cavities with a place of their own.
        aside: cavities without a place of their own, drawn in rows below the face.
        rooms: by name, also of those aside.
        scale: mm per unit of the layout at text of 1.8 mm.
        half_width: of the face at that scale, mm.
        above: from the middle to the top at that scale, mm.
        below: from the middle to the bottom at that scale, mm.
        aside_height: of the rows below the face at that scale, mm.
    """

    layout: FaceLayout
    aside: FaceLayout
    rooms: Mapping[str, Room]
    scale: float
    half_width: float
    above: float
    below: float
    aside_height: float

    @property
    def doubled(self) -> tuple[str, ...]:
        """Cavities that were given the place of an earlier one."""
        return tuple(n for n in self.aside.cavities if n not in self.layout.outside)

    @property
    def width(self) -> float:
        """Of the whole picture at text of 1.8 mm, mm."""
        return 2 * self.half_width

    @property
    def height(self) -> float:
        """Of the whole picture at text of 1.8 mm, mm."""
        return self.above + self.below + self.aside_height


def fit_face(layout: FaceLayout, facts: Mapping[str, CavityFacts], way: Way = ROOMY_WAY) -> Fit:
    """Return what a face needs to be read.

    Args:
        layout: as seen from the mating side.
        facts: by cavity.
        way: how closely.
    """
    rooms = _rooms(layout, facts, way)
    doubled = doubled_cavities(layout)
    own = {name: c for name, c in layout.cavities.items() if name not in doubled}
    return _fitted(replace(layout, cavities=own), doubled, rooms, _needed_scale(own, rooms))


def at_scale(fit: Fit, scale: float) -> Fit:
    """Return the fit at a larger scale, so that two halves are drawn alike.

    Args:
        fit: from `fit_face`.
        scale: mm per unit at text of 1.8 mm; a smaller one than needed changes nothing.
    """
    if scale <= fit.scale:
        return fit
    return _fitted(fit.layout, fit.doubled, fit.rooms, scale)


def box_of(fit: Fit) -> FaceBox:
    """Return the room of a fit with its lengths as a file keeps them, a little larger."""
    fit = at_scale(fit, _up(fit.scale, 4))
    lengths = (fit.half_width, fit.above, fit.below, fit.aside_height)
    return FaceBox(fit.scale, *(_up(length, 2) for length in lengths))


def in_box(fit: Fit, box: FaceBox) -> Fit | None:
    """Return the fit in the room of an earlier one; None where that is too small."""
    fit = at_scale(fit, box.scale)
    needed = (fit.scale, fit.half_width, fit.above, fit.below, fit.aside_height)
    room = (box.scale, box.half_width, box.above, box.below, box.aside)
    if any(one > other + 1e-6 for one, other in zip(needed, room, strict=True)):
        return None
    return replace(
        fit,
        half_width=box.half_width,
        above=box.above,
        below=box.below,
        aside_height=box.aside,
    )


def _up(length: float, decimals: int) -> float:
    steps = 10.0**decimals
    return math.ceil(length * steps - 1e-6) / steps


def _fitted(
    layout: FaceLayout, doubled: tuple[str, ...], rooms: Mapping[str, Room], scale: float
) -> Fit:
    own = layout.cavities.values()
    half = max((abs(c.x) * scale + rooms[c.name].half for c in own), default=4.0)
    above = max((-c.y * scale + rooms[c.name].above for c in own), default=4.0)
    below = max((c.y * scale + rooms[c.name].below for c in own), default=4.0)
    if layout.shape == "ring" and own:
        half = above = below = max(_reach(c, scale, rooms[c.name]) for c in own)
    aside = _aside((*doubled, *layout.outside), rooms, half)
    aside_height = aside.height + ASIDE_GAP if aside.cavities else 0.0
    half = max(half, aside.width / 2)
    return Fit(layout, aside, rooms, scale, half, above, below, aside_height)


def _reach(cavity: Cavity, scale: float, room: Room) -> float:
    """How far from the middle the room of a cavity ends, mm."""
    x, y = abs(cavity.x) * scale, cavity.y * scale
    text = math.hypot(x + room.half - SIDE_GAP / 2, y + room.below - BELOW_GAP)
    return max(math.hypot(x, y) + room.above, text if room.codes else 0.0)


def doubled_cavities(layout: FaceLayout) -> tuple[str, ...]:
    """Return the cavities that were given the place of an earlier one."""
    taken: dict[tuple[float, float], str] = {}
    doubled = []
    for name, cavity in layout.cavities.items():
        if taken.setdefault((round(cavity.x, 6), round(cavity.y, 6)), name) != name:
            doubled.append(name)
    return tuple(doubled)


def growth(fit: Fit, width: float, height: float) -> float:
    """Return how much larger than its smallest size a face may be drawn in a box (mm)."""
    share = min(
        (width - 2 * RIM) / fit.width if fit.width else LARGEST_GROWTH,
        (height - 2 * RIM) / fit.height if fit.height else LARGEST_GROWTH,
    )
    return min(share, LARGEST_GROWTH)


def spots(fit: Fit, grown: float, side: int) -> dict[str, Spot]:
    """Return the spot of each cavity around the middle of the face.

    Args:
        fit: from `fit_face`.
        grown: from `growth`.
        side: 1 for the mating side, -1 for the wire side, its exact mirror.
    """
    out: dict[str, Spot] = {}
    placed: list[tuple[Cavity, float, float]] = [
        (c, c.x * fit.scale * grown, c.y * fit.scale * grown) for c in fit.layout.cavities.values()
    ]
    down = (fit.below + fit.aside_height - fit.aside.height / 2) * grown
    placed += [(c, c.x * grown, c.y * grown + down) for c in fit.aside.cavities.values()]
    for cavity, x, y in placed:
        room = fit.rooms[cavity.name]
        angle = cavity.blade_angle_deg
        out[cavity.name] = Spot(
            x=side * x,
            y=y,
            radius=room.radius * grown,
            number_size=min(SMALLEST_TEXT * grown, NUMBER_TEXT),
            code_size=min(SMALLEST_TEXT * grown, CODE_TEXT),
            codes=room.codes,
            blade_angle_deg=angle if angle is None or side > 0 else (180 - angle) % 180,
        )
    return out


def _rooms(layout: FaceLayout, facts: Mapping[str, CavityFacts], way: Way) -> dict[str, Room]:
    widest = max(
        (text_width_mm(name, SMALLEST_TEXT, bold=True) for name in layout.names), default=0
    )
    radius = max(way.radius, min(widest, LARGEST_NAME) / 2 + 0.7)
    smallest = min((c.diameter for c in layout.cavities.values()), default=1.0) or 1.0
    rooms = {}
    for name in layout.names:
        cavity = layout.cavities.get(name)
        ratio = min(max(cavity.diameter / smallest, 1.0), LARGEST_RATIO) if cavity else 1.0
        rooms[name] = _room(radius * ratio, facts[name].codes if way.line else (), way.line)
    return rooms


def _room(radius: float, codes: Sequence[str], line_mm: float) -> Room:
    lines = tuple(line for code in codes for line in code_lines(code, line_mm))
    wide = max((text_width_mm(line, SMALLEST_TEXT) for line in lines), default=0.0)
    text_high = SMALLEST_TEXT * (CODE_LINE * len(lines) + 0.25) if lines else 0.0
    half = max(radius + 0.25, wide / 2) + SIDE_GAP / 2
    return Room(radius, wide / 2, half, radius + 0.25, radius + text_high + BELOW_GAP, lines)


def code_lines(code: str, width_mm: float) -> tuple[str, ...]:
    """Break a colour code wider than `width_mm` at its first stroke, which stays above.

    Example:
        >>> code_lines("BU/WH", 8.0), code_lines("LT GN/DK BU/WH", 8.0)
        (('BU/WH',), ('LT GN/', 'DK BU/WH'))
    """
    if text_width_mm(code, SMALLEST_TEXT) <= width_mm or "/" not in code:
        return (code,)
    head, _, rest = code.partition("/")
    return (f"{head}/", rest)


def _needed_scale(cavities: Mapping[str, Cavity], rooms: Mapping[str, Room]) -> float:
    """The smallest scale at which no two rooms overlap; neighbours are found from left to right."""
    ordered = sorted(cavities.values(), key=lambda c: (c.x, c.y))
    widest = max((rooms[c.name].half for c in ordered), default=0.0)
    scale = 1e-6
    for number, one in enumerate(ordered):
        room = rooms[one.name]
        for other in ordered[number + 1 :]:
            across = other.x - one.x
            if across * scale >= room.half + widest:
                break
            scale = max(scale, _pair_scale(one, other, room, rooms[other.name]))
    return scale if scale > 1e-6 else 1.0


def _pair_scale(one: Cavity, other: Cavity, room: Room, other_room: Room) -> float:
    """The scale from which on two openings and the codes below them keep clear of each other."""
    if one.y > other.y:
        return _pair_scale(other, one, other_room, room)
    across, down = abs(other.x - one.x), other.y - one.y
    openings = room.radius + other_room.radius + SIDE_GAP
    needed = [openings / math.hypot(across, down)]
    if room.codes:
        low = room.below + other_room.radius
        needed.append(_clear(across, down, room.text + other_room.radius + SIDE_GAP / 2, low))
    if other_room.codes:
        high = room.radius - other_room.radius + BELOW_GAP / 2
        needed.append(_clear(across, down, other_room.text + room.radius + SIDE_GAP / 2, high))
    if room.codes and other_room.codes:
        texts = room.text + other_room.text + SIDE_GAP
        needed.append(_clear(across, down, texts, room.below - other_room.radius))
    return max(needed)


def _clear(across: float, down: float, wide: float, high: float) -> float:
    """The scale at which two boxes clear each other sideways or, sooner, one above the other."""
    sideways = wide / across if across else math.inf
    if high <= 0:
        return 0.0
    return min(sideways, high / down if down else math.inf)


def _aside(names: Sequence[str], rooms: Mapping[str, Room], half: float) -> FaceLayout:
    """Cavities without a place of their own, in plain rows; the unit is mm at 1.8 mm text."""
    if not names:
        return FaceLayout({}, "strip", 0.0, 0.0)
    wide = 2 * max(rooms[name].half for name in names)
    high = max(rooms[name].above + rooms[name].below for name in names)
    count = min(len(names), max(6, int(2 * half / wide), math.isqrt(2 * len(names))))
    rows = [tuple(names[i : i + count]) for i in range(0, len(names), count)]
    places = place_rows(rows)
    shift = (max(rooms[name].below - rooms[name].above for name in names)) / 2
    cavities = {
        name: Cavity(name, x * wide, y * high - shift, 1.0) for name, (x, y) in places.items()
    }
    return FaceLayout(cavities, "strip", count * wide, len(rows) * high)
