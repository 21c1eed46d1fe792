"""Mistakes built into two looms, measured by a man with a meter, named by `record`.

The readings come from `meter`: a loom with a fault in it, probed row by row as its own test sheet
asks. He either looks where a wire has gone that does not read, or writes OL and goes on.
"""

from __future__ import annotations

import csv
import io
from itertools import combinations
from pathlib import Path

import openpyxl
import pytest

from tests.publish.meter import Loom, fill_in
from wiregen.connect import connect
from wiregen.publish.proving import prove, result_table
from wiregen.publish.proving.judge import judge_results, lines_of
from wiregen.publish.proving.results import Result, read_results
from wiregen.publish.tables.write import to_csv, to_xlsx
from wiregen.read import load

LOOMS = Path(__file__).parent / "looms"
USUAL = Result("", by="AB", meter="M1", date="2026-12-03")


class Bench:
    """A design with its test sheet."""

    def __init__(self, name: str) -> None:
        self.path = LOOMS / f"{name}.yaml"
        self.design = load(self.path).design
        self.network = connect(self.design)
        self.proof = prove(self.design, self.network)
        self.sheet = to_csv(result_table(self.proof)).decode("utf-8-sig")

    def read(self, path: Path):
        results = read_results(path, self.proof.checks, USUAL)
        return judge_results(self.design, self.network, self.proof.checks, results)

    def verdicts(self, folder: Path, plant, **how) -> dict[str, str]:
        """What is said of a loom with a fault; tests that read good are left out."""
        loom = Loom(self.path)
        plant(loom)
        path = folder / "results.csv"
        path.write_text(fill_in(loom, self.sheet, **how), "utf-8")
        return {one.check.id: one.words for one in self.read(path) if one.verdict == "bad"}


@pytest.fixture(scope="module")
def boat():
    return Bench("boat")


@pytest.fixture(scope="module")
def sorter():
    return Bench("sorter")


@pytest.fixture(params=[True, False], ids=["looks", "reads only"])
def looks(request):
    return request.param


def starts(found: dict[str, str]) -> dict[str, str]:
    """The name of each mistake: what stands before the first colon."""
    return {test: words.partition(":")[0] for test, words in found.items()}


def test_expected_ohms_are_those_of_the_tables(boat, sorter):
    """1.0 mm2 is 19.5 mohm/m, 2.5 mm2 7.98 (IEC 60228 class 5, bayka.de); 18 AWG is 20.95 mohm/m,
    14 AWG 8.286 (ASTM B258: 6.385 and 2.525 ohm for 1000 ft)."""
    metric = {check.id: check for check in boat.proof.continuity}
    assert metric["W6"].expect == pytest.approx(6.0 * 0.0195)
    assert metric["W8"].expect == pytest.approx(5.5 * 0.00798 + 0.5 * 0.0195)  # W8, J1, W9
    assert metric["W6"].high == pytest.approx(6.0 * 0.0195 + 0.010 + 0.2)  # one contact, meter
    awg = {check.id: check for check in sorter.proof.continuity}
    assert awg["101"].expect == pytest.approx(0.8 * 0.02095, rel=2e-3)
    assert awg["105"].expect == pytest.approx(1.9 * 0.008286, rel=2e-3)


def test_a_good_loom_is_good(boat, sorter, tmp_path, looks):
    for bench in (boat, sorter):
        assert bench.verdicts(tmp_path, lambda loom: None, looks=looks) == {}


def test_swapped_pair(boat, sorter, tmp_path, looks):
    """The boat's test sheet cannot tell two open wires from a pair until somebody looks."""
    found = boat.verdicts(tmp_path, lambda loom: loom.swap("W3", "W4", "X1"), looks=looks)
    assert set(found) == {"W3", "W4"}
    if looks:
        assert found["W3"] == (
            "swapped pair: W3 and W4 are exchanged at X1 1 and 2, or else at S1:2 and F2:out; "
            "change the two contacts over at one end"
        )
    else:
        assert found["W3"].startswith("open like W4: X1 1 and 2 are exchanged, or else contact ")
    found = sorter.verdicts(tmp_path, lambda loom: loom.swap("107", "109", "P20"), looks=looks)
    assert starts(found) == {
        "107": "swapped pair",
        "109": "swapped pair",
        "ISO-107": "no short of its own" if not looks else "no short of its own, joined to P20",
        "ISO-109": "no short of its own" if not looks else "no short of its own, joined to P10",
    }
    assert "107 and 109 are exchanged at P20 c and d, or else at P10 4 and 7" in found["107"]
    assert found["ISO-107"].endswith("P20 c and d are exchanged, see 107")


