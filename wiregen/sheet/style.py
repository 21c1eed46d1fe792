"""How every sheet looks: palette, line weights, text sizes, the colours wires are painted in.

Lengths are millimetres at printed size, colours are `#rrggbb`.
"""

from __future__ import annotations

import colorsys
from typing import Literal

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
TRACER_SHARE = 0.42
TRACER_DASH = (3.0, 2.0)
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

PAINTS: dict[str, str] = {
    "BK": "#1a1a1a",
    "BN": "#7a4a21",
    "RD": "#d2232a",
    "OG": "#f28c1c",
    "YE": "#f5d000",
    "GN": "#1c8c3c",
    "BU": "#1f5fbf",
    "VT": "#7b3fa0",
    "GY": "#8c929a",
    "WH": "#ffffff",
    "PK": "#f29ab8",
    "TQ": "#2bb5b0",
    "GD": "#c9a227",
    "SR": "#d5dae0",
}
"""Paint of each letter code of IEC 60757 (the standard names colours, it fixes no values)."""

COLOUR_NAMES: dict[str, str] = {
    "BK": "black",
    "BN": "brown",
    "RD": "red",
    "OG": "orange",
    "YE": "yellow",
    "GN": "green",
    "BU": "blue",
    "VT": "violet",
    "GY": "grey",
    "WH": "white",
    "PK": "pink",
    "TQ": "turquoise",
    "GD": "gold",
    "SR": "silver",
    "GNYE": "green-and-yellow",
}

NAMED_PAINTS: dict[str, str] = {
    "beige": "#e3d3b0",
    "clear": "#eef1f3",
    "cream": "#f6ecc9",
    "lilac": "#b795d6",
    "lime": "#a4cf3b",
    "magenta": "#c2187c",
    "maroon": "#6e1423",
    "natural": "#eee7d3",
    "purple": "#63308c",
    "tan": "#c9a06b",
    "slate": "#6f7d8c",
}
"""Paint of colours kept by name because IEC 60757 has no letters for them."""

UNKNOWN_PAINT = "#ffffff"
"""A wire without a known colour is drawn as an empty casing; its label says so."""

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
    """Split a colour in its IEC form into base and tracers.

    Example:
        >>> colour_parts("LT BU/WH"), colour_parts("GNYE"), colour_parts("")
        (('LT BU', 'WH'), ('GN', 'YE'), ())
    """
    if not colour.strip():
        return ()
    parts = tuple(part.strip() for part in colour.split("/"))
    return tuple(half for part in parts for half in (("GN", "YE") if part == "GNYE" else (part,)))


def paint(part: str) -> str:
    """Return the paint of one base or tracer colour, such as `BU`, `LT BU` or `tan`.

    Example:
        >>> paint("BU"), paint("LT BU"), paint("tan"), paint("no such")
        ('#1f5fbf', '#83adeb', '#c9a06b', '#ffffff')
    """
    *qualifiers, name = part.split() or [""]
    base = PAINTS.get(name.upper()) or NAMED_PAINTS.get(name.lower(), UNKNOWN_PAINT)
    for word in qualifiers:
        if word.upper() in ("LT", "LIGHT"):
            base = _lightness(base, 0.5)
        elif word.upper() in ("DK", "DARK"):
            base = _lightness(base, -0.4)
    return base


def paints(colour: str) -> tuple[str, ...]:
    """Return the paints of base and tracers; one unknown paint where no colour is given."""
    return tuple(paint(part) for part in colour_parts(colour)) or (UNKNOWN_PAINT,)


def colour_name(part: str) -> str:
    """Return the word for one colour: `LT BU` -> `light blue`; a name stays as it is."""
    words = []
    for word in part.split():
        key = word.upper()
        words.append({"LT": "light", "DK": "dark"}.get(key) or COLOUR_NAMES.get(key, word))
    return " ".join(words)


def mono_dash(part: str) -> tuple[float, ...] | None:
    """Return the ink dash of a colour on a page without colours; None for white (no ink)."""
    name = part.rsplit(maxsplit=1)[-1].upper() if part.split() else ""
    if name in ("WH", ""):
        return None
    return MONO_DASHES.get(name, MONO_OTHER_DASH)


def _lightness(colour: str, share: float) -> str:
    """Move a paint towards white (share > 0) or black (share < 0), keeping its hue."""
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    hue, light, saturation = colorsys.rgb_to_hls(red, green, blue)
    light = light + (1 - light) * share if share > 0 else light * (1 + share)
    rgb = colorsys.hls_to_rgb(hue, light, saturation)
    return "#" + "".join(f"{round(value * 255):02x}" for value in rgb)
