"""Which circuit a net serves, and what the sheets of a large design are about."""

from __future__ import annotations

import re

import pytest

from tests.layout.schematic_kit import groups, parsed, schematic
from tests.layout.vehicles import vehicle
from wiregen.connect import connect
from wiregen.layout.schematic.circuits import circuit_words, heading, net_circuits
from wiregen.publish import Document
from wiregen.read import load_text

HORN_AND_PUMP = """
format: 1
drawing: {title: Workshop trolley}
system: {volts: 12}
looms: {main: {title: Main loom, status: new}}
plugs:
  X1: {of: A1, contacts: pins, face: [[1, 2, 3]]}
  X2: {loom: main, contacts: sockets, mates: X1}
boxes:
  FB1: {title: Fuse box, bars: {30: [F1, F2, F3]}}
fuses:
  F1: {rating: 10, title: horn}
  F2: {rating: 15}
  F3: {rating: 5, title: control unit}
devices:
  G1: {kind: battery, volts: 12, terminals: [plus, minus]}
  S1: {kind: switch, terminals: [1, 2], positions: {on: [[1, 2]]}}
  H1: {kind: horn, terminals: [1, 2], watts: 40}
  M1: {kind: motor, title: Pump, terminals: [1, 2], watts: 80}
  S2: {kind: switch, terminals: [1, 2], positions: {on: [[1, 2]]}}
  B1: {kind: sensor, title: Float, terminals: [1, 2]}
  A1: {kind: unit, title: Bilge control}
earths: {EP1: {title: frame}}
wires:
  W1: {from: "G1:plus", to: "FB1:30", loom: main}
  W2: {from: "F1:out", to: "S1:1", loom: main}
  W3: {from: "S1:2", to: "H1:1", loom: main}
  W4: {from: "H1:2", to: EP1, loom: main}
  W5: {from: "F2:out", to: "M1:1", loom: main}
  W6: {from: "M1:2", to: "S2:1", loom: main}
  W7: {from: "S2:2", to: EP1, loom: main}
  W8: {from: "F3:out", to: "X2:1", loom: main}
  W9: {from: "X2:2", to: "B1:1", loom: main}
  W10: {from: "X2:3", to: EP1, loom: main}
  W11: {from: "G1:minus", to: EP1, loom: main}
  W12: {from: "B1:2", to: EP1, loom: main}
"""


@pytest.fixture(scope="module")
def trolley():
    design = load_text(HORN_AND_PUMP, "trolley.yaml").design
    network = connect(design)
    return design, network, net_circuits(design, network)


def circuit_at(trolley, node):
    _, network, found = trolley
    return found.get(network.net_index[node])


def test_what_lies_behind_a_fuse_and_its_switch_is_one_circuit(trolley):
    assert circuit_at(trolley, "S1:1") == "fuse F1"
    assert circuit_at(trolley, "H1:1") == "fuse F1"


def test_a_load_with_its_switch_in_the_earth_lead_is_one_circuit(trolley):
    assert circuit_at(trolley, "M1:1") == circuit_at(trolley, "S2:1") == "fuse F2"


def test_a_signal_belongs_to_its_unit(trolley):
    assert circuit_at(trolley, "B1:1") == "at A1"
    assert circuit_at(trolley, "X2:1") == "fuse F3"


def test_feeds_and_earths_of_all_are_no_circuit(trolley):
    assert circuit_at(trolley, "FB1:30") is None
    assert circuit_at(trolley, "EP1") is None


def test_a_name_goes_before_a_fuse():
    plug = "face: [[1, 2, 3]]"
    text = HORN_AND_PUMP.replace(plug, f"{plug}, pins: {{1: {{carries: feed, circuit: bilge}}}}")
    design = load_text(text, "trolley.yaml").design
    network = connect(design)
    assert net_circuits(design, network)[network.net_index["X2:1"]] == "circuit bilge"


def test_words_of_circuits(trolley):
    design, network, _ = trolley
    words = [circuit_words(design, network, c) for c in ("fuse F1", "fuse F2", "at A1")]
    assert words == ["F1 horn", "F2 Pump", "A1 Bilge control"]


def test_a_heading_stays_while_its_circuits_are_there():
    before = "Horn, wash and wipe, pump and 2 more"
    now = ["pump", "wash and wipe", "lamp", "horn"]
    assert heading(now, before) == "Horn, wash and wipe, pump and 1 more"
    assert heading(["pump", "lamp"], before) == "Pump, lamp"


def sheets_of(wires, tmp_path):
    path = tmp_path / "vehicle.yaml"
    path.write_text(vehicle(wires), encoding="utf-8")
    return [d for d in Document(path).draw() if d.name.startswith("sheet-")]