MIRRORED = {
    "X2": {"1": "3", "3": "1", "4": "6", "6": "4"},
    "X4": {"1": "4", "2": "3", "3": "2", "4": "1"},
    "P10": {"1": "5", "2": "4", "4": "2", "5": "1", "6": "10", "7": "9", "9": "7", "10": "6"},
    "P20": {"b": "g", "c": "f", "d": "e", "e": "d", "f": "c", "g": "b"},
}


@pytest.mark.parametrize(("name", "plug"), [("boat", "X2"), ("boat", "X4"), ("sorter", "P10"),
                                            ("sorter", "P20")])  # fmt: skip
def test_mirrored_plug(request, tmp_path, looks, name, plug):
    """Cavities in rows of 3, 4 and 5 and in a ring of 7 with `a` at the top, read off by hand."""
    bench = request.getfixturevalue(name)
    found = bench.verdicts(tmp_path, lambda loom: loom.mirror(plug, MIRRORED[plug]), looks=looks)
    assert len(found) >= 4
    for test, words in found.items():
        if test.startswith("ISO-"):
            assert words.startswith("no short of its own")
            assert f"{plug} is mirrored, see " in words
        else:
            assert words.startswith(f"mirrored plug: {plug} is loaded as seen from the wrong side")


def test_open(boat, tmp_path, looks):
    found = boat.verdicts(tmp_path, lambda loom: loom.cut("W15"), looks=looks)
    assert list(found) == ["W15"]
    assert found["W15"].startswith("open: W15 is not through: contact not latched")


def test_short_to_a_neighbour(boat, sorter, tmp_path, looks):
    """Found by both pieces it joins; the pair is told even where nobody wrote it down."""
    found = boat.verdicts(tmp_path, lambda loom: loom.bridge("X1:1", "X1:2"), looks=looks)
    assert set(found) == {"ISO-W3", "ISO-W4"}
    assert all(words.startswith("short between X1:1 and X1:2, read 0.") for words in found.values())
    found = sorter.verdicts(tmp_path, lambda loom: loom.bridge("P10:7", "E1"), looks=looks)
    assert starts(found)["ISO-109"].startswith("short between P10")


def test_wrong_splice_leg(boat, tmp_path, looks):
    found = boat.verdicts(tmp_path, lambda loom: loom.put("W13", "J2", "J1"), looks=looks)
    assert set(found) == {"W12", "W13", "ISO-W8"}
    for test in ("W12", "W13"):
        assert found[test].startswith("wrong splice leg: W13 is crimped into J1 instead of J2")
    assert "W13 is in J1 instead of J2, see W12" in found["ISO-W8"]


def test_a_leg_that_is_in_no_splice(boat, tmp_path, looks):
    found = boat.verdicts(tmp_path, lambda loom: loom.cut("W18"), looks=looks)
    assert set(found.values()) == {
        "open: W18 is not in splice J1, or broken: look for it in the other splices"
    }


def test_missing_earth(boat, sorter, tmp_path, looks):
    found = boat.verdicts(tmp_path, lambda loom: loom.cut("W14"), looks=looks)
    assert found["W14"].startswith("missing earth: W14 does not reach EP1: ring not bolted on")
    found = sorter.verdicts(tmp_path, lambda loom: loom.cut("110"), looks=looks)
    assert found["110"].endswith("no return for Y1 Gate valve, 20 W; Y2 Air valve, 15 W")
    found = sorter.verdicts(tmp_path, lambda loom: loom.cut("302"), looks=looks)
    assert starts(found) == {"302": "missing earth"}


