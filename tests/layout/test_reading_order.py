"""How a sheet reads: supply left, a plug in one piece, parts turned to what they hang on.

Reading from supply to load is practice of IEC 61082-1; one piece for one plug is common practice,
no source.
"""

from __future__ import annotations

import pytest

from tests.layout.schematic_kit import drawn, groups, parsed, pins, read, run_of, schematic, words
from wiregen.connect import connect
from wiregen.layout.lint import lint
from wiregen.layout.schematic.narrowed import narrowed
from wiregen.layout.schematic.steps import EARTH_STEPS, find_steps
from wiregen.problems import Member, Problem

SUPPLY = """\
format: 1
devices:
  G1: {kind: battery, volts: 12, terminals: [plus, minus]}
  G2: {kind: alternator, volts: 14, terminals: [B], case: EP1}
  S1: {kind: switch, terminals: [1, 2, C], positions: {off: [], one: [[1, C]], two: [[2, C]]}}
  P1: {kind: lamp, watts: 5}
fuses:
  F1: {rating: 50, style: bolt-on, fitted_on: G1:plus}
  F2: {rating: 10}
earths: {EP1: {kind: engine}}
splices: {J1: {}}
wires:
  W1: {from: F1:out, to: S1:1, colour: RD, size: 10}
  W2: {from: S1:C, to: J1, colour: RD, size: 10}
  W3: {from: G2:B, to: J1, colour: RD, size: 10}
  W4: {from: J1, to: F2:in, colour: RD, size: 1}
  W5: {from: F2:out, to: P1:1, colour: RD, size: 1}
  W6: {from: P1:2, to: EP1, colour: BN, size: 1}
  W7: {from: G1:minus, to: EP1, colour: BK, size: 10}
"""


def test_steps_are_counted_from_the_battery_and_not_from_the_alternator():
    design = read(SUPPLY)
    steps = find_steps(design, connect(design))
    # by hand: F1, then the contact of S1, then F2 lie between the battery and each
    assert [steps[node] for node in ("F1:in", "S1:1", "S1:C", "F2:in", "P1:1")] == [0, 1, 2, 2, 3]
    assert steps["P1:2"] == steps["G1:minus"] == EARTH_STEPS


def test_the_fed_side_of_a_switch_stands_left():
    (sheet,) = schematic(read(SUPPLY))
    at = {node: places[0][0] for node, places in pins(parsed(sheet)).items()}
    assert at["S1:1"] < at["S1:C"]
    assert at["F2:in"] < at["F2:out"] < at["P1:1"]


UNIT = """\
format: 1
devices:
  G1: {kind: battery, volts: 12, terminals: [plus, minus]}
  A1: {kind: unit}
  P1: {kind: lamp, watts: 5}
  B1: {kind: sensor, terminals: [1, 2, 3]}
fuses: {F1: {rating: 10, fitted_on: G1:plus}}
earths: {EP1: {kind: chassis}}
plugs:
  X1: {of: A1, contacts: pins, face: [[1, 2, 3, 4, 5, 6]]}
  X2: {mates: X1, contacts: sockets}
wires:
  W1: {from: F1:out, to: X2:1, colour: RD, size: 1}
  W2: {from: X2:2, to: EP1, colour: BN, size: 1}
  W3: {from: X2:3, to: P1:1, colour: YE, size: 1}
  W4: {from: P1:2, to: EP1, colour: BN, size: 1}
  W5: {from: X2:4, to: B1:1, colour: OG, size: 1}
  W6: {from: X2:5, to: B1:2, colour: BU, size: 1}
  W7: {from: X2:6, to: B1:3, colour: WH, size: 1}
  W8: {from: G1:minus, to: EP1, colour: BK, size: 6}
"""


def test_a_loom_half_is_drawn_once_and_what_hangs_on_it_faces_it():
    (sheet,) = schematic(read(UNIT))
    root = parsed(sheet)
    halves = [group for group in groups(root, "plug") if group.get("data-plug") == "X2"]
    assert len(halves) == 1
    at = {node: places[0][0] for node, places in pins(root).items()}
    assert len({at[f"X2:{n}"] for n in range(1, 7)}) == 1
    ends = ("F1:out", "P1:1", "B1:1", "B1:2", "B1:3")
    assert len({at[node] < at["X2:1"] for node in ends}) == 1
    assert len({at[f"B1:{n}"] for n in (1, 2, 3)}) == 1


