"""Sizes chosen together, against sums by hand.

Source of the resistances: IEC 60228 class 5 at 20 degC, 1 mm2 19.5, 4 mm2 4.95, 6 mm2 3.30 ohm/km;
of the currents: 33 CFR 183.425 at 105 degC, 18 AWG (0.82 mm2) 20 A.
"""

from __future__ import annotations

import pytest

from tests.compute.designs import study
from wiregen.compute.fill import fill
from wiregen.compute.joint import joint_sizes
from wiregen.compute.render_sizes import sizes_data, sizes_text
from wiregen.compute.sizing import size_fuses, size_wires
from wiregen.compute.study import Study

SHARED = """
format: 1
system: {volts: 12, ambient: 20, drop: {default: 3 %}, tables: {ampacity: 33cfr183}}
looms: {one: {title: Loom, status: new, insulation: thin-wall 105}}
earths: {EP1: {kind: chassis}}
splices: {J1: {}}
fuses: {F1: {rating: 20, style: blade, resistance: 23 mohm}}
devices:
  G1: {kind: battery, volts: 12, resistance: 0.1 mohm, terminals: [plus], case: EP1}
  R1: {kind: heater, ohms: 2.4, volts: 12, terminals: [1], case: EP1}
  R2: {kind: heater, ohms: 1.2, volts: 12, terminals: [1], case: EP1}
wires:
  W1: {from: "G1:plus", to: "F1:in", resistance: 0, size: 6, length: 100, loom: one}
  W2: {from: "F1:out", to: J1, resistance: 0, size: 6, length: 100, loom: one}
  W3: {from: J1, to: "R1:1", length: 4000, loom: one}
  W4: {from: J1, to: "R2:1", length: 10000, loom: one}
states: {"on": {}}
"""


def sized(found: Study) -> dict[str, float]:
    return {name: size.area_mm2 for name, size in fill(found, every=False).sizes.items()}


def test_a_drop_that_no_size_cures_makes_no_wire_larger() -> None:
    """15 A over 23 mohm lose 0.345 V of 0.36 V: 15 mV are left for 4 m at 5 A and 10 m at 10 A.

    That is 0.75 mohm/m or 35 mm2 for R1, beyond all sizes for R2; current and fuse ask for 1
    or 1.5 mm2.
    """
    without = sized(study(SHARED.replace("drop: {default: 3 %}, ", "")))
    filled = fill(study(SHARED), every=False)
    assert {name: size.area_mm2 for name, size in filled.sizes.items()} == without
    assert set(without) == {"W3", "W4"}
    assert max(without.values()) <= 1.5
    assert not filled.good
    assert [lost.load.id for lost in filled.unmet] == ["R1", "R2"]
    said = filled.words(filled.unmet[1])
    assert said.startswith("sizes do not cure the drop of R2: for current and fuse R2 loses ")
    assert "0.360 V allowed" in said
    assert "in what no size here changes: F1 (0.3" in said


def test_a_cure_within_reach_is_taken_though_a_contact_takes_most() -> None:
    """10 A over 22 mohm lose 0.22 V; 0.14 V are left for 2 m: 7 mohm/m, so 4 mm2 (4.95)."""
    text = SHARED.replace("23 mohm", "22 mohm").replace("length: 10000", "length: 2000")
    text = text.replace('  W3: {from: J1, to: "R1:1", length: 4000, loom: one}\n', "")
    assert sized(study(text)) == {"W4": 4}


def test_wires_too_small_together_get_the_sizes_that_do_together() -> None:
    """10 m at 10 A may lose 0.36 V: 3.6 mohm/m, so 6 mm2 (3.30); 1 mm2 loses 1.95 V.

    With one half in 1 mm2 (0.975 V) no size of the other half helps.
    """
    text = SHARED.replace("23 mohm", "0").replace("J1: {}", "J1: {}, J2: {}")
    text = text.replace('  W3: {from: J1, to: "R1:1", length: 4000, loom: one}\n', "")
    text = text.replace(
        'W4: {from: J1, to: "R2:1", length: 10000, loom: one}',
        """W4: {from: J1, to: J2, length: 5000, loom: one, size: 1}
  W5: {from: J2, to: "R2:1", length: 5000, loom: one, size: 1}""",
    ).replace(", resistance: 0, size: 6, length: 100", ", size: 50, length: 10")
    found = study(text)
    wires, fuses = size_wires(found, size_fuses(found)), size_fuses(found)
    (joint,) = joint_sizes(found, wires)
    assert joint.lost.way.drop_v == pytest.approx(1.95 / (1 + 0.195 / 1.2), rel=0.1)
    assert {name: joint.sizes[name].area_mm2 for name in ("W4", "W5")} == {"W4": 6, "W5": 6}
    said = sizes_text(found, wires, fuses)
    assert said.count("R2 loses") == 1
    assert "W4: has 1, 6 with the other wires of its way" in said
    assert "no size of it helps" not in said
    data = sizes_data(found, wires, fuses)["drops"]
    assert isinstance(data, dict)
    assert data["R2"]["together"]["W5"] == "6"


def test_sizes_that_a_table_rules_out_are_said_once() -> None:
    """33 CFR 183.425 begins at 18 AWG, 0.823 mm2."""
    found = study(SHARED)
    said = sizes_text(found, size_wires(found, ()), ())
    assert said.count("has no size below 18 AWG (0.823 mm2)") == 1
    assert said.count("not in iec-60228-5") == 1


def test_a_fuse_without_a_load_keeps_its_rating_and_its_wire_a_size() -> None:
    """80 A is the limit of 8 AWG (8.37 mm2) at 105 degC: 10 mm2 is the next size."""
    text = SHARED.replace("fuses: {", "fuses: {F2: {rating: 80, style: maxi blade}, ")
    text = text.replace("states:", '  W6: {from: J1, to: "F2:in", length: 100, loom: one}\nstates:')
    text = text.replace(
        "states:", '  W7: {from: "F2:out", to: "R3:1", length: 100, loom: one}\nstates:'
    )
    text = text.replace("wires:", "  R3: {kind: lamp, terminals: [1], case: EP1}\nwires:")
    filled = fill(study(text), every=True)
    assert "F2" not in filled.ratings
    assert ("F2", "carries nothing in any state") in filled.left
    assert filled.sizes["W7"].area_mm2 == 10
