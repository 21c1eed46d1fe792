"""What a state says, and what the parts of a loom then do."""

from __future__ import annotations

import pytest

from tests.compute.designs import judged, study
from wiregen.compute.sneak import series_paths
from wiregen.compute.states import not_understood

BASE = """
format: 1
system: {volts: 12}
earths: {EP1: {kind: chassis}}
"""
BATTERY = "{kind: battery, volts: 12, resistance: 10 mohm, terminals: [plus], case: EP1}"


def codes(text: str) -> list[str]:
    return [problem.code for problem in judged(text).findings]


def test_outputs_of_a_unit_switch_to_supply_and_to_earth() -> None:
    found = study(
        f"""{BASE}
plugs:
  X1:
    of: A1
    pins:
      1: {{carries: feed, role: supply}}
      2: {{carries: earth, role: earth}}
      3: {{carries: lamp, role: output, drives: high side, resistance: 0.1}}
      4: {{carries: relay, role: output, drives: low side, resistance: 0.1}}
devices:
  G1: {BATTERY}
  A1: {{kind: unit, inside: {{R9: {{kind: resistor, ohms: 100, from: X1:1, to: X1:2}}}}}}
  R1: {{kind: resistor, ohms: 11.9, terminals: [1], case: EP1}}
  R2: {{kind: resistor, ohms: 11.9, terminals: [1, 2]}}
wires:
  W1: {{from: "G1:plus", to: "X1:1", resistance: 0}}
  W2: {{from: "X1:2", to: EP1, resistance: 0}}
  W3: {{from: "X1:3", to: "R1:1", resistance: 0}}
  W4: {{from: "G1:plus", to: "R2:1", resistance: 0}}
  W5: {{from: "R2:2", to: "X1:4", resistance: 0}}
states:
  rest: {{X1:3: "off"}}
  both: {{X1:3: "on", X1:4: "on"}}
"""
    )
    rest, both = found.points["rest"], found.points["both"]
    assert rest.amps("R1") == pytest.approx(0, abs=1e-6)
    assert rest.volts("X1:4") == pytest.approx(12, abs=0.01)
    assert both.amps("R1") == pytest.approx(1.0, rel=0.01)
    assert both.amps("R2") == pytest.approx(1.0, rel=0.01)
    assert both.volts("X1:4") == pytest.approx(0.1, rel=0.02)


def test_a_pull_up_makes_the_level_of_an_open_collector() -> None:
    """Source: 12.6 V over 2.2 kohm into 100 kohm gives 12.33 V."""
    found = study(
        f"""{BASE}
plugs:
  X1:
    of: A1
    pins:
      1: {{carries: pulse, role: output, drives: open collector, pull_up: 2.2 kohm to 12.6 V}}
      2: {{carries: earth, role: earth}}
  X2:
    of: A2
    pins:
      1: {{carries: pulse, role: input, accepts: {{ohms: 100 kohm}}}}
      2: {{carries: earth, role: earth}}
devices:
  G1: {BATTERY}
  A1: {{kind: unit}}
  A2: {{kind: unit}}
wires:
  W1: {{from: "X1:1", to: "X2:1", resistance: 0}}
  W2: {{from: "X1:2", to: EP1, resistance: 0}}
  W3: {{from: "X2:2", to: EP1, resistance: 0}}
states: {{high: {{X1:1: "off"}}, low: {{X1:1: "on"}}}}
"""
    )
    high = 12.6 * 100 / (100 + 2.2)
    assert found.points["high"].volts("X2:1") == pytest.approx(high, abs=0.01)
    assert found.points["low"].volts("X2:1") == pytest.approx(0, abs=0.01)


def test_a_coasting_motor_is_a_source() -> None:
    found = study(
        f"""{BASE}
devices:
  G1: {BATTERY}
  M1: {{kind: motor, amps: 6, volts: 12, coasts: {{volts: 4, ohms: 2}}, terminals: [1, 2]}}
  S1: {{kind: switch, terminals: [1, 2], positions: {{open: [], closed: [[1, 2]]}}}}
  R1: {{kind: resistor, ohms: 2, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "S1:1", resistance: 0}}
  W2: {{from: "S1:2", to: "M1:1", resistance: 0}}
  W3: {{from: "M1:1", to: "R1:1", resistance: 0}}
  W4: {{from: "M1:2", to: EP1, resistance: 0}}
states:
  blown by the wind: {{M1: coasting, S1: open}}
  on: {{S1: closed}}
"""
    )
    windy = found.points["blown by the wind"]
    assert windy.volts("R1:1") == pytest.approx(2.0, abs=0.01)
    assert found.points["on"].amps("M1") == pytest.approx(6, rel=0.02)


