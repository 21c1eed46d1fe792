"""Widths of text and what can be printed."""

import json
import unicodedata
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiregen.sheet.metrics import (
    ELLIPSIS,
    MISSING,
    fit,
    lacking,
    printable,
    shrink,
    text_width_mm,
    tidy,
    wrap,
)

# Advance widths in 1/2048 em, read with fontTools from the `hmtx` tables of DejaVu Sans Condensed
# and DejaVu Sans Condensed Bold 2.37 as Debian packages them (fonts-dejavu-core), not from ours.
REGULAR = {
    "W": 1822,
    "0": 1172,
    "1": 1172,
    " ": 585,
    ".": 585,
    "B": 1264,
    "U": 1349,
    "Ω": 1408,
    "→": 1544,
    "Ж": 1985,
    "²": 738,
    "µ": 1172,
    "☐": 1652,
    "✓": 1544,
}
BOLD = {
    "W": 2033,
    "0": 1282,
    "1": 1282,
    " ": 641,
    ".": 700,
    "B": 1404,
    "U": 1496,
    "Ω": 1566,
    "→": 1544,
    "Ж": 2256,
    "²": 807,
    "µ": 1356,
    "☐": 1652,
    "✓": 1544,
}


@pytest.mark.parametrize(("bold", "advances"), [(False, REGULAR), (True, BOLD)])
@pytest.mark.parametrize("text", ["W10", "BU 0.1", "1 Ω", "→ W1", "Ж 10 ²", "µ☐✓"])
def test_width_is_the_sum_of_the_fonts_advances(text: str, bold: bool, advances: dict) -> None:
    wanted = sum(advances[char] for char in text) * 2.5 / 2048
    assert text_width_mm(text, 2.5, bold) == pytest.approx(wanted)


@pytest.mark.parametrize("face", ["Regular", "Bold"])
def test_table_holds_the_advances_of_the_bundled_font(face: str) -> None:
    fonttools = pytest.importorskip("fontTools.ttLib")
    font = fonttools.TTFont(files("wiregen.draw").joinpath(f"fonts/WiregenSans-{face}.ttf"))
    cmap, hmtx = font.getBestCmap(), font["hmtx"]
    wanted = {code: hmtx[name][0] for code, name in cmap.items()}
    table = json.loads(files("wiregen.sheet").joinpath("advances.json").read_text("utf-8"))
    got = {first + i: w for first, widths in table[face.lower()] for i, w in enumerate(widths)}
    assert table["units_per_em"] == font["head"].unitsPerEm
    assert got == wanted
    assert "kern" not in font
    assert "GPOS" not in font


@pytest.mark.parametrize("face", ["Regular", "Bold"])
def test_font_has_a_family_of_its_own_and_normal_width(face: str) -> None:
    fonttools = pytest.importorskip("fontTools.ttLib")
    font = fonttools.TTFont(files("wiregen.draw").joinpath(f"fonts/WiregenSans-{face}.ttf"))
    names = [font["name"].getDebugName(number) or "" for number in (1, 4, 6)]
    assert names[0] == "Wiregen Sans"
    assert not any(word in name for name in names for word in ("Bitstream", "Vera", "Arev"))
    assert font["OS/2"].usWidthClass == 5


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("plain W12", "plain W12"),
        ("two  blanks\tand\nlines", "two blanks and lines"),
        ("tractor \U0001f69c", f"tractor {MISSING}"),
        ("配线", MISSING * 2),
        ("nul\x00bell\x07", f"nul{MISSING}bell{MISSING}"),
        ("right\u202eto left", "rightto left"),
        ("soft\u00adhyphen", "softhyphen"),
        ("e\u0301", "é"),
        ("\ud800", MISSING),
        ("Ω² µ → ☐ ✓ ½ č ł Ж ñ", "Ω² µ → ☐ ✓ ½ č ł Ж ñ"),
    ],
)
def test_printable(text: str, printed: str) -> None:
    assert printable(text) == printed


@pytest.mark.parametrize(
    ("text", "kept", "lacks"),
    [
        ("two  blanks\tand\nlines", "two blanks and lines", ""),
        ("tractor \U0001f69c", "tractor \U0001f69c", "\U0001f69c"),
        ("配线 配", "配线 配", "配线"),
        ("nul\x00bell\x07", f"nul{MISSING}bell{MISSING}", ""),
        ("right\u202eto left", "rightto left", ""),
        ("soft\u00adhyphen", "softhyphen", ""),
        ("कु", "कु", "क"),
    ],
)
def test_letters_the_font_lacks_stay_in_the_text_and_are_named(
    text: str, kept: str, lacks: str
) -> None:
    assert tidy(text) == kept
    assert lacking(text) == lacks


@given(st.text())
def test_printable_text_has_a_width_and_stays_as_it_is(text: str) -> None:
    printed = printable(text)
    assert printable(printed) == printed
    assert text_width_mm(text, 2.0) >= text_width_mm(printed, 2.0) - 1e-9
    visible = [
        c for c in unicodedata.normalize("NFC", text) if unicodedata.category(c)[0] in "LNPS"
    ]
    assert len([c for c in printed if c != " "]) >= len(visible)


@given(st.text(), st.floats(4, 60), st.booleans())
def test_fit_never_overflows(text: str, width: float, bold: bool) -> None:
    short = fit(text, width, 2.5, bold)
    assert text_width_mm(short, 2.5, bold) <= width + 1e-9
    if short != tidy(text):
        assert short.endswith(ELLIPSIS)


@given(st.text(), st.floats(4, 60), st.integers(0, 3))
def test_wrap_never_overflows_and_loses_nothing(text: str, width: float, most: int) -> None:
    lines = wrap(text, width, 2.5, max_lines=most)
    assert all(text_width_mm(line, 2.5) <= width + 1e-9 for line in lines)
    if most:
        assert len(lines) <= most
    else:
        assert "".join(lines).replace(" ", "") == tidy(text).replace(" ", "")


def test_shrink_goes_no_further_than_the_smallest_size() -> None:
    text = "Instrument panel, left half"
    assert shrink(text, 100, 2.5, 1.9) == (text, 2.5)
    words, size = shrink(text, 28, 2.5, 1.9)
    assert (words, 1.9 < size < 2.5) == (text, True)
    assert text_width_mm(words, size) <= 28
    words, size = shrink(text, 12, 2.5, 1.9)
    assert size == 1.9
    assert words.endswith(ELLIPSIS)
    assert text_width_mm(words, size) <= 12
