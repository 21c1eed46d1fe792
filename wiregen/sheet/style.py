"""How every sheet looks: palette, line weights, text sizes, the colours wires are painted in.

Lengths are millimetres at printed size, colours are `#rrggbb`.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

from wiregen.facts.colours import Colour, ColourError, parse_colour
from wiregen.sheet.items import Pen

INK = "#14181d"
SECONDARY = "#66707c"
HAIRLINE = "#c9cfd6"
TINT = "#f3f5f7"
PAPER = "#ffffff"
ATTENTION = "#a33b00"

FONT_FAMILY = "Wiregen Sans"
FONT_FAMILIES = f"{FONT_FAMILY}, 'DejaVu Sans Condensed', Arial, sans-serif"

LINE_FRAME = 0.5
LINE_NEW = 0.5
LINE_EXISTING = 0.3
LINE_SYMBOL = 0.35
LINE_HEAVY = 0.7
LINE_TABLE = 0.2

WIRE_NEW = 1.0
WIRE_EXISTING = 0.6
WIRE_REMOVED = 0.35
CASING = 0.18
WHITE_SHARE = 0.7
"""A white wire is seen by its casing alone: its core is narrower by so much."""
TRACER_SHARE = 0.42
TRACER_DASH = (3.0, 2.0)
UNKNOWN_DASH = (1.6, 1.0)
REMOVED_DASH = (2.4, 1.6)

TEXT_TITLE = 5.0
TEXT_REFERENCE = 4.2
TEXT_BLOCK = 3.4
TEXT_PIN_NUMBER = 2.7
TEXT_PIN = 2.5
TEXT_WIRE = 2.3
TEXT_SMALL = 2.1
TEXT_SMALLEST = 1.9

SYMBOL_PEN = Pen(stroke=INK, width=LINE_SYMBOL)
TABLE_PEN = Pen(stroke=HAIRLINE, width=LINE_TABLE)

Fate = Literal["new", "existing", "removed"]
FATES: tuple[Fate, ...] = ("new", "existing", "removed")

UNKNOWN_PAINT = "#ffffff"
"""A wire without a known colour is drawn white in a dashed casing; its label says so."""

MONO_DASHES: dict[str, tuple[float, ...]] = {
    "BK": (),
    "BN": (4.0, 0.8),
    "RD": (2.0, 0.8),
    "OG": (2.0, 0.8, 0.5, 0.8),
    "YE": (0.5, 2.4),
    "GN": (4.0, 0.8, 0.5, 0.8),
    "BU": (3.0, 3.0),
    "VT": (4.0, 0.8, 0.5, 0.8, 0.5, 0.8),
    "GY": (0.8, 0.8),
    "PK": (1.2, 2.0),
    "TQ": (3.0, 1.2, 1.2, 1.2),
}
"""Ink dashes inside a white wire where a page is printed without colours (mm)."""
MONO_OTHER_DASH = (0.5, 0.8)


def colour_parts(colour: str) -> tuple[str, ...]:
    """Return base and tracers of a colour in its IEC form; green-and-yellow is two stripes.

    Example:
        >>> colour_parts("LT BU/WH"), colour_parts("GNYE"), colour_parts("")
        (('LT BU', 'WH'), ('GN', 'YE'), ())
    """
    if not colour.strip():
        return ()
    if colour == "GNYE":
        return ("GN", "YE")
    return tuple(part.strip() for part in colour.split("/"))


def is_known(colour: str) -> bool:
    """Whether every part of a colour has a paint.

    Example:
        >>> is_known("LT BU/tan"), is_known(""), is_known("no such")
        (True, False, False)
    """
    parts = colour_parts(colour)
    return bool(parts) and all(_read(part) for part in parts)


def paint(part: str) -> str:
    """Return the paint of one base or tracer colour, such as `BU`, `LT BU` or `tan`.

    Example:
        >>> paint("BU"), paint("no such")
        ('#1f5fbf', '#ffffff')
    """
    read = _read(part)
    return read.paint[0] if read else UNKNOWN_PAINT


def paints(colour: str) -> tuple[str, ...]:
    """Return the paints of base and tracers; one unknown paint where no colour is given."""
    return tuple(paint(part) for part in colour_parts(colour)) or (UNKNOWN_PAINT,)


def colour_name(part: str) -> str:
    """Return the word for one colour: `LT BU` -> `light blue`; an unknown one stays as it is."""
    read = _read(part)
    return read.name if read else part


def mono_dash(part: str) -> tuple[float, ...] | None:
    """Return the ink dash of a colour on a page without colours; None for white (no ink)."""
    letters = part.rsplit(maxsplit=1)[-1] if part.split() else ""
    if letters in ("WH", ""):
        return None
    return MONO_DASHES.get(letters, MONO_OTHER_DASH)


@cache
def _read(part: str) -> Colour | None:
    try:
        return parse_colour(part)
    except ColourError:
        return None
