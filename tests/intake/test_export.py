"""Pins out and in again are the same pins; no cell can be run as a formula."""

import csv
import io
import zipfile

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wiregen.edit import yaml_lines
from wiregen.intake.columns import find_columns
from wiregen.intake.export import pin_rows, to_csv, to_xlsx
from wiregen.intake.pin_text import design_text
from wiregen.intake.pins import pins_of_table
from wiregen.intake.table import read_tables
from wiregen.read import load

WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=9)
ATTACKS = [
    "=1+1",
    "+1",
    "-1",
    "@x",
    "=HYPERLINK(1)",
    "'=1",
    "''+1",
    "＝1",
    "' -x",
    "-",
    "a;=1",
    "a; '=2;-3",
    ";@x",
]
TEXTS = st.one_of(WORDS, st.sampled_from(ATTACKS), st.tuples(WORDS, WORDS).map(" ".join))
PINS = st.dictionaries(
    st.from_regex(r"[A-Z]?[0-9]{1,2}[a-z]?", fullmatch=True),
    st.fixed_dictionaries(
        {"carries": TEXTS, "source": TEXTS},
        optional={
            "circuit": TEXTS,
            "colour": st.sampled_from(["BU/WH", "GNYE", "lt bu", "tan"]),
            "size": st.sampled_from([0.5, "1.50", "18 AWG", "10 mm2 / 8 AWG"]),
            "role": st.sampled_from(["earth", "supply"]),
            "label": TEXTS,
            "note": TEXTS,
        },
    )
    | st.just("empty"),
    min_size=1,
    max_size=6,
)


def write(path, pins):
    lines = ["format: 1", "plugs:", *yaml_lines("X7", {"title": "A plug", "pins": pins}, 2)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return load(path).design


def again(folder, name, data):
    """Read an exported table back into a design."""
    (folder / name).write_bytes(data)
    (table,) = read_tables(folder / name)
    path = folder / "again.yaml"
    path.write_text(design_text(pins_of_table(table, find_columns(table))), encoding="utf-8")
    return load(path).design


@settings(max_examples=60, deadline=None)
@given(PINS, st.sampled_from(["csv", "xlsx"]))
def test_out_and_in_is_the_same(tmp_path_factory, pins, kind):
    folder = tmp_path_factory.mktemp("t")
    design = write(folder / "a.yaml", pins)
    rows = pin_rows(design)
    back = again(folder, f"t.{kind}", to_csv(rows) if kind == "csv" else to_xlsx(rows))
    spoken = dict(design.plugs["X7"].pins)
    assert list(back.plugs["X7"].pins) == list(spoken)
    for name, pin in back.plugs["X7"].pins.items():
        old = spoken[name]
        if old.carries.strip() in ("-", "--", "—", "–"):
            continue  # a dash says that the cavity is not used
        assert (pin.state, pin.carries, pin.circuit, pin.role, pin.label, pin.note) == (
            (old.state, old.carries, old.circuit, old.role, old.label, old.note)
        )
        assert pin.colours == old.colours
        assert [s.area_mm2 for s in pin.sizes] == [s.area_mm2 for s in old.sizes]
        assert pin.source == old.source or old.state == "empty"


@pytest.mark.parametrize("attack", ["=1+1", "+1", "-1", "@x", "＝1", '=cmd|"/c x"!A1'])
def test_no_cell_is_a_formula(tmp_path, attack):
    pins = {"1": {"carries": attack, "note": attack, "label": attack, "source": attack}}
    rows = pin_rows(write(tmp_path / "a.yaml", pins))
    text = to_csv(rows).decode("utf-8-sig")
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert f"'{attack}" in cells
    assert not [cell for cell in cells if cell[:1] in "=+-@\t\r＝" and cell]
    (tmp_path / "t.xlsx").write_bytes(to_xlsx(rows))
    sheet = openpyxl.load_workbook(tmp_path / "t.xlsx").active
    found = [cell for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in found} == {"s"}
    assert not [cell for cell in found if str(cell.value)[0] in "=+-@＝"]
    with zipfile.ZipFile(tmp_path / "t.xlsx") as book:
        assert b"<f>" not in book.read("xl/worksheets/sheet1.xml")


def test_no_part_behind_a_semicolon_is_a_formula(tmp_path):
    pins = {"1": {"carries": "a;=1+1", "note": "b; @x"}}
    text = to_csv(pin_rows(write(tmp_path / "a.yaml", pins))).decode("utf-8-sig")
    split = [cell.strip() for cell in text.replace('"', "").split(";")]
    assert split[1].startswith("'=1+1")
    assert split[2].startswith("'@x")


def test_same_rows_same_bytes(tmp_path):
    rows = pin_rows(write(tmp_path / "a.yaml", {"1": {"carries": "horn"}, "10": "empty"}))
    assert to_xlsx(rows) == to_xlsx(rows)
    assert to_csv(rows) == to_csv(rows)


def test_colour_key_goes_along(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_text(
        "format: 1\ncolour_key: german\nplugs:\n  X1: {pins: {1: {carries: a, colour: sw/ws}}}\n",
        encoding="utf-8",
    )
    back = again(tmp_path, "t.csv", to_csv(pin_rows(load(path).design)))
    (colour,) = back.plugs["X1"].pins["1"].colours
    assert (colour.iec, colour.text) == ("BK/WH", "sw/ws")
