"""The commands of the hand-over: `trace`, `tables`, `record`, `pack`."""

from __future__ import annotations

import json
import sys
from itertools import pairwise

from pypdf import PdfReader


def test_trace_prints_both_ways(wiregen, designs):
    done = wiregen("trace", designs / "tractor.yaml", "X1:3")
    assert (done.code, done.err) == (0, "")
    lines = done.out.splitlines()
    assert lines[0] == "X1:3 oil pressure switch, Engine plug, engine side"
    assert "To supply G1:plus, through A1.P4 Oil lamp, 1.2 W, inside Instrument panel" in lines
    assert "To earth G1:minus, through B3 Oil pressure switch" in lines
    assert any("W33 0.75 mm² GN/BK, 1300 mm, 34 mohm" in line for line in lines)


def test_trace_of_two_pins(wiregen, designs):
    done = wiregen("trace", designs / "tractor.yaml", "X4:A", "X2:4")
    assert done.code == 0
    assert "to X2:4, Engine plug, adapter side: joined by metal all the way" in done.out
    assert "splice J1 charge lamp joint (W15, W16, W17)" in done.out


def test_trace_as_data(wiregen, designs):
    done = wiregen("trace", designs / "tractor.yaml", "X4:H", "--format", "json")
    found = json.loads(done.out)
    (down,) = found["to_earth"]
    assert [leg["id"] for leg in down["legs"] if leg["kind"] == "wire"] == ["W48", "W49", "W3"]
    returns = {(way["end"], way["reaches"]) for way in found["to_supply"]}
    assert returns == {("X3:J", "load"), ("X3:D", "load")}  # lighting and the panel itself


def test_trace_of_an_earth_lists_what_returns_there(wiregen, designs):
    """Each load is named with where it is fed; its fuses belong to the trace of that pin."""
    done = wiregen("trace", designs / "tractor.yaml", "EP1")
    lines = done.out.splitlines()
    assert lines[2] == "To earth G1:minus"
    assert "Return of B3 Oil pressure switch" in lines
    assert "  fed at B3:1" in lines
    assert not any("fuse F13" in line for line in lines)


def test_a_part_beside_another_is_traced_in_its_own_right(wiregen, designs):
    """A3 as a whole and the solenoid inside it lie between the same two pins."""
    lines = wiregen("trace", designs / "tractor.yaml", "X2:7").out.splitlines()
    assert not any(
        line.startswith("  as above") and not following.strip()
        for line, following in pairwise(lines)
    )


def test_trace_of_a_cavity_without_a_wire_says_so(wiregen, designs):
    done = wiregen("trace", designs / "tractor.yaml", "X2:6")
    assert done.code == 2
    assert "X2:6 is without a wire: there is nothing to trace" in done.err
    assert "X1:6 is empty: " in wiregen("trace", designs / "tractor.yaml", "X1:6").err


def test_trace_behind_a_fuse(wiregen, designs):
    done = wiregen("trace", designs / "tractor.yaml", "--fuse", "F17")
    assert done.code == 0
    assert "Fuse F17 7.5 A blade, Side lights, in FB1 Cab fuse box" in done.out
    assert "pull X10/X11 Rear plug, cab side apart. Short gone: step 2; still: step 3" in done.out
    found = json.loads(
        wiregen("trace", designs / "tractor.yaml", "--fuse", "F17", "--format", "json").out
    )
    assert found["unplug"][0]["point"] == "X10/X11"


def test_labels_for_plain_paper_and_for_sheets_of_labels(wiregen, designs, tmp_path):
    """1 mm is 72 / 25.4 points; a roll has a page for each label and one for the ruler."""
    tractor = designs / "tractor.yaml"
    assert wiregen("tables", tractor, "-o", "plain").code == 0
    plain = PdfReader(tmp_path / "plain/tractor-labels.pdf")
    assert [points(page) for page in plain.pages] == [(595.3, 841.9)]
    done = wiregen("tables", tractor, "-o", "roll", "--labels", "40x12 paper=40x12")
    assert done.code == 0
    roll = PdfReader(tmp_path / "roll/tractor-labels.pdf")
    rows = (tmp_path / "roll/tractor-labels.csv").read_text("utf-8-sig").splitlines()
    assert [points(page) for page in roll.pages] == [(113.4, 34.0)] * len(rows)
    assert "W1 35 mm² RD" in roll.pages[1].extract_text()
    assert roll.pages[1].extract_text().count("G1:plus > M1:30") == 2


