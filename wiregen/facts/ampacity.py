"""What a wire may carry: by a published table, its surroundings and its bundle."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache

from wiregen.facts.sizes import WireSize, read_size
from wiregen.facts.tables import rows, table
from wiregen.problems import did_you_mean

_TABLES = {
    "33cfr183": "ampacity_33cfr183",
    "iso-10133": "ampacity_iso10133",
    "vde-0298-4": "ampacity_vde0298",
    "ac-43.13": "ampacity_ac4313",
}
FUSE_TABLES = ("body-builder", "thin-wall", "thick-wall")
"""Schemes that give the smallest wire behind a fuse, and the load of that fuse."""
AMPACITY_TABLES = (*_TABLES, *FUSE_TABLES)
BUNDLE_TABLES = ("stepwise", "iso-10133", "vde-0298-4", "mil-w-5088")
_TABLE_AMBIENT_C = {"33cfr183": 30.0, "iso-10133": 30.0, "vde-0298-4": 30.0, "ac-43.13": 70.0}
_BUNDLED = ("ac-43.13",)
_FUSE_TABLE_C = 40.0
_ROUNDING = 1.0001


_MATERIALS = (
    "PVC",
    "XLPE",
    "PE",
    "PUR",
    "TPE",
    "EPDM",
    "rubber",
    "silicone",
    "ETFE",
    "FEP",
    "PTFE",
)
_WORDS = (*(name.lower() for name in _MATERIALS), "thin", "thick")
"""Words of the trade for what a wire is covered with. Common practice, no source."""


class AmpacityError(ValueError):
    """The table gives no current for this wire; the text says why."""


@dataclass(frozen=True, slots=True)
class Ampacity:
    """What a wire may carry.

    Attributes:
        amps_a: after the factors.
        table: its name.
        row: the row it rests on, in words.
        factors: ambient and bundle factor, in words; empty when there is none.
        status: `from memory` as soon as one of row and factors is.
        fuse_a: largest rating of a fuse before it; the current itself unless the table says more.
    """

    amps_a: float
    table: str
    row: str
    factors: str
    status: str
    fuse_a: float


@dataclass(frozen=True, slots=True)
class Insulation:
    """Highest temperature of an insulation and what it was read from."""

    highest_c: float
    words: str
    status: str


def insulation_class(text: str) -> Insulation:
    """Read the temperature class of an insulation.

    Args:
        text: a type or class name (`FLRY-B`, `GXL`, `class C`), or words with the temperature in
            degC (`thin-wall 105`).

    Raises:
        AmpacityError: neither is in the text.

    Example:
        >>> insulation_class("thin-wall 105").highest_c, insulation_class("FLRY-B").highest_c
        (105.0, 105.0)
    """
    for name, row in _classes():
        if re.search(rf"(?<![A-Za-z0-9]){re.escape(name)}(?![A-Za-z0-9])", text, re.IGNORECASE):
            return Insulation(float(row["highest_c"]), row["name"], row["status"])
    number = re.search(r"(?<![\d.])(\d{2,3})(?![\d.])", text)
    if number and 60 <= int(number[1]) <= 260:
        return Insulation(float(number[1]), f"{number[1]} degC as written", "confirmed")
    raise AmpacityError(f"'{text}' names no temperature class; write it as 'thin-wall 105'")


def known_insulations() -> tuple[str, ...]:
    """Return the types and classes of insulation whose temperature is known, and materials.

    A material alone has no temperature, but is no slip of the pen either.
    """
    return (*(row["name"] for row in rows("insulation_classes")), *_MATERIALS)


def is_insulation(text: str) -> bool:
    """Tell whether a text names an insulation: its class, its temperature or its material.

    Example:
        >>> is_insulation("PVC"), is_insulation("FLRY-B"), is_insulation("bananas")
        (True, True, False)
    """
    try:
        insulation_class(text)
    except AmpacityError:
        words = re.split(r"[^a-z0-9]+", text.lower())
        return any(name in words for name in _WORDS)
    return True


@cache
def _classes() -> tuple[tuple[str, dict[str, str]], ...]:
    found = [(row["name"], dict(row)) for row in rows("insulation_classes")]
    return tuple(sorted(found, key=lambda pair: -len(pair[0])))


def ampacity(
    size: WireSize,
    insulation_c: float,
    *,
    scheme: str = "33cfr183",
    ambient_c: float | None = None,
    bundle: str = "stepwise",
    loaded: int = 1,
) -> Ampacity:
    """Return what a wire may carry.

    Args:
        size: of the wire. In a table of another system of sizes the row of the next smaller copper
            area is taken, and named.
        insulation_c: highest temperature of its insulation; the next lower column is taken.
        scheme: one of `AMPACITY_TABLES`.
        ambient_c: around it; None takes the temperature of the table.
        bundle: one of `BUNDLE_TABLES`.
        loaded: wires in the bundle that carry current, itself among them.

    Returns:
        The current with its row.

    Raises:
        AmpacityError: past the end of a table, or the insulation cannot stand the surroundings.

    Source:
        Between ambient temperatures sqrt((Tins - Tamb) / (Tins - Ttable)), which gives the
        engine-space factors of 33 CFR 183.425 to 1 %.

    Example:
        >>> ampacity(read_size("14 AWG"), 105).amps_a
        35.0
    """
    if scheme in FUSE_TABLES:
        return _behind_fuse(size, scheme, ambient_c)
    if scheme not in _TABLES:
        hint = did_you_mean(scheme, AMPACITY_TABLES)
        raise AmpacityError(f"unknown ampacity table '{scheme}'{hint}")
    column = max((c for c in _columns(scheme) if c <= insulation_c), default=None)
    if column is None:
        least = min(_columns(scheme))
        raise AmpacityError(f"{scheme} begins at insulation of {least:g} degC")
    label, amps, status = _row(scheme, size, column)
    factor, words, factor_status = _ambient_factor(scheme, column, ambient_c)
    factors = [words] if words else []
    if scheme not in _BUNDLED and loaded > 1:
        share, bundle_status = bundle_factor(loaded, bundle)
        if share != 1:
            factors.append(f"x {share:g} for {loaded} loaded wires ({bundle})")
        factor *= share
        factor_status = _worst(factor_status, bundle_status)
    return Ampacity(
        amps * factor,
        scheme,
        f"{label}, {column:g} degC, {amps:g} A",
        ", ".join(factors),
        _worst(status, factor_status),
        amps * factor,
    )


def _behind_fuse(size: WireSize, scheme: str, ambient_c: float | None) -> Ampacity:
    """Return load and fuse of the largest fuse whose smallest wire is not larger than this one."""
    if ambient_c is not None and ambient_c > _FUSE_TABLE_C:
        raise AmpacityError(f"{scheme} holds up to {_FUSE_TABLE_C:g} degC, not at {ambient_c:g}")
    found = [row for row in rows("wire_for_fuse") if row["scheme"] == scheme]
    fitting = [row for row in found if float(row["size_mm2"]) <= size.area_mm2 * _ROUNDING]
    if not fitting:
        raise AmpacityError(f"{scheme} has no size below {found[0]['size_mm2']} mm2")
    row = max(fitting, key=lambda one: float(one["fuse_a"]))
    fuse, load = float(row["fuse_a"]), float(row["load_a"])
    words = f"{row['size_mm2']} mm2, fuse {fuse:g} A, load {load:g} A"
    return Ampacity(load, scheme, words, "", row["status"], fuse)


def bundle_factor(loaded: int, scheme: str = "stepwise") -> tuple[float, str]:
    """Return the factor for a bundle and its status.

    Args:
        loaded: wires that carry current.
        scheme: one of `BUNDLE_TABLES`.

    Raises:
        AmpacityError: unknown scheme, or more wires than it covers.

    Example:
        >>> bundle_factor(4)
        (0.6, 'confirmed')
    """
    if scheme not in BUNDLE_TABLES:
        hint = did_you_mean(scheme, BUNDLE_TABLES)
        raise AmpacityError(f"unknown bundle table '{scheme}'{hint}")
    for row in rows("bundle_factors"):
        high = int(row["wires_to"]) if row["wires_to"] else math.inf
        if row["scheme"] == scheme and int(row["wires_from"]) <= loaded <= high:
            return float(row["factor"]), row["status"]
    raise AmpacityError(f"the bundle table {scheme} does not cover {loaded} loaded wires")


def _worst(*statuses: str) -> str:
    return "from memory" if "from memory" in statuses else "confirmed"


@cache
def _columns(scheme: str) -> tuple[float, ...]:
    return tuple(sorted({float(row["insulation_c"]) for row in rows(_TABLES[scheme])}))


@cache
def _sizes(scheme: str, column: float) -> tuple[tuple[float, str, float, str], ...]:
    """Return (area mm2, label, amps, status) of each row of a column, smallest first."""
    gauge = scheme in ("33cfr183", "ac-43.13")
    found = []
    for row in rows(_TABLES[scheme]):
        if float(row["insulation_c"]) == column:
            name = f"{row['size']} AWG" if gauge else f"{row['size']} mm2"
            area = read_size(name).area_mm2
            found.append((area, name, float(row["current_a"]), row["status"]))
    return tuple(sorted(found))


def _row(scheme: str, size: WireSize, column: float) -> tuple[str, float, str]:
    known = _sizes(scheme, column)
    fitting = [row for row in known if row[0] <= size.area_mm2 * _ROUNDING]
    if not fitting:
        raise AmpacityError(f"{scheme} has no size below {_said(known[0])}")
    area, name, amps, status = fitting[-1]
    if fitting[-1] == known[-1] and size.area_mm2 > area * 1.001:
        raise AmpacityError(f"{scheme} ends at {_said(fitting[-1])}")
    return name, amps, status


def _said(row: tuple[float, str, float, str]) -> str:
    """Return the size of a row, an AWG size with its area."""
    area, name = row[:2]
    return name if name.endswith("mm2") else f"{name} ({area:.4g} mm2)"


def _ambient_factor(scheme: str, column: float, ambient_c: float | None) -> tuple[float, str, str]:
    own = _TABLE_AMBIENT_C[scheme]
    if ambient_c is None or ambient_c == own:
        return 1.0, "", "confirmed"
    if ambient_c >= column:
        raise AmpacityError(
            f"insulation of {column:g} degC cannot be used at {ambient_c:g} degC around it"
        )
    if scheme == "vde-0298-4":
        return _tabled_factor(column, ambient_c)
    if ambient_c < own:
        return 1.0, "", "confirmed"
    factor = math.sqrt((column - ambient_c) / (column - own))
    return factor, f"x {factor:.2f} for {ambient_c:g} degC around it", "confirmed"


def _tabled_factor(column: float, ambient_c: float) -> tuple[float, str, str]:
    found = sorted(
        (float(row["ambient_c"]), float(row["factor"]), row["status"])
        for row in rows("ambient_factors")
        if float(row["insulation_c"]) == column
    )
    for row_c, factor, status in found:
        if ambient_c <= row_c:
            return factor, f"x {factor:g} for {row_c:g} degC around it", status
    raise AmpacityError(f"the ambient factors of vde-0298-4 end at {found[-1][0]:g} degC")


def table_source(scheme: str) -> str:
    """Return title and source of an ampacity table."""
    found = table(_TABLES.get(scheme, "wire_for_fuse"))
    return f"{found.title}: {found.source}"


def standard_sizes(system: str = "mm2") -> tuple[WireSize, ...]:
    """Return the sizes that are sold, smallest first.

    Args:
        system: `mm2` (rows of IEC 60228 class 5 that are used in looms), `JIS` or `AWG`.

    Example:
        >>> [size.label for size in standard_sizes()[:3]]
        ['0.35', '0.5', '0.75']
    """
    if system == "AWG":
        gauges = (22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3)
        names = [f"{g} AWG" if g > 0 else f"{1 - g}/0 AWG" for g in gauges]
        return tuple(sorted((read_size(n) for n in names), key=lambda s: s.area_mm2))
    if system == "JIS":
        return tuple(read_size(float(row["area_mm2"])) for row in rows("jis_c3406"))
    metric = (0.35, 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120)
    return tuple(read_size(area) for area in metric)
