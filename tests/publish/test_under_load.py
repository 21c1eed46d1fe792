"""Wires that an ohmmeter cannot judge: the test sheet asks for their drop under load."""

from __future__ import annotations

import pytest

from tests.compute.designs import read
from wiregen.connect import connect
from wiregen.publish.proving import proof_tables, prove

LEAD = """
format: 1
system: {volts: 12, drop: {default: 3 %}}
earths: {EP1: {kind: chassis}}
devices:
  G1: {kind: battery, volts: 12, resistance: 0.1 mohm, terminals: [plus, minus]}
  R1: {kind: heater, ohms: 0.4, volts: 12, terminals: [1, 2]}
  R2: {kind: heater, ohms: 12, volts: 12, terminals: [1, 2]}
wires:
  W1: {from: "G1:plus", to: "R1:1", size: 16, length: 150}
  W2: {from: "R1:2", to: EP1, size: 16, length: 150}
  W3: {from: "G1:plus", to: "R2:1", size: 1, length: 1000}
  W4: {from: "R2:2", to: EP1, size: 1, length: 1000}
  W5: {from: "G1:minus", to: EP1, size: 16, length: 150}
states: {"on": {}}
"""


def words(text: str) -> dict[str, str]:
    design = read(text).design
    return {check.id: check.words for check in prove(design, connect(design)).continuity}


def test_a_battery_cable_is_judged_by_its_drop() -> None:
    """IEC 60228 class 5: 16 mm2 have 1.21 mohm/m, so 0.15 m lose 5.4 mV at 30 A.

    0.2 ohm lose 6 V at 30 A, 0.2 V at 1 A; 3 % of 12 V are 0.36 V.
    """
    said = words(LEAD)
    assert said["W1"].startswith("an ohmmeter cannot judge it: measure its drop at 30 A")
    assert said["W1"].endswith("A (state 'on'), about 5.4 mV end to end")
    assert said["W5"].startswith("an ohmmeter cannot judge it: measure its drop at 30.")
    assert said["W3"] == said["W4"] == ""


@pytest.mark.parametrize(
    ("drop", "cannot"), [("{default: 5.5 V}", True), ("{default: 7 V}", False)]
)
def test_it_depends_on_what_the_design_allows(drop: str, cannot: bool) -> None:
    assert bool(words(LEAD.replace("{default: 3 %}", drop))["W1"]) is cannot


def test_the_sheet_says_how_and_only_where_it_is_asked_for() -> None:
    for ohms, noted in (("0.4", True), ("24", False)):
        design = read(LEAD.replace("ohms: 0.4", f"ohms: {ohms}")).design
        tables = {table.name: table for table in proof_tables(design, connect(design))}
        assert any("the load on" in note for note in tables["continuity"].notes) is noted
