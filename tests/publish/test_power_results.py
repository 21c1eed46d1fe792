"""Readings of the first power-up: limits worked by hand, and each likely cause named."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from wiregen.connect import connect
from wiregen.publish.proving import proof_tables, prove, result_table
from wiregen.publish.proving.judge import judge_results, lines_of
from wiregen.publish.proving.results import Result, ResultsError, read_results
from wiregen.publish.tables.write import to_csv
from wiregen.read import load

LOOM = """
format: 1
system: {volts: 12}
looms: {new: {status: new}}
plugs:
  X1:
    title: Dash plug
    loom: new
    contacts: sockets
    mates: X2
    face: [[1, 2, 3], [4, 5, 6]]
    pins: {1: {carries: lamp feed}, 2: {carries: clock feed}, 3: {carries: lamp earth}}
  X2: {title: Loom plug, loom: new, contacts: pins}
splices: {J1: {}}
fuses:
  F1: {title: Lamps, rating: 10, resistance: 0, fitted_on: "G1:plus"}
  F2: {title: Clock, rating: 5, resistance: 0, fitted_on: "G1:plus"}
earths: {EP1: {}, EP2: {}}
devices:
  G1: {kind: battery, volts: 12, resistance: 0.01}
  G2:
    kind: alternator
    volts: 14
    amps: 50
    terminals: [B]
    case: EP1
    lamp_terminal: {at: L, volts: 14, resistance: 0.5, at_rest: 8}
  S1:
    kind: switch
    title: Key switch
    terminals: [30, 15]
    positions: {key off: [], run: [[30, 15]]}
  R1: {kind: resistor, title: Lamp, ohms: 1200, terminals: [1, 2]}
  R2: {kind: resistor, title: Clock, ohms: 1200, terminals: [1, 2]}
  R3: {kind: resistor, title: Charge lamp, ohms: 60, terminals: [1, 2]}
wires:
  W1: {from: "F1:out", to: S1:30, resistance: 0.01, loom: new}
  W2: {from: S1:15, to: J1, resistance: 0.01, loom: new}
  W3: {from: J1, to: X2:1, resistance: 0.01, loom: new}
  W4: {from: X1:1, to: R1:1, resistance: 0.01, loom: new}
  W5: {from: R1:2, to: X1:3, resistance: 0.01, loom: new}
  W6: {from: X2:3, to: EP1, resistance: 0.01, loom: new}
  W7: {from: "F2:out", to: X2:2, resistance: 0.01, loom: new}
  W8: {from: X1:2, to: R2:1, resistance: 0.01, loom: new}
  W9: {from: R2:2, to: EP1, resistance: 0.01, loom: new}
  W10: {from: G1:minus, to: EP1, resistance: 0.001, loom: new}
  W11: {from: J1, to: X2:4, resistance: 0.01, loom: new}
  W12: {from: X1:4, to: R3:1, resistance: 0.01, loom: new}
  W13: {from: R3:2, to: X1:5, resistance: 0.01, loom: new}
  W14: {from: X2:5, to: G2:L, resistance: 0.01, loom: new}
  W15: {from: G2:B, to: G1:plus, resistance: 0.001, loom: new}
  W16: {from: X1:6, loom: new, fate: insulated, why: not used}
states:
  key off: {}
  run: {S1: run}
  run on: {S1: key off, G2: running}
"""


class Bench:
    """A loom under power: its tests, and what is wrong with readings."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.design = load(path).design
        self.network = connect(self.design)
        self.proof = prove(self.design, self.network)
        self.checks = {check.id: check for check in self.proof.checks}

    def words(self, readings: dict[str, str]) -> dict[str, str]:
        results = [Result(test, reading, date="2026-12-01") for test, reading in readings.items()]
        judged = judge_results(self.design, self.network, self.checks.values(), results)
        return {one.check.id: one.words for one in judged if one.verdict == "bad"}


@pytest.fixture
def bench(tmp_path) -> Bench:
    path = tmp_path / "dash.yaml"
    path.write_text(LOOM.lstrip(), "utf-8")
    return Bench(path)


def test_limits_go_from_a_weak_to_a_strong_source(bench):
    """12 V, hardly loaded: 0.95 x 12 - 0.2 = 11.2 V to 1.03 x 12 + 0.2 = 12.56 V, by hand.

    The charge lamp draws 12 V / 68 ohm = 0.18 A; what it drops in the wires is below 10 mV.
    The shares and the 0.2 V are from memory.
    """
    check = bench.checks["X1:1 run"]
    assert check.expect == pytest.approx(12.0, abs=0.02)
    assert (check.low, check.high) == pytest.approx((11.2, 12.56), abs=0.02)
    dead = bench.checks["X1:1 key off"]
    assert (dead.low, dead.high) == pytest.approx((-0.2, 0.2), abs=0.01)
    earth = bench.checks["X1:3 run"]
    assert earth.high == pytest.approx(0.2, abs=0.01)