def test_labels_without_room_for_their_words_are_named(wiregen, designs, tmp_path):
    done = wiregen("tables", designs / "tractor.yaml", "-o", "t", "--labels", "15x5")
    assert done.code == 0
    assert "wiregen: no room for all the words on the labels of W1, W2, " in done.err


def test_words_that_are_no_sheet_of_labels_write_nothing(wiregen, designs, everything):
    done = wiregen("tables", designs / "tractor.yaml", "--labels", "48x25 colums=4")
    assert (done.code, done.out) == (2, "")
    assert "wiregen: --labels: 'colums=4' is none of columns, rows, " in done.err
    assert "did you mean 'columns'?" in done.err
    assert everything() == []


def points(page) -> tuple[float, float]:
    return tuple(round(float(side), 1) for side in page.mediabox[2:])


def test_trace_of_nothing_known(wiregen, designs):
    done = wiregen("trace", designs / "tractor.yaml", "X1:33")
    assert (done.code, done.out) == (2, "")
    assert "there is no pin 'X1:33' to trace; did you mean 'X1:3'?" in done.err
    assert wiregen("trace", designs / "tractor.yaml").code == 2
    assert wiregen("trace", designs / "tractor.yaml", "--fuse", "F99").code == 2


def test_what_is_no_pin_is_answered_with_its_pins(wiregen, designs):
    """Ends as they stand in the file: W19 runs from X2:5 to X4:C, W86 begins at X2:9 and is cut."""
    for name, said in (
        ("W19", "W19 is a wire: trace X2:5 or X4:C"),
        ("W86", "W86 is a wire: trace X2:9"),
        ("G1", "G1 is a device: trace G1:minus or G1:plus"),
        ("S1", "S1 is a device: trace S1:15, S1:19, S1:30 or S1:50"),
        ("F13", "F13 is a fuse: trace F13:in or F13:out"),
        ("FB1", "FB1 is a fuse box: trace FB1:15 or FB1:30"),
        ("X9", "X9 is a plug: trace X9:1 or X9:2"),
        ("X3", "X3 is a plug: trace one of its 11 pins, such as X3:A"),
        ("A1", "A1 is a device: trace one of its 11 pins, such as X3:A"),
        ("SC1", "SC1 is a group of wires: trace X4:G, X2:5 or X4:C"),
    ):
        done = wiregen("trace", designs / "tractor.yaml", name)
        assert (done.code, done.out) == (2, "")
        assert done.err.strip().endswith(said)
    for name in ("J1", "EP1"):
        assert wiregen("trace", designs / "tractor.yaml", name).code == 0


def test_trace_says_which_screen_ends_at_a_pin(wiregen, designs):
    """W19 runs from X2:5 to the panel plug X4; its screen goes into the same plug."""
    for pin in ("X4:G", "X3:G"):
        done = wiregen("trace", designs / "tractor.yaml", pin)
        said = "the screen of W19 (SC1) ends here; cut back and insulated at X2:5"
        assert done.out.splitlines()[1] == said
        assert "To earth G1:minus" in done.out
    assert "screen" not in wiregen("trace", designs / "tractor.yaml", "X4:C").out


def test_trace_is_drawn_where_asked(wiregen, designs, everything):
    done = wiregen("trace", designs / "tractor.yaml", "X1:3", "-o", "drawn")
    assert done.code == 0
    assert everything() == ["drawn/tractor-trace-X1-3.pdf", "drawn/tractor-trace-X1-3.svg"]


def test_tables_are_written_as_text_workbook_and_paper(wiregen, designs, everything):
    done = wiregen("tables", designs / "trailer-adapter.yaml", "-o", "made")
    assert done.code in (0, 1)
    assert done.err == ""
    names = everything()
    assert "made/trailer-adapter-tables.pdf" in names
    assert "made/trailer-adapter-tables.xlsx" in names
    assert {f"made/trailer-adapter-{n}.csv" for n in ("wires", "cut", "parts", "fuses")} <= set(
        names
    )
    assert done.out.splitlines()[:-1] == [n for n in done.out.splitlines()[:-1] if n in names]


RESULTS = """Test,Reading,Found at,Colour seen,By,Date
W31,,X4:E,,AB,2026-12-01
W33,,X4:B,,AB,2026-12-01
W23,0.1,,,AB,2026-12-01
W49,OL,,,AB,2026-12-01
"""


