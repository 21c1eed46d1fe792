"""What `size` recommends passes the checks, and one size smaller is refused by one of them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.compute.designs import judged, study
from wiregen.compute.render_states import states_text
from wiregen.compute.sizing import size_fuses, size_wires
from wiregen.facts.ampacity import standard_sizes

CODES = ("FUS102", "FUS103", "CUR101", "VLT101")

FEED = """
format: 1
system:
  volts: 12
  ambient: 85
  drop: {{default: {drop} V}}
  tables: {{conductor: iec-60228-5, ampacity: {scheme}, bundle: stepwise, fuse: iso-8820-3}}
looms: {{one: {{title: Feed, status: new, insulation: thin-wall 105}}}}
earths: {{EP1: {{kind: chassis}}}}
fuses: {{F1: {{rating: {fuse}, style: blade, resistance: 0.001}}}}
devices:
  G1: {{kind: battery, volts: 12.6, resistance: 5 mohm, terminals: [plus], case: EP1}}
  R1: {{kind: heater, ohms: {ohms}, volts: 12, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "F1:in", resistance: 0}}
  W2: {{from: "F1:out", to: "R1:1", size: {size}, length: {length}, loom: one}}
states: {{"on": {{}}}}
"""


def refused(**words: object) -> set[str]:
    """Return the codes that speak of the wire."""
    found = judged(FEED.format(**words)).findings
    wires = {p.code for p in found if p.code in CODES and "W2" in p.subjects}
    return wires | {p.code for p in found if p.code == "VLT101"}


@pytest.mark.parametrize("scheme", ["33cfr183", "iso-10133"])
@pytest.mark.parametrize(
    ("ohms", "fuse", "length", "drop"),
    [
        (2.4, 7.5, 12000, 0.5),
        (1.2, 30, 1000, 1.0),
        (0.6, 30, 4000, 0.3),
        (12.0, 20, 1500, 0.6),
        (0.5, 35, 900, 1.5),
    ],
)
def test_the_recommended_size_passes_and_the_next_smaller_does_not(
    scheme: str, ohms: float, fuse: float, length: float, drop: float
) -> None:
    facts = {"scheme": scheme, "ohms": ohms, "fuse": fuse, "length": length, "drop": drop}
    found = study(FEED.format(**facts, size=10))
    (sized,) = [w for w in size_wires(found, size_fuses(found)) if w.wire.id == "W2"]
    assert sized.choice is not None
    size = sized.choice.size
    assert size is not None
    assert refused(**facts, size=size.text) == set()
    sizes = standard_sizes()
    below = sizes[sizes.index(size) - 1]
    reason = dict(sized.choice.failed)[below.label]
    assert refused(**facts, size=below.text), reason


WAY = """
format: 1
system:
  volts: 12
  ambient: {ambient}
  drop: {{default: {drop} V}}
looms: {{one: {{title: Feed, status: new, insulation: thin-wall 105}}}}
earths: {{EP1: {{kind: chassis}}}}
splices: {{J1: {{resistance: 2 mohm}}}}
devices:
  G1: {{kind: battery, volts: 12.6, resistance: 5 mohm, terminals: [plus], case: EP1}}
  R1: {{kind: heater, ohms: {ohms}, volts: 12, terminals: [1, 2]}}
wires:
  W1: {{from: "G1:plus", to: J1, size: {size}, length: {length}, loom: one}}
  W2: {{from: J1, to: "R1:1", size: 2.5, length: 900, loom: one}}
  W3: {{from: "R1:2", to: EP1, size: 2.5, length: 700, loom: one}}
