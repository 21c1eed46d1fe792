"""What a meter showed, as people write it: `0.3`, `34 mohm`, `OL`, `> 20 M`, `ok`."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from wiregen.units import comma_hint

_OPEN = {"ol", "o.l", "o.l.", "open", "inf", "infinite", "infinity", "∞", "1.", "overload"}
_GOOD = {"ok", "good", "pass", "yes", "beep", "beeps"}
_BAD = {"fail", "no", "bad"}
_NUMBER = re.compile(r"([<>]?)\s*(-?\d+(?:\.\d+)?)\s*([A-Za-zµΩ]*)")
_UNITS = {
    "": 1.0,
    "ohm": 1.0,
    "ohms": 1.0,
    "Ω": 1.0,
    "r": 1.0,
    "m": 1e-3,
    "mohm": 1e-3,
    "mΩ": 1e-3,
    "k": 1e3,
    "kohm": 1e3,
    "kΩ": 1e3,
    "M": 1e6,
    "Mohm": 1e6,
    "MΩ": 1e6,
    "v": 1.0,
    "V": 1.0,
    "mV": 1e-3,
}


class ReadingError(ValueError):
    """A reading that cannot be understood; one line for the user."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading.

    Attributes:
        text: as written.
        value: in ohm or V; infinite for an open circuit; None where only `ok` or `fail` was said.
        said: `good` or `bad` where only that was said; else empty.
    """

    text: str
    value: float | None
    said: str = ""


def read_reading(text: str) -> Reading:
    """Read one reading.

    Raises:
        ReadingError: it is no number with a unit a meter has, and no word that is known.

    Example:
        >>> read_reading("34 mohm").value, read_reading("OL").value, read_reading("> 20 M").value
        (0.034, inf, 20000000.0)
    """
    plain = " ".join(text.split())
    word = plain.lower()
    if word in _OPEN:
        return Reading(plain, math.inf)
    if word in _GOOD or word in _BAD:
        return Reading(plain, None, "good" if word in _GOOD else "bad")
    hint = comma_hint(plain)
    if hint:
        raise ReadingError(hint)
    found = _NUMBER.fullmatch(plain)
    unit = found.group(3) if found else ""
    scale = _UNITS.get(unit, _UNITS.get(unit.lower()))
    if found is None or scale is None:
        raise ReadingError(
            f"'{plain[:40]}' is not a reading: write 0.3, 34 mohm, 1.2 k, > 20 M, OL or ok"
        )
    return Reading(plain, float(f"{float(found.group(2)) * scale:.9g}"))
