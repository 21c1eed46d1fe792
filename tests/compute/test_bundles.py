"""Wires that share a stretch of the route are one bundle, and carry less."""

from __future__ import annotations

import pytest

from tests.compute.designs import judged, study
from wiregen.compute.rating import loaded_of, rated
from wiregen.compute.render_sizes import sizes_text
from wiregen.compute.sizing import size_fuses, size_wires

ROUTED = """
format: 1
system: {volts: 12, ambient: 30, tables: {ampacity: 33cfr183, bundle: stepwise}}
looms: {one: {title: Loom, status: new, insulation: thin-wall 105}}
earths: {EP1: {kind: chassis}}
plugs:
  X1: {pins: {1: {carries: a}, 2: {carries: b}, 3: {carries: c}, 4: {carries: d}}}
fuses: {F1: {rating: 30, style: blade}}
devices:
  G1: {kind: battery, volts: 12.6, resistance: 10 mohm, terminals: [plus], case: EP1}
  S1: {kind: switch, terminals: [1, 2], positions: {"off": [], "on": [[1, 2]]}}
  R1: {kind: resistor, ohms: 10, terminals: [1], case: EP1}
  R2: {kind: resistor, ohms: 10, terminals: [1], case: EP1}
  R3: {kind: resistor, ohms: 10, terminals: [1], case: EP1}
splices: {J1: {at: N1}, J2: {at: N1}}
wires:
  W1: {from: "G1:plus", to: "F1:in", size: 4, length: 300, loom: one}
  W2: {from: "F1:out", to: "J1", size: 4, length: 300, loom: one}
  W3: {from: "J1", to: "R1:1", size: 1.5, length: 900, loom: one}
  W4: {from: "J1", to: "R2:1", size: 1.5, length: 900, loom: one}
  W5: {from: "J1", to: "S1:1", size: 1.5, length: 900, loom: one}
  W6: {from: "S1:2", to: "R3:1", size: 1.5, length: 900, loom: one}
  W7: {from: "J2", to: "X1:1", size: 1.5, length: 1200, loom: one}
route:
  - {from: N1, to: N2, length: 500}
  - {from: N2, to: R1, length: 400}
  - {from: N2, to: R2, length: 400}
  - {from: N2, to: S1, length: 400}
  - {from: N2, to: X1, length: 700}
"""
STATES = 'states: {"off": {S1: "off"}, "on": {S1: "on"}}\n'


def test_wires_of_one_stretch_that_carry_current_at_once_are_counted() -> None:
    found = study(ROUTED + STATES)
    wires = found.design.wires
    # W3, W4 and W5 share N1 to N2; W7 lies with them and carries nothing
    assert [loaded_of(found, wires[name]) for name in ("W2", "W3", "W5", "W7")] == [1, 3, 3, 4]


def test_without_states_every_wire_of_the_stretch_counts() -> None:
    found = study(ROUTED)
    assert loaded_of(found, found.design.wires["W3"]) == 4


def test_the_factor_is_that_of_the_table_and_is_named() -> None:
    found = study(ROUTED + STATES)
    alone = study(ROUTED.partition("route:")[0] + STATES)
    wire = found.design.wires["W3"]
    together, single = rated(found, wire).ampacity, rated(alone, wire).ampacity
    assert together is not None
    assert single is not None
    # 33 CFR 183.425, note: three conductors in a bundle carry 70 %
    assert together.amps_a == pytest.approx(0.7 * single.amps_a)
    fuses = size_fuses(found)
    text = sizes_text(found, size_wires(found, fuses), fuses)
    assert "bundle: 3 of 4 wires between N1 and N2 carry current at once" in text


def test_a_fuse_that_a_wire_stands_alone_is_too_large_for_it_in_a_bundle() -> None:
    # 1.5 mm2 counts as 16 AWG, 25 A at 105 degC: 17.5 A of three in a bundle
    def too_large(text: str) -> set[str]:
        text = text.replace("rating: 30", "rating: 20")
        found = judged(text).findings
        return {s for p in found if p.code == "FUS102" for s in p.subjects if s.startswith("W")}

    assert "W3" in too_large(ROUTED + STATES)
    assert "W3" not in too_large(ROUTED.partition("route:")[0] + STATES)


def test_a_wire_the_table_has_no_row_for_names_one_that_has() -> None:
    """33 CFR 183.425 begins at 18 AWG (0.82 mm2), ISO 10133 at 0.75 mm2."""
    thin = ROUTED.partition("route:")[0].replace("size: 1.5", "size: 0.75")
    found = study(thin + STATES)
    needs = rated(found, found.design.wires["W3"]).needs
    assert needs.startswith("another table, as 'tables: {ampacity: iso-10133}' (33cfr183 has no ")
    found = study(thin.replace("33cfr183", "iso-10133").replace("0.75", "0.5") + STATES)
    needs = rated(found, found.design.wires["W3"]).needs
    assert needs.endswith("(iso-10133 has no size below 0.75 mm2)")
    assert "{ampacity: iso-10133}" not in needs
