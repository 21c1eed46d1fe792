"""Shorts to earth: currents by hand, by exact solution, and what the fuses then do."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tests.compute.designs import study
from wiregen.cli.app import app
from wiregen.compute.eliminate import Elimination
from wiregen.compute.faults import STRONG, WEAK, Corner
from wiregen.compute.heat import reached_c
from wiregen.compute.rating import heated_wire
from wiregen.compute.render_shorts import HEADINGS, short_rows, shorts_text
from wiregen.compute.short_net import ShortNet
from wiregen.compute.shorts import exact_amps, shorts_of

PLAIN = Corner(volts=1.0, source=1.0, copper_c=20.0, short_ohm=0.0)
"""Resistances as they are written, so that sums can be done by hand."""

RING = """
format: 1
system: {volts: 12, ambient: 20}
earths: {EP1: {kind: chassis}}
splices: {J1: {}, J2: {}}
fuses:
  F1: {rating: 10, style: blade, resistance: 0.01}
  F2: {rating: 10, style: blade, resistance: 0.02}
  F3: {rating: 5, style: blade, resistance: 0.02}
devices:
  G1: {kind: battery, volts: 12, resistance: 0.05, terminals: [plus], case: EP1}
wires:
  W1: {from: "G1:plus", to: J1, resistance: 0.01}
  W2: {from: J1, to: "F1:in", resistance: 0.02}
  W3: {from: "F1:out", to: J2, resistance: 0.03}
  W4: {from: J1, to: "F2:in", resistance: 0.04}
  W5: {from: "F2:out", to: J2, resistance: 0.06}
  W6: {from: J2, to: "F3:in", resistance: 0.1}
  W7: {from: "F3:out", to: "X1:1", resistance: 0.2}
plugs: {X1: {pins: {1: {carries: feed}}}}
states: {"on": {}}
"""


def net(text: str, corner: Corner = PLAIN, state: str = "on") -> ShortNet:
    return ShortNet(study(text).points[state], corner)


def test_a_short_draws_what_source_and_way_let_through() -> None:
    found = net(RING)
    assert found.amps("J1") == pytest.approx(12 / 0.06, rel=1e-4)
    # two ways side by side: 0.06 and 0.12 ohm are 0.04 ohm together
    assert found.amps("J2") == pytest.approx(12 / 0.10, rel=1e-4)
    assert found.amps("X1:1") == pytest.approx(12 / 0.42, rel=1e-4)
    assert found.amps("EP1") is None


def test_fuses_side_by_side_share_and_one_in_line_carries_all() -> None:
    found = dict(net(RING).fuses("X1:1"))
    total = 12 / 0.42
    assert found["F3"] == pytest.approx(total, rel=1e-4)
    assert found["F1"] == pytest.approx(total * 2 / 3, rel=1e-4)
    assert found["F2"] == pytest.approx(total / 3, rel=1e-4)
    assert dict(net(RING).fuses("J1")) == {}


def test_the_diagonal_of_the_inverse_is_that_of_solutions_one_by_one() -> None:
    # a ladder with a ring in it, tied to 0 V at one end
    pairs = [(0, 1), (1, 2), (2, 3), (3, 0), (3, 4), (4, 5), (2, 5)]
    values = [(a, b, -1.0 / (1 + a + b)) for a, b in pairs]
    own = [0.0] * 6
    for a, b, value in values:
        own[a] -= value
        own[b] -= value
    own[0] += 2.0
    factors = Elimination(6, pairs).factored(own, values)
    each = [factors.solve([float(k == n) for k in range(6)])[n] for n in range(6)]
    assert factors.inverse_diagonal() == pytest.approx(each, rel=1e-12)


@pytest.mark.parametrize("corner", [WEAK, STRONG])
@pytest.mark.parametrize("node", ["J2", "X1:1"])
def test_without_loads_the_quick_answer_is_the_exact_one(corner: Corner, node: str) -> None:
    found = study(RING).points["on"]
    exact = exact_amps(found, node, corner)
    assert exact is not None
    for fuse, amps_a in ShortNet(found, corner).fuses(node):
        assert amps_a == pytest.approx(abs(exact[fuse]), rel=1e-3)


FEED = """
format: 1
system: {{volts: 12, ambient: 20}}
earths: {{EP1: {{kind: chassis}}}}
looms: {{one: {{title: Feed, status: new, insulation: PVC 105}}}}
fuses:
  F1: {{rating: {main}, style: {style}, resistance: 0.001}}
  F2: {{rating: {branch}, style: blade, resistance: 0.005}}
devices:
  G1: {{kind: battery, volts: 12.6, resistance: 0.01, terminals: [plus], case: EP1}}
  S1: {{kind: switch, terminals: [1, 2], positions: {{"off": [], "on": [[1, 2]]}}}}
  P1: {{kind: lamp, watts: 21, volts: 12, terminals: [1, 2]}}
wires:
  W1: {{from: "G1:plus", to: "F1:in", size: 6, length: 300, loom: one}}
  W2: {{from: "F1:out", to: "F2:in", size: 4, length: 500, loom: one}}
  W3: {{from: "F2:out", to: "S1:1", size: {size}, length: {length}, loom: one}}
  W4: {{from: "S1:2", to: "P1:1", size: 1.5, length: 500, loom: one}}
  W5: {{from: "P1:2", to: EP1, size: 1.5, length: 500, loom: one}}
states:
  "off": {{S1: "off"}}
  "on": {{S1: "on"}}
