"""The tables: worked by hand on small documents, alike on paper and in spreadsheets."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import openpyxl
import pytest

from wiregen.connect import connect
from wiregen.layout.table_pages import table_pages
from wiregen.layout.tables import Table, columns
from wiregen.publish.tables import Cutting, all_tables
from wiregen.publish.tables.write import to_csv, to_xlsx
from wiregen.read import load
from wiregen.sheet.items import Group, Text, walk

ROOT = Path(__file__).resolve().parents[2]

LOOM = """
format: 1
looms:
  new: {status: new, insulation: thin-wall 105}
  old: {status: existing}
contacts: {blade-2.8: {blade: 2.8, wire: 0.5..2.5}}
plugs:
  X1:
    title: Lamp plug
    loom: new
    sealed: true
    contacts: sockets
    contact: blade-2.8
    face: [[1, 2, 3], [4, 5, 6]]
    pins: {6: blocked}
  X2: {title: Old plug, loom: old, pins: {1: {carries: heater, without: no heated seat}}}
splices: {J1: {at: N1, loom: new}}
fuses: {F1: {title: Lamps, rating: 10, style: blade, fitted_on: "G1:plus"}}
earths: {EP1: {title: floor stud}}
devices:
  G1: {kind: battery}
  P1: {kind: lamp, title: Left lamp, watts: 21, terminals: [1, 2]}
wires:
  W1: {from: X1:1, to: J1, colour: BU/WH, size: 0.75, length: 850, loom: new}
  W2: {from: J1, to: "F1:out", colour: BU/WH, size: 0.75, length: 401, loom: new}
  W3: {from: J1, to: P1:1, colour: RD, size: 1.5, loom: new}
  W4: {from: P1:2, to: EP1, colour: BN, size: 1.5, length: 1 m, loom: old}
  W5: {from: X1:2, colour: GN, size: 0.75, loom: old, fate: insulated, why: no second lamp}
  W6: {from: X2:1, to: X1:3, loom: old, fate: moved, was: X2:4, why: it was on the wrong pin}
route:
  - {from: X1, to: N1, length: 400, covering: tube 10}
  - {from: N1, to: P1, length: 333}
