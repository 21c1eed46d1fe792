"""Schematic sheets: read back from the SVG and held against what the file says."""

from __future__ import annotations

import pytest

from tests.layout.schematic_kit import (
    drawn,
    groups,
    near,
    parsed,
    pins,
    place,
    read,
    run_of,
    schematic,
    shared_strokes,
    words,
)
from wiregen.draw.svg import to_svg
from wiregen.layout.drawing_set import Options
from wiregen.layout.lint import lint
from wiregen.problems import Problem
from wiregen.sheet.frame import A3, A4, zone_at
from wiregen.source import Span

LAMP = """
format: 1
drawing: {title: One lamp}
looms:
  old: {title: Body loom, status: existing}
  new: {title: Lamp loom, status: new}
plugs:
  X1: {title: Body plug, loom: old, contacts: sockets, mates: X2, pins: {1: {carries: feed}}}
  X2: {title: Lamp plug, loom: new, contacts: pins}
fuses:
  F1: {title: Lamp, rating: 10}
boxes:
  FB1: {title: Fuse box, bars: {30: [F1]}}
earths:
  EP1: {title: floor stud}
splices:
  J1: {title: earth joint}
devices:
  G1: {kind: battery, volts: 12, terminals: [plus, minus]}
  S1: {kind: switch, title: Lamp switch, terminals: [1, 2], positions: {off: [], on: [[1, 2]]}}
  P1: {kind: lamp, title: Work light, watts: 55, volts: 12, terminals: [1, 2]}
wires:
  W1: {from: "G1:plus", to: FB1:30, colour: RD, size: 6, loom: old}
  W2: {from: F1:out, to: S1:1, colour: RD/BK, size: 1.5, loom: old}
  W3: {from: S1:2, to: X1:1, colour: BU/WH, size: 1.5, loom: old}
  W4: {from: X2:1, to: P1:1, colour: BU, size: 1.5, loom: new}
  W5: {from: P1:2, to: J1, colour: BN, size: 1.5, loom: new}
  W6: {from: J1, to: X2:2, colour: BN, size: 1.5, loom: new}
  W7: {from: X1:2, to: EP1, colour: BN, loom: old}
  W8: {from: "G1:minus", to: EP1, size: 6, loom: old}
  W9: {from: J1, colour: BN, size: 1.0, loom: new, fate: insulated, why: spare earth}
"""


@pytest.fixture(scope="module")
def lamp():
    (sheet,) = schematic(read(LAMP))
    return sheet


@pytest.fixture(scope="module")
def root(lamp):
    return parsed(lamp)


def test_wires_run_between_the_pins_their_file_names(root):
    at = pins(root)
    for wire in groups(root, "wire"):
        run = run_of(wire)
        start, end = wire.get("data-from"), wire.get("data-to")
        assert near(run[0], at[start]), wire.get("data-wire")
        if end:
            assert near(run[-1], at[end]), wire.get("data-wire")


def test_a_wire_is_named_with_size_and_colour(root):
    said = {
        wire.get("data-wire"): (wire.get("data-colour"), wire.get("data-size"))
        for wire in groups(root, "wire")
    }
    assert said["W2"] == ("RD/BK", "1.5")
    assert said["W8"] == ("", "6")
    assert said["W7"] == ("BN", "")
    texts = words(root)
    assert "W2 1.5 RD/BK" in texts
    assert "W8 6 no colour" in texts


def test_existing_and_new_wires_differ(root):
    classes = {wire.get("data-wire"): wire.get("class") for wire in groups(root, "wire")}
    assert "existing" in classes["W1"].split()
    assert "existing" not in classes["W4"].split()


def test_every_earth_end_has_a_symbol_of_its_own(root):
    earths = groups(root, "earth")
    assert [earth.get("data-earth") for earth in earths] == ["EP1", "EP1"]
    assert len(pins(root)["EP1"]) == 2


def test_supply_stands_left_of_the_load(root):
    at = pins(root)
    order = [at[node][0][0] for node in ("G1:plus", "F1:out", "S1:2", "X1:1", "X2:1", "P1:1")]
    assert order == sorted(order)


