"""Batteries in series, a tap between them, and plus at earth: who is live, who protects whom."""

from __future__ import annotations

import pytest

from tests.compute.designs import judged, study
from wiregen.compute.wire_roles import wire_roles

TAPPED = """
format: 1
system: {volts: 24}
earths: {EP1: {kind: chassis}}
fuses:
  F1: {rating: 10, style: blade, resistance: 0.01}
  F2: {rating: 10, style: blade, resistance: 0.01}
devices:
  G1: {kind: battery, volts: 12, resistance: 10 mohm, terminals: [plus, minus]}
  G2: {kind: battery, volts: 12, resistance: 10 mohm, terminals: [plus, minus]}
  E1: {kind: heater, ohms: 24, volts: 24, terminals: [1], case: EP1}
  E2: {kind: heater, ohms: 12, volts: 12, terminals: [1], case: EP1}
wires:
  W1: {from: "G1:minus", to: EP1, resistance: 0.01}
  W2: {from: "G1:plus", to: "G2:minus", resistance: 0.01}
  W3: {from: "G2:plus", to: "F1:in", resistance: 0.01}
  W4: {from: "F1:out", to: "E1:1", resistance: 0.01}
  W5: {from: "G1:plus", to: "F2:in", resistance: 0.01}
  W6: {from: "F2:out", to: "E2:1", resistance: 0.01}
states:
  run: {E1: sound}
"""
PLUS_AT_EARTH = """
format: 1
system: {volts: 12}
earths: {EP1: {kind: chassis}}
fuses: {F1: {rating: 10, style: blade, resistance: 0.01}}
devices:
  G1: {kind: battery, volts: 12, resistance: 10 mohm, terminals: [plus, minus]}
  E1: {kind: heater, ohms: 12, volts: 12, terminals: [1], case: EP1}
wires:
  W1: {from: "G1:plus", to: EP1, resistance: 0.01}
  W2: {from: "G1:minus", to: "F1:in", resistance: 0.01}
  W3: {from: "F1:out", to: "E1:1", resistance: 0.01}
states:
  run: {E1: sound}
"""


def test_the_tap_of_a_string_is_live_and_its_fuse_protects() -> None:
    found = study(TAPPED)
    assert found.network.returns == ("G1:minus",)
    assert found.guards.of_wire["W6"] == ("F2",)
    assert found.guards.of_load["E2"] == ("F2",)
    assert found.guards.unfused["W5"] == ("G1",)
    assert found.guards.returns == {"W1"}
    roles = {wire: now.role for wire, now in wire_roles(found, "run").items()}
    assert roles == {**dict.fromkeys(("W2", "W3", "W4", "W5", "W6"), "live"), "W1": "earth"}


def test_a_tap_without_a_fuse_is_an_unfused_reach() -> None:
    subjects = [p.subjects for p in judged(TAPPED).findings if p.code == "FUS101"]
    assert ("W2", "W5", "G1:plus") in subjects


def test_a_short_across_a_string_is_driven_by_both_batteries() -> None:
    """24 V x 1.14 over two inner resistances and the metal on the way, copper not counted cold."""
    found = study(TAPPED)
    scale = 1 + 0.00393 * (-20 - 20)
    ohm = 0.02 + 0.01 * 4 * scale + 0.01
    drawn = found.strong_shorts[found.circuit.at("E1:1")]
    assert drawn == pytest.approx(24 * 1.14 / ohm, rel=1e-3)


def test_plus_at_earth_has_its_live_side_at_minus() -> None:
    found = study(PLUS_AT_EARTH)
    assert found.guards.of_wire == {"W1": ("F1",), "W2": (), "W3": ("F1",)}
    assert found.guards.unfused == {"W2": ("G1",)}
    roles = {wire: now.role for wire, now in wire_roles(found, "run").items()}
    assert roles == {"W1": "earth", "W2": "live", "W3": "live"}
    assert found.points["run"].volts("E1:1") == pytest.approx(-12, rel=0.01)
    assert found.strong_shorts[found.circuit.at("F1:out")] > 300