"""


@pytest.fixture(scope="module")
def tables(tmp_path_factory) -> dict[str, Table]:
    path = tmp_path_factory.mktemp("loom") / "loom.yaml"
    path.write_text(LOOM.lstrip(), "utf-8")
    return made(path)


@pytest.fixture(scope="module")
def tractor() -> dict[str, Table]:
    return made(ROOT / "designs" / "tractor.yaml")


def made(path: Path, cutting: Cutting | None = None) -> dict[str, Table]:
    design = load(path).design
    return {table.name: table for table in all_tables(design, connect(design), cutting)}


def column(table: Table, title: str) -> list[str]:
    place = [c.title for c in table.columns].index(title)
    return [row[place] for row in table.rows]


def row(table: Table, first: str) -> dict[str, str]:
    (found,) = [row for row in table.rows if row[0] == first]
    return dict(zip((c.title for c in table.columns), found, strict=True))


def test_cut_lengths_are_given_or_along_the_route_with_allowance_on_the_step(tables):
    """850 + 2 x 50 = 950; 401 + 100 up to 510; J1 at N1 to P1 is 333 mm, + 100 up to 440."""
    cut = tables["cut"]
    found = {
        wire: (length, where)
        for wire, length, where in zip(
            column(cut, "Wire"), column(cut, "Cut mm"), column(cut, "Length"), strict=True
        )
    }
    assert found == {"W1": ("950", "given"), "W2": ("510", "given"), "W3": ("440", "route")}
    assert "50 mm at each end, rounded up to 10 mm" in cut.notes[0]


def test_another_allowance_and_step(tmp_path):
    path = tmp_path / "loom.yaml"
    path.write_text(LOOM.lstrip(), "utf-8")
    cut = made(path, Cutting(allowance_mm=30, step_mm=25))["cut"]
    assert dict(zip(column(cut, "Wire"), column(cut, "Cut mm"), strict=True)) == {
        "W1": "925",  # 850 + 60 = 910
        "W2": "475",  # 401 + 60 = 461
        "W3": "400",  # 333 + 60 = 393
    }


def test_wire_to_buy_by_type_colour_and_size(tables):
    """BU/WH 0.75: 0.95 + 0.51 = 1.46 m cut, 1.606 with a tenth more, up to 1.7 m."""
    assert tables["reels"].rows == (
        ("thin-wall 105", "BU/WH", "0.75 mm²", "2", "1.46", "1.7", ""),
        ("thin-wall 105", "RD", "1.5 mm²", "1", "0.44", "0.5", ""),
    )


def test_seals_and_cavity_plugs(tables):
    """X1 is sealed with six cavities: 1, 2, 3 hold wires, 4 and 5 are open, 6 is blocked."""
    found = row(tables["contacts"], "X1")
    assert (found["Contacts"], found["Wire seals"]) == ("3", "3")
    assert (found["Cavity plugs"], found["Open cavities"]) == ("2", "4, 5")


def test_parts_list_counts(tables):
    parts = {(line[0], line[1]): line[2] for line in tables["parts"].rows}
    assert parts["contact", "socket blade-2.8"] == "3"
    assert parts["wire seal", "for socket blade-2.8"] == "3"
    assert parts["splice", "of 3 wires, 3.00 mm² in sum"] == "1"
    assert parts["fuse", "blade 10 A"] == "1"
    assert parts["covering", "tube 10"] == "0.40"
    assert parts["terminal", "for 0.75 mm²"] == "1"  # W2 at the fuse
    assert parts["terminal", "for 1.5 mm²"] == "1"  # W3 at the lamp
    assert ("ring terminal", "for 1.5 mm²") not in parts  # W4 is an old wire


def test_fates_lost_pins_and_earths(tables):
    fates = {line[0]: line[1:] for line in tables["fates"].rows}
    assert fates["W5"] == ("insulated", "X1:2", "", "", "GN", "no second lamp")
    assert fates["W6"][:4] == ("moved", "X2:1", "X1:3", "X2:4")
    assert [line[0] for line in tables["fates"].rows] == ["W5", "W6", "W4"]
    assert row(tables["lost"], "X2:1")["Lost when not wired"] == "no heated seat"
    assert row(tables["earths"], "EP1")["Wires (from)"] == "W4 (P1:2)"


def test_fuse_chart(tables, tractor):
    found = row(tables["fuses"], "F1")
    assert (found["Name"], found["Rating A"], found["Live"]) == ("Lamps", "10", "always")
    assert (found["Feeds"], found["Smallest wire behind"]) == ("Left lamp", "W2 0.75 mm²")
    chart = tractor["fuses"]
    assert row(chart, "F13")["Live"] == "S1 run, heat, start"
    assert row(chart, "F10")["Feeds"].endswith("F13, F14, F15, F16")
    assert row(chart, "F17")["Fuse colour"] == "brown"


def test_fault_finder_names_what_the_current_passes(tables, tractor):
    """By hand from the files: battery, fuses, switches and plugs in order, then the earth."""
    found = row(tables["finder"], "P1 Left lamp, 21 W")
    assert (found["Fuses"], found["Switched by"], found["Earth"]) == ("F1", "", "EP1")
    assert found["Fed by"] == "W3"
    horn = row(tractor["finder"], "H1 Horn, 4 A")
    assert (horn["Fuses"], horn["Switched by"]) == ("F1, F10, F16", "S1, S6")
    tail = row(tractor["finder"], "P14 Left tail light, 5 W")
    assert (tail["Fuses"], tail["Switched by"], tail["Earth"]) == ("F1, F17", "S4", "EP2")
    assert tail["Plugs on the way"] == "X10:3/X11, X11:6/X10"
    coil = row(tractor["finder"], "coil of K4 Work-light relay")
    assert (coil["Fuses"], coil["Switched by"]) == ("F1, F10, F16", "S1, S5")
    starter = row(tractor["finder"], "M1 Starter, 220 A, at 50")
    assert starter["Switched by"] == "S1, S2, K1"


def test_plugs_with_their_place_and_mate(tables, tractor):
    found = row(tables["plugs"], "X1")
    assert (found["Cavities"], found["Wired"], found["Seal"]) == ("6", "3", "sealed")
    panel = row(tractor["plugs"], "X3")
    assert (panel["Mates with"], panel["Loom"]) == ("X4", "built into A1")
    assert panel["Where"] == "behind the instrument panel"


def test_the_fuse_of_a_machine_names_what_charges_through_it(tractor):
    assert row(tractor["fuses"], "F2")["Feeds"] == "charged by Alternator"


SPLIT = """
format: 1
fuses: {F1: {rating: 60}, F2: {rating: 60}, F3: {rating: 3}, F4: {rating: 5}}
earths: {EP1: {kind: chassis}}
devices:
  G1: {kind: battery, volts: 12, terminals: [plus, minus]}
  G2: {kind: alternator, terminals: [B+, D+], case: EP1, lamp_terminal: {at: D+}}
  G3: {kind: battery, volts: 12, terminals: [plus, minus]}
  K1: {kind: relay, terminals: [30, 85, 86, 87]}
  P1: {kind: lamp, terminals: [1, 2]}
