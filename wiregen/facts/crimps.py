"""What a crimped wire has to stand: pull-out force, and the bend it may be laid in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, cast

from wiregen.facts.sizes import WireSize
from wiregen.facts.tables import rows, table


@dataclass(frozen=True, slots=True)
class Pull:
    """Least pull-out force of a crimp.

    Attributes:
        force_n: newton.
        status: `confirmed` or `from memory`.
        source: where the row was read.
    """

    force_n: float
    status: Literal["confirmed", "from memory"]
    source: str


@dataclass(frozen=True, slots=True)
class Bend:
    """Bend radii of a wire in mm, and the outside diameter they come from."""

    outside_mm: float
    short_term_mm: float
    long_term_mm: float


def crimp_pull(size: WireSize) -> Pull | None:
    """Return the least pull-out force of a crimp on one wire; None where the table has no row.

    Args:
        size: as bought; nothing is interpolated.

    Source:
        IEC 60352-2 as copied, table `crimp_pull`.

    Example:
        >>> from wiregen.facts.sizes import read_size
        >>> crimp_pull(read_size("18 AWG")).force_n, crimp_pull(read_size(35))
        (90.0, None)
    """
    found = table("crimp_pull")
    for row in found.rows:
        if row["size"] == size.label:
            status = cast(Literal["confirmed", "from memory"], row["status"])
            return Pull(float(row["pull_n"]), status, found.source)
    return None


def bend(size: WireSize) -> Bend | None:
    """Return the bend radii of a thin-wall wire; None for a size without a known diameter.

    Args:
        size: mm2 sizes only.

    Source:
        Diameters: ISO 6722-1 thin wall, table `thin_wall`; factors: NASA-STD-8739.4.

    Example:
        >>> from wiregen.facts.sizes import read_size
        >>> bend(read_size(0.75)).short_term_mm
        11.4
    """
    if size.system != "mm2":
        return None
    factors = {row["use"]: float(row["factor"]) for row in rows("bend_radius")}
    for row in rows("thin_wall"):
        if float(row["area_mm2"]) == size.area_mm2:
            outside = float(row["outside_mm"])
            short, long = factors["short term"], factors["long term"]
            return Bend(outside, round(short * outside, 2), round(long * outside, 2))
    return None
