"""The commands `states` and `size`: what they print, what they refuse, how they end."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from wiregen.cli.app import app

LIGHT = """\
format: 1
system: {volts: 12, ambient: 30}
looms: {one: {title: Lamp loom, status: new, insulation: thin-wall 105}}
earths: {EP1: {kind: chassis}}
fuses: {F1: {rating: 10, style: blade}}
devices:
  G1: {kind: battery, volts: 12.6, resistance: 10 mohm, terminals: [plus, minus]}
  S1: {kind: switch, terminals: [1, 2], positions: {"off": [], "on": [[1, 2]]}}
  P1: {kind: lamp, title: Work light, watts: 55, volts: 12, terminals: [1, 2]}
wires:
  W1: {from: "G1:plus", to: "F1:in", size: 2.5, length: 300, loom: one}
  W2: {from: "F1:out", to: "S1:1", size: 1.5, length: 1500, loom: one}
  W3: {from: "S1:2", to: "P1:1", size: 1.5, length: 2500, loom: one}
  W4: {from: "P1:2", to: EP1, size: 1.5, length: 500, loom: one}
  W5: {from: "G1:minus", to: EP1, size: 16, length: 500, loom: one}
states:
  dark: {S1: "off"}
  lit: {S1: "on"}
"""


def run(*words: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(app, list(words))
    return done.exit_code, done.stdout, done.stderr


@pytest.fixture
def design(tmp_path: Path) -> Path:
    path = tmp_path / "light.yaml"
    path.write_text(LIGHT, encoding="utf-8")
    return path


def test_states_as_data(design: Path) -> None:
    code, out, _ = run("states", str(design), "--format", "json")
    states = json.loads(out)["states"]
    assert code == 0
    assert list(states) == ["dark", "lit"]
    assert states["dark"]["amps"]["P1"] == 0
    # a battery that delivers shows a negative number, and the lamp gets what it delivers
    lit = states["lit"]
    assert lit["amps"]["G1"] == pytest.approx(-lit["amps"]["P1"], rel=1e-4)
    assert lit["amps"]["P1"] == pytest.approx(4.58, abs=0.2)
    assert lit["volts"]["EP1"] == pytest.approx(0, abs=1e-5)
    assert lit["volts"]["P1:1"] < lit["volts"]["S1:2"] < lit["volts"]["G1:plus"]


def test_states_as_text(design: Path) -> None:
    code, out, _ = run("states", str(design))
    assert code == 0
    assert "state lit" in out
    assert "P1 Work light" in out
    assert "F1 10 A blade" in out
    assert "33cfr183" in out
    assert "closed contact 0.005 ohm (from memory): S1" in out
    assert out.rstrip().endswith("The cable and fuse maker's data prevail.")


def test_no_word_claims_safety(design: Path) -> None:
    out = run("states", str(design))[1] + run("size", str(design))[1]
    for word in ("safe", "compl", "guarantee", "approved"):
        assert word not in out.lower()


def test_unknown_length_is_named_and_never_guessed(design: Path) -> None:
    design.write_text(LIGHT.replace(", length: 2500", ""), encoding="utf-8")
    out = run("states", str(design))[1]
    assert "needs length of W3" in out


def test_a_floating_end_has_no_voltage(design: Path) -> None:
    loose = LIGHT.replace('  W4: {from: "P1:2", to: EP1', '  W4: {from: "P1:2", to: EP2').replace(
        "EP1: {kind: chassis}", "EP1: {kind: chassis}, EP2: {kind: isolated}"
    )
    design.write_text(loose, encoding="utf-8")
    out = run("states", str(design), "--format", "json")[1]
    volts = json.loads(out)["states"]["dark"]["volts"]
    assert volts["P1:1"] is None
    assert volts["EP2"] is None
    assert "floating, no voltage" in run("states", str(design))[1]


def test_a_chattering_relay_gets_no_numbers(tmp_path: Path) -> None:
    path = tmp_path / "buzzer.yaml"
    path.write_text(
        """\