def test_a_starter_turns_while_its_solenoid_is_fed() -> None:
    found = study(
        f"""{BASE}
devices:
  G1: {BATTERY}
  S1: {{kind: switch, terminals: [30, 50], positions: {{key off: [], start: [[30, 50]]}}}}
  M1: {{kind: motor, use: starter, amps: 200, volts: 12, terminals: [30, 50], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "M1:30", resistance: 0}}
  W2: {{from: "G1:plus", to: "S1:30", resistance: 0}}
  W3: {{from: "S1:50", to: "M1:50", resistance: 0}}
states: {{rest: {{S1: key off}}, crank: {{S1: start}}}}
"""
    )
    assert found.points["rest"].amps("M1") == 0
    crank = found.points["crank"]
    # 12 V through 60 mohm of motor and 10 mohm of battery
    assert crank.amps("M1") == pytest.approx(12 / 0.07, rel=0.01)
    assert crank.pulled == ("M1 solenoid",)


SENDER = f"""{BASE}
devices:
  G1: {BATTERY}
  B1: {{kind: sender, empty: 240, full: 40, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "B1:1", resistance: 0}}
states: {{somewhere: {{G1: sound}}, at empty: {{B1: empty}}, at full: {{B1: full}}}}
"""


@pytest.mark.parametrize(
    ("state", "branch", "ohm"),
    [("somewhere", "B1", 140), ("at empty", "B1 empty", 240), ("at full", "B1 full", 40)],
)
def test_a_sender_stands_where_the_state_says(state, branch, ohm) -> None:
    point = study(SENDER).points[state]
    assert point.amps(branch) == pytest.approx(12 / ohm, rel=0.01)


def test_words_a_state_does_not_understand_are_named() -> None:
    found = study(SENDER.replace("B1: full", "B1: brimful"))
    state = found.design.states["at full"]
    assert not_understood(found.circuit, state) == (("B1", "brimful"),)


def test_a_parted_plug_takes_all_its_pins() -> None:
    found = study(
        f"""{BASE}
looms: {{one: {{status: existing}}}}
plugs:
  X1: {{loom: one, mates: X2, pins: {{1: {{carries: lamp}}}}}}
  X2: {{loom: one, pins: {{1: {{carries: lamp}}}}}}
devices:
  G1: {BATTERY}
  P1: {{kind: lamp, watts: 21, volts: 12, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "X1:1", resistance: 0}}
  W2: {{from: "X2:1", to: "P1:1", resistance: 0}}
states: {{whole: {{X1: sound}}, parted: {{X2: parted}}}}
"""
    )
    assert found.points["whole"].amps("P1") == pytest.approx(1.75, rel=0.01)
    assert found.points["parted"].amps("P1") == pytest.approx(0, abs=1e-6)


def test_a_changeover_contact_joins_one_side_only() -> None:
    """A motor reversed by two contacts turns both ways, and nothing is shorted."""
    text = f"""{BASE}
fuses: {{F1: {{rating: 20, style: blade}}}}
devices:
  G1: {BATTERY}
  S1:
    kind: switch
    terminals: [B, A, M1, M2]
    positions: {{rest: [], up: [[B, M1], [A, M2]], down: [[B, M2], [A, M1]]}}
  M1: {{kind: motor, amps: 5, volts: 12, bidirectional: true, terminals: [1, 2]}}
wires:
  W1: {{from: "G1:plus", to: "F1:in", resistance: 0}}
  W2: {{from: "F1:out", to: "S1:B", resistance: 0}}
  W3: {{from: "S1:A", to: EP1, resistance: 0}}
  W4: {{from: "S1:M1", to: "M1:1", resistance: 0}}
  W5: {{from: "S1:M2", to: "M1:2", resistance: 0}}
states: {{up: {{S1: up}}, down: {{S1: down}}}}
"""
    found = study(text)
    assert found.points["up"].amps("M1") == pytest.approx(5, rel=0.02)
    assert found.points["down"].amps("M1") == pytest.approx(-5, rel=0.02)
    assert found.guards.of_wire["W4"] == ("F1",)
    assert "W3" in found.guards.returns
    assert "STA104" not in codes(text)