def test_the_lamp_terminal_reads_what_its_divider_gives(bench):
    """12 V across 60 ohm and 8 ohm: 12 x 8 / 68 = 1.41 V; weak 1.34 - 0.2, strong 1.45 + 0.2."""
    check = bench.checks["X2:5 run"]
    assert check.expect == pytest.approx(1.41, abs=0.01)
    assert (check.low, check.high) == pytest.approx((1.14, 1.65), abs=0.02)


def test_all_as_computed_is_good(bench):
    readings = {
        check.id: f"{check.expect:.2f}" for check in bench.proof.volts if check.expect is not None
    }
    assert len(readings) > 20
    assert bench.words(readings) == {}


def test_dead_between_two_cavities(bench):
    found = bench.words({"X2:1 run": "12.0", "X1:1 run": "0.0"})
    assert list(found) == ["X1:1 run"]
    assert found["X1:1 run"].startswith(
        "dead: the fault lies between X2:1, which reads right, and X1:1: contacts X1:1/X2"
    )


def test_what_dead_cavities_share_is_named_first(bench):
    """Both lamps hang on F1, the switch and W2; the clock does not and reads right."""
    found = bench.words({"X1:1 run": "0", "X1:4 run": "0", "X1:2 run": "12"})
    assert found["X1:1 run"].startswith(
        "dead: together with X1:4; look first at what they share: F1, S1 Key switch, W2, W1"
    )
    alone = bench.words({"X1:1 run": "0", "X1:4 run": "12"})["X1:1 run"]
    assert alone.startswith("dead: on its way to G1:plus look at W3 ")


def test_live_where_it_should_be_dead(bench):
    found = bench.words({"X1:1 key off": "12"})["X1:1 key off"]
    assert found.startswith("live in state 'key off' although it should be dead: wire on a")
    assert "S1 passed or stuck" in found
    assert "pull F1 one at a time" in found
    assert "read 12, expected 0.0 V, good is up to 0.2 V" in found


def test_a_little_alive(bench):
    found = bench.words({"X1:1 key off": "0.6"})["X1:1 key off"]
    assert found.startswith("not quite dead in state 'key off': current comes back")


def test_lamp_feed_and_permanent_feed_swapped(bench):
    """Cavities 1 and 2 exchanged: with the key off the lamp's is live and the clock's is dead."""
    readings = {"X1:1 key off": "12", "X1:2 key off": "0", "X1:1 run": "12", "X1:2 run": "12"}
    found = bench.words(readings)
    assert set(found) == {"X1:1 key off", "X1:2 key off"}
    assert found["X1:1 key off"].startswith(
        "swapped pair: X1:1 reads what X1:2 should, and the other way round; change the contacts "
        "in X1 1 and 2 over"
    )
    against = bench.words({**readings, "X1:2 run": "5"})["X1:1 key off"]
    assert not against.startswith("swapped pair")


def test_missing_earth_lifts_the_pin(bench):
    found = bench.words({"X1:3 run": "11.9", "X2:3 run": "0.0"})
    assert found["X1:3 run"].startswith(
        "earth missing or poor, all that returns here is lifted: the fault lies between X2:3, "
        "which reads right, and X1:3: contacts X1:3/X2"
    )


def test_volts_lost_on_the_way(bench):
    found = bench.words({"X2:1 run": "12", "X1:1 run": "9", "X1:2 run": "12", "X1:4 run": "12"})
    assert found["X1:1 run"].startswith("volts are lost on the way: poor crimp or contact")
    assert "between X2:1, which reads right, and X1:1" in found["X1:1 run"]


def test_all_low_is_the_source(bench):
    found = bench.words({"X1:1 run": "10.9", "X1:2 run": "10.9", "X1:4 run": "10.9"})
    assert all(words.startswith("source low: 3 of 3 live cavities") for words in found.values())
    assert len(found) == 3


def test_all_high_is_the_source(bench):
    found = bench.words({"X1:1 run": "13.9", "X1:2 run": "13.9", "X1:4 run": "13.9"})
    assert all(words.startswith("source high: 3 of 3 live cavities") for words in found.values())


def test_a_lamp_terminal_at_full_volts_has_no_load_below(bench):
    found = bench.words({"X2:5 run": "12.0", "X1:1 run": "12", "X1:2 run": "12", "X1:4 run": "12"})
    assert found["X2:5 run"].startswith("no load draws it down: what goes on to earth is open: G2")


def test_reversed(bench):
    found = bench.words({"X1:1 run": "-12"})["X1:1 run"]
    assert found.startswith("reversed: probes exchanged, or the battery is connected the wrong way")


@pytest.mark.parametrize(
    ("test", "reading", "words"),
    [
        ("power-series", "lit", "short before the fuses: on the metal of the battery plus (wires"),
        ("power-ohms", "fail", "short to earth behind a fuse"),
        ("F1-lamp", "lit", "short or a load left on behind F1: leave the fuse out, unplug in"),
        ("power-earths", "0.4", "poor earth: ring loose, paint or rust under it"),
        ("power-rest", "180", "something stays on: pull the fuses live with the key off (F1, F2)"),
        ("power-crank", "8.9", "battery weak, or volts lost in the battery cables"),
        ("power-charge", "12.6", "no charge from G2 alternator, 50 A: belt, not excited by the"),
        ("power-charge", "15.5", "overcharge: regulator, or its sensing lead is open"),
        ("power-run-on", "fail", "runs on: the engine is fed past the key switch"),
        ("power-units", "fail", "failed: Plug the loads in one by one"),
    ],
)
def test_steps_that_fail_name_their_cause(bench, test, reading, words):
    (found,) = bench.words({test: reading}).values()
    assert found.startswith(words)