def _sensors(count):
    """Return a unit that reads sensors with a shared supply and return, as a design."""
    lines = ["format: 1", "devices:", "  A1: {kind: unit}"]
    lines += [f"  B{n}: {{kind: sensor, terminals: [1, 3, 4]}}" for n in range(1, count + 1)]
    lines += ["plugs: {X1: {of: A1, face: [[1, 2, 3, 4, 5, 6]]}}", "splices: {J1: {}, J2: {}}"]
    lines += ["fuses: {F1: {rating: 2}}", "earths: {EP1: {}}", "wires:"]
    lines += ["  W1: {from: F1:out, to: J1}", "  W2: {from: J2, to: EP1}"]
    for n in range(1, count + 1):
        lines.append(f"  W{n}1: {{from: J1, to: B{n}:1}}")
        lines.append(f"  W{n}3: {{from: J2, to: B{n}:3}}")
        lines.append(f"  W{n}4: {{from: B{n}:4, to: X1:{n}}}")
    return "\n".join(lines)


BULKHEAD = """\
format: 1
devices:
  A1: {kind: unit}
  B1: {kind: sensor, terminals: [1]}
  B2: {kind: sensor, terminals: [1]}
  B3: {kind: sensor, terminals: [1]}
  E1: {kind: heater, watts: 60}
  E2: {kind: heater, watts: 60}
  S1: {kind: switch, terminals: [1, 2]}
earths: {EP1: {kind: engine}}
plugs:
  X1: {of: A1, contacts: pins, face: [[1, 2, 3]]}
  X2: {mates: X1, contacts: sockets}
  X3: {contacts: sockets, face: [[1, 2, 3, 4, 5]]}
  X4: {mates: X3, contacts: pins}
wires:
  W1: {from: S1:1, to: X3:1, colour: RD, size: 1}
  W2: {from: X4:1, to: E1:1, colour: RD, size: 1}
  W3: {from: E1:2, to: EP1, colour: BN, size: 1}
  W4: {from: B1:1, to: X4:2, colour: YE, size: 1}
  W5: {from: B2:1, to: X4:3, colour: GN, size: 1}
  W6: {from: B3:1, to: X4:4, colour: WH, size: 1}
  W7: {from: X3:2, to: X2:1, colour: YE, size: 1}
  W8: {from: X3:3, to: X2:2, colour: GN, size: 1}
  W9: {from: X3:4, to: X2:3, colour: WH, size: 1}
  W10: {from: S1:2, to: X3:5, colour: RD, size: 1}
  W11: {from: X4:5, to: E2:1, colour: RD, size: 1}
  W12: {from: E2:2, to: EP1, colour: BN, size: 1}
"""


def test_a_few_loads_do_not_turn_a_bulkhead_plug_away_from_most_of_its_wires():
    # signals read from sensor to unit, common practice, no source
    (sheet,) = schematic(read(BULKHEAD))
    at = {node: places[0][0] for node, places in pins(parsed(sheet)).items()}
    assert at["B1:1"] < at["X4:2"] < at["X3:2"] < at["X2:1"]


@pytest.mark.parametrize("count", [2, 4, 6])
def test_sensors_with_a_shared_supply_and_their_unit_face_each_other(count):
    # a signal leaves the sensor towards the pin it ends at, common practice, no source
    (sheet,) = schematic(read(_sensors(count)))
    root = parsed(sheet)
    at = {node: places[0][0] for node, places in pins(root).items()}
    wires = {group.get("data-wire"): group for group in groups(root, "wire")}
    for n in range(1, count + 1):
        xs = [x for x, _ in run_of(wires[f"W{n}4"])]
        assert min(xs) >= min(at[f"B{n}:4"], at[f"X1:{n}"]) - 0.01
        assert max(xs) <= max(at[f"B{n}:4"], at[f"X1:{n}"]) + 0.01


@pytest.mark.parametrize(("shown", "count"), [({"W1", "W2"}, 2), ({"W3"}, 1)])
def test_a_sheet_lists_of_a_finding_only_what_stands_on_it(shown, count):
    design = read(SUPPLY)
    members = tuple(Member(f"W{n} is odd", f"W{n}", (f"W{n}",)) for n in range(1, 4))
    many = Problem(
        "COL104", "info", "3 wires are odd: W1, W2, W3", design.origin.span,
        subjects=("W1", "W2", "W3"), members=members, summary="{count} wires are odd: {members}",
    )  # fmt: skip
    here = narrowed(many, shown)
    assert set(here.subjects) == shown
    said = "2 wires are odd: W1, W2" if count == 2 else "W3 is odd"
    assert here.message == said


def test_a_long_list_is_cut_and_counted():
    design = read(SUPPLY)
    members = tuple(Member(f"W{n} is odd", f"W{n}", (f"W{n}",)) for n in range(1, 101))
    many = Problem(
        "COL104", "info", "", design.origin.span, members=members,
        summary="{count} wires are odd: {members}",
    )  # fmt: skip
    message = narrowed(many, {f"W{n}" for n in range(1, 101)}).message
    listed = message.partition(": ")[2].partition(" and ")[0].split(", ")
    assert message.startswith("100 wires are odd: W1, W2, W3, ")
    assert message.endswith(f" and {100 - len(listed)} more, see wiregen check")