format: 1
system: {volts: 12}
earths: {EP1: {kind: chassis}}
devices:
  G1: {kind: battery, volts: 12.6, resistance: 10 mohm, terminals: [plus, minus]}
  K1: {kind: relay, coil: {from: 86, to: 85, ohms: 80}, rest: [[30, 87a]], pulled: [[30, 87]]}
wires:
  W1: {from: "G1:plus", to: "K1:30", resistance: 0}
  W2: {from: "K1:87a", to: "K1:86", resistance: 0}
  W3: {from: "K1:85", to: EP1, resistance: 0}
  W4: {from: "G1:minus", to: EP1, resistance: 0}
states: {on: {}}
""",
        encoding="utf-8",
    )
    code, out, _ = run("states", str(path), "--format", "json")
    state = json.loads(out)["states"]["on"]
    assert code == 1
    assert state == {"outcome": "no stable state", "chattering": ["K1"], "volts": {}, "amps": {}}
    assert "no stable state: K1" in run("states", str(path))[1]


def test_a_relay_of_unknown_coil_is_named(design: Path) -> None:
    relay = "  K1: {kind: relay, terminals: [1, 2, 3, 4], pulled: [[3, 4]]}\nwires:\n"
    more = '  W6: {from: "S1:2", to: "K1:1"}\n  W7: {from: "K1:2", to: EP1}\nstates:\n'
    design.write_text(LIGHT.replace("wires:\n", relay).replace("states:\n", more), encoding="utf-8")
    said = "not computed: whether it pulls in; counted as at rest; needs coil"
    assert said in run("states", str(design))[1]
    known = design.read_text(encoding="utf-8").replace("4]]}", "4]], coil: {from: 1, to: 2}}")
    design.write_text(known, encoding="utf-8")
    out = run("states", str(design))[1]
    assert said not in out
    usual = "coil of 85 ohm, usual at 12 V (relay data sheets): K1"
    assert f"taken where the file says nothing: {usual}" in out


def test_contacts_and_coil_taken_by_terminal_numbers_are_said(design: Path) -> None:
    relay = "  K1: {kind: relay, terminals: [30, 85, 86, 87]}\nwires:\n"
    more = '  W6: {from: "S1:2", to: "K1:86"}\n  W7: {from: "K1:85", to: EP1}\nstates:\n'
    design.write_text(LIGHT.replace("wires:\n", relay).replace("states:\n", more), encoding="utf-8")
    out = run("states", str(design))[1]
    for words in ("contacts", "coil from 86 to 85"):
        taken = f"{words} by the terminal numbers of DIN 72552: K1"
        assert f"taken where the file says nothing: {taken}" in out


def test_states_needs_states(design: Path) -> None:
    design.write_text(LIGHT[: LIGHT.index("states:")], encoding="utf-8")
    code, out, err = run("states", str(design))
    assert (code, out) == (2, "")
    assert "no states are declared" in err


def test_a_variant_has_to_be_chosen(design: Path) -> None:
    variants = "variants: {late: from 2020, early: before}\n"
    design.write_text(LIGHT + variants, encoding="utf-8")
    code, _, err = run("states", str(design))
    assert code == 2
    assert "choose one with --variant: early, late" in err
    assert run("states", str(design), "--variant", "late")[0] == 0
    assert "did you mean 'late'" in run("states", str(design), "--variant", "lat")[2]


def test_size_says_why_smaller_ones_fail(design: Path) -> None:
    code, out, _ = run("size", str(design), "--format", "json")
    data = json.loads(out)
    assert code == 0
    feed = data["wires"]["W2"]
    assert feed["has"] == "1.5"
    assert feed["smallest"] == "1"
    assert set(feed["failed"]) == {"0.35", "0.5", "0.75"}
    assert "33cfr183 has no size below 18 AWG" in feed["failed"]["0.75"]
    assert data["fuses"]["F1"]["smallest_a"] == 7.5
    assert "75 % of rating" in data["fuses"]["F1"]["failed"]["5"]


def test_size_finds_a_wire_that_is_too_small(design: Path) -> None:
    design.write_text(LIGHT.replace("rating: 10", "rating: 30"), encoding="utf-8")
    code, out, _ = run("size", str(design))
    assert code == 1
    assert "1.5 will not do: fuse 30 A, may carry 25 A (33cfr183: 16 AWG, 105 degC, 25 A)" in out


def test_size_judges_drop_when_the_design_limits_it(design: Path) -> None:
    limited = LIGHT.replace("ambient: 30}", "ambient: 30, drop: {default: 3 %}}")
    design.write_text(limited, encoding="utf-8")
    data = json.loads(run("size", str(design), "--format", "json")[1])
    assert data["wires"]["W3"]["failed"]["1"].startswith("drop 0.2")
    assert data["wires"]["W3"]["smallest"] == "2.5"


def test_size_write_fills_missing_values_only(design: Path) -> None:
    text = LIGHT.replace('to: "S1:1", size: 1.5, length', 'to: "S1:1", length').replace(
        "rating: 10, ", ""
    )
    design.write_text(text, encoding="utf-8")
    code, _, err = run("size", str(design), "--write")
    assert code == 0
    assert f"2 values written into {design}: W2 1 mm2, F1 7.5 A" in err
    written = design.read_text(encoding="utf-8")
    assert 'W2: {from: "F1:out", to: "S1:1", length: 1500, loom: one, size: 1}' in written
    assert "F1: {style: blade, rating: 7.5}" in written
    assert run("size", str(design), "--write")[2] == "nothing to write\n"
    assert design.read_text(encoding="utf-8") == written


def test_size_guesses_no_insulation(design: Path) -> None:
    design.write_text(LIGHT.replace(", insulation: thin-wall 105", ""), encoding="utf-8")
    out = run("size", str(design))[1]
    assert "  W4: has 1.5, carries 4.62 A at most; not sized\n" in out
    needs = "insulation with its temperature, as 'insulation: thin-wall 105' on loom or wire"
    assert out.count(needs) == 1
    assert f"  5 wires not judged without {needs}: what it may carry, and its fuse: W1, W2" in out
    alone = LIGHT.replace("length: 500, loom: one}\nstates", "length: 500}\nstates")
    design.write_text(alone, encoding="utf-8")
    assert f"at most; not sized; needs {needs}" in run("size", str(design))[1]


def test_size_needs_states(design: Path) -> None:
    design.write_text(LIGHT[: LIGHT.index("states:")], encoding="utf-8")
    code, _, err = run("size", str(design))
    assert code == 2
    assert "no states are declared" in err


def test_size_says_where_no_fuse_stands_before_a_wire(design: Path) -> None:
    wires = json.loads(run("size", str(design), "--format", "json")[1])["wires"]
    assert wires["W1"]["remark"].startswith("no fuse between G1 and this wire")
    assert wires["W5"]["remark"].startswith("a short ahead of the fuses")
    assert wires["W3"]["remark"] == ""


def test_states_lost(design: Path) -> None:
    code, out, _ = run("states", str(design), "--lost")
    assert code == 0
    assert "fuse F1 lost\n  lit: dead: P1" in out
    assert "closed contact 0.005 ohm (from memory): S1" in out
    assert out.rstrip().endswith("The cable and fuse maker's data prevail.")
    data = json.loads(run("states", str(design), "--lost", "--format", "json")[1])
    fuse = next(row for row in data["lost"] if row["object"] == "F1")
    assert fuse["effects"] == [{"load": "P1", "word": "dead", "volts": 0.0}]


def test_a_state_is_drawn_beside_the_plain_set(design: Path, tmp_path: Path) -> None:
    folder = tmp_path / "drawn"
    # 3 m of unfused wire: drawn all the same, the exit code tells of the error
    design.write_text(LIGHT.replace("length: 300", "length: 3000"), encoding="utf-8")
    assert run("draw", str(design), "-o", str(folder))[0] == 1
    plain = {path.name: path.read_bytes() for path in folder.iterdir()}
    kept = design.with_name("light.layout.yaml")
    layout = kept.read_bytes() if kept.exists() else b""
    code, out, _ = run("draw", str(design), "--state", "lit", "-o", str(folder))
    assert code == 1
    assert "light-state-lit-sheet-01.svg" in out
    assert "light-state-lit.pdf" in out
    assert {name: (folder / name).read_bytes() for name in plain} == plain
    assert (kept.read_bytes() if kept.exists() else b"") == layout


def test_an_unknown_state_is_refused_with_the_nearest_name(design: Path, tmp_path: Path) -> None:
    code, _, err = run("draw", str(design), "--state", "lot", "-o", str(tmp_path / "none"))
    assert code == 2
    assert "has no state 'lot'; did you mean 'lit'?" in err
    assert not (tmp_path / "none").exists()


CRANK = """
format: 1
system: {volts: 12}
looms: {one: {status: new, insulation: thin-wall 105}}
earths: {EP1: {kind: chassis}}
devices:
  G1: {kind: battery, volts: 12, resistance: 10 mohm, terminals: [plus], case: EP1}
  S1: {kind: switch, terminals: [1, 2], positions: {run: [], start: [["1", "2"]]}}
  M1:
    {kind: motor, use: starter, ohms: 0.05, volts: 12, terminals: [30, 50], case: EP1,
    coil: {from: 50, to: case, ohms: 5}}
  K1:
    {kind: relay, coil: {from: 86, to: 85, ohms: 100}, pulls_in: 8, drops_out: 7.5,
    rest: [], pulled: [[30, 87]]}
