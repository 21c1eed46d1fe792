"""Text of any kind in a design: nothing breaks, nothing is lost, no cell runs as a formula."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import openpyxl
import pypdf
import pytest

from wiregen.layout.label_grid import read_grid
from wiregen.layout.label_sheet import cut_short, stock_sheets
from wiregen.publish import Document
from wiregen.publish.pack import Pack
from wiregen.publish.proving import result_table
from wiregen.publish.tables.labels import wire_labels
from wiregen.publish.tables.write import to_csv, to_xlsx
from wiregen.sheet.items import Text, walk
from wiregen.sheet.metrics import text_width_mm

TEXTS = {
    "markup": "<script>alert(1)</script> & <b>",
    "formula": "=cmd|' /C calc'!A0",
    "at": "@SUM(A1:A9)",
    "plus": "+1-1",
    "link": "https://example.org/?a=b",
    "quotes": "\"; drop, 'x'",
    "right to left": "שלום מנוע عربي",
    "turned": "abc\u202edef\u2066",
    "control": "bell\u0007 form\u000c tab\there",
    "pictures": "🔋⚡️ pump 👩‍🔧",
    "long": "W" * 300,
    "many words": "pump relay " * 60,
    "lines": "one\ntwo\r\nthree",
    "percent": "%s {x} \\n $x$",
}


def design_with(text: str, folder: Path) -> Path:
    said = json.dumps(text, ensure_ascii=not text.isprintable() and "👩" not in text)
    path = folder / "odd.yaml"
    path.write_text(
        f"""\
format: 1
drawing: {{title: {said}, number: {said}, by: {said}}}
system: {{volts: 12}}
looms: {{new: {{title: {said}, status: new}}, old: {{title: {said}, status: existing}}}}
plugs:
  X1:
    title: {said}
    loom: new
    where: {said}
    housing: {said}
    contacts: sockets
    face: [[1, 2], [3, 4]]
    pins:
      1: {{carries: {said}, source: {said}, label: {said}, without: {said}}}
      2: {{carries: {said}, role: earth}}
      3: {{carries: other, says: [{{source: {said}, carries: {said}}}]}}
splices: {{J1: {{title: {said}}}}}
fuses: {{F1: {{title: {said}, rating: 10, style: blade, fitted_on: "G1:plus"}}}}
earths: {{EP1: {{title: {said}}}}}
devices:
  G1: {{kind: battery, title: {said}, volts: 12.6}}
  P1: {{kind: lamp, title: {said}, watts: 21, volts: 12, terminals: [1, 2]}}
wires:
  W1: {{from: "F1:out", to: X1:1, colour: RD, size: 1.0, length: 700, loom: new, label: {said}}}
  W2: {{from: X1:2, to: EP1, colour: BN, size: 1.0, length: 300, loom: new}}
  W3: {{from: P1:1, to: X1:3, colour: GN, size: 1.0, loom: old, fate: used, why: {said}}}
  W4: {{from: P1:2, colour: BN, size: 1.0, loom: old, fate: insulated, why: {said}}}
states: {{"on": {{}}}}
""",
        "utf-8",
    )
    return path


@pytest.mark.parametrize("name", TEXTS)
def test_nothing_breaks_and_nothing_is_lost(tmp_path, name):
    document = Document(design_with(TEXTS[name], tmp_path))
    pack = Pack(document)
    reader = pypdf.PdfReader(io.BytesIO(pack.pdf()))
    assert len(reader.pages) == len(pack.sheets)
    tables = [*pack.tables.values(), result_table(pack.proof)]
    book = openpyxl.load_workbook(io.BytesIO(to_xlsx(tables)))
    for table in tables:
        rows = list(csv.reader(io.StringIO(to_csv(table).decode("utf-8-sig"), newline="")))
        assert [len(row) for row in rows] == [len(table.columns)] * (len(table.rows) + 1)
        for row in rows[1:]:
            for column, cell in zip(table.columns, row, strict=True):
                number = column.kind == "number"
                assert number or cell[:1] not in ("=", "+", "-", "@", "\t", "\r"), (
                    table.name,
                    cell,
                )
        sheet = book[table.name[:31]]
        assert {cell.data_type for line in sheet.iter_rows() for cell in line} <= {"s", "n"}
        assert not any(cell.hyperlink for line in sheet.iter_rows() for cell in line)
    parts = next(table for table in tables if table.name == "parts")
    assert any(" ".join(TEXTS[name].split())[:20] in " ".join(cell.split()) for row in parts.rows
               for cell in row)  # fmt: skip


@pytest.mark.parametrize("name", TEXTS)
def test_text_of_a_table_stays_in_its_column(tmp_path, name):
    """Every line is as narrow as its column and no cell drops a letter for want of room."""
    pack = Pack(Document(design_with(TEXTS[name], tmp_path)))
    for sheet in pack.sheets:
        for item in walk(sheet.items):
            if isinstance(item, Text) and not item.upright:
                wide = sum(text_width_mm(words, item.size, bold) for words, bold, _ in item.parts)
                left = {"start": item.x, "middle": item.x - wide / 2, "end": item.x - wide}
                assert left[item.anchor] >= 0, (sheet.name, item.plain)
                assert left[item.anchor] + wide <= sheet.width, (sheet.name, item.plain)


@pytest.mark.parametrize("name", TEXTS)
def test_labels_hold_any_marking_or_say_so(tmp_path, name):
    pack = Pack(Document(design_with(TEXTS[name], tmp_path)))
    labels = wire_labels(pack.tables["labels"])
    grid = read_grid("48x25")
    assert len(stock_sheets(labels, grid)) == 2
    whole = TEXTS[name] not in (TEXTS["long"], TEXTS["many words"])
    assert (cut_short(labels, grid) == ()) == whole