def test_plate_lamp_across_two_tail_circuits() -> None:
    """Source: ISO 11446 notes (erich-jaeger.com): no plate lamp on both 5 and 7.

    With one fuse out the other side feeds it through the lamp.
    """
    text = f"""{BASE}
fuses: {{F5: {{rating: 5, style: blade}}, F7: {{rating: 5, style: blade}}}}
splices: {{J5: {{}}, J7: {{}}}}
devices:
  G1: {BATTERY}
  P1: {{kind: lamp, title: Right tail light, watts: 5, volts: 12, terminals: [1], case: EP1}}
  P2: {{kind: lamp, title: Left tail light, watts: 5, volts: 12, terminals: [1], case: EP1}}
  P3: {{kind: lamp, title: Plate lamp, watts: 5, volts: 12, terminals: [1, 2]}}
wires:
  W1: {{from: "G1:plus", to: "F5:in", resistance: 0}}
  W2: {{from: "G1:plus", to: "F7:in", resistance: 0}}
  W3: {{from: "F5:out", to: J5, resistance: 0}}
  W4: {{from: "F7:out", to: J7, resistance: 0}}
  W5: {{from: J5, to: "P1:1", resistance: 0}}
  W6: {{from: J7, to: "P2:1", resistance: 0}}
  W7: {{from: J5, to: "P3:1", resistance: 0}}
  W8: {{from: J7, to: "P3:2", resistance: 0}}
states: {{one fuse out: {{F7: blown}}}}
"""
    found = study(text)
    (feed,) = found.back_feeds
    assert feed.through == ("P3",)
    assert feed.switches == ("F7",)
    assert [alive.id for alive in feed.alive] == ["P2"]
    assert series_paths(found.points["one fuse out"]) == (("P3", "P2"),)
    assert "STA103" in codes(text)


def test_nothing_comes_back_through_a_diode() -> None:
    found = study(
        f"""{BASE}
devices:
  G1: {BATTERY}
  S1: {{kind: switch, terminals: [1, 2], positions: {{open: [], closed: [[1, 2]]}}}}
  D1: {{kind: diode, forward: {{volts: 0.9, at: 1 A}}}}
  R1: {{kind: resistor, ohms: 11.1, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "S1:1", resistance: 0}}
  W2: {{from: "S1:2", to: "D1:plus", resistance: 0}}
  W3: {{from: "D1:minus", to: "R1:1", resistance: 0}}
states: {{closed: {{S1: closed}}, open: {{S1: open}}}}
"""
    )
    point = found.points["closed"]
    # 12 V less 0.9 V at 1 A through 11.1 ohm is 1 A
    assert point.amps("D1") == pytest.approx(1.0, rel=0.005)
    assert found.back_feeds == ()


def test_earth_kinds_are_joined_by_wires_only() -> None:
    found = study(
        """
format: 1
system: {volts: 12}
earths: {EP1: {kind: chassis}, EP2: {kind: engine}}
devices:
  G1: {kind: battery, volts: 12, resistance: 10 mohm, terminals: [plus], case: EP1}
  R1: {kind: resistor, ohms: 12, terminals: [1], case: EP2}
wires:
  W1: {from: "G1:plus", to: "R1:1", resistance: 0}
  W2: {from: EP2, to: EP1, resistance: 1}
states: {whole: {W2: sound}, strap lost: {W2: open}}
"""
    )
    assert found.points["whole"].volts("EP2") == pytest.approx(12 / 13, rel=0.01)
    lost = found.points["strap lost"]
    assert lost.amps("R1") == pytest.approx(0, abs=1e-6)
    assert lost.volts("R1:1") == pytest.approx(12, abs=0.001)


