"""The pack: text, pages, bookmarks and links read back; public cases of handing over."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pypdf
import pypdfium2
import pytest

from wiregen.connect import connect
from wiregen.publish import Document
from wiregen.publish.guide import look_table
from wiregen.publish.pack import Pack
from wiregen.publish.pack_links import page_links, wire_pages
from wiregen.publish.tables import Cutting, all_tables
from wiregen.publish.tables.known import pins_table
from wiregen.read import load
from wiregen.sheet.items import Group, Text, walk

ROOT = Path(__file__).resolve().parents[2]
SMALL = """
format: 1
drawing:
  title: Lamp loom *bold* $x$ <b>
  number: L-1
  revision: B
  date: 2026-11-20
  revisions:
    - {revision: A, date: 2026-11-01, what: first}
    - {revision: B, date: 2026-11-20, what: second lamp}
system: {volts: 12}
looms: {new: {title: New loom, status: new, insulation: thin-wall 105}}
plugs:
  X1:
    title: Lamp plug
    loom: new
    face: [[1, 2], [3, 4]]
    pins:
      1: {carries: left lamp, colour: RD, size: 1.0, source: handbook p. 4}
      2: {carries: lamp earth, colour: BN, size: 1.0, role: earth, measured: 2026-11-19}
      3:
        carries: right lamp
        says: [{source: handbook p. 4, colour: YE}, {source: seller's list, colour: GN}]
      4: empty
fuses: {F1: {title: Lamps, rating: 10, style: blade, fitted_on: "G1:plus"}}
earths: {EP1: {title: floor stud}}
devices:
  G1: {kind: battery, volts: 12.6}
  P1: {kind: lamp, title: Left lamp, watts: 21, volts: 12, terminals: [1, 2]}
wires:
  W1: {from: "F1:out", to: X1:1, colour: RD, size: 1.0, length: 700, loom: new}
  W2: {from: X1:2, to: EP1, colour: BN, size: 1.0, length: 300, loom: new}
  W3: {from: G1:minus, to: EP1, colour: BK, size: 6, length: 300, loom: new}
accepted:
  - {rule: DOC203, object: X1:3, why: measured later}
"""


@pytest.fixture
def small(tmp_path) -> Path:
    path = tmp_path / "lamps.yaml"
    path.write_text(SMALL.lstrip(), "utf-8")
    return path


@pytest.fixture(scope="module")
def tractor() -> tuple[Pack, pypdf.PdfReader]:
    pack = Pack(Document(ROOT / "designs" / "tractor.yaml"))
    return pack, pypdf.PdfReader(io.BytesIO(pack.pdf()))


def outline(reader: pypdf.PdfReader) -> list[tuple[int, str, int]]:
    """Level, title and page of each bookmark."""
    found = []

    def go(entries, level: int) -> None:
        for entry in entries:
            if isinstance(entry, list):
                go(entry, level + 1)
            else:
                page = reader.get_destination_page_number(entry) + 1
                found.append((level, entry.title, page))

    go(reader.outline, 1)
    return found


def flat(page: pypdf.PageObject) -> str:
    return " ".join(page.extract_text().split())


def test_pages_are_numbered_through(tractor):
    pack, reader = tractor
    count = len(reader.pages)
    assert count == len(pack.sheets)
    for number, sheet in enumerate(pack.sheets, start=1):
        values = {text.plain for text in walk(sheet.items) if isinstance(text, Text)}
        assert f"{number} of {count}" in values, sheet.name
    for number in (1, count // 2, count):
        assert f"{number} of {count}" in flat(reader.pages[number - 1])


def test_chapters_and_pages_are_bookmarks(tractor):
    _, reader = tractor
    marks = outline(reader)
    chapters = [title for level, title, _ in marks if level == 1]
    assert chapters == [
        "Cover",
        "Contents",
        "Read this first",
        "Schematic",
        "Connector faces",
        "Tables",
        "Labels",
        "Test sheet",
        "As-built record",
        "Defaults and sources",
    ]
    assert {page for _, _, page in marks} == set(range(1, len(reader.pages) + 1))
    faces = [title for level, title, _ in marks if level == 2 and title.startswith("X")]
    assert faces[0] == "X1 Engine plug, engine side"
    assert len(faces) == 12


def test_the_contents_name_every_table_and_drawing_and_lead_there(tractor):
    """A page that only goes on with a table is in the bookmarks, not in the contents."""
    _, reader = tractor
    page = reader.pages[1]
    text = flat(page)
    targets = {reader.get_page_number(_target(note)) + 1 for note in page["/Annots"]}
    for level, title, number in outline(reader)[2:]:
        goes_on = title.endswith(", continued")
        assert (number in targets) != goes_on
        if level == 2 and not goes_on and len(title) < 60 and not title.startswith("Start"):
            assert all(part in text for part in title.split(", "))
    assert "continued" not in text


def _target(note) -> pypdf.PageObject:
    return note.get_object()["/Dest"][0].get_object()


def test_a_wire_in_the_list_leads_to_its_drawing_and_back(tractor):
    pack, reader = tractor
    marks = {title: number for level, title, number in outline(reader) if level == 1}
    (number,) = [number for level, title, number in outline(reader) if title == "Wire list"]
    wires = reader.pages[number - 1]
    assert "Wire list" in flat(wires)
    targets = {reader.get_page_number(_target(note)) + 1 for note in wires["/Annots"]}
    drawings = set(range(marks["Schematic"], marks["Connector faces"]))
    assert targets
    assert targets <= drawings
    for drawing in sorted(targets):
        notes = reader.pages[drawing - 1]["/Annots"]
        back = {reader.get_page_number(_target(note)) + 1 for note in notes}
        assert back & set(range(marks["Tables"], marks["Labels"]))
    assert pack.sheets[number - 1].title == "Wire list"


def test_each_row_leads_to_a_sheet_that_draws_its_wire(tractor):
    pack, _ = tractor
    wires = wire_pages(pack.sheets)
    checked = 0
    for number, sheet in enumerate(pack.sheets, start=1):
        links = page_links(sheet, number, wires)
        spots = {(round(one.x, 1), round(one.y, 1)): one.page for one in links}
        for item in walk(sheet.items):
            wire = dict(item.data).get("leads-to") if isinstance(item, Text) else None
            page = spots.get((round(item.x, 1), round(item.y - item.size, 1))) if wire else None
            if page is not None:
                drawn = {
                    dict(group.data).get("wire")
                    for group in walk(pack.sheets[page - 1].items)
                    if isinstance(group, Group) and group.cls.startswith("wire")
                }
                assert wire in drawn
                checked += 1
    assert checked > 80


def test_references_between_sheets_name_pages_of_the_pack(tractor):
    pack, reader = tractor
    marks = {title: number for level, title, number in outline(reader) if level == 1}
    drawings = range(marks["Schematic"], marks["Connector faces"])
    said = [
        int(dict(item.data)["sheet"])
        for page in drawings
        for item in walk(pack.sheets[page - 1].items)
        if isinstance(item, Group) and item.cls == "reference"
    ]
    assert said
    assert set(said) <= set(drawings)


def test_every_link_of_every_page_leads_where_its_words_say(tractor):
    """A wire to a page that names it, `8 C3` to page 8, a line of the contents to its number, an
    earth to a page that shows it.

    The words are those that another library finds under the rectangle of the link.
    """
    _, reader = tractor
    document = pypdfium2.PdfDocument(tractor[0].pdf())
    texts = [set(page.get_textpage().get_text_range().split()) for page in document]
    counts = {"wire": 0, "sheet": 0, "contents": 0}
    for number, page in enumerate(reader.pages, start=1):
        under = document[number - 1].get_textpage()
        for note in page.get("/Annots", ()):
            target = reader.get_page_number(_target(note)) + 1
            words = under.get_text_bounded(*map(float, note.get_object()["/Rect"])).split()
            if number == 2:
                kind, right = "contents", words[-1] == str(target)
            elif words[0] in WIRES:
                kind, right = "wire", words[0] in texts[target - 1]
            else:
                numbers = [word for word in words if word.isdecimal()]
                named = not numbers and set(words) <= texts[target - 1]
                kind, right = "sheet", numbers[:1] == [str(target)] or named
            assert right, (number, words, target)
            counts[kind] += 1
    assert min(counts.values()) > 40


WIRES = {f"W{number}" for number in range(1, 90)}


def test_pages_are_measured_in_points(tractor):
    """ISO 216: A4 is 210 x 297 mm, A3 297 x 420; 1 point is 25.4 / 72 mm."""
    pack, reader = tractor
    sizes = {(595.28, 841.89): "A4", (841.89, 595.28): "A4 across", (1190.55, 841.89): "A3 across"}
    found = []
    for page, sheet in zip(reader.pages, pack.sheets, strict=True):
        box = [float(side) for side in page.mediabox]
        assert box[:2] == [0, 0]
        (name,) = [
            name
            for (wide, high), name in sizes.items()
            if abs(box[2] - wide) < 0.02 and abs(box[3] - high) < 0.02
        ]
        assert float(page.get("/UserUnit", 1)) == 1
        found.append((name, sheet.name.rstrip("-0123456789")))
    assert found[:3] == [("A4", "cover"), ("A4", "contents"), ("A4", "read-this-first")]
    assert ("A3 across", "sheet") in found
    assert {name for name, sheet in found if sheet == "test-sheet"} == {"A4 across"}


@pytest.mark.parametrize(
    ("reader_name", "has", "lacks"),
    [
        ("bench", {"Labels", "Test sheet"}, {"As-built record", "Defaults and sources"}),
        ("customer", {"As-built record", "Defaults and sources"}, {"Labels", "Test sheet"}),
    ],
)
def test_packs_for_one_reader(small, reader_name, has, lacks):
    made = Pack(Document(small), reader_name).pdf()
    chapters = {
        title for level, title, _ in outline(pypdf.PdfReader(io.BytesIO(made))) if level == 1
    }
    assert has <= chapters
    assert not lacks & chapters
    assert {"Read this first", "Connector faces", "Tables"} <= chapters


@pytest.mark.parametrize("reader_name", ["", "bench", "customer"])
def test_where_to_look_names_only_what_the_pack_has(small, reader_name):
    """The lamp loom has no splices, no units and no old wires; such tables are left out."""
    pack = Pack(Document(small), reader_name)
    titles = {
        part
        for _, title, _ in outline(pypdf.PdfReader(io.BytesIO(pack.pdf())))
        for part in title.removesuffix(", continued").split(", ")
    }
    assert not titles & {"Lamps and gauges of the units", "What became of the old wires"}
    said = [
        dict(group.data)["row"]
        for sheet in pack.sheets
        for group in sheet.items
        if isinstance(group, Group) and dict(group.data).get("table") == "look"
    ]
    assert said
    for words in said:
        (where,) = [one for ask, one in look_table(reader_name).rows if ask == words]
        assert set(where.split(", ")) & titles, words
    cells = [text.plain for sheet in pack.sheets for text in walk(sheet.items)
             if isinstance(text, Text)]  # fmt: skip
    assert "Splices" not in cells


def test_the_front_says_what_is_proven_and_accepted(small):
    reader = pypdf.PdfReader(io.BytesIO(Pack(Document(small)).pdf()))
    cover = flat(reader.pages[0])
    assert "Lamp loom *bold* $x$ <b>" in cover
    assert "1 of 3 pins measured" in cover
    assert "1 pin: sources disagree: measure" in cover
    assert "Brake, steering, restraint and lighting circuits fall under" in cover
    first = " ".join(flat(reader.pages[place]) for place in (2, 3))
    assert "How to read these pages" in first
    assert "second lamp" in first
    assert "measured later" in first
    assert "never probed, cut, joined or measured with an ohm-meter" in first


def test_recorded_readings_stand_in_the_as_built_record(small):
    small.with_name("lamps.measured.yaml").write_text(
        "format: 1\nresults:\n  W1: {reading: 0.1, by: AB, date: 2026-12-01}\n", "utf-8"
    )
    pack = Pack(Document(small), "customer")
    reader = pypdf.PdfReader(io.BytesIO(pack.pdf()))
    marks = {title: number for level, title, number in outline(reader) if level == 1}
    record = flat(reader.pages[marks["As-built record"] - 1])
    assert "0.1 AB 2026-12-01 good" in record
    (row,) = [row for row in pack.tables["pins"].rows if row[0] == "X1:1"]
    assert row[-2:] == ("2026-12-01", "measured")


def test_the_same_bytes_under_any_hash_seed(small):
    code = (
        "import hashlib, sys; from wiregen.publish import Document; "
        "from wiregen.publish.pack import Pack; "
        "print(hashlib.sha256(Pack(Document(sys.argv[1])).pdf()).hexdigest())"
    )
    sums = {
        subprocess.run(
            [sys.executable, "-c", code, str(small)],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "77")
    }
    assert len(sums) == 1


# ---- public cases of handing over, in invented circumstances -------------------------------------


def tables_of(tmp_path: Path, text: str) -> dict:
    path = tmp_path / "case.yaml"
    path.write_text("format: 1\n" + text, "utf-8")
    design = load(path).design
    network = connect(design)
    made = {table.name: table for table in all_tables(design, network)}
    made["pins"] = pins_table(design, network, Cutting())
    return made


def test_pins_that_moved_by_one_are_moves(tmp_path):
    """Coolant 2 to 1, fuel 3 to 2 between two series of one instrument; both senders stay.

    Source: a marque wiki, page "Pinbelegung Kombiinstrument".
    """
    tables = tables_of(
        tmp_path,
        """
looms: {old: {status: existing}}
plugs:
  X1: {title: Instrument, loom: old, face: [[1, 2, 3]], pins: {3: empty}}
devices:
  B1: {kind: sender, terminals: [1]}
  B2: {kind: sender, terminals: [1]}
wires:
  W1: {from: B1:1, to: X1:1, colour: GN, loom: old, fate: moved, was: X1:2, why: second series}
  W2: {from: B2:1, to: X1:2, colour: BU/BK, loom: old, fate: moved, was: X1:3, why: second series}
""",
    )
    rows = {row[0]: row for row in tables["fates"].rows}
    assert [(r[1], r[3], r[4]) for r in rows.values()] == [
        ("moved", "X1:1", "X1:2"),
        ("moved", "X1:2", "X1:3"),
    ]


def test_a_terminal_left_over_does_not_vanish(tmp_path):
    """Re-pinning a chain C1 to C4 to D13; C15 has no place in the new plug and is parked.

    Source: w-body.com, page "Base cluster to gauges cluster".
    """
    tables = tables_of(
        tmp_path,
        """
looms: {old: {status: existing}}
plugs:
  X1: {title: Cluster, loom: old, face: [[C1, C4, C15, D13]], pins: {C1: empty, C15: empty}}
splices: {J1: {}, J2: {}}
wires:
  W33: {from: J1, to: X1:C4, colour: tan/WH, loom: old, fate: moved, was: X1:C1, why: re-pinned}
  W30: {from: J2, to: X1:D13, colour: VT, loom: old, fate: moved, was: X1:C4, why: re-pinned}
  W39: {from: J2, colour: PK/BK, loom: old, fate: insulated, was: X1:C15, why: not used}
""",
    )
    fates = [(row[0], row[1], row[4]) for row in tables["fates"].rows]
    assert fates == [
        ("W39", "insulated", "X1:C15"),
        ("W30", "moved", "X1:C4"),
        ("W33", "moved", "X1:C1"),
    ]
    assert len(tables["wires"].rows) == 3


def test_a_contradiction_is_kept_until_the_pin_is_measured(tmp_path):
    """A published instruction had terminals 1 and 2 of an alternator exchanged.

    Source: an owners' forum, thread on fitting a 3-wire alternator.
    """
    text = """
plugs:
  X1:
    title: Alternator plug
    face: [[1, 2]]
    pins:
      1:
        carries: lamp
        says: [{source: first print, carries: sense}, {source: corrected, carries: lamp}]
      2:
        carries: sense
        says: [{source: first print, carries: lamp}, {source: corrected, carries: sense}]
        %s
"""
    pins = {row[0]: row for row in tables_of(tmp_path, text % "note: look")["pins"].rows}
    assert {row[-1] for row in pins.values()} == {"sources disagree: measure"}
    pins = {row[0]: row for row in tables_of(tmp_path, text % "measured: 2026-11-02")["pins"].rows}
    assert pins["X1:1"][-1] == "sources disagree: measure"
    assert pins["X1:2"][-2:] == ("2026-11-02", "measured")
    assert "first print: lamp" in pins["X1:2"][4]
