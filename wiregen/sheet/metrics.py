"""Widths of text in the bundled font, without loading the font: lengths in millimetres.

The table `advances.json` holds the advance widths of the two font files in `wiregen/draw/fonts`;
those files have no kerning, so the width of a text is the sum of the widths of its characters.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files

MISSING = "▯"
"""Printed in place of a character the font does not have, so that none vanishes."""

ELLIPSIS = "…"

_ACCENTS = ("Mn", "Me")
"""Categories of marks that stand over the letter before them and take no room."""

_UNKNOWN_EM = 0.7


_ILLEGAL = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def legal(text: str) -> str:
    """Return `text` with characters that XML 1.0 cannot hold replaced by a mark.

    Example:
        >>> legal("a\\x00b")
        'a�b'
    """
    return _ILLEGAL.sub("\ufffd", text)


@lru_cache(maxsize=1 << 14)
def tidy(text: str) -> str:
    """Return `text` as it is laid out: white space is single, format characters are gone.

    Letters the font does not have stay; programs that show SVG have other fonts.

    Example:
        >>> tidy("Motor \\u4e2d\\tA"), tidy("a\\u200bb")
        ('Motor \u4e2d A', 'ab')
    """
    if text.isascii() and text.isprintable() and "  " not in text:
        return text
    known = _advances()[0]
    out: list[str] = []
    for char in unicodedata.normalize("NFC", text):
        if char.isspace():
            if not (out and out[-1] == " "):
                out.append(" ")
        elif char != "\u00ad" and (char in known or unicodedata.category(char) != "Cf"):
            out.append(char if char in known or char.isprintable() else MISSING)
    return "".join(out)


def printable(text: str) -> str:
    """Return `text` as the bundled font can print it: other letters become a visible box.

    Example:
        >>> printable("Motor \\u2192 \\u4e2d\\tA"), printable("a\\x00b")
        ('Motor → ▯ A', 'a▯b')
    """
    if text.isascii() and text.isprintable() and "  " not in text:
        return text
    known = _advances()[0]
    return "".join(
        char if char in known else MISSING
        for char in tidy(text)
        if char in known or unicodedata.category(char) not in _ACCENTS
    )


def lacking(text: str) -> str:
    """Return the letters of `text` that the bundled font does not have, each once.

    Example:
        >>> lacking("pump"), lacking("\\u4e2d pump \\u4e2d")
        ('', '\u4e2d')
    """
    if text.isascii():
        return ""
    known = _advances()[0]
    return "".join(
        dict.fromkeys(
            char
            for char in tidy(text)
            if char not in known and unicodedata.category(char) not in _ACCENTS
        )
    )


def text_width_mm(text: str, size_mm: float, bold: bool = False) -> float:
    """Return the printed width of `text` in mm at a font size of `size_mm`.

    Example:
        >>> round(text_width_mm("W12", 2.3, bold=True), 2)
        5.16
    """
    return _width_mm(tidy(text), size_mm, bold)


def _width_mm(text: str, size_mm: float, bold: bool) -> float:
    """The width of a tidy text."""
    return _width_em(text, bold) * size_mm


@lru_cache(maxsize=1 << 14)
def _width_em(text: str, bold: bool) -> float:
    return sum(map(_advances()[1 if bold else 0].__getitem__, text))


def fit(text: str, width_mm: float, size_mm: float, bold: bool = False) -> str:
    """Return `text`, shortened with an ellipsis where it is wider than `width_mm`.

    Example:
        >>> fit("Instrument panel", 12, 2.5)
        'Instrum…'
    """
    text = tidy(text)
    if _width_mm(text, size_mm, bold) <= width_mm:
        return text
    table = _advances()[1 if bold else 0]
    room = width_mm / size_mm - table[ELLIPSIS]
    kept = 0
    for char in text:
        room -= table[char]
        if room < 0:
            break
        kept += 1
    return text[:kept].rstrip() + ELLIPSIS


def shrink(
    text: str, width_mm: float, size_mm: float, smallest_mm: float, bold: bool = False
) -> tuple[str, float]:
    """Return `text` and the font size (mm) at which it fits; shortened at `smallest_mm`."""
    width = text_width_mm(text, size_mm, bold)
    if width <= width_mm:
        return tidy(text), size_mm
    size = max(smallest_mm, int(size_mm * width_mm / width * 20) / 20)
    return fit(text, width_mm, size, bold), size


def wrap(
    text: str, width_mm: float, size_mm: float, bold: bool = False, max_lines: int = 0
) -> tuple[str, ...]:
    """Break `text` into lines no wider than `width_mm`, at spaces where possible.

    Args:
        text: one paragraph.
        width_mm: room, mm.
        size_mm: font size, mm.
        bold: measure the bold face.
        max_lines: the last of these lines is shortened with an ellipsis; 0 = no limit.

    Returns:
        The lines; one empty line for an empty text.
    """
    words = tidy(text).split()
    whole = " ".join(words)
    if _width_mm(whole, size_mm, bold) <= width_mm:
        return (whole,)
    lines = [""]
    for word in words:
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if _width_mm(longer, size_mm, bold) <= width_mm:
            lines[-1] = longer
            continue
        pieces = _pieces(word, width_mm, size_mm, bold)
        if lines[-1]:
            lines.extend(pieces)
        else:
            lines[-1:] = pieces
    if max_lines and len(lines) > max_lines:
        rest = " ".join(lines[max_lines - 1 :])
        lines = [*lines[: max_lines - 1], fit(rest, width_mm, size_mm, bold)]
    return tuple(lines)


def _pieces(word: str, width_mm: float, size_mm: float, bold: bool) -> list[str]:
    """Break one word that is wider than a line; each piece has at least one character."""
    table = _advances()[1 if bold else 0]
    pieces, room = [""], width_mm / size_mm
    left = room
    for char in word:
        left -= table[char]
        if left < 0 and pieces[-1]:
            pieces.append("")
            left = room - table[char]
        pieces[-1] += char
    return pieces


@cache
def _advances() -> tuple[Mapping[str, float], Mapping[str, float]]:
    """Load advance widths by character, as shares of the font size: regular and bold."""
    table = json.loads(files("wiregen.sheet").joinpath("advances.json").read_text("utf-8"))
    unit = table["units_per_em"]
    regular, bold = (
        _Widths(
            (chr(code), width / unit)
            for first, widths in table[face]
            for code, width in enumerate(widths, start=first)
        )
        for face in ("regular", "bold")
    )
    return regular, bold


class _Widths(dict[str, float]):
    """Widths by character; of one the font lacks, the room another font is likely to need."""

    def __missing__(self, char: str) -> float:
        if unicodedata.category(char) in _ACCENTS:
            return 0.0
        wide = unicodedata.east_asian_width(char) in ("W", "F")
        return 1.0 if wide else max(self[MISSING], _UNKNOWN_EM)