def test_plugs_between_supply_and_load_stand_in_the_order_of_the_current():
    design = read(
        """
format: 1
devices:
  G1: {kind: battery, volts: 12, terminals: [plus, minus]}
  P1: {kind: lamp, watts: 5, terminals: [1, 2]}
  K7: {kind: resistor, terminals: [1, 2]}
  K2: {kind: resistor, terminals: [1, 2]}
  K9: {kind: resistor, terminals: [1, 2]}
wires:
  W1: {from: "P1:1", to: "K7:1"}
  W2: {from: "K7:2", to: "K2:1"}
  W3: {from: "K2:2", to: "K9:1"}
  W4: {from: "K9:2", to: "G1:plus"}
"""
    )
    (sheet,) = schematic(design)
    at = pins(parsed(sheet))
    order = ["G1:plus", "K9:2", "K9:1", "K2:2", "K2:1", "K7:2", "K7:1", "P1:1"]
    places = [at[node][0][0] for node in order]
    assert places == sorted(places)


def test_mated_halves_stand_side_by_side(root):
    bodies = {}
    for plug in groups(root, "plug"):
        body = next(r for r in plug if r.get("class") == "body")
        bodies[plug.get("data-plug")] = [
            float(body.get(name)) for name in ("x", "y", "width", "height")
        ]
    one, other = bodies["X1"], bodies["X2"]
    assert one[1] == other[1]
    assert 0 < other[0] - (one[0] + one[2]) < 6


def test_a_loose_end_says_its_fate(root):
    assert "insulated" in words(root)
    (mark,) = groups(root, "loose-end")
    assert mark.get("data-wire") == "W9"


def test_a_wire_against_a_unit_reaches_the_loom_half():
    design = read(
        """
format: 1
plugs:
  X1: {of: A1, contacts: pins, mates: X2, pins: {1: {carries: feed}}}
  X2: {contacts: sockets}
  X3: {pins: {1: {carries: feed}}}
devices:
  A1: {kind: unit, title: Timer}
wires:
  W1: {from: X3:1, to: X1:1, colour: RD, size: 1.0}
"""
    )
    (sheet,) = schematic(design)
    root = parsed(sheet)
    (wire,) = groups(root, "wire")
    assert (wire.get("data-from"), wire.get("data-to")) == ("X3:1", "X1:1")
    at = pins(root)
    assert near(run_of(wire)[-1], at["X2:1"])
    assert near(run_of(wire)[-1], at["X1:1"])


def test_a_relay_is_drawn_at_rest():
    design = read(
        """
format: 1
devices:
  K1: {kind: relay, coil: {from: 86, to: 85, ohms: 85}, rest: [[30, 87a]], pulled: [[30, 87]]}
plugs:
  X1: {pins: {1: {}, 2: {}, 3: {}, 4: {}, 5: {}}}
wires:
  W1: {from: X1:1, to: K1:86}
  W2: {from: K1:85, to: X1:2}
  W3: {from: X1:3, to: K1:30}
  W4: {from: K1:87a, to: X1:4}
  W5: {from: K1:87, to: X1:5}
"""
    )
    (sheet,) = schematic(design)
    root = parsed(sheet)
    symbols = {g.get("data-kind"): g for g in groups(root, "symbol")}
    assert sorted(symbols) == ["closed-contact", "relay-coil", "switch"]
    heights = {node: points[0][1] for node, points in pins(root).items()}
    lead = next(p for p in symbols["closed-contact"].iter("{http://www.w3.org/2000/svg}path"))
    y = float(lead.get("d").split()[1])
    assert abs(y - heights["K1:87a"]) < 0.05
    assert abs(y - heights["K1:87"]) > 4


def test_wires_in_one_contact_keep_apart():
    design = read(
        """
format: 1
plugs:
  X1: {pins: {1: {carries: a}, 2: {carries: b}}}
  X2: {pins: {1: {carries: a}, 2: {carries: b}}}
wires:
  W1: {from: X1:1, to: X2:1}
  W2: {from: X1:1, to: X2:2}
  W3: {from: X1:2, to: X2:2}
"""
    )
    (sheet,) = schematic(design)
    root = parsed(sheet)
    assert len(pins(root)["X1:1"]) == 2
    assert list(shared_strokes(root)) == []
    assert lint(sheet).flaws == ()