def test_high_ohms(boat, sorter, tmp_path, looks):
    found = boat.verdicts(tmp_path, lambda loom: loom.ohm.update(W17=0.9), looks=looks)
    assert found["W17"].startswith("high resistance: read 0.96, expected 0.104 ohm, good is up to")
    found = sorter.verdicts(tmp_path, lambda loom: loom.ohm.update({"206": 1.1}), looks=looks)
    assert set(found) == {"205", "206"}
    assert all(words.endswith("; look at 206") for words in found.values())


def test_wire_in_wrong_plug(boat, sorter, tmp_path, looks):
    found = boat.verdicts(tmp_path, lambda loom: loom.put("W15", "X3", "X4:3"), looks=looks)
    assert set(found) == {"W15", "ISO-W15"}
    if looks:
        assert found["W15"] == "wire in wrong plug: W15 ends in X4:3 instead of X3:B"
    else:
        assert found["W15"] == (
            "wrong cavity: W15 is not in X3:B; find where it is, move its contact"
        )
    found = sorter.verdicts(tmp_path, lambda loom: loom.put("109", "P10", "P30:3"), looks=looks)
    where = "P30:3" if looks else "P21:d or P30:3"
    assert found["109"] == f"wire in wrong plug: 109 ends in {where} instead of P10:7"


def test_wrong_colour(boat, sorter, tmp_path, looks):
    colours = {"W4": "BU", "W6": "GY / RD"}
    found = boat.verdicts(tmp_path, lambda loom: None, colours=colours, looks=looks)
    assert list(found) == ["W4"]
    assert found["W4"].startswith("wrong colour: W4 is BU, drawn GY/BU")


def test_not_done(boat, tmp_path, looks):
    path = tmp_path / "results.csv"
    path.write_text(fill_in(Loom(boat.path), boat.sheet, skip=("W9", "ISO-W3")), "utf-8")
    lines = list(lines_of(boat.read(path)))
    assert lines[0] == "not done: W9, ISO-W3"


def test_two_mistakes_at_once(sorter, tmp_path, looks):
    def pair_and_earth(loom):
        loom.swap("106", "107", "P10")
        loom.cut("110")

    found = starts(sorter.verdicts(tmp_path, pair_and_earth, looks=looks))
    assert (found["106"], found["107"], found["110"]) == (
        "swapped pair",
        "swapped pair",
        "missing earth",
    )

    def mirror_and_open(loom):
        loom.mirror("P20", MIRRORED["P20"])
        loom.cut("105")

    found = starts(sorter.verdicts(tmp_path, mirror_and_open, looks=looks))
    assert found["105"] == "open"
    assert {found[test] for test in ("106", "107", "109", "110")} == {"mirrored plug"}

    def short_and_joint(loom):
        loom.bridge("P10:3", "P10:4")
        loom.ohm["108"] = 0.7

    found = sorter.verdicts(tmp_path, short_and_joint, looks=looks)
    assert found["108"].startswith("high resistance")
    assert found["ISO-106"].startswith("short between P10:3 and P10:4")


def test_three_contacts_that_went_round(sorter, tmp_path):
    def ring(loom):
        loom.swap("106", "107", "P10")
        loom.swap("107", "109", "P10")

    found = sorter.verdicts(tmp_path, ring)
    assert found["106"] == (
        "mixed up in P20: move 106 from P20:d to P20:b, 107 from P20:b to P20:c, "
        "109 from P20:c to P20:d"
    )


@pytest.mark.parametrize("name", ["boat", "sorter"])
def test_every_pair_of_every_plug(request, tmp_path, name):
    """Two wires of one plug in each other's place, whichever they are, are found where they are."""
    bench = request.getfixturevalue(name)
    drawn = Loom(bench.path)
    pairs = [
        (one, two, plug)
        for one, two in combinations(drawn.drawn, 2)
        for plug in drawn.plugs
        if all(any(n.startswith(f"{plug}:") for n in drawn.drawn[w]) for w in (one, two))
    ]
    assert len(pairs) > 20
    for one, two, plug in pairs:
        found = bench.verdicts(tmp_path, lambda loom, pair=(one, two, plug): loom.swap(*pair))
        said = " ".join(found.values())
        ends = [
            node.partition(":")[2]
            for wire in (one, two)
            for node in drawn.drawn[wire]
            if node.startswith(f"{plug}:")
        ]
        both = {f"{plug} {ends[0]} and {ends[1]}", f"{plug} {ends[1]} and {ends[0]}"}
        assert any(words in said for words in both), (one, two, plug, found)


