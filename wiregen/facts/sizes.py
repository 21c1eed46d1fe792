"""Conductor sizes as they are bought: mm2, AWG, SAE, and the pairs of the trade."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal

from wiregen.facts.tables import rows
from wiregen.units import UnitError, comma_hint, read_quantity, split_range

SizeSystem = Literal["mm2", "AWG", "SAE"]

_EXAMPLES = "0.75, 18 AWG, SAE 18 or 10 mm2 / 8 AWG"
_LARGEST_AWG = -3  # 4/0
_SMALLEST_AWG = 40
_GAUGE = re.compile(r"(?:(AWG|SAE)\s*([0-9/]+)|([0-9/]+)\s*(AWG|SAE))", re.IGNORECASE)
_SQUARE_MM = re.compile(r"\s*mm[2²]$")
_PAIR = re.compile(r"\s+/\s+|(?<=mm2)/|(?<=AWG)/", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class WireSize:
    """The size of a conductor.

    Attributes:
        area_mm2: copper area in mm2 of the size that was bought.
        text: as written in the file.
        system: system of the bought size: `mm2`, `AWG` (ASTM B258) or `SAE` (J1127, J1128).
        label: the bought size in canonical form: `0.75`, `18 AWG`, `SAE 18`.
        also: canonical form of the second size of a trade pair, empty when there is none.
    """

    area_mm2: float
    text: str
    system: SizeSystem
    label: str
    also: str = ""

    @property
    def printed(self) -> str:
        """As written, without a unit every sheet names: `1.0` of `1.0 mm2`.

        Example:
            >>> [read_size(text).printed for text in ("35mm2", "1.0", "10 mm2 / 8 AWG", "18 AWG")]
            ['35', '1.0', '10 mm2 / 8 AWG', '18 AWG']
        """
        return self.text if self.also else _SQUARE_MM.sub("", self.text)


@dataclass(frozen=True, slots=True)
class SizeRange:
    """The sizes a contact takes, the smaller one first."""

    low: WireSize
    high: WireSize
    text: str


def read_size(value: object) -> WireSize:
    """Read `0.75`, `0.75 mm2`, `18 AWG`, `1/0 AWG`, `SAE 18` or `10 mm2 / 8 AWG`.

    Args:
        value: number (mm2) or text. Of a pair the first size is the one that was bought: the
            second is kept as a name only, because the pairs of the trade are not equal.

    Returns:
        The size with its copper area in mm2.

    Raises:
        UnitError: it is not a size, or not one of the named system. Nothing is extrapolated.

    Example:
        >>> read_size("10 mm2 / 8 AWG")
        WireSize(area_mm2=10.0, text='10 mm2 / 8 AWG', system='mm2', label='10', also='8 AWG')
        >>> round(read_size("18 AWG").area_mm2, 3)
        0.823
    """
    text = value.strip() if isinstance(value, str) else str(value)
    if isinstance(value, str):
        hint = comma_hint(text)
        if hint:
            raise UnitError(hint)
        pair = _PAIR.split(text)
        if len(pair) == 2:
            bought, also = _single(pair[0]), _single(pair[1])
            second = f"{also.label} mm2" if also.system == "mm2" else also.label
            return WireSize(bought.area_mm2, text, bought.system, bought.label, second)
    return _single(value)


def read_size_range(value: object) -> SizeRange:
    """Read `0.5..2.5` or `20 AWG..14 AWG`: the sizes a contact takes.

    Returns:
        The range, its smaller area first.

    Raises:
        UnitError: it is not a range, an end is not a size, or the larger end comes first.

    Example:
        >>> read_size_range("0.5..2.5").high.area_mm2
        2.5
    """
    text, first, second = split_range(value)
    unit = re.sub(r"^[0-9./]+", "", second).strip()
    if unit and re.fullmatch(r"[0-9./]+", first):
        first = f"{first} {unit}"
    low, high = read_size(first), read_size(second)
    if low.area_mm2 > high.area_mm2:
        raise UnitError(f"the ends of '{text}' are the wrong way round; write the smaller first")
    return SizeRange(low, high, text)


def awg_area_mm2(gauge: int) -> float:
    """Return the area of a solid round conductor of an AWG number.

    Args:
        gauge: 0 for 1/0, -1 for 2/0, -2 for 3/0, -3 for 4/0; up to 40.

    Returns:
        Area in mm2.

    Raises:
        UnitError: outside 4/0 to 40.

    Source:
        ASTM B258: diameter 0.005 in x 92^((36 - n) / 39).

    Example:
        >>> round(awg_area_mm2(-3), 2)
        107.22
    """
    if not _LARGEST_AWG <= gauge <= _SMALLEST_AWG:
        raise UnitError(f"there is no {_awg_label(gauge)}: AWG runs from 4/0 to 40")
    diameter_mm: float = 0.005 * 25.4 * 92.0 ** ((36 - gauge) / 39)
    return math.pi / 4 * diameter_mm**2


def _single(value: object) -> WireSize:
    text = value.strip() if isinstance(value, str) else str(value)
    gauge = _GAUGE.fullmatch(text)
    if gauge:
        system = (gauge.group(1) or gauge.group(4)).upper()
        number = gauge.group(2) or gauge.group(3)
        return _sae(number, text) if system == "SAE" else _awg(number, text)
    if isinstance(value, str) and re.search(r"AWG|SAE|gauge|ga\b", text, re.IGNORECASE):
        raise UnitError(f"'{text[:40]}' is not a wire size: write {_EXAMPLES}")
    area = read_quantity(value, "area")
    if area.value == 0:
        raise UnitError("a wire size cannot be 0")
    return WireSize(area.value, text, "mm2", f"{area.value:g}")


def _awg(number: str, text: str) -> WireSize:
    gauge = _gauge_number(number)
    if gauge is None:
        raise UnitError(f"'{text[:40]}' is not an AWG size: write {_EXAMPLES}")
    return WireSize(awg_area_mm2(gauge), text, "AWG", _awg_label(gauge))


def _gauge_number(number: str) -> int | None:
    """Return 0 for `1/0` or `0`, -1 for `2/0` or `00`, 18 for `18`."""
    aught = re.fullmatch(r"([1-9][0-9]?)/0", number)
    if aught:
        return 1 - int(aught.group(1))
    if re.fullmatch(r"0{1,4}", number):
        return 1 - len(number)
    return int(number) if re.fullmatch(r"[1-9][0-9]?", number) else None


def _awg_label(gauge: int) -> str:
    return f"{gauge} AWG" if gauge > 0 else f"{1 - gauge}/0 AWG"


def _sae(number: str, text: str) -> WireSize:
    areas = {row["size"]: row["area_mm2"] for row in rows("sae_sizes")}
    if number not in areas:
        known = ", ".join(areas)
        raise UnitError(f"SAE {number[:10]} is not in the table of SAE J1127 and J1128: {known}")
    return WireSize(float(areas[number]), text, "SAE", f"SAE {number}")
