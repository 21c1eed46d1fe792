"""How fuses behave: resistance, opening time, continuous load, breaking capacity."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from wiregen.facts.tables import rows

MIN_MELT_SHARE = 1.1
"""A fuse need not open below this multiple of its rating."""
NEVER_OPENS_SHARE = 1.35
"""Below this multiple a fuse may stay whole for ever; its wire has to stand that."""
CONTINUOUS_SHARE = 0.75
"""Largest continuous load at 25 degC. Source: circuitprotection.ca fuseology, confirmed."""
CONTINUOUS_WORDS = f"{100 * CONTINUOUS_SHARE:.0f} % of rating"
BREAKING_A = {"blade": 1000.0, "mini blade": 1000.0, "maxi blade": 1000.0, "bolt-on": 2000.0}
"""Breaking capacity. Source: abstracts of ISO 8820-3 (blade, 32/58 V) and ISO 8820-6."""


@dataclass(frozen=True, slots=True)
class ColdResistance:
    """Cold resistance of a fuse in ohm and what the row is worth."""

    ohm: float
    status: str


@dataclass(frozen=True, slots=True)
class Gate:
    """At this multiple of the rating a fuse opens between these times.

    Attributes:
        share: current over rating.
        at_least_s: earliest, None when not stated.
        at_most_s: latest, None when it may never open.
    """

    share: float
    at_least_s: float | None
    at_most_s: float | None
    status: str


@dataclass(frozen=True, slots=True)
class ContinuousLoad:
    """Largest continuous load in A, and the rule or row it came from."""

    amps_a: float
    words: str
    status: str


def cold_resistance(style: str, rating_a: float) -> ColdResistance | None:
    """Return the cold resistance, or None when the table has not that style and rating.

    Example:
        >>> cold_resistance("blade", 10)
        ColdResistance(ohm=0.0077, status='confirmed')
    """
    row = _cold().get((style, rating_a))
    return row


@cache
def _cold() -> dict[tuple[str, float], ColdResistance]:
    return {
        (row["style"], float(row["rating_a"])): ColdResistance(
            round(float(row["cold_mohm"]) / 1000, 9), row["status"]
        )
        for row in rows("fuse_resistance")
    }


def ratings(style: str) -> tuple[float, ...]:
    """Return the ratings of a style in A that are made, smallest first; none for a style unknown.

    Source:
        Colours of ISO 8820-3 types as copied, and the rows of the electrical table.
    """
    colours = {"blade": "blade", "mini blade": "blade", "maxi blade": "large blade"}.get(style)
    found = {float(r["rating_a"]) for r in rows("fuse_colours") if r["style"] == colours}
    limits = [(g["rating_from"], g["rating_to"]) for g in rows("fuse_times") if g["style"] == style]
    inside = [(float(low), float(high)) for low, high in limits]
    return tuple(sorted(a for a in found if any(low <= a <= high for low, high in inside)))


@cache
def gates(style: str, rating_a: float) -> tuple[Gate, ...]:
    """Return the time-current limits of a fuse, lowest current first; none when unknown."""
    found = [
        Gate(
            float(row["percent"]) / 100,
            float(row["at_least_s"]) if row["at_least_s"] else None,
            float(row["at_most_s"]) if row["at_most_s"] else None,
            row["status"],
        )
        for row in rows("fuse_times")
        if row["style"] == style
        and float(row["rating_from"]) <= rating_a <= float(row["rating_to"])
    ]
    return tuple(sorted(found, key=lambda gate: gate.share))


def opens_at_most(style: str, rating_a: float, amps_a: float) -> float | None:
    """Return the latest opening time in s.

    Args:
        style: of the fuse.
        rating_a: rated current in A.
        amps_a: current in A.

    Returns:
        Between two limits the logarithms are interpolated; above the last one the time falls with
        the square of the current. None where it may never open or no limits are known.

    Example:
        >>> opens_at_most("blade", 10, 60), opens_at_most("blade", 10, 12)
        (0.1, None)
    """
    pairs = [(g.share, g.at_most_s) for g in gates(style, rating_a) if g.at_most_s is not None]
    return _between([(share, t) for share, t in pairs if t is not None], amps_a / rating_a)


def opens_at_least(style: str, rating_a: float, amps_a: float) -> float | None:
    """Return the earliest opening time in s; None where no limit is known.

    Example:
        >>> opens_at_least("blade", 10, 20)
        0.15
    """
    pairs = [(g.share, g.at_least_s) for g in gates(style, rating_a) if g.at_least_s is not None]
    return _between([(share, t) for share, t in pairs if t is not None], amps_a / rating_a)


def _between(points: list[tuple[float, float]], share: float) -> float | None:
    """Interpolate in logarithms; nothing below the first point, the square law past the last."""
    if not points or share < points[0][0]:
        return None
    for (low, slow), (high, fast) in pairwise(points):
        if low <= share <= high:
            if share in (low, high):
                return slow if share == low else fast
            part = math.log(share / low) / math.log(high / low)
            return math.exp(math.log(slow) + part * (math.log(fast) - math.log(slow)))
    last, time_s = points[-1]
    return time_s * (last / share) ** 2


def continuous_load(style: str, rating_a: float, ambient_c: float | None) -> ContinuousLoad:
    """Return the largest continuous load of a fuse.

    Args:
        style: of the fuse.
        rating_a: rated current in A.
        ambient_c: around the fuse in degC, None when not known.

    Returns:
        75 % of the rating, or less where the maker's table says less at that temperature. Between
        two temperatures of the table the hotter one is used; past its end the last row is named
        and the load is 0.

    Example:
        >>> continuous_load("blade", 10, 85).amps_a
        7.0
    """
    plain = CONTINUOUS_SHARE * rating_a
    found = [
        (float(row["ambient_c"]), float(row["load_a"]))
        for row in rows("fuse_derating")
        if row["style"] == style and float(row["rating_a"]) == rating_a
    ]
    if ambient_c is None or not found:
        return ContinuousLoad(plain, CONTINUOUS_WORDS, "confirmed")
    for row_c, load_a in sorted(found):
        if ambient_c <= row_c:
            if load_a < plain:
                words = f"fuse maker's table at {row_c:g} degC"
                return ContinuousLoad(load_a, words, "confirmed")
            return ContinuousLoad(plain, CONTINUOUS_WORDS, "confirmed")
    words = f"{ambient_c:g} degC is past the end of the table, {max(found)[0]:g} degC"
    return ContinuousLoad(0.0, words, "confirmed")
