"""PDF: page sizes, bookmarks, text, fonts, same bytes."""

import io
import os
import shutil
import subprocess
import sys
import weakref
from collections.abc import Iterable, Mapping
from pathlib import Path

import pypdf
import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf.generic import ContentStream

from wiregen.draw.pdf import Link, PdfPages, to_pdf
from wiregen.sheet.frame import A3, A4, A4_PORTRAIT, Paper, TitleBlock, framed
from wiregen.sheet.items import Sheet, Text
from wiregen.sheet.metrics import printable, text_width_mm
from wiregen.sheet.wire import LabelSpot, wire_group

TITLE = 'Loom #1 *bold* $x$ @ref <l> & "q" \\ é Ω'


def page(name: str, paper: Paper, title: str) -> Sheet:
    wire = wire_group(
        f"W-{name}",
        start="X1:3",
        end="X2:7",
        colour="BU/WH",
        size="0.75",
        runs=(((40, 40), (90, 40)),),
        labels=(LabelSpot(42, 39),),
    )
    up = Text(60, 90, ((f"upright {name}", False, "#14181d"),), 2.3, upright=True)
    return framed(paper, TitleBlock(TITLE)).sheet(name, title, (wire, up))


PAGES = (
    page("one", A3, "Overview"),
    page("two", A4, TITLE),
    page("three", A4_PORTRAIT, "Plug \U0001f50c X2"),
)


def read(document: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(document))


@pytest.fixture(scope="module")
def document() -> bytes:
    return to_pdf(PAGES, TITLE, "Workshop")


def test_a_page_per_sheet_at_its_size(document: bytes) -> None:
    sizes = [
        (p.mediabox.width / 72 * 25.4, p.mediabox.height / 72 * 25.4) for p in read(document).pages
    ]
    wanted = [(420, 297), (297, 210), (210, 297)]
    assert [tuple(map(float, size)) for size in sizes] == [
        pytest.approx(w, abs=0.01) for w in wanted
    ]


def test_a_bookmark_per_sheet_leads_to_its_page(document: bytes) -> None:
    reader = read(document)
    marks = [(mark.title, reader.get_destination_page_number(mark)) for mark in reader.outline]
    assert marks == [("Overview", 0), (TITLE, 1), ("Plug \U0001f50c X2", 2)]


def test_a_bookmark_leaves_no_words_on_the_page(document: bytes) -> None:
    assert "Overview" not in read(document).pages[0].extract_text()


def test_text_is_text(document: bytes) -> None:
    for number, found in enumerate(read(document).pages):
        words = found.extract_text()
        name = PAGES[number].name
        assert f"W-{name} 0.75 BU/WH" in words
        assert "Drawn state" in words
        assert "Never fit a larger fuse" in words


def test_title_and_no_date(document: bytes) -> None:
    info = read(document).metadata
    assert info is not None
    assert info.title == TITLE
    assert info.author == "Workshop"
    assert "/CreationDate" not in info
    assert "/ModDate" not in info


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
def test_another_program_finds_the_same_words(document: bytes, tmp_path: Path) -> None:
    file = tmp_path / "made.pdf"
    file.write_bytes(document)
    done = subprocess.run(
        ["pdftotext", "-layout", file, "-"], capture_output=True, text=True, check=True
    )
    assert done.stderr == ""
    pages = done.stdout.split("\f")
    for sheet, words in zip(PAGES, pages, strict=False):
        assert f"W-{sheet.name} 0.75 BU/WH" in words
        assert f"upright {sheet.name}" in words


def embedded(document: bytes) -> dict[str, TTFont]:
    """The fonts of a document by the end of their names."""
    fonts = {}
    for found in read(document).pages:
        for font in found["/Resources"]["/Font"].values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()
            data = inner["/FontDescriptor"]["/FontFile2"].get_data()
            fonts[inner["/BaseFont"].split("+")[1]] = TTFont(io.BytesIO(data))
    return fonts


def bundled(name: str) -> TTFont:
    return TTFont(Path("wiregen/draw/fonts") / f"{name}.ttf")


def test_only_the_bundled_fonts_are_used_and_embedded(document: bytes) -> None:
    assert set(embedded(document)) == {"WiregenSans-Regular", "WiregenSans-Bold"}


