"""The tests of a screen: through to its pin, apart from the wires under it, and judged.

Common practice, no source: a screen is proven by continuity from its free end to its pin and by
isolation from the wires inside; what fails is the crimp of the drain, or a strand that touches.
"""

from __future__ import annotations

import pytest

from tests.publish.test_proving import ROOT, Bench, result
from wiregen.connect import connect
from wiregen.publish.proving import proof_tables, prove
from wiregen.publish.proving.judge import judge_results
from wiregen.publish.proving.record import mark_pins, proven_pins
from wiregen.publish.proving.results import made_of
from wiregen.read import load

LOOM = """format: 1
looms: {new: {status: new}}
plugs:
  X1: {title: Sensor, loom: new, face: [[1, 2, 3]]}
  X2: {title: Unit, loom: new, face: [[1, 2, 3, 4]]}
earths: {EP1: {title: stud}}
splices: {J1: {}}
devices: {P1: {kind: lamp, terminals: [1, 2]}}
wires:
  W1: {from: X1:1, to: X2:1, colour: GY, size: 0.75, length: 900, loom: new}
  W2: {from: X1:2, to: X2:2, colour: PK, size: 0.75, length: 900, loom: new}
  W3: {from: X2:4, to: X1:3, colour: BN, size: 0.75, length: 300, loom: new}
groups: {SC1: {screened: [W1, W2], screen: "X2:3"}}
"""


@pytest.fixture
def bench(tmp_path) -> Bench:
    return Bench(LOOM, tmp_path)


def test_a_screen_is_read_from_its_pin_to_its_free_end(bench):
    check = bench.checks["SC1"]
    assert (check.kind, check.start, check.end) == ("continuity", "X2:3", "SC1")
    assert (check.expect, check.high) == (None, 1.0)
    assert check.words == "screen of W1 and W2: probe it at X1:1, X1:2, before it is insulated"


def test_a_screen_is_read_against_the_wires_under_it(bench):
    """Both lie in the plug of the screen's pin; X2:1 is no neighbour of X2:3."""
    check = bench.checks["ISO-SC1"]
    assert (check.start, check.low) == ("X2:3", 1e6)
    assert check.apart == ("X2:3/1", "X2:3/2")
    assert "W1 and W2 under screen SC1 first" in check.words
    named = [pair for one in bench.proof.isolation for pair in one.apart]
    assert {"X2:2/3", "X2:1/3"}.isdisjoint(named)
    assert len(named) == len(set(named))


def test_a_screen_that_reads_well_proves_its_pin(bench):
    assert bench.verdicts() == {}
    good = [one for one in bench.all_good().values() if one.test == "SC1"]
    judged = judge_results(bench.design, bench.network, bench.checks.values(), good)
    assert proven_pins(bench.design, judged) == {"X2:3": "2026-12-01"}
    assert mark_pins(bench.design, {"X2:3": "2026-12-01"}).left == ()


def test_a_screen_that_is_not_through(bench):
    words = bench.verdicts(SC1=result("OL"))
    assert list(words) == ["SC1"]
    assert words["SC1"].startswith("open: SC1 is not through to X2:3: drain or braid not caught")
    assert "W1 and W2 are not screened" in words["SC1"]


def test_a_strand_of_the_screen_that_touches_a_wire_under_it(bench):
    """The screen and W1 both read short to all else; W2 and W3 do not."""
    words = bench.verdicts(ISO_SC1=result("0.3"), ISO_W1=result("0.3"))
    assert set(words) == {"ISO-SC1", "ISO-W1"}
    for said in words.values():
        assert "short between X2:3 and X2:1" in said
        assert "strand of screen SC1" in said


def test_a_short_between_wires_is_no_fault_of_the_screen(bench):
    words = bench.verdicts(ISO_W2=result("0.3", "X1:3"), ISO_W3=result("0.3"))
    assert set(words) == {"ISO-W2", "ISO-W3"}
    assert "screen" not in "".join(words.values())


