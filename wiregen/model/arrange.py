"""Places of cavities from rows, rings and free positions, around the middle of the face.

Units are those of the face (mm or proportion); x to the right, y down, as seen from the side the
face was stated from.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeAlias

from wiregen.model.order import in_order
from wiregen.model.plugs import Ring

Place: TypeAlias = tuple[float, float]

STARTS_DEG = {"top": 0.0, "right": 90.0, "bottom": 180.0, "left": 270.0}
"""Where a ring begins, degrees clockwise from the top."""
RING_STEP = 1.15
"""Distance of two rings without stated radius, in distances of neighbours on a ring."""


def place_rows(
    rows: Sequence[Sequence[str | None]], stagger: float = 0.0, pitch: float = 1.0
) -> dict[str, Place]:
    """Return the place of each cavity of rows; rows begin at the left, None keeps a gap open.

    Args:
        rows: names row by row, the top row first; a name that comes twice keeps its first place.
        stagger: shift of the second, fourth ... row to the right, in pitches.
        pitch: distance of neighbouring cavities and of rows.

    Example:
        >>> place_rows([["1", None, "2"], ["3"]], 0.5, 2.0)
        {'1': (-2.0, -1.0), '2': (2.0, -1.0), '3': (-1.0, 1.0)}
    """
    places: dict[str, Place] = {}
    for number, row in enumerate(rows):
        shift = stagger * (number % 2)
        for column, name in enumerate(row):
            if name is not None:
                places.setdefault(name, ((column + shift) * pitch, number * pitch))
    return _centred(places)


def place_rings(rings: Sequence[Ring]) -> tuple[dict[str, Place], bool]:
    """Return the place of each cavity of rings, and whether every radius was stated.

    Without stated radii neighbours on the smallest ring stand 1 apart, and a ring with more
    names lies further out.

    Example:
        >>> place_rings([Ring(("A", "B"), 2.0, "top"), Ring(("C",), 0.0)])
        ({'A': (0.0, -2.0), 'B': (0.0, 2.0), 'C': (0.0, 0.0)}, True)
    """
    stated = all(ring.radius is not None for ring in rings)
    radii = [ring.radius or 0.0 for ring in rings] if stated else _radii(rings)
    places: dict[str, Place] = {}
    for ring, radius in zip(rings, radii, strict=True):
        begin = start_deg(ring.start)
        turn = -1 if ring.turn.startswith(("anti", "counter")) else 1
        for number, name in enumerate(ring.names):
            angle = math.radians(begin + turn * 360.0 * number / len(ring.names))
            x, y = radius * math.sin(angle), -radius * math.cos(angle)
            places.setdefault(name, (_clean(x), _clean(y)))
    return places, stated and any(radius > 0 for radius in radii)


def place_free(places: Mapping[str, Place]) -> dict[str, Place]:
    """Return stated positions in natural order of the names, moved to the middle.

    Example:
        >>> place_free({"2": (10, 0), "1": (0, 4)})
        {'1': (-5.0, 2.0), '2': (5.0, -2.0)}
    """
    return _centred({name: places[name] for name in in_order(places)})


def start_deg(start: str) -> float:
    """Return where a ring begins, degrees clockwise from the top; a number is such an angle."""
    if start in STARTS_DEG:
        return STARTS_DEG[start]
    try:
        return float(start.removesuffix("deg"))
    except ValueError:
        return 0.0


def smallest_gap(places: Iterable[Place]) -> float:
    """Return the smallest distance of two places that differ; 1 when there are no two.

    Example:
        >>> smallest_gap([(0, 0), (0, 0), (3, 4), (30, 0)]), smallest_gap([(1, 1)])
        (5.0, 1.0)
    """
    ordered = sorted(set(places))
    best = math.inf
    for number, (x, y) in enumerate(ordered):
        for other_x, other_y in ordered[number + 1 :]:
            if other_x - x >= best:
                break
            best = min(best, math.hypot(other_x - x, other_y - y))
    return best if 0 < best < math.inf else 1.0


def _radii(rings: Sequence[Ring]) -> list[float]:
    """Radii in distances of neighbours; the ring with the fewest names is the innermost."""
    radii = [0.0] * len(rings)
    inner = -RING_STEP
    for number in sorted(range(len(rings)), key=lambda n: (len(rings[n].names), n)):
        count = len(rings[number].names)
        own = 0.5 / math.sin(math.pi / count) if count > 1 else 0.0
        radii[number] = max(own, inner + RING_STEP)
        inner = radii[number]
    return radii


def _centred(places: Mapping[str, Place]) -> dict[str, Place]:
    """Move the middle of the surrounding box to (0, 0)."""
    if not places:
        return {}
    xs = [x for x, _ in places.values()]
    ys = [y for _, y in places.values()]
    mid_x, mid_y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    return {name: (x - mid_x, y - mid_y) for name, (x, y) in places.items()}


def _clean(value: float) -> float:
    """Round away the dust of sines, so that mirrored places are equal to the last digit."""
    return round(value, 9) + 0.0