wires:
  W1: {from: "G1:plus", to: "M1:30", size: 35, length: 10, loom: one}
  W2: {from: "G1:plus", to: "S1:1", resistance: 0}
  W3: {from: "S1:2", to: "M1:50", resistance: 0}
  W4: {from: "G1:plus", to: "K1:86", resistance: 0}
  W5: {from: "K1:85", to: EP1, resistance: 0}
states:
  start: {S1: start}
"""


def test_cranking_is_told_on_a_weak_battery_too(tmp_path: Path) -> None:
    """11.4 V behind 30 mohm into 50 mohm: 7.1 V; with 12 V behind 10 mohm it is 10 V."""
    path = tmp_path / "crank.yaml"
    path.write_text(CRANK, "utf-8")
    lines = run("states", str(path))[1].splitlines()
    assert lines[0] == "state start (S1 start)"
    assert re.fullmatch(r"  G1 gives 20\d A at 9\.9\d V", lines[1])
    weak = (
        r"  on a weak battery \(95 % .*, from memory\): G1 gives 14\d A at 7\.1\d V; K1 drops out"
    )
    assert re.fullmatch(weak, lines[2])
    assert any(line.endswith(" degC if it lasted") for line in lines)


def test_each_segment_of_a_way_is_in_the_data(design: Path) -> None:
    lit = json.loads(run("states", str(design), "--format", "json")[1])["states"]["lit"]
    way = lit["ways"]["P1"]
    assert list(way) == ["W1", "F1", "W2", "S1", "W3", "W4", "W5"]
    volts = lit["volts"]
    assert sum(way.values()) == pytest.approx(
        volts["G1:plus"] - volts["P1:1"] + volts["P1:2"] - volts["G1:minus"], abs=1e-4
    )
    line = next(x for x in run("states", str(design))[1].splitlines() if "P1 Work light " in x)
    assert re.search(r"W3 0\.1\d V \(\d+ %\).*, \d more [\d.]+ mV$", line)
