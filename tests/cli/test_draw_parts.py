"""Drawings of a part of a design, and the links in the PDF of a drawing."""

from __future__ import annotations

import shutil
import sys
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path

import pypdf

from wiregen.cli import progress
from wiregen.sheet.frame import Frame

DESIGNS = Path(__file__).resolve().parents[2] / "designs"
MM = 72 / 25.4
SVG = "{http://www.w3.org/2000/svg}"


def test_parts_are_drawn_beside_the_whole_and_keep_no_layout(wiregen, tmp_path):
    shutil.copy(DESIGNS / "tractor.yaml", "tractor.yaml")
    assert wiregen("draw", "tractor.yaml", "-o", "drawn").code == 0
    assert wiregen("draw", "tractor.yaml", "--state", "run", "-o", "drawn").code == 0
    kept = Path("tractor.layout.yaml").read_bytes()
    whole = {path.name: path.read_bytes() for path in Path("drawn").iterdir()}
    for words, made in (
        (["--plug", "X1"], "tractor-plug-X1"),
        (["--plug", "X1", "--state", "run"], "tractor-state-run-plug-X1"),
        (["--circuit", "glow command"], "tractor-circuit-glow-command"),
        (["--loom", "engine"], "tractor-loom-engine"),
    ):
        done = wiregen("draw", "tractor.yaml", *words, "-o", "drawn")
        new = {path.name: path.read_bytes() for path in Path("drawn").iterdir()}
        assert f"{made}.pdf" in done.out
        assert f"{made}-sheet-01.svg" in new
        assert {name: new[name] for name in whole} == whole, words
        assert all(name.startswith(made) for name in new.keys() - whole.keys()), words
        assert Path("tractor.layout.yaml").read_bytes() == kept, words
        for name in new.keys() - whole.keys():
            Path("drawn", name).unlink()


def test_a_disk_that_is_full_halfway_leaves_the_earlier_set(wiregen, monkeypatch, tmp_path):
    shutil.copy(DESIGNS / "tractor.yaml", "tractor.yaml")
    assert wiregen("draw", "tractor.yaml", "-o", "drawn").code == 0
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    real = Path.write_bytes

    def full(path: Path, data: bytes) -> int:
        if path.name == "tractor-sheet-03.svg":
            raise OSError(28, "No space left on device")
        return real(path, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    monkeypatch.setattr(progress, "_PATIENCE_S", 0.0)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    done = wiregen("draw", "tractor.yaml", "--mono", "-o", "drawn")
    assert done.code == 2
    assert done.err.endswith("\r\x1b[Kwiregen: cannot write into drawn: no space left on device\n")
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before
    assert not list(tmp_path.rglob(".wiregen-*"))


def test_a_sheet_is_written_before_the_next_is_drawn(wiregen, monkeypatch):
    shutil.copy(DESIGNS / "tractor.yaml", "tractor.yaml")
    real = Frame.sheet
    written = []

    def sheet(*words):
        written.append(len(list(Path("drawn").glob(".wiregen-*/new/*.svg"))))
        return real(*words)

    monkeypatch.setattr(Frame, "sheet", sheet)
    assert wiregen("draw", "tractor.yaml", "-o", "drawn").code == 0
    assert len(written) > 10
    assert written == list(range(len(written)))


def test_references_of_a_drawn_pdf_lead_to_their_sheets(wiregen):
    shutil.copy(DESIGNS / "tractor.yaml", "tractor.yaml")
    assert wiregen("draw", "tractor.yaml", "-o", "drawn").code == 0
    reader = pypdf.PdfReader("drawn/tractor.pdf")
    followed = 0
    for number, page in enumerate(reader.pages, start=1):
        spots = [
            (*(float(value) / MM for value in note["/Rect"]), _page_of(reader, note))
            for note in (link.get_object() for link in page.get("/Annots", []))
        ]
        svg = Path(f"drawn/tractor-sheet-{number:02d}.svg")
        height = float(page.mediabox.height) / MM
        for mark, sheet in references(svg) if svg.exists() else ():
            x, y = float(mark.get("x", "")), height - float(mark.get("y", "")) + 0.5
            targets = [
                target
                for left, bottom, right, top, target in spots
                if left - 0.6 < x < right + 0.6 and bottom < y < top
            ]
            assert targets == [sheet], (number, mark.text)
            followed += 1
    assert followed > 50


def references(svg: Path) -> Iterator[tuple[ET.Element, int]]:
    """The words of every reference of a sheet, and the sheet it names."""
    for group in ET.parse(svg).getroot().iter(f"{SVG}g"):
        if group.get("class") == "reference":
            for text in group.iter(f"{SVG}text"):
                if "sheet" in "".join(text.itertext()):
                    yield text, int(group.get("data-sheet", ""))


def _page_of(reader: pypdf.PdfReader, note: pypdf.generic.DictionaryObject) -> int:
    return reader.get_page_number(note["/Dest"][0].get_object()) + 1
