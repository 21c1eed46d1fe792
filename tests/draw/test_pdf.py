"""PDF and PNG: page sizes, bookmarks, text, fonts, same bytes."""

import io
import os
import struct
import subprocess
import sys

import pypdf
import pytest

from wiregen.draw.pdf import Link, to_pdf, to_png
from wiregen.sheet.frame import A3, A4, A4_PORTRAIT, Paper, TitleBlock, framed
from wiregen.sheet.items import Path, Pen, Sheet, Text
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


def test_only_the_bundled_fonts_are_used_and_embedded(document: bytes) -> None:
    names = set()
    for found in read(document).pages:
        for font in found["/Resources"]["/Font"].values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()
            names.add(inner["/BaseFont"].split("+")[1])
            assert "/FontFile2" in inner["/FontDescriptor"]
    assert names == {"WiregenSans-Regular", "WiregenSans-Bold"}


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


def png_pixels(data: bytes) -> tuple[int, int]:
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", data[16:24])
    return width, height


@pytest.mark.parametrize("ppi", [48, 96])
def test_png_has_the_pixels_of_the_page(ppi: float) -> None:
    width, height = png_pixels(to_png(PAGES[1], ppi))
    assert width == pytest.approx(297 / 25.4 * ppi, abs=1)
    assert height == pytest.approx(210 / 25.4 * ppi, abs=1)


def test_png_shows_what_is_drawn() -> None:
    blank = Sheet("blank", "Blank", 50, 20, ())
    line = Sheet("line", "Line", 50, 20, (Path(((5, 5), (45, 5)), Pen("#d2232a", 2)),))
    assert to_png(blank) != to_png(line)
    assert to_png(line) == to_png(line)


def test_chapters_stand_over_the_sheets_that_follow() -> None:
    outline = read(to_pdf(PAGES, TITLE, chapters={1: "Faces"})).outline
    assert [entry.title for entry in outline[:2]] == ["Overview", "Faces"]
    assert next(entry.title for entry in outline[2]) == TITLE
    assert len(outline[2]) == 2


def test_links_lead_from_their_place_to_a_page() -> None:
    made = to_pdf(PAGES, TITLE, links={0: [Link(40, 50, 20, 10, 3)]})
    found = read(made)
    (note,) = found.pages[0]["/Annots"]
    box = [float(value) for value in note.get_object()["/Rect"]]
    left, foot, right, top = (value / 72 * 25.4 for value in box)
    assert (left, 297 - top) == (pytest.approx(40, abs=0.05), pytest.approx(50, abs=0.05))
    assert (right - left, top - foot) == (pytest.approx(20, abs=0.05), pytest.approx(10, abs=0.05))
    target = note.get_object()["/Dest"][0].get_object()
    assert target == found.pages[2].get_object()