@pytest.mark.parametrize("name", ["boat", "sorter"])
def test_every_wire_cut(request, tmp_path, looks, name):
    """One broken wire is named in every test that shows it, and nothing else is blamed."""
    bench = request.getfixturevalue(name)
    for wire in Loom(bench.path).drawn:
        found = bench.verdicts(tmp_path, lambda loom, cut=wire: loom.cut(cut), looks=looks)
        assert found, wire
        assert all(f" {wire} " in words for words in found.values()), (wire, found)


# ---- the ways people write -----------------------------------------------------------------------

WAYS = {
    "milliohms": lambda ohm: f"{ohm * 1000:.0f} mohm",
    "milliohms short": lambda ohm: f"{ohm * 1000:.0f} mΩ",
    "kiloohms": lambda ohm: f"{ohm / 1000:.5f} k",
    "ohms": lambda ohm: f"{ohm:.2f} Ohm",
    "decimal comma": lambda ohm: f"{ohm:.2f}".replace(".", ","),
    "comma and unit": lambda ohm: f"{ohm:.2f} Ω".replace(".", ","),
    "less than": lambda ohm: f"< {ohm:.1f}",
}


@pytest.mark.parametrize("write", WAYS.values(), ids=WAYS)
def test_every_way_of_writing_ohms_is_read_alike(sorter, tmp_path, write):
    def plant(loom):
        loom.ohm["109"] = 0.6
        loom.bridge("P20:a", "P20:b")

    found = starts(sorter.verdicts(tmp_path, plant, write=write))
    assert found == {
        "109": "high resistance",
        "ISO-105": "short between P20",
        "ISO-106": "short between P20",
    }


@pytest.mark.parametrize("word", ["O.L", "0L", "overload", "open", "1 .", "offen", "∞", ">20M"])
def test_words_for_no_connection(sorter, tmp_path, word):
    path = tmp_path / "results.csv"
    loom = Loom(sorter.path)
    loom.cut("109")
    path.write_text(fill_in(loom, sorter.sheet).replace(",OL,", f",{word},"), "utf-8")
    found = {one.check.id: one.words for one in sorter.read(path) if one.verdict == "bad"}
    assert list(found) == ["109"]
    assert found["109"].startswith("open: 109 is not through")


def test_a_sheet_from_any_spreadsheet_is_read(sorter, tmp_path):
    """Semicolons, a mark at the start, another code page, empty lines and cells, a workbook."""
    loom = Loom(sorter.path)
    loom.cut("109")
    filled = fill_in(loom, sorter.sheet, write=lambda ohm: f"{ohm:.2f}")
    rows = [line for line in filled.splitlines() if line]
    table = [next(csv.reader([row])) for row in rows]
    semicolons = "\r\n".join(
        ";".join(f'"{cell}"' if ";" in cell or '"' in cell else cell for cell in cells)
        for cells in table
    ).replace(";0.", ";0,")
    ways = {
        "semicolons.csv": ("\ufeff" + semicolons).encode("utf-8"),
        "code-page.csv": semicolons.replace("²", "2").encode("cp1252", "replace"),
        "sixteen.csv": semicolons.encode("utf-16"),
        "gaps.csv": "\n\n".join(filled.splitlines()).encode("utf-8"),
    }
    book = openpyxl.load_workbook(io.BytesIO(to_xlsx([result_table(sorter.proof)])))
    for place, cells in enumerate(table, start=1):
        for column, cell in enumerate(cells, start=1):
            number = place > 1 and table[0][column - 1] == "Reading" and cell[:1].isdigit()
            book["test"].cell(place, column, float(cell) if number else cell or None)
    out = io.BytesIO()
    book.save(out)
    ways["book.xlsx"] = out.getvalue()
    for name, content in ways.items():
        path = tmp_path / name
        path.write_bytes(content)
        found = {one.check.id: one.words for one in sorter.read(path) if one.verdict == "bad"}
        assert starts(found) == {"109": "open"}, name
