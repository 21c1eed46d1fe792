"""Quantities as a person writes them: a number, or a number with its unit."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from wiregen.problems import did_you_mean

Dimension = Literal[
    "length",
    "position",
    "area",
    "volts",
    "amps",
    "watts",
    "ohms",
    "temperature",
    "drop",
    "angle",
    "frequency",
    "time",
    "capacitance",
    "factor",
]


class UnitError(ValueError):
    """A quantity that cannot be read; the text is the message for the person who wrote it."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in the base unit of its dimension.

    Attributes:
        value: the number in `unit`.
        unit: base unit: mm, mm2, V, A, W, ohm, degC, %, deg, Hz, s, F, or empty for a factor.
        text: as written in the file.
    """

    value: float
    unit: str
    text: str


@dataclass(frozen=True, slots=True)
class Range:
    """Two ends of one dimension, the lower one first."""

    low: Quantity
    high: Quantity
    text: str


@dataclass(frozen=True, slots=True)
class _Kind:
    """How one dimension is written.

    Attributes:
        what: name used in messages.
        base: base unit; a number without a unit has it.
        units: legal unit -> factor to the base unit, as a fraction so that 12 mohm is 0.012 ohm.
        example: a good way to write one.
        least: smallest sensible value in the base unit.
    """

    what: str
    base: str
    units: Mapping[str, tuple[int, int]]
    example: str
    least: float = 0.0


_ONE = (1, 1)
_MILLI = (1, 1000)
_MICRO = (1, 1_000_000)
_KILO = (1000, 1)
_LENGTHS = {"mm": _ONE, "cm": (10, 1), "m": _KILO, "in": (254, 10), "ft": (3048, 10)}
_OHMS = {"ohm": _ONE, "mohm": _MILLI, "kohm": _KILO, "Mohm": (1_000_000, 1)}
_KINDS: Mapping[str, _Kind] = MappingProxyType(
    {
        "length": _Kind("a length", "mm", _LENGTHS, "850 or 1.2 m"),
        "position": _Kind("a position", "mm", _LENGTHS, "4.5 or -4.5", least=-math.inf),
        "area": _Kind("a wire size", "mm2", {"mm2": _ONE}, "0.75, 18 AWG or SAE 18"),
        "volts": _Kind(
            "a voltage", "V", {"V": _ONE, "mV": _MILLI, "kV": _KILO}, "12 or 12 V", least=-math.inf
        ),
        "amps": _Kind(
            "a current", "A", {"A": _ONE, "mA": _MILLI, "uA": _MICRO, "kA": _KILO}, "10 or 10 A"
        ),
        "watts": _Kind("a power", "W", {"W": _ONE, "mW": _MILLI, "kW": _KILO}, "55 or 55 W"),
        "ohms": _Kind("a resistance", "ohm", _OHMS, "85, 12 mohm or 4.7 kohm"),
        "temperature": _Kind(
            "a temperature", "degC", {"degC": _ONE, "C": _ONE}, "60 or 60 degC", least=-273.15
        ),
        "drop": _Kind("a voltage drop", "", {"V": _ONE, "mV": _MILLI, "%": _ONE}, "3 % or 0.5 V"),
        "angle": _Kind("an angle", "deg", {"deg": _ONE}, "90 or 90 deg", least=-math.inf),
        "frequency": _Kind("a frequency", "Hz", {"Hz": _ONE, "kHz": _KILO}, "50 or 50 Hz"),
        "time": _Kind(
            "a time", "s", {"s": _ONE, "ms": _MILLI, "min": (60, 1), "h": (3600, 1)}, "5 or 200 ms"
        ),
        "capacitance": _Kind(
            "a capacitance", "F", {"F": _ONE, "mF": _MILLI, "uF": _MICRO}, "470 uF"
        ),
        "factor": _Kind("a factor", "", {"%": (1, 100)}, "0.85 or 85 %"),
    }
)

_NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_QUANTITY = re.compile(rf"({_NUMBER})\s*([^\W\d_%]\S*|[%\u00b0]\S*)?")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_OTHER_SPELLINGS = (("\u2126", "ohm"), ("\u03a9", "ohm"), ("\u00b5", "u"), ("\u03bc", "u"))
_OTHER_UNITS = {"\u00b0C": "degC", "\u00b0": "deg", "mm\u00b2": "mm2"}


def read_quantity(value: object, dimension: Dimension) -> Quantity:
    """Read a number, or a text such as `1.2 m`, in the base unit of its dimension.

    Args:
        value: number or text; a number without a unit has the base unit of the dimension.
        dimension: what is expected. A voltage drop has no base unit: V or % has to be written.

    Returns:
        The quantity in mm, mm2, V, A, W, ohm, degC, deg, Hz, s, F or as a bare factor; a drop
        in V or in %.

    Raises:
        UnitError: it is not a number, the unit is not one of the dimension, or the value is
            not finite or too small to make sense.

    Example:
        >>> read_quantity("1.2 m", "length")
        Quantity(value=1200.0, unit='mm', text='1.2 m')
        >>> read_quantity("12 mohm", "ohms").value
        0.012
    """
    kind = _KINDS[dimension]
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise UnitError(f"expected {kind.what} such as {kind.example}, found {_shown(value)}")
    text = value.strip() if isinstance(value, str) else str(value)
    number, written = _split(text, kind)
    unit = _unit(text, written, dimension)
    numerator, denominator = kind.units.get(unit, _ONE)
    result = number * numerator / denominator
    if not math.isfinite(result):
        raise UnitError(f"'{_short(text)}' is not a finite number")
    if result < kind.least:
        limit = "negative" if kind.least == 0 else f"below {kind.least:g} {kind.base}"
        raise UnitError(f"{kind.what} cannot be {limit}: '{text}'")
    in_percent = dimension == "drop" and unit == "%"
    return Quantity(result, "%" if in_percent else "V" if dimension == "drop" else kind.base, text)


def read_range(value: object, dimension: Dimension) -> Range:
    """Read a range such as `0.5..2.5` or `8..16 V`; a unit after the second end covers both.

    Args:
        value: text with two dots between its ends.
        dimension: what is expected, as for `read_quantity`.

    Returns:
        The range in the base unit of the dimension.

    Raises:
        UnitError: it is not a range, an end cannot be read, or the ends are the wrong way round.

    Example:
        >>> read_range("8..16 V", "volts").low
        Quantity(value=8.0, unit='V', text='8')
    """
    text, first, second = split_range(value)
    high = read_quantity(second, dimension)
    shared = re.sub(rf"^{_NUMBER}\s*", "", second)
    bare = re.fullmatch(_NUMBER, first) and shared
    low = read_quantity(f"{first} {shared}" if bare else first, dimension)
    if low.unit != high.unit:
        raise UnitError(f"the ends of '{text}' have different units; write both in {high.unit}")
    if low.value > high.value:
        raise UnitError(f"the ends of '{text}' are the wrong way round; write the lower one first")
    return Range(Quantity(low.value, low.unit, first), high, text)


def split_range(value: object) -> tuple[str, str, str]:
    """Split a range at its two dots.

    Returns:
        The whole text, its first end and its second end, stripped.

    Raises:
        UnitError: it is not a text with two ends.

    Example:
        >>> split_range("0.5..2.5")
        ('0.5..2.5', '0.5', '2.5')
    """
    text = value.strip() if isinstance(value, str) else _shown(value)
    ends = [end.strip() for end in text.split("..")] if isinstance(value, str) else []
    if len(ends) != 2 or not all(ends) or ends[1].startswith("."):
        raise UnitError(f"expected a range such as 0.5..2.5, found {_quoted(text, value)}")
    return text, ends[0], ends[1]


def comma_hint(text: str) -> str:
    """Return what to write instead of a number with a comma, or an empty text.

    Example:
        >>> comma_hint("0,5 V")
        'write 0.5, not 0,5'
        >>> comma_hint("1,200 mm")
        'write 1.2 or 1200, not 1,200'
        >>> comma_hint("0.5 V")
        ''
    """
    found = _COMMA.search(text)
    if not found:
        return ""
    written = found.group()
    whole, decimals = written.split(",")
    if len(decimals) == 3 and whole.lstrip("+-") not in ("0", ""):
        short = f"{whole}.{decimals}".rstrip("0").rstrip(".")
        return f"write {short} or {whole}{decimals}, not {written}"
    return f"write {whole}.{decimals}, not {written}"


def _split(text: str, kind: _Kind) -> tuple[float, str]:
    """Split a text into its number and its unit as written."""
    hint = comma_hint(text)
    if hint:
        raise UnitError(hint)
    if text.lower().lstrip("+-.").startswith(("nan", "inf")):
        raise UnitError(f"'{_short(text)}' is not a finite number")
    found = _QUANTITY.fullmatch(text)
    if not found:
        raise UnitError(f"expected {kind.what} such as {kind.example}, found {_quoted(text, text)}")
    return float(found.group(1)), found.group(2) or ""


def _unit(text: str, written: str, dimension: Dimension) -> str:
    """Return the legal spelling of a unit as written."""
    kind = _KINDS[dimension]
    if not written:
        if dimension == "drop":
            raise UnitError(f"{kind.what} needs its unit: write {text} V or {text} %")
        return kind.base
    unit = _OTHER_UNITS.get(written, written)
    for spelling, letters in _OTHER_SPELLINGS:
        unit = unit.replace(spelling, letters)
    if unit not in kind.units:
        raise UnitError(
            f"'{_short(written)}' is not a unit of {kind.what}: use {', '.join(kind.units)}"
            + did_you_mean(written, kind.units)
        )
    return unit


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."


def _quoted(text: str, value: object) -> str:
    if not isinstance(value, str):
        return text
    return f"'{_short(text)}'" if text else "nothing"


def _shown(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, dict):
        return "a group of keys"
    if isinstance(value, int | float):
        return f"{value:g}" if isinstance(value, float) else str(value)[:40]
    return type(value).__name__