def test_an_end_behind_a_blocking_diode_is_held_by_leakage_only() -> None:
    found = study(
        f"""{BASE}
devices:
  G1: {BATTERY}
  D1: {{kind: diode}}
  R1: {{kind: resistor, ohms: 1000, terminals: [1], case: EP1}}
splices: {{J1: {{}}}}
wires:
  W1: {{from: "G1:plus", to: "D1:minus", resistance: 0}}
  W2: {{from: "D1:plus", to: J1, resistance: 0}}
  W3: {{from: J1, to: "R1:1", resistance: 0}}
states: {{whole: {{W3: sound}}, cut: {{W3: open}}}}
"""
    )
    assert found.points["cut"].is_loose("J1")
    assert not found.points["cut"].floats("J1")
    assert not found.points["whole"].is_loose("J1")


def test_the_solenoid_of_a_starter_draws_its_coil_current() -> None:
    text = f"""{BASE}
devices:
  G1: {BATTERY}
  M1:
    kind: motor
    use: starter
    amps: 200
    volts: 12
    terminals: [30, 50, 31]
    coil: {{from: 50, to: 31, ohms: 1.2}}
    pulls_in: 7 V
wires:
  W1: {{from: "G1:plus", to: "M1:30", resistance: 0}}
  W2: {{from: "G1:plus", to: "M1:50", resistance: 0}}
  W3: {{from: "M1:31", to: EP1, resistance: 0}}
states:
  crank: {{}}
"""
    point = study(text).points["crank"]
    # 12 V behind 10 mohm into 60 mohm and 1.2 ohm side by side
    both = 1 / (1 / 0.06 + 1 / 1.2)
    volts = 12 * both / (both + 0.01)
    assert point.amps("W2") == pytest.approx(volts / 1.2, rel=1e-3)
    assert point.amps("M1") == pytest.approx(volts / 0.06, rel=1e-3)
    without = study(text.replace("    coil: {from: 50, to: 31, ohms: 1.2}\n", ""))
    assert any(lack.unlocks == "solenoid current" for lack in without.circuit.lacking)


@pytest.mark.parametrize("watts", [50, 70, 71.5, 71.9])
def test_a_line_close_to_its_limit_delivers(watts: float) -> None:
    """12 V behind 0.5 ohm delivers 72 W at most: v = 6 + sqrt(36 - 0.5 P), the upper solution."""
    found = study(_line(watts, 5)).points["run"]
    assert found.starved == ()
    assert found.volts("A1:1") == pytest.approx(6 + (36 - 0.5 * watts) ** 0.5, abs=1e-3)


def test_a_line_past_its_limit_does_not() -> None:
    assert study(_line(72.5, 5)).points["run"].starved == ("A1",)


def _line(watts: float, least: float) -> str:
    return f"""{BASE}
devices:
  G1: {{kind: battery, volts: 12, resistance: 0.1, terminals: [plus], case: EP1}}
  A1: {{kind: converter, watts: {watts}, volts: 12, min_volts: {least}, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "A1:1", resistance: 0.4}}
states: {{run: {{A1: sound}}}}
"""


SPLIT = f"""{BASE}
splices: {{J1: {{}}, J2: {{}}}}
devices:
  G1: {BATTERY}
  G2: {{kind: alternator, volts: 14.2, amps: 60, terminals: [B], case: EP1}}
  S1: {{kind: switch, terminals: [C, N, A], positions: {{nav: [[C, N]], anchor: [[C, A]]}}}}
  P1: {{kind: lamp, title: Steaming light, watts: 25, volts: 12, terminals: [1, 2]}}
  P2: {{kind: lamp, title: Anchor light, watts: 10, volts: 12, terminals: [1, 2]}}
  P3: {{kind: lamp, title: Chart light, watts: 5, volts: 12, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "S1:C", resistance: 0}}
  W2: {{from: "G2:B", to: "G1:plus", resistance: 0.01}}
  W3: {{from: "S1:N", to: "P1:1", resistance: 0.1}}
  W4: {{from: "S1:A", to: J2, resistance: 0.1}}
  W5: {{from: J2, to: "P2:1", resistance: 0.1}}
  W6: {{from: "P1:2", to: J1, resistance: 0.1}}
  W7: {{from: "P2:2", to: J1, resistance: 0.1}}
  W8: {{from: J1, to: EP1, resistance: 0.1}}
  W9: {{from: J2, to: "P3:1", resistance: 0.1}}
states:
  run: {{S1: nav, G2: running, W8: open}}
"""