@pytest.mark.parametrize("count", [1, 8, 60, 300])
def test_the_list_of_findings_takes_an_eighth_of_the_page_at_most(count):
    design = read(SUPPLY)
    findings = [
        Problem("COL102", "warning", f"finding {n} " + 20 * "long ", design.origin.span,
                subjects=(f"W{n % 7 + 1}",))
        for n in range(count)
    ]  # fmt: skip
    sheet = next(s for s in drawn(design, findings=findings) if s.name.startswith("sheet-"))
    root = parsed(sheet)
    rows = groups(root, "finding-row")
    ys = [float(t.get("y")) for row in rows for t in row.iter() if t.tag.endswith("text")]
    assert max(ys) - min(ys) <= 0.125 * sheet.height
    assert len(rows) == count or any(w.endswith("wiregen check") for w in words(root))


ACROSS = """\
format: 1
devices:
  G1: {kind: battery, volts: 12, terminals: [plus, minus]}
  D1: {kind: diode, terminals: [plus, minus]}
  M1: {kind: motor, terminals: [plus, minus], amps: 8}
fuses: {F1: {rating: 15, fitted_on: G1:plus}}
earths: {EP1: {kind: chassis}}
wires:
  W1: {from: F1:out, to: M1:plus, colour: BK, size: 1.5}
  W2: {from: D1:minus, to: M1:plus, colour: BK, size: 1.5}
  W3: {from: D1:plus, to: M1:minus, colour: BN, size: 1.5}
  W4: {from: M1:minus, to: EP1, colour: BN, size: 1.5}
  W5: {from: G1:minus, to: EP1, colour: BK, size: 6}
"""


def test_a_diode_across_a_motor_stands_with_its_cathode_at_plus():
    # A free-wheeling diode blocks the supply: cathode to plus; common practice, no source.
    (sheet,) = schematic(read(ACROSS))
    at = {node: places[0][1] for node, places in pins(parsed(sheet)).items()}
    assert at["M1:plus"] < at["M1:minus"]
    assert at["D1:minus"] < at["D1:plus"]


COIL = """\
format: 1
devices: {K1: {kind: relay, coil: {from: 85, to: 86}}, P1: {kind: lamp}}
fuses: {F1: {rating: 5}}
earths: {EP1: {}}
wires:
  W1: {from: F1:out, to: K1:86}
  W2: {from: K1:85, to: EP1}
"""


def test_a_coil_in_the_last_row_of_a_relay_lies_within_its_box():
    # the outline of a device encloses its parts, common practice, no source
    (sheet,) = schematic(read(COIL))
    (relay,) = [g for g in groups(parsed(sheet), "device") if g.get("data-device") == "K1"]
    shapes = [rect for rect in relay.iter() if rect.tag.endswith("rect")]
    bottoms = {
        rect.get("class"): float(rect.get("y")) + float(rect.get("height")) for rect in shapes
    }
    assert len(shapes) == 2
    assert bottoms[None] < bottoms["body"]
    assert lint(sheet).flaws == ()


def test_two_wires_of_one_terminal_do_not_cross_there():
    # a pump worked by hand and by a float; wires are drawn in the order they come, common
    # practice, no source
    (sheet,) = schematic(
        read("""\
format: 1
devices:
  G1: {kind: battery, volts: 12}
  S2: {kind: switch, positions: {dry: [], wet: [[1, 2]]}}
  S3: {kind: switch, positions: {off: [], on: [[1, 2]]}}
  M1: {kind: motor, amps: 3}
fuses: {F3: {rating: 5}, F5: {rating: 5}}
boxes: {FB1: {bars: {B: [F3]}}}
earths: {EP1: {}}
wires:
  W5: {from: G1:plus, to: FB1}
  W6: {from: F3:out, to: S3:1}
  W7: {from: G1:plus, to: F5:in}
  W8: {from: F5:out, to: S2:1}
  W9: {from: S2:2, to: M1:1}
  W10: {from: S3:2, to: M1:1}
  W11: {from: M1:2, to: EP1}
""")
    )
    assert lint(sheet).crossings == 0


LEVEL_ACROSS = ACROSS.replace("from: D1:minus, to: M1:plus", "from: M1:plus, to: D1:minus").replace(
    "from: D1:plus, to: M1:minus", "from: M1:minus, to: D1:plus"
)


def test_a_diode_across_a_level_motor_lies_along_it():
    # a free-wheeling diode is drawn beside its load, its cathode at plus; common practice, no
    # source
    (sheet,) = schematic(read(LEVEL_ACROSS))
    at = {node: places[0] for node, places in pins(parsed(sheet)).items()}
    assert at["M1:plus"][0] < at["M1:minus"][0]
    assert at["D1:minus"][0] < at["D1:plus"][0]
    assert at["D1:minus"][0] < at["M1:minus"][0]
    assert at["M1:plus"][0] < at["D1:plus"][0]
    assert lint(sheet).crossings == 0
