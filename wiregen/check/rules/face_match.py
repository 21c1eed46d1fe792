"""Compare two faces that should show the cavities in the same places."""

from __future__ import annotations

from wiregen.model.faces import FaceLayout

_TOLERANCE_MM = 0.3
_Places = dict[str, tuple[float, float]]


def displaced(here: FaceLayout, there: FaceLayout) -> list[str]:
    """Return the cavities that are not in the same place on both faces.

    Args:
        here: one face.
        there: the other, seen from the same side, with the same cavities.

    Returns:
        Names in the order of the first face. Places in mm must agree within 0.3 mm around the
        middle; places to proportion must only pick out the same cavity as the nearest one.
    """
    if here.to_scale and there.to_scale:
        one, other = _places(here), _places(there)
        return [
            name
            for name, (x, y) in one.items()
            if max(abs(x - other[name][0]), abs(y - other[name][1])) > _TOLERANCE_MM
        ]
    one, other = _proportions(here), _proportions(there)
    return [name for name in one if _nearest(one[name], other) != name]


def _places(layout: FaceLayout) -> _Places:
    """Return the places around the middle of the outermost cavities, in mm."""
    xs = [cavity.x for cavity in layout.cavities.values()]
    ys = [cavity.y for cavity in layout.cavities.values()]
    middle_x, middle_y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    return {n: (c.x - middle_x, c.y - middle_y) for n, c in layout.cavities.items()}


def _proportions(layout: FaceLayout) -> _Places:
    """Return the places with the outermost cavities at -1 and 1 on both axes."""
    places = _places(layout)
    half_x = max((abs(x) for x, _ in places.values()), default=0.0) or 1.0
    half_y = max((abs(y) for _, y in places.values()), default=0.0) or 1.0
    return {name: (x / half_x, y / half_y) for name, (x, y) in places.items()}


def _nearest(point: tuple[float, float], places: _Places) -> str:
    x, y = point
    return min(places, key=lambda n: ((places[n][0] - x) ** 2 + (places[n][1] - y) ** 2, n))
