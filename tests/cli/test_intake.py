"""The commands new, import and export as a user meets them."""

import csv
import sys

import openpyxl
import pytest

from wiregen.cli import starter

TABLE = "Pin;Funktion;Farbe;Querschnitt\n1;Dauerplus;rot;2,5\n2;Masse;braun;2,5\n3;-;;\n"


@pytest.fixture
def table(tmp_path):
    (tmp_path / "pins.csv").write_text(TABLE, encoding="utf-8")


@pytest.mark.usefixtures("table")
def test_import_shows_the_columns_and_writes_a_sound_design(wiregen, tmp_path):
    done = wiregen("import", "pins.csv")
    assert (done.code, done.err) == (0, "")
    assert done.out.splitlines() == [
        "pins.csv: separator ;, utf-8; headings in row 1",
        "   A  Pin          cavity",
        "   B  Funktion     carries",
        "   C  Farbe        colour, written in iec-60757",
        "   D  Querschnitt  size",
        "X1: 3 cavities, not measured",
        "pins.yaml written; next: wiregen check pins.yaml",
    ]
    assert (
        (tmp_path / "pins.yaml")
        .read_text(encoding="utf-8")
        .endswith(
            "format: 1\n"
            "plugs:\n"
            "  X1:\n"
            "    pins:\n"
            "      1: {carries: Dauerplus, colour: RD, size: 2.5, source: pins.csv row 2}"
            "  # colour 'rot'\n"
            "      2: {carries: Masse, colour: BN, size: 2.5, source: pins.csv row 3}"
            "  # colour 'braun'\n"
            "      3: empty  # pins.csv row 4; '-'\n"
        )
    )
    assert wiregen("check", "pins.yaml").code == 0


@pytest.mark.usefixtures("table")
def test_import_into_a_design_keeps_its_text(wiregen, tmp_path):
    old = "format: 1  # mine\nplugs:\n  X9: {pins: {1: empty}}   # old\n"
    (tmp_path / "d.yaml").write_text(old, encoding="utf-8")
    done = wiregen("import", "pins.csv", "--into", "d.yaml", "--plug", "X4")
    assert done.code == 0
    new = (tmp_path / "d.yaml").read_text(encoding="utf-8")
    assert new.startswith(old + "  X4:\n    pins:\n      1: {carries: Dauerplus")
    assert not (tmp_path / "pins.yaml").exists()
    again = wiregen("import", "pins.csv", "--into", "d.yaml", "--plug", "X4")
    assert again.code == 2
    assert "has a plug 'X4' already" in again.err
    assert (tmp_path / "d.yaml").read_text(encoding="utf-8") == new


@pytest.mark.usefixtures("table")
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["import", "none.csv"], "none.csv: there is no such file"),
        (["import", "pins.csv", "--column", "cavity"], "name a column as in --column cavity=A"),
        (["import", "pins.csv", "--column", "cavity=K"], "there is no column 'K'"),
        (["import", "pins.csv", "--colour-key", "germn"], "did you mean 'german'?"),
        (["import", "pins.csv", "--sheet", "one"], "pins.csv has no sheet 'one'"),
        (["import", "words.csv"], "name the columns by hand"),
        (["import", "head.csv"], "no row under the headings holds a pin"),
        (["import", "pins.csv", "-o", "words.csv"], "words.csv exists already"),
        (["import", "pins.csv", "--into", "words.csv"], "words.csv"),
        (["export", "none.yaml"], "none.yaml"),
        (["export", "d.yaml", "--plug", "X2"], "d.yaml has no plug 'X2'; it has X1"),
        (["new", "--face", "iso-1142", "n.yaml"], "no standard face 'iso-1142'"),
        (["new", "--face", "1 1", "n.yaml"], "cavity '1' is there twice"),
        (["new", "--volts", "much", "n.yaml"], "'much' is no voltage"),
    ],
)
def test_wrong_use_writes_nothing(wiregen, tmp_path, everything, words, said):
    (tmp_path / "words.csv").write_text("just,words\n", encoding="utf-8")
    (tmp_path / "head.csv").write_text("Pin,Function\n", encoding="utf-8")
    (tmp_path / "d.yaml").write_text("format: 1\nplugs: {X1: {}}\n", encoding="utf-8")
    before = everything()
    done = wiregen(*words)
    assert done.code == 2
    assert said in done.err
    assert "Traceback" not in done.err
    assert everything() == before


def told(path):
    """The rows of an exported table without the sources, which the import fills in."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return [row[:10] + row[11:] for row in csv.reader(file)]


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_export_of_the_demo_comes_back(wiregen, tmp_path, designs, kind):
    demo = designs / "tractor.yaml"
    assert wiregen("export", demo, "--as", kind, "-o", f"t.{kind}").code == 0
    assert wiregen("import", f"t.{kind}").code == 0
    assert wiregen("export", "t.yaml").code == 0
    assert wiregen("export", demo).code == 0
    assert told(tmp_path / "t-pins.csv") == told(tmp_path / "tractor-pins.csv")


def test_export_of_one_plug(wiregen, tmp_path, designs):
    done = wiregen("export", designs / "wiper-pinout.yaml", "--plug", "X1")
    assert done.code == 0
    text = (tmp_path / "wiper-pinout-pins.csv").read_bytes()
    assert text.startswith(b'\xef\xbb\xbf"plug","plug title","cavity"')


def test_sheet_is_chosen(wiregen, tmp_path):
    book = openpyxl.Workbook()
    for name, words in (("one", "horn"), ("two", "clock")):
        sheet = book.create_sheet(name)
        sheet.append(["Pin", "Function"])
        sheet.append([1, words])
    book.save(tmp_path / "b.xlsx")
    assert wiregen("import", "b.xlsx", "--sheet", "two").code == 0
    assert "carries: clock" in (tmp_path / "b.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("face", ["1 2 3 / 4 ~ 6", "iso-11446", "iso-15031-3", "1A, 58L / NO 010"])
def test_new_with_options_gives_a_sound_design(wiregen, face):
    words = ["--title", "My: loom", "--plug", "Plug #1", "--contacts", "pins", "--volts", "24 V"]
    assert wiregen("new", "n.yaml", "--face", face, *words).code == 0
    done = wiregen("check", "n.yaml")
    assert done.code == 0
    assert wiregen("draw", "n.yaml").code == 0


def test_new_asks_on_a_terminal(wiregen, tmp_path, monkeypatch):
    answers = iter(["Dash loom", "Dash plug", "1 2 / 3 4", "sockets", "12"])
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    monkeypatch.setattr(starter, "_ask", lambda question: next(answers))
    assert wiregen("new", "n.yaml").code == 0
    text = (tmp_path / "n.yaml").read_text(encoding="utf-8")
    assert "title: Dash plug" in text
    assert "face: [[1, 2], [3, 4]]" in text
    assert "contacts: sockets" in text