def test_results_are_judged_kept_and_pins_marked(wiregen, designs, tmp_path):
    design = tmp_path / "tractor.yaml"
    design.write_bytes((designs / "tractor.yaml").read_bytes())
    (tmp_path / "results.csv").write_text(RESULTS, "utf-8")
    done = wiregen("record", "tractor.yaml", "results.csv")
    assert done.code == 1
    assert "W31: swapped pair: W31 and W33 are exchanged at X4 B and E" in done.out
    assert "no return for A1.P8 Panel lighting, 3.6 W, inside Instrument panel; A1" in done.out
    assert "not done: W1, W2, W3, " in done.out
    kept = (tmp_path / "tractor.measured.yaml").read_text("utf-8")
    assert "  W23: {reading: 0.1, by: AB, date: 2026-12-01, made_of: " in kept.replace('"', "")
    assert design.read_bytes() == (designs / "tractor.yaml").read_bytes()
    (tmp_path / "more.csv").write_text("Test,Reading\nW49,ok\nW30,0.1\nW31,0.1\nW33,0.1\n", "utf-8")
    done = wiregen(
        "record", "tractor.yaml", "more.csv", "--date", "2026-12-02", "--by", "CD", "--write"
    )
    assert done.code == 0
    assert "swapped" not in done.out
    text = design.read_text("utf-8")
    assert text.count("measured: 2026-12-02") == 6  # X1:2, X5:7, and X2 2, 3, X4 B, E
    assert "tractor.yaml: 8 pins marked measured" in done.out  # X6:6 and X8:1 the day before
    assert "pins: {2: {measured: 2026-12-02}, 3: {measured: 2026-12-02}}}" in text
    assert "W23: {" in (tmp_path / "tractor.measured.yaml").read_text("utf-8")


LIBRARY = """format: 1
plugs:
  X1:
    title: Lamp plug        # as on the bench
    loom: new
    face: [[1, 2, 3]]
    pins:
      1: {carries: lamp}    # the left one
      3: reserved
"""
MAIN = """format: 1
include: library/plugs.yaml
looms: {new: {status: new}}
plugs:
  X2: {title: Side plug, loom: new, face: [[1, 2, 3]]}   # no pins yet
wires:
  W1: {from: X1:1, to: X2:1, loom: new}
  W2: {from: X1:2, to: X2:2, loom: new}
  W3: {from: X1:3, to: X2:3, loom: new}
"""


def test_pins_are_marked_in_the_file_that_holds_their_plug(wiregen, tmp_path):
    (tmp_path / "library").mkdir()
    library, main = tmp_path / "library" / "plugs.yaml", tmp_path / "lamp.yaml"
    library.write_text(LIBRARY, "utf-8")
    main.write_text(MAIN, "utf-8")
    (tmp_path / "r.csv").write_text("Test,Reading\nW1,0.1\nW2,0.1\nW3,0.1\n", "utf-8")
    done = wiregen("record", "lamp.yaml", "r.csv", "--date", "2026-12-02", "--write")
    assert done.code == 0
    assert library.read_text("utf-8") == LIBRARY.replace(
        "{carries: lamp}", "{carries: lamp, measured: 2026-12-02}"
    ).replace("      3: reserved\n", "      3: reserved\n      2: {measured: 2026-12-02}\n")
    pins = ", ".join(f"{n}: {{measured: 2026-12-02}}" for n in (1, 2, 3))
    assert main.read_text("utf-8") == MAIN.replace("2, 3]]}   #", f"2, 3]], pins: {{{pins}}}}}   #")
    lines = done.out.splitlines()
    assert "library/plugs.yaml: 2 pins marked measured" in lines
    assert "lamp.yaml: 3 pins marked measured" in lines
    assert "not marked: X1:3: the file says reserved, a wire was measured there" in lines
    again = wiregen("record", "lamp.yaml", "r.csv", "--date", "2026-12-02", "--write")
    assert "marked measured" not in again.out


def test_volts_prove_a_pin_and_a_dead_cavity_does_not(wiregen, designs, tmp_path):
    design = tmp_path / "tractor.yaml"
    design.write_bytes((designs / "tractor.yaml").read_bytes())
    (tmp_path / "v.csv").write_text("Test,Reading\nX5:3 run,13.0\nX5:6 key off,0\n", "utf-8")
    done = wiregen("record", "tractor.yaml", "v.csv", "--date", "2026-12-09", "--write")
    assert "tractor.yaml: 1 pin marked measured" in done.out
    (line,) = [ln for ln in design.read_text("utf-8").splitlines() if "2026-12-09" in ln]
    assert line.strip().startswith("3: {carries: panel feed")


