"""Words of pin tables in several languages: headings, unused cavities, colours."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache

from wiregen.facts.tables import rows

_APART = re.compile(r"[^\w]+")
_COLOUR_JOINT = re.compile(r"\s*(?:[/,+-]|\b(?:und|mit|and|with|et|avec|y|con|e|en)\b)\s*")


@lru_cache(maxsize=20_000)
def normal(text: str) -> str:
    """Return text without capitals, accents and marks, its words one blank apart.

    Example:
        >>> normal("  Leitungs-Querschnitt (mm²) "), normal("N° de broche")
        ('leitungs querschnitt mm2', 'n de broche')
    """
    parts = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(c for c in parts if not unicodedata.combining(c))
    return " ".join(_APART.sub(" ", bare.replace("°", "").replace("_", " ")).split())


def heading_column(text: str) -> str:
    """Return the column a heading names, such as `cavity` or `colour`; empty when it is unknown.

    Example:
        >>> heading_column("Pin-Nr."), heading_column("Couleur du fil"), heading_column("Weight")
        ('cavity', 'colour', '')
    """
    if text.strip() in ("#", "№"):
        return "number"
    words = normal(text)
    found = _headings().get(words)
    if found is None and "(" in text:
        found = _headings().get(normal(text.partition("(")[0]))
    return found or ""


@lru_cache(maxsize=20_000)
def says_unused(text: str) -> bool:
    """Tell whether words say that a cavity is not used.

    Example:
        >>> says_unused("nicht belegt"), says_unused("-"), says_unused("fuel pump")
        (True, True, False)
    """
    raw = text.strip()
    return raw in _unused() or (bool(normal(raw)) and normal(raw) in _unused())


@lru_cache(maxsize=20_000)
def colour_of_words(text: str) -> str:
    """Return letters of IEC 60757 for a colour in words of one language; empty when unknown.

    Example:
        >>> colour_of_words("schwarz/weiß"), colour_of_words("hellblau"), colour_of_words("GN")
        ('BK/WH', 'LT BU', '')
    """
    lowered = text.strip().casefold()
    if not lowered or len(lowered) > 60:
        return ""
    tints = [_tint(part) for part in _COLOUR_JOINT.split(lowered)]
    return "/".join(tints) if all(tints) and len(tints) <= 3 else ""


def _tint(words: str) -> str:
    known = _colours()
    parts = normal(words).split()
    codes = [known.get(part, "") for part in parts]
    if len(codes) == 1 and not codes[0]:
        for shade in (word for word, code in known.items() if code in ("LT", "DK")):
            if parts[0].startswith(shade) and parts[0][len(shade) :] in known:
                codes = [known[shade], known[parts[0][len(shade) :]]]
    shades = [code for code in codes if code in ("LT", "DK")]
    plain = [code for code in codes if code not in ("LT", "DK", "")]
    if len(plain) != 1 or len(shades) + 1 != len(codes) or len(shades) > 1:
        return ""
    return " ".join([*shades, *plain])


@cache
def _headings() -> Mapping[str, str]:
    found: dict[str, str] = {}
    for row in rows("table_headings"):
        if row["column"] != "unused":
            for words in row["words"].split(";"):
                found.setdefault(normal(words), row["column"])
    return found


@cache
def _unused() -> frozenset[str]:
    words = [w for row in rows("table_headings") if row["column"] == "unused" for w in _words(row)]
    return frozenset(words) | {normal(word) for word in words if normal(word)}


@cache
def _colours() -> Mapping[str, str]:
    found: dict[str, str] = {}
    for row in rows("colour_words_abroad"):
        for word in _words(row):
            found.setdefault(normal(word), row["code"])
    return found


def _words(row: Mapping[str, str]) -> list[str]:
    return [word for word in row["words"].split(";") if word]