def test_a_lost_earth_is_cured_at_the_earth_whatever_feeds_it() -> None:
    """The alternator feeds it by its main terminal: no word of a charge lamp."""
    (found,) = [p for p in judged(SPLIT).findings if p.code == "STA103"]
    assert "fed by G2: G2:B (W2) G1:plus" in found.message
    assert found.help.startswith("Restore the earth or the feed whose loss")


def test_what_only_leakage_holds_is_neither_alive_nor_reversed() -> None:
    """An LED the wrong way round lets nothing through: its far end has no voltage to speak of."""
    led = "{kind: led, title: Anchor light, amps: 0.2, volts: 12, min_volts: 9, terminals: [1, 2]}"
    text = SPLIT.replace(
        "{kind: lamp, title: Anchor light, watts: 10, volts: 12, terminals: [1, 2]}", led
    )
    alone = text.replace('  W9: {from: J2, to: "P3:1", resistance: 0.1}\n', "")
    assert not {"STA103", "STA104"} & set(codes(alone))


def test_a_limit_for_nothing_is_named() -> None:
    text = SPLIT.replace("{volts: 12}", "{volts: 12, drop: {nav: 3 %, run: 10 %}}")
    needs = [entry.needs for entry in judged(text).not_checked if entry.code == "VLT101"]
    assert needs == ["a state or circuit called 'nav', for its limit under system: drop"]


BARE_RELAY = """
format: 1
system: {{volts: {nominal}}}
earths: {{EP1: {{kind: chassis}}}}
devices:
  G1: {{kind: battery, volts: {volts}, resistance: 10 mohm, terminals: [plus], case: EP1}}
  S1: {{kind: switch, terminals: [1, 2], positions: {{"off": [], "on": [[1, 2]]}}, resistance: 0}}
  K1: {{kind: relay, terminals: [{terminals}], resistance: 0}}
  R1: {{kind: heater, ohms: 12, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "S1:1", resistance: 0}}
  W2: {{from: "G1:plus", to: "K1:30", resistance: 0}}
  W3: {{from: "S1:2", to: "K1:86", resistance: 0}}
  W4: {{from: "K1:85", to: EP1, resistance: 0}}
  W5: {{from: "K1:87", to: "R1:1", resistance: 0}}
states:
  "off": {{S1: "off"}}
  "on": {{S1: "on"}}
"""


@pytest.mark.parametrize(
    ("nominal", "volts", "coil_a"),
    [
        # by hand: coil (85 ohm at 12 V, 255 ohm at 24 V, relay data sheets) beside 12 ohm, behind
        # 10 mohm; 12 V: 85 || 12 = 10.5155, 12.6 / 10.5255 = 1.19710 A, of it 12 / 97
        (12, 12.6, 0.148094),
        # 24 V: 255 || 12 = 11.4607, 25.2 / 11.4707 = 2.19691 A, of it 12 / 267
        (24, 25.2, 0.0987374),
    ],
)
def test_a_relay_with_terminal_numbers_alone_pulls_in(
    nominal: int, volts: float, coil_a: float
) -> None:
    text = BARE_RELAY.format(nominal=nominal, volts=volts, terminals="30, 85, 86, 87")
    points = study(text).points
    assert points["off"].pulled == ()
    assert points["off"].amps("R1") == pytest.approx(0.0, abs=1e-6)
    assert points["on"].pulled == ("K1",)
    assert points["on"].amps("K1:86-85") == pytest.approx(coil_a, rel=1e-4)


def test_where_no_coil_is_usual_it_pulls_in_by_voltage_alone() -> None:
    circuit = study(BARE_RELAY.format(nominal=36, volts=37, terminals="30, 85, 86, 87"))
    assert circuit.points["on"].pulled == ("K1",)
    assert circuit.points["on"].amps("K1:86-85") < 1e-4
    assert [lack.needs for lack in circuit.circuit.lacking] == ["coil ohms"]


def test_a_relay_without_coil_terminals_stays_at_rest_and_is_named() -> None:
    text = BARE_RELAY.format(nominal=12, volts=12.6, terminals="30, 87")
    text = text.replace('"K1:86"', '"R1:1"').replace('{from: "K1:85"', '{from: "R1:1"')
    circuit = study(text)
    assert all(point.pulled == () for point in circuit.points.values())
    assert [(lack.object, lack.needs.partition(",")[0]) for lack in circuit.circuit.lacking] == [
        ("K1", "coil")
    ]