def test_a_changed_wire_is_void_until_it_is_measured_again(wiregen, designs, tmp_path):
    design = tmp_path / "tractor.yaml"
    text = (designs / "tractor.yaml").read_text("utf-8")
    design.write_text(text, "utf-8")
    (tmp_path / "r.csv").write_text("Test,Reading\nW31,0.1\nW33,0.1\nX4:B run,ok\n", "utf-8")
    assert wiregen("record", "tractor.yaml", "r.csv", "--date", "2026-12-01").code == 0
    line = "W31: {from: X2:2,     to: X4:B,   colour: BU/WH, size: 0.75, length: 1300"
    assert line in text
    design.write_text(text.replace(line, line.replace("1300", "1350")), "utf-8")
    (tmp_path / "none.csv").write_text("Test,Reading\nW35,0.1\n", "utf-8")
    done = wiregen("record", "tractor.yaml", "none.csv", "--date", "2026-12-02")
    assert "W31: void, the wire was changed; measured 2026-12-01 when it was: " in done.out
    assert "wiring: 2 good, 0 bad, 1 void, " in done.out
    said = wiregen("check", "tractor.yaml").out.splitlines()
    assert said[-1] == (
        "tractor.measured.yaml: 2 recorded values are void, the wire was changed since; "
        "measure again: W31, X4:B run"
    )
    again = wiregen("record", "tractor.yaml", "r.csv", "--date", "2026-12-03")
    assert "void, the wire" not in again.out
    assert "wiring: 3 good, 0 bad, 0 void, " in again.out
    assert "recorded" not in wiregen("check", "tractor.yaml").out


def test_results_that_cannot_be_used_change_nothing(wiregen, designs, tmp_path, everything):
    (tmp_path / "results.csv").write_text("Test,Reading\nW31,0.1\n", "utf-8")
    done = wiregen("record", designs / "tractor.yaml", "results.csv")
    assert done.code == 2
    assert "W31 has no date" in done.err
    done = wiregen("record", designs / "tractor.yaml", "results.csv", "--date", "yesterday")
    assert done.code == 2
    assert "--date: 'yesterday' is not a day such as 2026-12-01" in done.err
    assert everything() == ["results.csv"]


def test_a_pack_with_the_tables_beside_it(wiregen, designs, everything):
    done = wiregen("pack", designs / "wiper-pinout.yaml", "--for", "customer", "-o", "made")
    assert done.code in (0, 1)
    names = everything()
    assert "made/wiper-pinout-pack-customer.pdf" in names
    assert {"made/wiper-pinout-pins.csv", "made/wiper-pinout-test.csv"} <= set(names)


def test_a_pack_for_nobody_known(wiregen, designs, everything):
    assert wiregen("pack", designs / "wiper-pinout.yaml", "--for", "me").code == 2
    assert everything() == []


VARIANTS = """format: 1
variants: {long: with trailer socket, short: without}
looms: {old: {status: existing}, new: {status: new}}
plugs:
  X1:
    title: Lamp plug
    loom: old
    mates: X2
    contacts: sockets
    face: [[1, 2]]
    pins: {1: {carries: lamp, source: sheet}, 2: {carries: earth, source: sheet}}
  X2: {title: Adapter plug, loom: new, contacts: pins}
earths: {EP1: {}}
devices: {P1: {kind: lamp, terminals: [1, 2]}, B1: {kind: load, terminals: [1, 2]}}
wires:
  W1: {from: "P1:1", to: X1:1, colour: RD, size: 1.0, length: 500, loom: old}
  W2: {from: EP1, to: X1:2, colour: BN, size: 1.0, length: 500, loom: old}
  W3: {only: [long], from: "P1:2", to: EP1, colour: BN, size: 1.0, length: 400, loom: old}
  W4: {from: "B1:1", to: X2:1, colour: RD, size: 1.0, length: 300, loom: new}
  W5: {from: "B1:2", to: X2:2, colour: BN, size: 1.0, length: 300, loom: new}
"""


