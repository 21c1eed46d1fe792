"""Tables as they come: any separator, any encoding, odd rows; read whole and never run."""

import csv
import io

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wiregen.intake.columns import find_columns, named_columns
from wiregen.intake.pin_text import design_text
from wiregen.intake.pins import pins_of_table
from wiregen.intake.table import Table, TableError, read_tables, read_text_table
from wiregen.read import load

ROWS = [
    ["Pin", "Funktion", "Farbe", "Querschnitt"],
    ["1", "Öldruck, Geber", "blau/weiß", "0,75"],
    ["58L", "Schlußlicht links", "schwarz", "1.5"],
]


def as_text(rows, separator, encoding):
    text = io.StringIO()
    csv.writer(text, delimiter=separator, lineterminator="\r\n").writerows(rows)
    return text.getvalue().encode(encoding)


def read(data, name="pins.csv"):
    table = read_text_table(data, name)
    columns = find_columns(table)
    assert columns is not None
    return pins_of_table(table, columns)


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1", "cp1252"]
)
def test_separators_and_encodings(separator, encoding):
    (plug,) = read(as_text(ROWS, separator, encoding)).plugs
    assert plug.pins["1"].values == {
        "carries": "Öldruck, Geber",
        "colour": "BU/WH",
        "size": "0.75",
        "source": "pins.csv row 2",
    }
    assert plug.pins["1"].remarks == ["colour 'blau/weiß'"]
    assert plug.pins["58L"].values["carries"] == "Schlußlicht links"


@pytest.mark.parametrize(
    "headings",
    [
        "Pin,Function,Colour,Size",
        "Terminal No.,Description,Wire color,Gauge",
        "Kammer,Belegung,Leitungsfarbe,Querschnitt (mm²)",
        "Broche,Fonction,Couleur du fil,Section",
        "Terminal,Función,Color del cable,Sección",
        "Piedino,Funzione,Colore filo,Sezione",
        "N°,Désignation,Couleur,Section (mm2)",
    ],
)
def test_headings_of_five_languages(headings):
    (plug,) = read(f"{headings}\n7,horn,BK,1\n".encode()).plugs
    values = plug.pins["7"].values
    assert (values["carries"], values["colour"], values["size"]) == ("horn", "BK", "1")


def test_running_number_is_no_cavity_where_there_is_a_better_column():
    (plug,) = read(b"No,Pin,Function\n1,16,battery\n2,4,earth\n").plugs
    assert list(plug.pins) == ["16", "4"]


def test_headings_merged_over_two_rows_and_a_title_above():
    text = "Cluster plug,,,\n,,,\nPin,Function,Wire,\n,,Colour,Size\nC1,horn,BK,1.5\n"
    result = read(text.encode())
    (plug,) = result.plugs
    assert plug.title == "Cluster plug"
    assert plug.pins["C1"].values == {
        "carries": "horn",
        "colour": "BK",
        "size": "1.5",
        "source": "pins.csv row 5",
    }


def test_what_is_odd_becomes_a_finding_and_nothing_is_lost():
    text = (
        "Pin;Function;Colour;Size\n"
        "1;horn;BK;1.5\n"
        "1;lamp;RD;1.5\n"
        ";left over;GN;\n"
        "\n"
        "2;=SUM(A1);BU;1,5\n"
        "Pin;Function;Colour;Size\n"
        "C 3;not used;;\n"
        "4;pump;QQ;fat\n"
        "5;fan;WH;1.0\n6;fan;WH;1.0\n7;fan;WH;1.0\n8;fan;WH;1.0\n"
    )
    result = read(text.encode())
    assert [(one.row, one.message) for one in result.findings] == [
        (0, "most letters are iec-60757, some are not; say how they are written with --colour-key"),
        (3, "cavity 1 of X1 again, first in row 2"),
        (4, "no cavity; left out: left over, GN"),
        (6, "carries is a formula, kept as text: =SUM(A1)"),
        (7, "the headings come again; left out"),
        (8, "cavity 'C 3' has blanks or is too long: C3"),
        (8, "cavity C3 is named unlike the others"),
        (9, "size 'fat' cannot be read"),
        (9, "colour 'QQ' kept as a remark (rows 9)"),
    ]
    (plug,) = result.plugs
    assert plug.pins["1"].says == [
        {"source": "pins.csv row 2", "carries": "horn", "colour": "BK", "size": "1.5"},
        {"source": "pins.csv row 3", "carries": "lamp", "colour": "RD", "size": "1.5"},
    ]
    assert plug.pins["C3"].state == "empty"
    assert plug.pins["4"].remarks == ["colour 'QQ'", "size 'fat'"]


def test_letters_of_another_key_keep_their_text():
    result = read(b"Pin;Function;Colour\n1;a;sw\n2;b;ws/ge\n3;c;br\n")
    assert result.colours.key == "german"
    assert [pin.values["colour"] for pin in result.plugs[0].pins.values()] == ["sw", "ws/ge", "br"]


def test_letters_of_two_meanings_are_not_guessed():
    """P is pink in one key and purple in another; no letter of the table decides."""
    result = read(b"Pin;Function;Colour\n1;a;P\n2;b;N\n")
    assert all("colour" not in pin.values for pin in result.plugs[0].pins.values())
    assert any("--colour-key" in one.message for one in result.findings)


