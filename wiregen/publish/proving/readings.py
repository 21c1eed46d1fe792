"""What a meter showed, as people write it: `0.3`, `34 mohm`, `OL`, `> 20 M`, `ok`."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from wiregen.units import comma_hint

_OPEN = {
    *("ol", "o.l", "o.l.", "0l", "0.l", "overload", "over load", "1."),
    *("open", "open circuit", "inf", "infinite", "infinity", "∞"),
    *("offen", "ouvert", "abierto", "aperto"),
}
"""What meters show and people write where nothing is joined; old ones show a lone 1 and a dot."""
_GOOD = {"ok", "good", "pass", "yes", "beep", "beeps", "done", "dark", "dim"}
_BAD = {"fail", "no", "bad", "lit", "bright", "glows"}
_NUMBER = re.compile(r"([<>]?)\s*(-?\d+(?:\.\d+)?)\s*([A-Za-zµΩ]*)")
_OHM, _VOLT, _AMP = "ohm", "V", "A"
_UNITS: Mapping[str, tuple[float, str]] = {
    "": (1.0, ""),
    "m": (1e-3, ""),
    "ohm": (1.0, _OHM),
    "ohms": (1.0, _OHM),
    "Ω": (1.0, _OHM),
    "r": (1.0, _OHM),
    "mohm": (1e-3, _OHM),
    "mΩ": (1e-3, _OHM),
    "k": (1e3, _OHM),
    "kohm": (1e3, _OHM),
    "kΩ": (1e3, _OHM),
    "M": (1e6, _OHM),
    "Mohm": (1e6, _OHM),
    "MΩ": (1e6, _OHM),
    "v": (1.0, _VOLT),
    "V": (1.0, _VOLT),
    "mV": (1e-3, _VOLT),
    "A": (1.0, _AMP),
    "a": (1.0, _AMP),
    "mA": (1e-3, _AMP),
    "uA": (1e-6, _AMP),
    "µA": (1e-6, _AMP),
}
_MEASURES: Mapping[str, str] = {"volts": _VOLT, "diode": _VOLT, "amps": _AMP, "step": ""}
_EXAMPLES: Mapping[str, str] = {
    _OHM: "0.3, 34 mohm, 1.2 k, > 20 M, OL or ok",
    _VOLT: "12.4, 12.4 V, 350 mV or ok",
    _AMP: "12 mA, 0.5 A, 12 (counts as mA) or ok",
    "": "ok, dark, lit or fail",
}


class ReadingError(ValueError):
    """A reading that cannot be understood; one line for the user."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading.

    Attributes:
        text: as written.
        value: in ohm, V or A; infinite for an open circuit; None where only a word was said.
        said: `good` or `bad` where only that was said; else empty.
    """

    text: str
    value: float | None
    said: str = ""


def read_reading(text: str, kind: str = "continuity") -> Reading:
    """Read one reading.

    Args:
        text: as written; a comma may stand for the decimal point where it cannot be anything else.
        kind: of the test: it says which units make sense; a bare number of a current is in mA.

    Raises:
        ReadingError: it is no number with a unit a meter has, the unit is another one than the
            test asks for, or it is no word that is known.

    Example:
        >>> read_reading("34 mohm").value, read_reading("OL").value, read_reading("> 20 M").value
        (0.034, inf, 20000000.0)
        >>> read_reading("0,3").value
        0.3
        >>> read_reading("22", "amps").value
        0.022
    """
    plain = " ".join(text.split())
    word = plain.lower()
    wanted = _MEASURES.get(kind, _OHM)
    if word in _GOOD or word in _BAD:
        return Reading(plain, None, "good" if word in _GOOD else "bad")
    if word.replace("1 .", "1.") in _OPEN and wanted != "":
        return Reading(plain, math.inf)
    hint = comma_hint(plain)
    if " or " in hint:
        raise ReadingError(hint)
    found = _NUMBER.fullmatch(plain.replace(",", ".") if hint else plain)
    written = found.group(3) if found else ""
    scale, unit = _UNITS.get(written) or _UNITS.get(written.lower()) or (0.0, "?")
    if found is None or unit not in ("", wanted) or not wanted:
        raise ReadingError(f"'{plain[:40]}' is not a reading: write {_EXAMPLES[wanted]}")
    if wanted == _AMP and not written:
        scale = 1e-3
    return Reading(plain, float(f"{float(found.group(2)) * scale:.9g}"))