def test_power_and_earth_distribution_come_first_and_every_wire_to_earth_is_there(tmp_path):
    sheets = sheets_of(150, tmp_path)
    titles = [re.sub(r" \(\d+\)$", "", drawing.sheet.title) for drawing in sheets]
    kinds = [t for t in titles if t in ("Power distribution", "Earth distribution")]
    assert titles[: len(kinds)] == kinds == sorted(kinds, reverse=True)
    earths = "".join(d.svg for d, t in zip(sheets, titles, strict=True) if t == kinds[-1])
    drawn = set(re.findall(r'data-wire="([^"]*)"', earths))
    design = load_text(vehicle(150), "vehicle.yaml").design
    returning = {
        wire.id
        for wire in design.wires.values()
        if any(end and end.owner in design.earths for end in (wire.start, wire.end))
    }
    assert returning
    assert returning <= drawn


def test_a_sheet_is_named_after_fuses_whose_wires_are_on_it(tmp_path):
    design = load_text(vehicle(150), "vehicle.yaml").design
    network = connect(design)
    named = 0
    for drawing in sheets_of(150, tmp_path):
        wires = set(re.findall(r'data-wire="([^"]*)"', drawing.svg))
        for fuse in re.findall(r"\bF\d+\b", drawing.sheet.title):
            behind = {
                wire
                for node, index in network.net_index.items()
                if fuse in network.protecting_fuses(node) and network.nets[index].kind != "earth"
                for wire in network.nets[index].wires
            }
            assert behind & wires, drawing.sheet.title
            named += 1
    assert named > 5


def test_wires_of_no_known_circuit_are_named_after_their_plugs(tmp_path):
    pins = ", ".join(f"{n}: {{carries: line {n}}}" for n in range(1, 71))
    wires = "".join(f"  W{n}: {{from: 'X1:{n}', to: 'X2:{n}'}}\n" for n in range(1, 71))
    path = tmp_path / "extension.yaml"
    path.write_text(
        f"format: 1\nplugs:\n  X1: {{title: Near end, pins: {{{pins}}}}}\n"
        f"  X2: {{title: Far end, pins: {{{pins}}}}}\nwires:\n{wires}",
        encoding="utf-8",
    )
    drawn = [d.sheet.title for d in Document(path).draw() if d.name.startswith("sheet-")]
    assert len(drawn) > 1
    assert {re.sub(r" \(\d+\)$", "", title) for title in drawn} == {"X1 Near end, X2 Far end"}


def outputs_of_a_unit(coil):
    """Return a design in which a unit drives six relays, one valve behind each contact."""
    lines = ["format: 1", "devices:", "  A1: {kind: unit}"]
    for n in range(1, 7):
        lines.append(f"  K{n}: {{kind: relay{coil}}}")
        lines.append(f"  Y{n}: {{kind: solenoid, watts: 8, terminals: [1, 2]}}")
        lines += [f"  B{n}{m}: {{kind: sensor, terminals: [1, 2]}}" for m in (1, 2, 3)]
    lines += ["fuses: {F1: {rating: 6}, F2: {rating: 2}}", "earths: {EP1: {}}"]
    lines += ["splices: {J1: {}, J2: {}, J3: {}}", "plugs:", "  X1:"]
    lines += ["    of: A1", f"    face: [{list(range(1, 25))}]", "wires:"]
    lines += ["  W1: {from: F1:out, to: J1}", "  W2: {from: J2, to: EP1}"]
    lines += ["  W3: {from: F2:out, to: J3}"]
    for n in range(1, 7):
        lines.append(f"  W{n}1: {{from: J1, to: K{n}:30}}")
        lines.append(f"  W{n}2: {{from: K{n}:87, to: Y{n}:1}}")
        lines.append(f"  W{n}3: {{from: Y{n}:2, to: EP1}}")
        lines.append(f"  W{n}4: {{from: X1:{n}, to: K{n}:86}}")
        lines.append(f"  W{n}5: {{from: K{n}:85, to: J2}}")
        for m in (1, 2, 3):
            lines.append(f"  W{n}{5 + m}: {{from: J3, to: B{n}{m}:1}}")
            lines.append(f"  W{n}{8 + m}: {{from: B{n}{m}:2, to: X1:{6 * m + n}}}")
    return "\n".join(lines)


@pytest.mark.parametrize("coil", ["", ", coil: {from: 86, to: 85}"])
def test_a_load_is_on_the_sheet_of_the_contact_that_switches_it(coil):
    # a circuit is read from its fuse through the contact to the load on one sheet; common
    # practice, no source
    sheets = schematic(load_text(outputs_of_a_unit(coil), "outputs.yaml").design)
    assert len(sheets) > 1
    shown = [group.get("data-wire") for s in sheets for group in groups(parsed(s), "wire")]
    for n in range(1, 7):
        assert shown.count(f"W{n}2") == 1