HOLDS = f"""{BASE}
devices:
  G1: {{kind: battery, volts: 12.7, resistance: 30 mohm, terminals: [plus], case: EP1}}
  G2: {{kind: alternator, volts: 14.2, amps: 90, terminals: [B], case: EP1}}
  R1: {{kind: heater, ohms: 0.71, volts: 12, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "G2:B", resistance: 0}}
  W2: {{from: "G2:B", to: "R1:1", resistance: 0}}
states: {{run: {{G2: running}}}}
"""


def test_an_alternator_holds_its_voltage_up_to_its_amps_and_charges_the_battery() -> None:
    """1.5 V over 30 mohm charge with 50 A, 14.2 V over 0.71 ohm draw 20 A: 70 A of 90 A.

    With 60 A at most: (x - 12.7) / 0.03 + x / 0.71 = 60 gives 483.33 / 34.742 = 13.912 V.
    """
    point = study(HOLDS).points["run"]
    assert point.volts("G2:B") == pytest.approx(14.2, abs=0.1)
    assert abs(point.amps("G1")) == pytest.approx(50, abs=3)
    assert abs(point.amps("G2")) == pytest.approx(70, abs=3)
    weak = study(HOLDS.replace("amps: 90", "amps: 60")).points["run"]
    assert abs(weak.amps("G2")) == pytest.approx(60, abs=0.01)
    assert weak.volts("G2:B") == pytest.approx(13.912, abs=0.001)


CHARGER = """
format: 1
system: {volts: 12}
earths: {EP1: {kind: chassis}}
plugs:
  X1: {of: U1, face: [[1, 2, 3, 4]]}
devices:
  G1: {kind: battery, volts: 12.7, resistance: 10 mohm, terminals: [plus], case: EP1}
  G2: {kind: battery, title: Panel, volts: 18, resistance: 0.4, terminals: [plus, minus]}
  U1:
    kind: unit
    title: Solar charger
    inside:
      G: {kind: alternator, volts: 14.4, amps: 10, from: X1:3, to: X1:4}
      R: {kind: load, amps: 5, volts: 18, from: X1:1, to: X1:2}
wires:
  W1: {from: X1:3, to: "G1:plus", resistance: 0.1}
  W2: {from: X1:4, to: EP1, resistance: 0}
  W3: {from: "G2:plus", to: X1:1, resistance: 0}
  W4: {from: "G2:minus", to: X1:2, resistance: 0}
states: {sun: {U1.G: running}, night: {U1.R: open}}
"""


def test_a_charger_is_a_unit_that_gives_on_one_side_and_takes_on_the_other() -> None:
    """10 A over 10 mohm lift 12.7 V to 12.8 V; 18 V over 0.4 + 18 / 5 ohm drive 4.5 A."""
    points = study(CHARGER).points
    assert points["sun"].amps("W1") == pytest.approx(10, abs=1e-3)
    assert points["sun"].volts("G1:plus") == pytest.approx(12.8, abs=1e-3)
    assert abs(points["sun"].amps("W3")) == pytest.approx(4.5, abs=1e-3)
    assert abs(points["night"].amps("W1")) < 1e-6
    assert abs(points["night"].amps("W3")) < 1e-6
    assert "REF102" not in codes(CHARGER)
    assert "REF102" in codes(CHARGER.replace("U1.R: open", "U1.S: open"))


def test_hundreds_of_loads_on_wires_without_a_size_have_an_operating_point() -> None:
    # by hand: 300 times 12 ohm in parallel is 40 mohm, behind 10 mohm in the battery, on 12 V
    resistor = "{kind: resistor, ohms: 12, terminals: [1], case: EP1}"
    devices = "\n".join(f"  R{n}: {resistor}" for n in range(1, 301))
    wires = "\n".join(f"  W{n}: {{from: J1, to: 'R{n}:1'}}" for n in range(1, 301))
    found = study(
        f"""{BASE}
devices:
  G1: {BATTERY}
{devices}
splices: {{J1: {{}}}}
wires:
  W0: {{from: "G1:plus", to: J1}}
{wires}
states: {{driving: {{}}}}
"""
    ).points["driving"]
    assert found.outcome == ""
    assert found.amps("R1") == pytest.approx(0.8, rel=1e-4)
    assert found.amps("R300") == pytest.approx(0.8, rel=1e-4)