def test_of_a_font_only_the_outlines_in_use_are_embedded() -> None:
    text = Text(5, 10, (("Aé", False, "#14181d"), ("é", True, "#14181d")), 3)
    for name, font in embedded(to_pdf([Sheet("a", "A", 50, 20, (text,))], "A")).items():
        whole = bundled(name)
        names = whole.getGlyphOrder()
        kept = {
            names[place]
            for place, glyph in enumerate(font.getGlyphOrder())
            if font["glyf"][glyph].numberOfContours
        }
        cmap = whole.getBestCmap()
        wanted = {cmap[ord("é")]} | ({cmap[ord("A")]} if name.endswith("Regular") else set())
        for glyph in [*wanted]:
            wanted.update(whole["glyf"][glyph].getComponentNames(whole["glyf"]))
        assert kept == {".notdef", *wanted}
        for glyph in kept:
            same = font.getGlyphOrder()[names.index(glyph)]
            points, ends, _ = font["glyf"][same].getCoordinates(font["glyf"])
            wanted_points, wanted_ends, _ = whole["glyf"][glyph].getCoordinates(whole["glyf"])
            assert ([*points], [*ends]) == ([*wanted_points], [*wanted_ends])
            assert font["hmtx"][same] == whole["hmtx"][glyph]


def test_widths_and_glyphs_of_every_character_are_those_of_the_font() -> None:
    for bold, name in ((False, "WiregenSans-Regular"), (True, "WiregenSans-Bold")):
        whole = bundled(name)
        cmap = whole.getBestCmap()
        text = Text(0, 5, (("".join(map(chr, cmap)), bold, "#000000"),), 2)
        reader = read(to_pdf([Sheet("a", "A", 50, 20, (text,))], "A"))
        font = next(iter(reader.pages[0]["/Resources"]["/Font"].values())).get_object()
        inner = font["/DescendantFonts"][0].get_object()
        codes = inner["/CIDToGIDMap"].get_data()
        listed = inner["/W"]
        widths = {listed[i]: float(listed[i + 1][0]) for i in range(0, len(listed), 2)}
        printed = [code for code in cmap if printable(chr(code)) == chr(code)]
        assert len(printed) > 750
        for code in printed:
            glyph = codes[2 * code] * 256 + codes[2 * code + 1]
            assert whole.getGlyphOrder()[glyph] == cmap[code]
            assert widths[code] == pytest.approx(whole["hmtx"][cmap[code]][0] / 2.048, abs=0.006)


ANY_TEXT = st.text(
    st.characters(codec=None, exclude_categories=()) | st.sampled_from("()<>\\/[]{}%"), max_size=40
)


@settings(max_examples=60, deadline=None)
@given(ANY_TEXT, ANY_TEXT)
def test_no_text_can_be_more_than_text(words: str, more: str) -> None:
    line = Text(5, 10, ((words, False, "#14181d"), (more, True, "#a33b00")), 3, anchor="end")
    reader = read(to_pdf([Sheet("a", words, 50, 20, (line,))], more, words))
    (found,) = reader.pages
    operators = [operator for _, operator in ContentStream(found["/Contents"], reader).operations]
    known = {b"cm", b"j", b"rg", b"re", b"f", b"BT", b"Tm", b"Tf", b"Tj", b"ET"}
    assert {*operators} <= known
    assert operators.count(b"Tj") == 2
    assert len(reader.outline) == 1


@pytest.mark.parametrize(
    "words",
    [
        "Grüße, Ärger, ß",
        "Ω → 10 µF · ±5 % ≤ ½",
        "плюс Ελλάς",
        "a) Tj (b",
        "\\(x\\)",
        "x" * 5000,
        "plug \U0001f50c",
        "\u202eright \u05d0\u05d1",
        "a\x00b",
        "\ud800",
    ],
)
def test_what_is_drawn_can_be_found(words: str) -> None:
    text = Text(5, 10, ((words, False, "#14181d"),), 3)
    made = read(to_pdf([Sheet("a", "A", 50, 20, (text,))], "A"))
    assert made.pages[0].extract_text().strip() == printable(words)


@pytest.mark.parametrize(("anchor", "left"), [("start", 60), ("middle", 50), ("end", 40)])
def test_text_stands_at_its_anchor(anchor: str, left: float) -> None:
    words = "Relay W12"
    size = 20 / text_width_mm(words, 1)  # 20 mm wide
    for upright in (False, True):
        text = Text(60, 70, ((words, False, "#14181d"),), size, anchor, upright)
        reader = read(to_pdf([Sheet("a", "A", 200, 100, (text,))], "A"))
        content = ContentStream(reader.pages[0]["/Contents"], reader)
        (matrix,) = [[*map(float, o)] for o, name in content.operations if name == b"Tm"]
        if upright:
            assert matrix == pytest.approx([0, -1, -1, 0, 60, 70 + 60 - left], abs=0.01)
        else:
            assert matrix == pytest.approx([1, 0, 0, -1, left, 70], abs=0.01)


