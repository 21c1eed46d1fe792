"""`size --write` and `--all`: what is written, what is left alone, and what is said of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from wiregen.check import check
from wiregen.cli.app import app
from wiregen.read import load

MAIN = """\
# my boat, keep this line
format: 1
system: {volts: 12, ambient: 40, drop: {default: 3 %}}       # engine room
include: [parts/loom.yaml]
earths: {EP1: {kind: chassis}}
fuses:
  F1: {title: Lights, style: blade}     # rating comes later
  F2: {title: Windlass, style: bolt-on}
looms:
  a: {title: Main loom, status: new, insulation: thin-wall 105}
  old: {title: Old loom, status: existing, insulation: PVC 70}
devices:
  G1: {kind: battery, volts: 12.6, resistance: 8 mohm, terminals: [plus, minus]}
  P1: {kind: lamp, title: Lights, watts: 100, volts: 12, terminals: [1, 2]}
  M1: {kind: motor, title: Windlass, amps: 60, volts: 12, terminals: [1, 2]}
  A1: {kind: converter, title: Inverter, watts: 200, volts: 12, min_volts: 10, terminals: [1, 2]}
wires:
  # feeds
  W1: {from: F1:out, to: P1:1, length: 6000, loom: a}   # lamp feed
  W2:
    from: P1:2
    to: EP1
    length: 6000
    loom: a
  W3: {from: F2:out, to: M1:1, length: 4 m, loom: a, size: 35}
  W4: {from: M1:2, to: EP1, length: 4 m, loom: old}
  W5: {from: G1:minus, to: EP1, size: 2 AWG, length: 100, loom: a}
  W6: {from: G1:plus, to: F1:in, length: 150, size: 16, loom: a}
  W7: {from: G1:plus, to: F2:in, length: 150, size: 50, loom: a}
states:
  lights: {M1: open}
  everything: {}
"""
PART = """\
format: 1
# shared inverter loom
fuses: {F4: {title: Inverter, style: blade, rating: 40, fitted_on: G1:plus}}
wires:
  W9: {from: F4:out, to: A1:1, length: 2000, loom: a}    # inverter feed
  W10: {from: A1:2, to: EP1, length: 2000, loom: a}
"""
CODES = ("FUS102", "FUS103", "FUS104", "CUR101", "VLT101")


@pytest.fixture
def boat(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts/loom.yaml").write_text(PART, "utf-8")
    (tmp_path / "boat.yaml").write_text(MAIN, "utf-8")
    return tmp_path


def size(*words: str) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["size", *words])
    return done.exit_code, done.stderr


def changed(old: str, new: str) -> list[str]:
    """The lines of a file that are new; every other line is still there, in its order."""
    before = iter([*old.splitlines(), ""])
    expected, fresh = next(before), []
    for line in new.splitlines():
        if line == expected:
            expected = next(before)
        else:
            fresh.append(line)
            bare = line.replace(", size: 10", "").replace(", size: 6", "")
            if bare.replace(", rating: 15", "") == expected:
                expected = next(before)
    assert expected == ""
    return fresh


def test_write_fills_what_is_missing_and_leaves_every_other_line(boat: Path) -> None:
    _, said = size("boat.yaml", "--write")
    assert changed(MAIN, (boat / "boat.yaml").read_text("utf-8")) == [
        "  F1: {title: Lights, style: blade, rating: 15}     # rating comes later",
        "  W1: {from: F1:out, to: P1:1, length: 6000, loom: a, size: 10}   # lamp feed",
        "    size: 10",
    ]
    assert changed(PART, (boat / "parts/loom.yaml").read_text("utf-8")) == [
        "  W9: {from: F4:out, to: A1:1, length: 2000, loom: a, size: 6}    # inverter feed",
        "  W10: {from: A1:2, to: EP1, length: 2000, loom: a, size: 6}",
    ]
    assert said.splitlines() == [
        "3 values written into boat.yaml: W1 10 mm2, W2 10 mm2, F1 15 A",
        "2 values written into parts/loom.yaml: W9 6 mm2, W10 6 mm2",
        "left as it is: W4 (exists already: measure it)",
        "left as it is: F2 (needs 78.5 A or more (75 % of rating); "
        "no ratings of bolt-on in the tables)",
    ]


def test_what_is_written_passes_the_checks(boat: Path) -> None:
    size("boat.yaml", "--write")
    found = [p.code for p in check(load(boat / "boat.yaml")).findings if p.code in CODES]
    assert found == []
    assert size("boat.yaml", "--write")[1].startswith("nothing to write\n")


def test_all_changes_what_is_given_too_and_it_passes(boat: Path) -> None:
    path = boat / "boat.yaml"
    path.write_text(MAIN.replace("style: bolt-on", "style: bolt-on, rating: 80"), "utf-8")
    _, said = size("boat.yaml", "--write", "--all")
    assert "F4 25 A for 40 A" in said
    assert "W7 35 mm2 for 50" in said
    assert "left as it is: F2 (no ratings of its style are known)" in said
    design = load(path).design
    assert design.fuses["F2"].rating_a == 80
    found = [p.code for p in check(load(path)).findings if p.code in CODES]
    assert found == []


def test_all_goes_with_write(boat: Path) -> None:
    assert size("boat.yaml", "--all")[0] == 2
    assert (boat / "boat.yaml").read_text("utf-8") == MAIN


@pytest.mark.parametrize("broken", ["wires: {W1: [}\n", "format: 1\nwires: {W1: {frm: X1:1}}\n"])
def test_a_broken_file_stays_as_it_is(boat: Path, broken: str) -> None:
    (boat / "boat.yaml").write_text(broken, "utf-8")
    assert size("boat.yaml", "--write", "--all")[0] == 2
    assert (boat / "boat.yaml").read_text("utf-8") == broken


def test_a_wire_is_not_sized_for_a_fuse_that_is_not_known(boat: Path) -> None:
    (boat / "boat.yaml").write_text(MAIN.replace(", loom: a, size: 35", ", loom: a"), "utf-8")
    _, said = size("boat.yaml", "--write")
    assert "left as it is: W3 (needs rating of F2: whether it protects it)" in said


def test_gauges_stay_gauges(boat: Path) -> None:
    text = MAIN.replace("size: 16,", "size: 8 AWG,").replace("size: 50,", "size: 1/0 AWG,")
    (boat / "boat.yaml").write_text(text.replace("size: 35}", "size: 1 AWG}"), "utf-8")
    _, said = size("boat.yaml", "--write")
    assert "W1 8 AWG" in said