"""


def feed(main: int = 30, branch: int = 10, size: str = "1.5", length: int = 1000,
         style: str = "maxi blade") -> str:  # fmt: skip
    return FEED.format(main=main, branch=branch, size=size, length=length, style=style)


def rows(text: str) -> dict[str, dict[str, str]]:
    table = (dict(zip(HEADINGS, row, strict=True)) for row in short_rows(study(text)))
    return {row["wire"].partition(" ")[0]: row for row in table}


def test_the_wire_ahead_of_every_fuse_is_named_as_such() -> None:
    found = rows(feed())["W1"]
    assert found["opens first"] == "no fuse"
    assert found["after"] == "never"
    assert "no fuse between G1 and it" in found["remark"]
    assert "over 160 degC" in found["remark"]


def test_the_smaller_fuse_opens_first_and_the_times_are_those_of_its_limits() -> None:
    (short,) = [s for s in shorts_of(study(feed())) if s.wire == "W3"]
    first, second = short.blows
    assert (first.fuse, second.fuse) == ("F2", "F1")
    # past 600 % a 10 A blade fuse opens between 0.03 s and 0.1 s, less by the square of the
    # current; from memory
    assert first.first_s == pytest.approx(0.03 * (60 / first.most_a) ** 2)
    assert first.last_s == pytest.approx(0.1 * (60 / first.least_a) ** 2)
    assert short.hottest == "W3"
    assert short.reaches_c is not None
    assert short.reaches_c < 160


def test_a_switched_wire_is_judged_where_it_is_live_and_earth_not_at_all() -> None:
    found = {short.wire: short.state for short in shorts_of(study(feed()))}
    assert found == {"W1": "off", "W2": "off", "W3": "off", "W4": "on"}


def test_a_thin_long_wire_behind_a_large_fuse_gets_hot_before_it_opens() -> None:
    # 20 m of 0.5 mm2 at 105 degC are about 1 ohm: some 11 A through a 25 A fuse
    found = rows(feed(branch=25, size="0.5", length=20000))["W3"]
    assert found["opens first"] == "F2 25 A"
    assert found["after"].startswith("may stay whole")


def test_close_to_a_decision_the_loads_are_in_it() -> None:
    # 7 m of 0.5 mm2 at 105 degC are 0.37 ohm: about 28 A, close to 1.35 times 20 A
    (short,) = [s for s in shorts_of(study(feed(branch=20, size="0.5", length=7000)))
                if s.wire == "W3"]  # fmt: skip
    assert short.blows[0].exact
    (plain,) = [s for s in shorts_of(study(feed())) if s.wire == "W3"]
    assert not plain.blows[0].exact


def test_a_style_without_published_times_is_not_timed() -> None:
    found = rows(feed(style="bolt-on"))["W2"]
    assert found["after"] == "times of bolt-on not known"
    assert found["reaches at most"] == "not known"


def test_a_length_that_is_missing_is_said_and_not_guessed() -> None:
    text = feed().replace("size: 1.5, length: 1000, loom: one", "size: 1.5, loom: one")
    assert rows(text)["W3"]["remark"] == "size or length not known"


def test_the_heat_of_a_short_agrees_with_the_published_constant() -> None:
    # copper from 70 to 160 degC: 115 A s^0.5 for 1 mm2 (the usual table value, IEC 60949)
    found = study(feed().replace("ambient: 20", "ambient: 70"))
    heat = heated_wire(found, found.design.wires["W3"])
    assert heat is not None
    assert reached_c(heat, 115 * 1.5 / 0.1**0.5, 0.1) == pytest.approx(160, abs=1)


def test_the_table_never_calls_a_wire_safe() -> None:
    words = shorts_text(study(feed())).lower()
    assert "weak corner" in words
    assert "strong corner" in words
    assert "never cleared" in words
    assert "maker's data prevail" in words
    for claim in ("safe", "protected", "comply", "compliant"):
        assert claim not in words


def test_the_command_prints_text_and_data(tmp_path: Path) -> None:
    path = tmp_path / "feed.yaml"
    path.write_text(feed(), encoding="utf-8")
    text = CliRunner().invoke(app, ["states", str(path), "--shorts"])
    assert text.exit_code == 0
    assert text.stdout.splitlines()[0].split()[:2] == ["wire", "state"]
    data = CliRunner().invoke(app, ["states", str(path), "--shorts", "--format", "json"])
    found = {row["wire"]: row for row in json.loads(data.stdout)["shorts"]}
    assert found["W1"]["fuses"] == []
    assert found["W3"]["far"]["amps"][0] < found["W3"]["near"]["amps"][0]
    both = CliRunner().invoke(app, ["states", str(path), "--shorts", "--lost"])
    assert both.exit_code == 2


def test_fuses_that_sit_on_the_battery_side_by_side_share_too() -> None:
    found = net("""
format: 1
system: {volts: 12, ambient: 20}
earths: {EP1: {kind: chassis}}
splices: {J1: {}}
fuses:
  F1: {rating: 10, style: blade, resistance: 0.1, fitted_on: "G1:plus"}
  F2: {rating: 10, style: blade, resistance: 0.1, fitted_on: "G1:plus"}
devices:
  G1: {kind: battery, volts: 12, resistance: 0.05, terminals: [plus], case: EP1}
wires:
  W1: {from: "F1:out", to: J1, resistance: 0.1}
  W2: {from: "F2:out", to: J1, resistance: 0.1}
  W3: {from: J1, to: "X1:1", resistance: 0.1}
plugs: {X1: {pins: {1: {carries: feed}}}}
states: {"on": {}}
""")
    total = 12 / 0.25
    assert dict(found.fuses("X1:1")) == pytest.approx({"F1": total / 2, "F2": total / 2}, rel=1e-4)