def test_what_was_measured_belongs_to_its_variant(wiregen, tmp_path):
    (tmp_path / "lamp.yaml").write_text(VARIANTS, "utf-8")
    (tmp_path / "r.csv").write_text("Test,Reading\nW1,0.1\nW2,0.1\n", "utf-8")
    (tmp_path / "s.csv").write_text("Test,Reading\nW2,OL\n", "utf-8")
    usual = ("--date", "2026-12-01", "--variant")
    assert wiregen("record", "lamp.yaml", "r.csv", *usual, "long").code == 0
    done = wiregen("record", "lamp.yaml", "s.csv", *usual, "short")
    assert "W2: missing earth" in done.out
    assert "wiring: 0 good, 1 bad, 0 void, 7 not done" in done.out
    kept = (tmp_path / "lamp.measured.yaml").read_text("utf-8").splitlines()
    assert [line for line in kept if line.startswith("  ") and line[2] != " "] == [
        "  long:",
        "  short:",
    ]
    (tmp_path / "lamp.yaml").write_text(VARIANTS.replace("0, length: 500", "5, length: 500"))
    void = wiregen("check", "lamp.yaml").out.splitlines()[-1]
    assert void == (
        "lamp.measured.yaml: 3 recorded values are void, the wire was changed since; "
        "measure again: W1 of long, W2 of long, W2 of short"
    )
    assert wiregen("pack", "lamp.yaml", "--variant", "short", "-o", "p").code == 0
    pages = [page.extract_text() for page in PdfReader(tmp_path / "p/lamp-short-pack.pdf").pages]
    assert all("lamp · variant short" in text for text in pages)
    assert any("Measured on variant short." in text for text in pages)


def test_a_recorded_pin_counts_as_measured_for_the_rules(wiregen, tmp_path):
    """DOC202 asks for a measured pin before the build; `record` has measured it."""
    plain = VARIANTS.replace("variants: {long: with trailer socket, short: without}\n", "")
    plain = plain.replace("only: [long], ", "")
    (tmp_path / "lamp.yaml").write_text(plain, "utf-8")
    (tmp_path / "r.csv").write_text("Test,Reading\nW1,0.1\n", "utf-8")
    before = wiregen("check", "lamp.yaml").out
    assert "DOC202: 2 pins that new wires meet were not measured: X1:1, X1:2" in before
    assert wiregen("record", "lamp.yaml", "r.csv", "--date", "2026-12-01").code == 0
    after = wiregen("check", "lamp.yaml").out
    assert "DOC202: X1:2 was not measured, and new wire W5 meets it" in after
    assert wiregen("pack", "lamp.yaml", "-o", "p").code == 0
    text = PdfReader(tmp_path / "p/lamp-pack.pdf").pages[0].extract_text()
    assert "1 of 2 pins measured" in text


def test_a_design_with_variants_needs_one(wiregen, designs, everything):
    vocabulary = designs / "vocabulary.yaml"
    for words in (("trace", vocabulary, "X1:1"), ("tables", vocabulary), ("pack", vocabulary)):
        done = wiregen(*words)
        assert done.code == 2
        assert "choose one with --variant: " in done.err
    assert everything() == []
    done = wiregen("tables", vocabulary, "--variant", "late", "-o", "made")
    assert done.code in (0, 1)
    assert "made/vocabulary-late-wires.csv" in everything()


def test_trace_tells_the_volts_of_every_state(wiregen, designs):
    done = wiregen("trace", designs / "tractor.yaml", "X4:D")
    (head,) = [line for line in done.out.splitlines() if line.startswith("volts expected")]
    states = head.removeprefix("volts expected").split("  ")
    assert "key off" in " ".join(states)
    (own,) = [line for line in done.out.splitlines() if line.startswith("X4:D   ")]
    volts = [float(word) for word in own.split()[1:]]
    assert max(volts) > 12
    assert min(volts) < 0.1


def test_inputs_of_units_on_the_same_metal_are_named(wiregen, designs):
    done = wiregen("trace", designs / "tractor.yaml", "J3")
    lines = done.out.splitlines()
    place = lines.index("Also on this metal")
    assert lines[place + 1] == "  X7:3 start signal, Glow timer plug, timer side"


def test_without_the_workbook_library_the_rest_is_written(
    wiregen, designs, everything, monkeypatch
):
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)
    done = wiregen("tables", designs / "wiper-pinout.yaml", "-o", "made")
    assert done.code in (0, 1)
    assert "pip install xlsxwriter" in done.err
    names = everything()
    assert "made/wiper-pinout-wires.csv" in names
    assert "made/wiper-pinout-tables.xlsx" not in names