wires:
  W1: {from: "G1:plus", to: "F1:in"}
  W2: {from: "F1:out", to: "K1:30"}
  W3: {from: "K1:87", to: "F2:in"}
  W4: {from: "F2:out", to: "G3:plus"}
  W5: {from: "G2:D+", to: "F3:in"}
  W6: {from: "F3:out", to: "K1:86"}
  W7: {from: "K1:85", to: EP1}
  W8: {from: "G1:minus", to: EP1}
  W9: {from: "G3:minus", to: EP1}
  W10: {from: "K1:87", to: "F4:in"}
  W11: {from: "F4:out", to: "P1:1"}
"""


def test_a_fuse_between_two_batteries_is_live_from_either_side(tmp_path):
    """By hand: F2 stands on the second battery, whatever the relay does; F3 on D+ alone."""
    path = tmp_path / "split.yaml"
    path.write_text(SPLIT, "utf-8")
    design = load(path).design
    chart = {t.name: t for t in all_tables(design, connect(design), Cutting())}["fuses"]
    live = {fuse: row(chart, fuse)["Live"] for fuse in ("F1", "F2", "F3", "F4")}
    assert live == {"F1": "always", "F2": "always", "F3": "G2 running", "F4": "always"}


def test_lamp_list_of_the_panel(tractor):
    lamps = {line[1]: line for line in tractor["lamps"].rows}
    assert lamps["P4"][2:] == (
        "Oil lamp",
        "lamp",
        "X3:D",
        "X3:E",
        "1.2",
        "F13",
        "B3 Oil pressure switch",
    )
    assert len(lamps) == 8


def test_an_old_wire_makes_a_pin_where_nothing_is_written_of_it(tractor):
    """X11 is the plug of the rear lamp loom, of which the file describes no pin."""
    unknown = [row for row in tractor["pins"].rows if row[-1] == "unknown: measure"]
    assert [row[0] for row in unknown if row[0].startswith("X11")] == [
        f"X11:{cavity}" for cavity in (1, 2, 3, 4, 6)
    ]
    assert row(tractor["pins"], "X11:1")["Carries"] == "left work light"


def test_labels_stand_at_both_ends(tables):
    texts = column(tables["labels"], "Label")
    assert texts[:2] == ["W1 X1:1 > J1", "W1 J1 > X1:1"]
    assert len(texts) == 6


def test_crimp_pull_and_bend(tractor):
    """0.75 mm2: 1.9 mm outside. Source: ISO 6722-1 thin wall, MK Global Trading sheet.

    6 and 10 outside diameters: NASA-STD-8739.4, workmanship.nasa.gov section 4.03.
    """
    found = row(tractor["crimps"], "0.75 mm²")
    assert found["Bend at least mm"] == "11.4"
    assert found["Bend long term mm"] == "19"
    assert row(tractor["crimps"], "35 mm²")["Pull known"] == "not in the table"


@pytest.mark.parametrize("name", ["tractor", "trailer-adapter", "vocabulary", "faults"])
def test_paper_csv_and_workbook_have_the_same_rows(name):
    design = load(ROOT / "designs" / f"{name}.yaml").design
    tables = all_tables(design, connect(design))
    book = openpyxl.load_workbook(io.BytesIO(to_xlsx(tables)))
    paper = _rows_on_paper(design, tables)
    for table in tables:
        text = to_csv(table).decode("utf-8-sig")
        body = list(csv.reader(io.StringIO(text, newline="")))[1:]
        sheet = book[table.name]
        cells = [
            ["" if cell is None else _shown(cell) for cell in line]
            for line in sheet.iter_rows(min_row=2, values_only=True, max_col=len(table.columns))
        ]
        assert [[_shown(cell) for cell in line] for line in body] == cells
        assert [line[0] for line in body] == paper.get(table.name, [])


def _shown(cell: object) -> str:
    """A number whichever way it is written, anything else as text."""
    try:
        return f"{float(str(cell)):g}"
    except ValueError:
        return str(cell)


def _rows_on_paper(design, tables) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for page in table_pages(design, tables):
        for item in walk(page.items):
            if isinstance(item, Group) and item.cls == "row":
                data = dict(item.data)
                found.setdefault(data["table"], []).append(data["row"])
    return found


def test_nothing_runs_as_a_formula():
    table = Table("t", "T", columns("*A", "#B"), (("=1+1", "-2"), ("@SUM(A1)", "+3"), ("+x", "=4")))
    text = to_csv(table).decode("utf-8-sig").splitlines()
    assert text == ["A,B", "'=1+1,-2", "'@SUM(A1),'+3", "'+x,'=4"]
    sheet = openpyxl.load_workbook(io.BytesIO(to_xlsx([table])))["t"]
    assert [cell.data_type for cell in sheet["A"]] == ["s"] * 4
    assert [cell.data_type for cell in sheet["B"]] == ["s", "n", "s", "s"]


def test_the_same_bytes_each_time(tractor):
    tables = list(tractor.values())
    assert to_xlsx(tables) == to_xlsx(tables)


def test_every_row_of_a_long_table_is_on_some_page_within_the_frame():
    design = load(ROOT / "designs" / "wiper-pinout.yaml").design
    rows = tuple((f"W{n}", "word " * (n % 40), str(n)) for n in range(300))
    table = Table("wires", "Wire list", columns("@Wire", "Text", "#Number"), rows)
    pages = table_pages(design, [table])
    assert [
        dict(item.data)["row"] for page in pages for item in page.items if isinstance(item, Group)
    ] == [cells[0] for cells in rows]
    for page in pages:
        lowest = max(item.y for item in walk(page.items) if isinstance(item, Text))
        assert lowest < 210 - 10 - 15


def test_the_legs_of_a_splice_are_not_parted_from_its_number():
    """Four names of five rows each on pages of which none holds a whole number of them."""
    design = load(ROOT / "designs" / "wiper-pinout.yaml").design
    rows = tuple((f"J{n // 5}" if n % 5 == 0 else "", f"W{n}") for n in range(200))
    pages = table_pages(design, [Table("splices", "Splices", columns("*Splice", "@Wire"), rows)])
    firsts = [
        next(
            "".join(text.plain for text in group.items if isinstance(text, Text))
            for group in page.items
            if isinstance(group, Group)
        )
        for page in pages
    ]
    assert len(firsts) > 3
    assert all(words.startswith("J") for words in firsts)


def test_more_rows_of_one_name_than_a_page_holds_are_parted():
    design = load(ROOT / "designs" / "wiper-pinout.yaml").design
    rows = tuple(("J1" if n == 0 else "", f"W{n}") for n in range(200))
    pages = table_pages(design, [Table("splices", "Splices", columns("*Splice", "@Wire"), rows)])
    assert sum(isinstance(item, Group) for page in pages for item in page.items) == 200


def test_words_stay_whole_beside_columns_that_have_much_to_say():
    design = load(ROOT / "designs" / "wiper-pinout.yaml").design
    rows = (("W2", "G1:minus", "EP1", *["word " * 30] * 6),)
    titles = ("@Wire", "From", "To", *(f"Note {n}" for n in range(6)))
    pages = table_pages(design, [Table("wires", "Wire list", columns(*titles), rows)])
    (row,) = (item for item in pages[0].items if isinstance(item, Group))
    words = [text.plain for text in row.items if isinstance(text, Text)]
    assert "G1:minus" in words
