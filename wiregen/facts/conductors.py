"""Resistance of copper conductors: by table for metric sizes, by formula for gauge sizes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal, cast, get_args

from wiregen.facts.sizes import WireSize
from wiregen.facts.tables import table
from wiregen.problems import did_you_mean

ConductorTable = Literal["iec-60228-5", "iso-6722", "jis-c3406"]
CONDUCTOR_TABLES: tuple[str, ...] = get_args(ConductorTable)

COPPER_OHM_MM2_PER_M = 1 / 58
"""Resistivity of annealed copper at 20 degC. Source: IEC 60028 (58 MS/m)."""
COPPER_PER_KELVIN = 0.00393
"""Rise of resistance per kelvin above 20 degC. Source: IACS, 0.393 %/K."""
WARMEST_DEGC = 250
"""The linear rise is used from -50 degC to the hottest insulation class, ISO 6722 H."""


class ConductorError(ValueError):
    """No resistance can be given; the text says which sizes the table has."""


@dataclass(frozen=True, slots=True)
class Resistance:
    """Resistance per length at 20 degC and the row it came from.

    Attributes:
        mohm_per_m: milliohm per metre at 20 degC; of a table its largest permitted value.
        table: `iec-60228-5`, `iso-6722`, or `copper` for a gauge size computed from its area.
        status: `confirmed` or `from memory`.
        source: standard and copy.
    """

    mohm_per_m: float
    table: str
    status: Literal["confirmed", "from memory"]
    source: str


def resistance(size: WireSize, conductor: str = "iec-60228-5") -> Resistance:
    """Return the resistance of a conductor per length at 20 degC.

    Args:
        size: as bought. A metric size is looked up as it stands; AWG and SAE sizes are in no
            metric table and are computed from their copper area.
        conductor: `iec-60228-5` (plain copper), `iso-6722` or `jis-c3406`.

    Returns:
        The row in milliohm per metre.

    Raises:
        ConductorError: the table has no such size (nothing is interpolated), or is unknown.

    Example:
        >>> from wiregen.facts.sizes import read_size
        >>> resistance(read_size(1.5)).mohm_per_m
        13.3
    """
    if conductor not in CONDUCTOR_TABLES:
        raise ConductorError(
            f"unknown conductor table '{conductor}'; use {', '.join(CONDUCTOR_TABLES)}"
            + did_you_mean(conductor, CONDUCTOR_TABLES)
        )
    if size.system != "mm2":
        computed = 1000 * COPPER_OHM_MM2_PER_M / size.area_mm2
        return Resistance(computed, "copper", "confirmed", "IEC 60028, 58 MS/m, solid conductor")
    known = _table(cast(ConductorTable, conductor))
    if size.area_mm2 not in known:
        sizes = ", ".join(f"{area:g}" for area in known)
        raise ConductorError(f"{size.label} mm2 is not in {conductor}, which has {sizes}")
    return known[size.area_mm2]


def at_temperature(resistance_ohm: float, temperature_degc: float) -> float:
    """Return a copper resistance in ohm, given at 20 degC, at another temperature.

    Args:
        resistance_ohm: at 20 degC.
        temperature_degc: of the copper, -50 to 250 degC.

    Raises:
        ConductorError: the temperature is out of that range.

    Source:
        R = R20 (1 + 0.00393 (T - 20)), IACS.

    Example:
        >>> round(at_temperature(1, 85), 3)
        1.255
    """
    if not -50 <= temperature_degc <= WARMEST_DEGC:
        raise ConductorError(
            f"copper at {temperature_degc:g} degC is out of range: -50 to {WARMEST_DEGC} degC"
        )
    return resistance_ohm * (1 + COPPER_PER_KELVIN * (temperature_degc - 20))


@cache
def _table(name: ConductorTable) -> dict[float, Resistance]:
    found = table(name.replace("-", "_"))
    return {
        float(row["area_mm2"]): Resistance(
            float(row["plain"]),
            name,
            cast(Literal["confirmed", "from memory"], row.get("status", found.status)),
            found.source,
        )
        for row in found.rows
    }