def test_same_bytes_under_any_hash_seed(document: bytes) -> None:
    code = (
        "import hashlib, sys; from wiregen.draw.pdf import to_pdf;"
        "from wiregen.sheet.frame import A4, TitleBlock, framed;"
        "page = framed(A4, TitleBlock('Loom'), colours=('BU/WH', 'RD', 'GN')).sheet('a', 'A', ());"
        "print(hashlib.sha256(to_pdf([page], 'Loom')).hexdigest())"
    )
    hashes = set()
    for seed in ("1", "2"):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        done = subprocess.run(
            [sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True
        )
        hashes.add(done.stdout)
    assert len(hashes) == 1
    assert to_pdf(PAGES, TITLE, "Workshop") == document


@pytest.mark.parametrize("words", ["", "a\x00b", "\ud800", "\ufffe", "line\nbreak", "x" * 500])
def test_any_title_makes_a_document(words: str) -> None:
    made = read(to_pdf([Sheet("a", words, 50, 20, ())], words, words))
    assert len(made.pages) == 1


def test_no_sheet_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one sheet"):
        to_pdf((), "Loom")


def test_sheets_may_come_one_by_one(document: bytes) -> None:
    assert to_pdf(iter(PAGES), TITLE, "Workshop") == document


def chaptered(sheets: Iterable[Sheet], chapters: Mapping[int, str]) -> bytes:
    pages = PdfPages()
    for place, sheet in enumerate(sheets):
        pages.add(sheet, chapter=chapters.get(place, ""))
    return pages.finish(TITLE)


class Watched(Sheet):
    """A sheet that can be seen to be gone."""


def test_a_page_that_was_added_is_not_held() -> None:
    sheet = Watched("a", "A", 420, 297, PAGES[0].items)
    there = weakref.ref(sheet)
    pages = PdfPages()
    pages.add(sheet)
    del sheet
    assert there() is None
    assert "W-one" in read(pages.finish(TITLE)).pages[0].extract_text()


def test_chapters_stand_over_the_sheets_that_follow() -> None:
    outline = read(chaptered(PAGES, {1: "Faces"})).outline
    assert [entry.title for entry in outline[:2]] == ["Overview", "Faces"]
    assert next(entry.title for entry in outline[2]) == TITLE
    assert len(outline[2]) == 2


def test_every_chapter_has_its_own_sheets() -> None:
    sheets = [Sheet(f"s{n}", f"Page {n}", 50, 20, ()) for n in range(1, 6)]
    reader = read(chaptered(sheets, {1: "One", 3: "Two"}))
    said = [
        [mark.title for mark in entry] if isinstance(entry, list) else entry.title
        for entry in reader.outline
    ]
    assert said == ["Page 1", "One", ["Page 2", "Page 3"], "Two", ["Page 4", "Page 5"]]
    second = reader.outline[4]
    assert [reader.get_destination_page_number(mark) for mark in second] == [3, 4]


def test_links_lead_from_their_place_to_a_page() -> None:
    pages = PdfPages()
    for place, sheet in enumerate(PAGES):
        pages.add(sheet, [Link(40, 50, 20, 10, 3)] if place == 0 else ())
    found = read(pages.finish(TITLE))
    (note,) = found.pages[0]["/Annots"]
    box = [float(value) for value in note.get_object()["/Rect"]]
    left, foot, right, top = (value / 72 * 25.4 for value in box)
    assert (left, 297 - top) == (pytest.approx(40, abs=0.05), pytest.approx(50, abs=0.05))
    assert (right - left, top - foot) == (pytest.approx(20, abs=0.05), pytest.approx(10, abs=0.05))
    target, how, x, y, zoom = note.get_object()["/Dest"]
    assert target.get_object() == found.pages[2].get_object()
    assert (how, x, str(zoom)) == ("/XYZ", 0, "NullObject")
    assert float(y) == pytest.approx(297 * 72 / 25.4, abs=0.01)


def test_the_table_of_places_is_right(document: bytes) -> None:
    start = int(document.rsplit(b"startxref\n", 1)[1].split()[0])
    rows = document[start:].split(b"\n")
    assert rows[0] == b"xref"
    count = int(rows[1].split()[1])
    for number in range(1, count):
        place = int(rows[2 + number].split()[0])
        assert document[place:].startswith(f"{number} 0 obj\n".encode())