def test_a_drain_in_the_next_cavity_is_exchanged_with_its_wire(bench):
    words = bench.verdicts(SC1=result(found_at="X2:4"), W3=result(found_at="X2:3"))
    assert words["SC1"].startswith("swapped pair: SC1 and W3 are exchanged at X2 3 and 4")
    assert words["W3"].startswith("swapped pair: W3 and SC1 are exchanged")


def test_a_drain_in_another_cavity_is_moved_at_its_pin_not_at_its_free_end(tmp_path):
    """The free end is no contact that could be in a wrong cavity."""
    bench = Bench(LOOM.replace("[[1, 2, 3, 4]]", "[[1, 2, 3, 4, 5]]"), tmp_path)
    words = bench.verdicts(SC1=result(found_at="X2:5"))["SC1"]
    assert words == "wrong cavity: SC1 is in X2:5 instead of X2:3; move its contact"


def test_the_colour_of_a_drain_is_not_judged(bench):
    assert bench.verdicts(SC1=result("0.1", colour="bare")) == {}


def test_a_reading_is_void_once_the_cable_ends_elsewhere(tmp_path):
    (tmp_path / "again").mkdir()
    for changed in ("X1:1, to: X2:1", 'screen: "X2:3"'):
        old = Bench(LOOM, tmp_path)
        again = LOOM.replace(changed, changed.replace("1:1", "1:2").replace("2:3", "2:4"))
        new = Bench(again, tmp_path / "again")
        for test in ("SC1", "ISO-SC1"):
            if test in new.checks:
                was = made_of(old.design, old.network, old.checks[test])
                assert was != made_of(new.design, new.network, new.checks[test])


def test_a_screen_on_a_stud_is_read_at_its_free_end(tmp_path):
    bench = Bench(LOOM.replace('"X2:3"', "EP1"), tmp_path)
    check = bench.checks["ISO-SC1"]
    assert (check.start, check.apart) == ("SC1", ("SC1/X1:1", "SC1/X1:2"))
    words = bench.verdicts(SC1=result("OL"))["SC1"]
    assert words.startswith("open: SC1 is not through to EP1: ring not bolted on, paint under it")


def test_a_screen_in_a_splice_is_read_through_its_wire(tmp_path):
    drain = LOOM.replace('"X2:3"', "J1").replace("\ngroups", "\n  W4: {from: J1, to: X2:3}\ngroups")
    bench = Bench(drain, tmp_path)
    check = bench.checks["SC1"]
    assert (check.start, check.via, check.wires) == ("X2:3", ("J1",), ("SC1", "W4"))
    assert check.words.startswith("screen of W1 and W2")
    words = bench.verdicts(SC1=result("OL"), W4=result("OL"))
    assert (
        words["SC1"] == "open: W4 is not in splice J1, or broken: look for it in the other splices"
    )


def test_the_sheet_has_both_rows(bench):
    tables = {table.name: table for table in proof_tables(bench.design, bench.network)}
    assert "SC1" in [row[0] for row in tables["continuity"].rows]
    assert "ISO-SC1" in [row[0] for row in tables["isolation"].rows]
    mirror = [row for row in tables["mirror"].rows if row[0] == "X2:2"]
    assert mirror == [] or mirror[0][3] == "X2:3 where SC1 belongs"


def test_the_pin_of_a_screen_is_read_at_the_first_power_up():
    """X4:G of the tractor by hand: the panel joins it to its earth, so that it lies at 0 V."""
    design = load(ROOT / "designs" / "tractor.yaml").design
    checks = {check.id: check for check in prove(design, connect(design)).volts}
    assert {"X4:G run", "X4:H run", "X4:G crank"} <= set(checks)
    check = checks["X4:G run"]
    assert (round(check.expect or 0.0, 1), check.wires) == (0.0, ("SC1",))
    assert check.high is not None
    assert "X4:M run" not in checks