def test_an_unknown_owner_is_still_drawn():
    design = read(
        """
format: 1
plugs:
  X1: {pins: {1: {carries: a}}}
wires:
  W1: {from: X1:1, to: X9:4, colour: RD, size: 1.0}
"""
    )
    (sheet,) = schematic(design)
    root = parsed(sheet)
    assert near(run_of(groups(root, "wire")[0])[-1], pins(root)["X9:4"])
    assert "not in the design" in words(root)


def test_no_wires_no_schematic():
    design = read("format: 1\nplugs: {X1: {pins: {1: {carries: a}}}}\n")
    assert [sheet.name for sheet in drawn(design)] == ["face-X1"]


def test_findings_are_ringed_and_told_in_the_foot():
    design = read(LAMP)
    problem = Problem("WIR103", "warning", "W7 has no size", Span("f"), subjects=("W7",))
    sheets = drawn(design, findings=[problem])
    root = parsed(sheets[0])
    rings = [ring for ring in groups(root, "finding") if ring.get("data-number") == "1"]
    assert rings
    assert any("W7 has no size" in text for text in words(root))
    assert lint(sheets[0]).flaws == ()


def test_screens_and_twists_are_marked_with_their_name():
    design = read(
        LAMP + "groups:\n  SC1: {screened: [W3]}\n  TW1: {twisted: [W5, W6]}\n",
    )
    (sheet,) = schematic(design)
    root = parsed(sheet)
    marked = {mark.get("data-group") for mark in groups(root, "group-mark")}
    assert marked == {"SC1", "TW1"}
    assert {"SC1", "TW1"} <= set(words(root))


def test_references_are_true_both_ways(many_sheets):
    schematics = {sheet.name: sheet for sheet in many_sheets if sheet.name.startswith("sheet")}
    roots = {name: parsed(sheet) for name, sheet in schematics.items()}
    count = 0
    for name, root in roots.items():
        for reference in groups(root, "reference"):
            count += 1
            wire, to = reference.get("data-wire"), reference.get("data-to")
            target = f"sheet-{int(reference.get('data-sheet')):02d}"
            there = roots[target]
            (group,) = [g for g in groups(there, "wire") if g.get("data-wire") == wire]
            run = run_of(group)
            assert near(run[0], pins(there)[to]) or near(run[-1], pins(there)[to])
            (back,) = [r for r in groups(there, "reference") if r.get("data-wire") == wire]
            assert f"sheet-{int(back.get('data-sheet')):02d}" == name
            paper = A3 if schematics[target].width == A3.width else A4
            zone = zone_at(*place(back), paper)
            assert reference.get("data-zone") == zone
            assert any(f"{to}, sheet {reference.get('data-sheet')} {zone}" in w
                       for w in words(root))  # fmt: skip
    assert count > 10


@pytest.fixture(scope="module")
def many_sheets():
    """A design of 90 wires: units fed from one fuse box, each with a plug and lamps."""
    lines = ["format: 1", "plugs:"]
    for unit in range(1, 10):
        of = f"of: A{unit}, " if unit > 1 else ""
        pin_words = ", ".join(f"{n}: {{carries: line {n}}}" for n in range(1, 9))
        lines.append(f"  X{unit}: {{{of}title: Plug {unit}, pins: {{{pin_words}}}}}")
    lines.append("devices:")
    lines += [f"  A{unit}: {{kind: unit}}" for unit in range(2, 10)]
    lines += [f"  P{n}: {{kind: lamp, watts: 5, terminals: [1, 2]}}" for n in range(1, 19)]
    lines += ["  G1: {kind: battery, volts: 12, terminals: [plus, minus]}"]
    lines += ["fuses:", *(f"  F{n}: {{rating: 5}}" for n in range(1, 9))]
    lines += ["boxes: {FB1: {bars: {30: [F1, F2, F3, F4, F5, F6, F7, F8]}}}"]
    lines += ["earths: {EP1: {}}", "wires:", "  W1: {from: 'G1:plus', to: FB1:30}"]
    ends = [(f"F{n}:out", f"X{n + 1}:1") for n in range(1, 9)]
    ends += [(f"X{unit}:{n}", f"X{unit + 1}:{n + 1}") for unit in range(2, 9) for n in (2, 3, 4)]
    ends += [(f"X{n}:7", f"P{n}:1") for n in range(1, 10)]
    ends += [(f"X{n}:8", f"P{n + 9}:1") for n in range(1, 10)]
    ends += [(f"P{n}:2", "EP1") for n in range(1, 19)]
    ends += [(f"X1:{n}", f"X{n + 2}:6") for n in range(1, 7)]
    lines += [
        f"  W{n}: {{from: '{a}', to: '{b}', colour: RD/BK, size: 1.0}}"
        for n, (a, b) in enumerate(ends, start=2)
    ]
    return drawn(read("\n".join(lines)))