states: {{"on": {{}}}}
"""


@settings(max_examples=60, deadline=None)
@given(
    size=st.sampled_from([1.0, 1.5, 2.5, 4]),
    length=st.integers(300, 9000),
    ohms=st.floats(0.6, 6),
    ambient=st.sampled_from([20, 60, 85]),
    drop=st.floats(0.2, 1.5),
)
def test_check_and_size_judge_a_drop_alike(
    size: float, length: int, ohms: float, ambient: int, drop: float
) -> None:
    """A way that loses too much makes every wire on it too small for its drop, and no other."""
    text = WAY.format(size=size, length=length, ohms=ohms, ambient=ambient, drop=drop)
    found = study(text)
    small = [w.wire.id for w in size_wires(found, ()) if w.wrong.startswith("drop")]
    told = any(p.code == "VLT101" for p in judged(text).findings)
    assert small == (["W1", "W2", "W3"] if told else [])


def test_a_given_resistance_counts_for_the_wire_there_is() -> None:
    """The table would refuse 1 mm2 over 9 m; the resistance written beside it is what it has."""
    text = WAY.format(size="1.0, resistance: 1 mohm", length=9000, ohms=2, ambient=20, drop=0.5)
    found = study(text)
    first = size_wires(found, ())[0]
    assert first.wrong == ""
    assert "VLT101" not in [p.code for p in judged(text).findings]


def test_a_bolt_on_fuse_below_its_load_is_wrong_though_no_ratings_are_known() -> None:
    """60 A for long on 75 A is 80 %; 75 % is what a fuse carries for long."""
    text = FEED.format(drop=9, scheme="33cfr183", fuse=75, ohms=0.2, size=35, length=100)
    found = study(text.replace("style: blade", "style: bolt-on"))
    (fuse,) = size_fuses(found)
    assert fuse.amps_a == pytest.approx(60, rel=0.03)
    assert fuse.wrong == "for long 56.2 A (75 % of rating)"
    assert fuse.rating is not None
    assert fuse.rating.rating_a is None


def test_what_a_starter_draws_is_told_and_not_judged() -> None:
    starter = """
  M1: {kind: motor, use: starter, ohms: 0.06, volts: 12, terminals: [30], case: EP1}
wires:
  W9: {from: "G1:plus", to: "M1:30", size: 16, length: 500, loom: one}"""
    text = FEED.format(drop=9, scheme="33cfr183", fuse=30, ohms=2, size=6, length=900)
    found = study(text.replace("\nwires:", starter, 1))
    cable = next(w for w in size_wires(found, ()) if w.wire.id == "W9")
    assert cable.task.amps_a == 0
    assert cable.remark.endswith("A in state 'on' do not last: their heat is not judged")


LEAD = """
format: 1
system: {volts: 12, ambient: 30, tables: {ampacity: 33cfr183}}
looms: {one: {title: Loom, status: new, insulation: thin-wall 105}}
earths: {EP1: {kind: chassis}}
fuses: {F1: {rating: 80, style: bolt-on}, F2: {rating: 5, style: blade}}
devices:
  G1: {kind: battery, volts: 12.6, resistance: 10 mohm, terminals: [plus, minus]}
  R1: {kind: resistor, title: Shunt, ohms: 0.1 mohm, terminals: [1, 2]}
  R2: {kind: resistor, ohms: 10, terminals: [1, 2]}
wires:
  W1: {from: "G1:plus", to: "F1:in", length: 100, loom: one}
  W2: {from: "F1:out", to: "F2:in", length: 500, loom: one}
  W3: {from: "F2:out", to: "R2:1", length: 900, loom: one}
  W4: {from: "R2:2", to: EP1, length: 900, loom: one}
  W5: {from: EP1, to: "R1:1", length: 300, loom: one}
  W6: {from: "R1:2", to: "G1:minus", length: 100, loom: one}
states: {"on": {}}
"""


def test_minus_lead_of_a_source_is_sized_for_the_fuses_behind_which_a_short_comes_back() -> None:
    """33 CFR 183.425 at 105 degC: 10 AWG carry 60 A, 8 AWG (8.4 mm2) 80 A; 1 mm2: 20 A."""
    found = study(LEAD)
    chosen = {s.wire.id: s.choice.size for s in size_wires(found, size_fuses(found)) if s.choice}
    areas = {name: size.area_mm2 for name, size in chosen.items() if size}
    assert [areas[name] for name in ("W2", "W5", "W6")] == [10, 10, 10]
    assert [areas[name] for name in ("W3", "W4")] == [1, 1]
    assert found.guards.of_wire["W4"] == ("F2",)


def test_a_shunt_in_the_lead_of_the_battery_hides_no_drop() -> None:
    """12.6 V over 11.03 ohm drive 1.14 A, which lose 1.16 V in wire and fuse; 0.6 V are allowed."""
    text = LEAD.replace("system: {", "system: {drop: {default: 5 %}, ").replace(
        "{kind: resistor, ohms: 10,", "{kind: heater, ohms: 10, volts: 12,"
    )
    text = text.replace('"R2:1", length: 900', '"R2:1", resistance: 1')
    for name, wire in (("W1", 0), ("W2", 0), ("W4", 0), ("W5", 0), ("W6", 0)):
        text = text.replace(f"  {name}: {{", f"  {name}: {{resistance: {wire}, ")
    said = [f.message for f in judged(text).findings if f.code == "VLT101"]
    assert len(said) == 1
    assert said[0].startswith("R2 loses 1.1")
    shown = states_text(study(text))
    assert "a shunt: 0.11 mV across it" in shown