def test_a_column_of_plugs_is_filled_down():
    text = "Connector;Pin;Function\nX7;1;horn\n;2;lamp\nplug no 2;1;fan\n"
    plugs = read(text.encode()).plugs
    assert [(plug.id, plug.title, list(plug.pins)) for plug in plugs] == [
        ("X7", "", ["1", "2"]),
        ("X1", "plug no 2", ["1"]),
    ]


@pytest.mark.parametrize("cavity", ["A", "Slot"])
def test_one_column_named_by_hand_leaves_the_others_to_their_headings(cavity):
    table = read_text_table(b"Slot;Function;Colour;Remarks\n1;horn;BK;\n2;lamp;RD;\n", "t.csv")
    assert find_columns(table) is None
    columns = named_columns(table, {"cavity": cavity})
    (plug,) = pins_of_table(table, columns).plugs
    assert list(plug.pins) == ["1", "2"]
    assert plug.pins["2"].values["carries"] == "lamp"
    assert [column.holds for column in columns.all] == ["cavity", "carries", "colour", "note"]


@pytest.mark.parametrize(
    ("data", "said"),
    [(b"", "the file is empty"), (b" \n", "the file is empty"), (b"%PDF-1.4\n1;2", "a PDF")],
)
def test_a_file_that_is_no_table_says_what_it_is(tmp_path, data, said):
    path = tmp_path / "t.csv"
    path.write_bytes(data)
    with pytest.raises(TableError, match=said):
        read_tables(path)


def test_columns_named_by_hand():
    table = read_text_table(b"a;b;c\n1;horn;BK\n", "t.csv")
    assert find_columns(table) is None
    columns = named_columns(table, {"cavity": "A", "carries": "B"})
    (plug,) = pins_of_table(table, columns).plugs
    assert plug.pins["1"].values["carries"] == "horn"
    with pytest.raises(TableError, match="no column 'K'"):
        named_columns(table, {"cavity": "K"})
    with pytest.raises(TableError, match="'weight' is not a column"):
        named_columns(table, {"weight": "A"})


def test_workbook(tmp_path):
    book = openpyxl.Workbook()
    book.active.title = "cover"
    book.active["A1"] = "nothing here"
    sheet = book.create_sheet("pins")
    sheet.append(["Plug of the cab"])
    sheet.merge_cells("A1:D1")
    sheet.append(["Pin", "Funktion", "Farbe", "Querschnitt"])
    sheet.append([1, "Hupe", "schwarz", 1.5])
    sheet.append([2.0, '=A3&"x"', "rot", "0,75"])
    path = tmp_path / "pins.xlsx"
    book.save(path)
    cover, pins = read_tables(path)
    assert find_columns(cover) is None
    result = pins_of_table(pins, find_columns(pins))
    (plug,) = result.plugs
    assert plug.title == "Plug of the cab"
    assert plug.pins["2"].values["carries"] == '=A3&"x"'
    assert plug.pins["1"].values["size"] == "1.5"
    assert [one.message for one in result.findings] == [
        'carries is a formula, kept as text: =A3&"x"'
    ]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"PK\x03\x04 not a zip", "not a workbook that can be read"),
        (b"\xd0\xcf\x11\xe0 old", "save it as .xlsx"),
    ],
)
def test_files_that_are_no_tables(tmp_path, data, said):
    path = tmp_path / "pins.xlsx"
    path.write_bytes(data)
    with pytest.raises(TableError, match=said):
        read_tables(path)


def test_missing_file(tmp_path):
    with pytest.raises(TableError, match="there is no such file"):
        read_tables(tmp_path / "none.csv")


CELLS = st.one_of(
    st.sampled_from(
        [
            "",
            "Pin",
            "Kammer",
            "Funktion",
            "Farbe",
            "Colour",
            "1",
            "58L",
            "BU/WH",
            "sw/ws",
            "=1",
            "0,75",
            "-",
            "nicht belegt",
            "~",
            "true",
            "# x",
            "a: b",
            "{",
            "'",
            '"',
            "\t",
            "X1",
        ]
    ),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=12),
)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.lists(CELLS, max_size=6), max_size=8), st.booleans())
def test_random_tables_never_crash_and_always_give_a_design(tmp_path_factory, rows, headed):
    head = [["Pin", "Function", "Colour", "Size", "Connector", "Note"]] if headed else []
    table = read_text_table(as_text([*head, *rows], ";", "utf-8"), "t.csv")
    columns = find_columns(table)
    if columns is None:
        assert not headed
        return
    result = pins_of_table(table, columns)
    path = tmp_path_factory.mktemp("t") / "t.yaml"
    path.write_text(design_text(result), encoding="utf-8")
    design = load(path).design
    assert sorted(design.plugs) == sorted(plug.id for plug in result.plugs)
    for plug in result.plugs:
        assert set(design.plugs[plug.id].pins) == set(plug.pins)


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=400))
def test_random_bytes_never_crash(data):
    try:
        table = read_text_table(data, "t.csv")
    except TableError:
        return
    assert isinstance(table, Table)
    columns = find_columns(table)
    if columns:
        design_text(pins_of_table(table, columns))