def test_a_large_design_has_an_overview_and_power_first(many_sheets):
    names = [sheet.name for sheet in many_sheets]
    assert names[:3] == ["overview", "contents", "sheet-03"]
    assert many_sheets[2].title.startswith("Power distribution")
    for number, sheet in enumerate(many_sheets, start=1):
        assert f"{number} of {len(many_sheets)}" in words(parsed(sheet))


def test_a_large_design_shows_every_wire_and_is_clean(many_sheets):
    seen = set()
    for sheet in many_sheets:
        root = parsed(sheet)
        seen |= {wire.get("data-wire") for wire in groups(root, "wire")}
        assert lint(sheet).flaws == (), sheet.name
        assert list(shared_strokes(root)) == []
    assert seen == {f"W{n}" for n in range(1, len(seen) + 1)}
    assert len(seen) > 60


def test_the_overview_counts_the_wires_of_each_bundle(many_sheets):
    root = parsed(many_sheets[0])
    counted = {
        (bundle.get("data-from"), bundle.get("data-to")): bundle.get("data-wires").split()
        for bundle in groups(root, "bundle")
    }
    assert len(counted[("A3", "A4")]) == 3
    assert set(counted[("A3", "A4")]) <= {f"W{n}" for n in range(10, 31)}


def test_the_overview_lists_what_is_earthed_where(many_sheets):
    said = " · ".join(words(parsed(many_sheets[0])))
    ends = {f"P{n}:2" for n in range(1, 19)}
    assert all(f" {end}" in said for end in ends)
    assert "EP1" in said


PANEL = """
format: 1
looms: {feeds: {title: Feed loom}}
plugs:
  X1: {of: A1, pins: {1: {carries: feed}, 2: {carries: a, circuit: a}, 3: {}, 4: {}}}
  X2: {pins: {1: {}, 2: {}, 3: {}, 4: {}}}
devices:
  A1:
    kind: unit
    inside:
      P2: {kind: lamp, from: X1:1, to: X1:2}
      P3: {kind: lamp, from: X1:1, to: X1:3}
      P4: {kind: lamp, from: X1:1, to: X1:4}
wires:
  W1: {from: X2:1, to: X1:1, loom: feeds}
  W2: {from: X2:2, to: X1:2}
  W3: {from: X2:3, to: X1:3}
  W4: {from: X2:4, to: X1:4}
"""


def test_a_unit_shows_the_parts_the_wires_of_the_sheet_lead_into():
    design = read(PANEL)
    (whole,) = schematic(design)
    assert {"P2", "P3", "P4"} <= set(words(parsed(whole)))
    (part,) = schematic(design, Options(circuit="a"))
    said = set(words(parsed(part)))
    assert "P2" in said
    assert not {"P3", "P4"} & said
    assert any("in part" in text for text in said)
    (feed,) = schematic(design, Options(loom="feeds"))
    assert not {"P2", "P3", "P4"} & set(words(parsed(feed)))


def test_the_same_bytes_for_any_order_of_the_file():
    head, wires = LAMP.split("wires:\n")
    lines = wires.strip("\n").splitlines()
    turned = head + "wires:\n" + "\n".join(reversed(lines)) + "\n"
    assert [to_svg(s) for s in drawn(read(turned))] == [to_svg(s) for s in drawn(read(LAMP))]