def test_run_on_names_what_was_read_live(bench):
    found = bench.words({"power-run-on": "fail", "X1:1 run on": "11"})["power-run-on"]
    assert "live with the key off: X1:1;" in found


@pytest.mark.parametrize(
    ("test", "reading"),
    [
        ("power-series", "dark"),
        ("F1-lamp", "dim"),
        ("power-rest", "48 mA"),
        ("power-crank", "9.7"),
        ("power-charge", "14.2"),
        ("power-run-on", "ok"),
    ],
)
def test_steps_that_pass(bench, test, reading):
    assert bench.words({test: reading}) == {}


def test_a_cavity_that_floats_is_kept_and_not_judged(bench):
    floating = [check for check in bench.proof.volts if not check.has_limits]
    assert {check.id for check in floating} == {"X1:6 run"} | {
        f"X1:6 {state}" for state in ("key off", "run on")
    }
    results = [Result(check.id, "3.3", date="2026-12-01") for check in floating]
    judged = judge_results(bench.design, bench.network, bench.checks.values(), results)
    assert {one.check.id for one in judged if one.verdict == "not judged"} == {
        check.id for check in floating
    }
    assert not any(one.verdict == "not done" and not one.check.has_limits for one in judged)


def test_the_wide_table_of_volts_is_read_back(bench, tmp_path):
    (volts,) = [
        t for t in proof_tables(bench.design, bench.network, bench.proof) if t.name == "volts"
    ]
    rows = list(csv.reader(io.StringIO(to_csv(volts).decode("utf-8-sig"))))
    row = next(number for number, cells in enumerate(rows) if cells[0] == "X1:1")
    rows[row][rows[0].index("run, read")] = "11.9"
    rows[row][rows[0].index("key off, read")] = "0"
    rows[row][rows[0].index("By")] = "AB"
    path = tmp_path / "volts.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    found = read_results(path, bench.checks.values(), Result("", date="2026-12-01"))
    assert set(found) == {
        Result("X1:1 run", "11.9", by="AB", date="2026-12-01"),
        Result("X1:1 key off", "0", by="AB", date="2026-12-01"),
    }


def test_steps_and_cavities_stand_in_the_form_that_is_read_back(bench, tmp_path):
    rows = list(csv.reader(io.StringIO(to_csv(result_table(bench.proof)).decode("utf-8-sig"))))
    names = [cells[0] for cells in rows]
    assert {"power-rest", "power-run-on", "F1-lamp", "X1:1 run"} <= set(names)
    limits = dict(zip(names, (cells[rows[0].index("Good if")] for cells in rows), strict=True))
    assert limits["power-rest"].startswith("up to ")
    assert limits["X1:1 run"] == "11.2 to 12.6 V"
    cells = rows[names.index("power-rest")]
    cells[rows[0].index("Reading")], cells[rows[0].index("Date")] = "12", "2026-12-01"
    path = tmp_path / "results.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    (found,) = read_results(path, bench.checks.values())
    assert (found.test, found.reading) == ("power-rest", "12")


def test_a_reading_in_another_unit_is_refused(bench, tmp_path):
    path = tmp_path / "results.csv"
    path.write_text("Test,Reading,Date\nX1:1 run,12 ohm,2026-12-01\n", "utf-8")
    with pytest.raises(ResultsError, match="row 2: X1:1 run: '12 ohm' is not a reading: write 12"):
        read_results(path, bench.checks.values())


def test_a_changed_wire_voids_the_volts_at_its_cavity(bench, tmp_path):
    from wiregen.publish.proving.results import made_of

    old = [
        Result(name, "12", date="2026-12-01", made_of=made_of(bench.design, bench.network, check))
        for name, check in bench.checks.items()
        if name in ("X1:1 run", "X1:2 run")
    ]
    path = tmp_path / "changed.yaml"
    path.write_text(LOOM.lstrip().replace("W4: {from: X1:1, ", "W4: {from: X1:1, colour: RD, "))
    after = Bench(path)
    judged = judge_results(after.design, after.network, after.checks.values(), old)
    verdicts = {one.check.id: one.verdict for one in judged if one.verdict in ("good", "void")}
    assert verdicts == {"X1:1 run": "void", "X1:2 run": "good"}


def test_the_count_tells_wiring_from_power_up(bench):
    results = [Result("W1", "0.1", date="2026-12-01"), Result("X1:1 run", "12", date="2026-12-01")]
    lines = list(
        lines_of(judge_results(bench.design, bench.network, bench.checks.values(), results))
    )
    assert lines[-2].startswith("wiring: 1 good, 0 bad, 0 void, ")
    assert lines[-1].startswith("first power-up: 1 good, 0 bad, 0 void, ")
