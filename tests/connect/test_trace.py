"""Ways of a pin: the tractor worked by hand, small documents, and random designs."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.strategies import design_text, designs
from wiregen.connect import Network, connect
from wiregen.connect.behind import Unplug, behind_fuse, unplug_order
from wiregen.connect.legs import legs_of, metal_ohm, wire_ohm
from wiregen.connect.reach import between
from wiregen.connect.trace import trace
from wiregen.connect.ways import Way
from wiregen.model import Design
from wiregen.read import load

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def tractor() -> tuple[Design, Network]:
    design = load(ROOT / "designs" / "tractor.yaml").design
    return design, connect(design)


@pytest.fixture
def made(tmp_path):
    def make(text: str) -> tuple[Design, Network]:
        path = tmp_path / "design.yaml"
        path.write_text("format: 1\n" + text, "utf-8")
        design = load(path).design
        return design, connect(design)

    return make


def passed(way: Way) -> list[str]:
    """Wires and parts in order, and the nodes joined by other metal as `=`."""
    return [hop.id or "=" for hop in way.hops]


def test_oil_pressure_pin_of_the_tractor(tractor):
    """X1:3 by hand: panel lamp, F13, key switch, F10, F1 above; the switch on the block below."""
    _, network = tractor
    found = trace(network, "X1:3")
    (up,) = found.up
    assert passed(up) == [
        "=",  # X2:3
        "W33",
        "=",  # X4:E into the panel
        "A1.P4",
        "=",
        "W45",
        "=",  # the bulkhead plugs
        "W44",
        "F13",
        "=",  # bar 15
        "W43",
        "S1",
        "W5",
        "F10",
        "=",  # bar 30
        "W4",
        "F1",
        "=",  # the battery stud
    ]
    assert (up.to, up.end) == ("supply", "G1:plus")
    (down,) = found.down
    assert passed(down) == ["W32", "B3", "=", "W2"]
    assert (down.to, down.end) == ("earth", "G1:minus")


def test_panel_feed_has_two_sources_and_a_load_for_each_lamp_and_gauge(tractor):
    _, network = tractor
    found = trace(network, "X4:D")
    assert [way.end for way in found.up] == ["G1:plus", "G2:B"]
    assert passed(found.up[1])[-5:] == ["=", "W1", "=", "F2", "W13"]
    loads = [way.loads[0] for way in found.down]
    assert loads == [*(f"A1.P{n}" for n in range(1, 8)), "A1"]
    assert {way.to for way in found.down} == {"earth"}


def test_panel_earth_goes_to_the_cab_floor_and_over_the_frame(tractor):
    design, network = tractor
    found = trace(network, "X4:H")
    (down,) = found.down
    assert passed(down) == ["W48", "=", "W49", "=", "W3"]
    legs = legs_of(design, network, down)
    assert [leg.words for leg in legs if leg.kind == "joint"] == ["chassis metal"]
    assert [way.loads for way in found.up] == [("A1.P8",), ("A1",)]


def test_expected_resistance_of_the_pulse_and_the_starter_cable(tractor):
    """W33 0.75 mm2, 1300 mm: 26.0 mohm/m; W1 35 mm2, 1100 mm: 0.554 mohm/m.

    Source: IEC 60228 class 5 as printed at mycableengineering.com and bayka.de.
    """
    design, network = tractor
    assert wire_ohm(design, design.wires["W33"]) == pytest.approx(26.0e-3 * 1.3)
    assert wire_ohm(design, design.wires["W1"]) == pytest.approx(0.554e-3 * 1.1)
    (up,) = trace(network, "X1:3").up
    total, without = metal_ohm(legs_of(design, network, up))
    # 0.75 mm2: 1.3 m; 1 mm2: 0.7 + 0.8 m at 19.5; 4 mm2: 0.4 + 0.4 m at 4.95; 10 mm2: 1.9 m at 1.91
    by_hand = 26.0 * 1.3 + 19.5 * 1.5 + 4.95 * 0.8 + 1.91 * 1.9
    assert total == pytest.approx(by_hand / 1000)
    assert without == ()


def test_gauge_sizes_are_computed(made):
    """18 AWG is 6.385 ohm per 1000 ft. Source: hyperphysics.gsu.edu, copper wire gauge table."""
    design, _ = made("wires:\n  W1: {from: J1, to: J2, size: 18 AWG, length: 1000 ft}\n")
    assert wire_ohm(design, design.wires["W1"]) == pytest.approx(6.385, rel=2e-3)


def test_nothing_is_guessed_without_length_or_size(made):
    design, network = made(
        "wires:\n  W1: {from: J1, to: J2, size: 1.0}\n  W2: {from: J2, to: J3, length: 500}\n"
    )
    assert [wire_ohm(design, wire) for wire in design.wires.values()] == [None, None]
    way = between(network, "J1", "J3")
    assert metal_ohm(legs_of(design, network, way)) == (0, ("W1", "W2"))


def test_colour_changes_on_metal_are_told_and_not_across_a_fuse(made):
    design, network = made("""
splices: {J1: {}}
fuses: {F1: {rating: 5}}
wires:
  W1: {from: "F1:in", to: J1, colour: RD}
  W2: {from: J1, to: X1:1, colour: RD/WH}
  W3: {from: "F1:out", to: X1:2, colour: BK}
""")
    way = between(network, "X1:2", "X1:1")
    assert [(leg.id, leg.change) for leg in legs_of(design, network, way)] == [
        ("W3", ""),
        ("F1", ""),
        ("W1", ""),
        ("W2", "RD to RD/WH"),
    ]


def test_the_side_to_probe(tractor):
    design, network = tractor
    (up,) = trace(network, "X1:3").up
    probes = {leg.end: leg.probe for leg in legs_of(design, network, up) if leg.kind == "plug"}
    assert probes["X2:3"] == "X2 is sealed: pull it apart, probe the mating side"
    assert probes["X3:E"] == "probe X4 from the wire side"


def test_a_diode_is_passed_one_way_only(made):
    text = """
devices:
  G1: {kind: battery}
  D1: {kind: diode}
  P1: {kind: lamp, terminals: [1, 2]}
wires:
  W1: {from: G1:plus, to: "D1:%s"}
  W2: {from: "D1:%s", to: P1:1}
  W3: {from: P1:2, to: G1:minus}
"""
    _, network = made(text % ("plus", "minus"))
    assert [way.to for way in trace(network, "P1:1").up] == ["supply"]
    _, network = made(text % ("minus", "plus"))
    assert trace(network, "P1:1").up == ()


def test_two_feeds_are_both_shown(made):
    _, network = made("""
fuses: {F1: {fitted_on: "G1:plus"}, F2: {fitted_on: "G1:plus"}}
devices:
  G1: {kind: battery}
  S1: {kind: switch, terminals: [a, b, c], positions: {left: [[a, c]], right: [[b, c]]}}
  P1: {kind: lamp, terminals: [1, 2]}
wires:
  W1: {from: "F1:out", to: "S1:a"}
  W2: {from: "F2:out", to: "S1:b"}
  W3: {from: "S1:c", to: "P1:1"}
  W4: {from: "P1:2", to: "G1:minus"}
""")
    ups = [passed(way) for way in trace(network, "P1:1").up]
    assert ups == [["W3", "S1", "W1", "F1", "="], ["W3", "S1", "W2", "F2", "="]]
    assert [hop.when for hop in trace(network, "P1:1").up[1].hops if hop.kind == "contact"] == [
        ("right",)
    ]


def test_a_load_that_ends_in_the_air_is_shown_as_leading_nowhere(made):
    _, network = made("""
devices:
  G1: {kind: battery}
  P1: {kind: lamp, terminals: [1, 2]}
wires:
  W1: {from: G1:plus, to: P1:1}
""")
    (down,) = trace(network, "P1:1").down
    assert (passed(down), down.to) == (["P1"], "")


def test_unplugging_order_of_a_shared_fuse(made):
    """One fuse feeds many; the short sits in a two-wire heater nothing watches.

    The circumstances follow a public account (bug206.com, "blown fuse story", 2017): nine fuses
    and five days went into a shorted two-wire heater. Names here are invented.
    """
    _, network = made("""
plugs:
  X1: {mates: X2, pins: {1: {carries: feed}}}
  X2: {}
  X3:
    of: A1
    mates: X4
    pins: {1: {role: supply}, 2: {role: earth}, 3: {carries: lamp}}
  X4: {}
splices: {J1: {}, J2: {}}
fuses: {F1: {rating: 15}}
earths: {EP1: {}}
devices:
  A1: {kind: unit, title: Controller}
  E1: {kind: heater, title: Hose heater, terminals: [1, 2]}
  M1: {kind: motor, title: Pump, terminals: [1, 2]}
wires:
  W1: {from: "F1:out", to: J1}
  W2: {from: J1, to: X1:1}
  W3: {from: X2:1, to: J2}
  W4: {from: J2, to: E1:1}
  W5: {from: E1:2, to: EP1}
  W6: {from: J2, to: M1:1}
  W7: {from: M1:2, to: EP1}
  W8: {from: J1, to: X4:1}
  W9: {from: X4:2, to: EP1}
  W10: {from: X4:3, to: X9:1}
""")
    found = behind_fuse(network, "F1")
    assert {part.id: part.watched for part in found.parts} == {
        "A1": True,
        "E1": False,
        "M1": False,
    }
    assert found.wires == ("W1", "W2", "W8", "W3", "W4", "W6")
    order = unplug_order(network, found)
    first = order[0]
    assert first.point == "X1/X2"
    assert order[first.gone - 1].suspects == ("E1", "M1", "W3", "W4", "W6")
    assert "E1" not in order[first.still - 1].suspects
    assert _steps_to(order, "E1") == 2


def _steps_to(order: tuple[Unplug, ...], suspect: str) -> int:
    """Walk the search as a mechanic would, the short sitting in one suspect."""
    number, taken = 1, 1
    while order[number - 1].point:
        step = order[number - 1]
        gone = order[step.gone - 1].suspects
        number = step.gone if suspect in gone else step.still
        taken += 1
    assert suspect in order[number - 1].suspects
    return taken


def test_every_suspect_of_every_fuse_of_the_tractor_is_found(tractor):
    _, network = tractor
    for fuse in ("F1", "F10", "F11", "F12", "F13", "F14", "F15", "F16", "F17"):
        found = behind_fuse(network, fuse)
        order = unplug_order(network, found)
        suspects = order[0].suspects
        assert set(suspects) == set(found.wires) | {part.id for part in found.parts}
        assert max(_steps_to(order, suspect) for suspect in suspects) <= 9


@settings(max_examples=60, deadline=None)
@given(designs(), st.randoms(use_true_random=False))
def test_ways_agree_with_connectivity(tmp_path_factory, document, chance):
    path = tmp_path_factory.mktemp("random") / "design.yaml"
    path.write_text(design_text(document), "utf-8")
    network = connect(load(path).design)
    nodes = sorted(network.net_index)
    for node in chance.sample(nodes, min(6, len(nodes))):
        found = trace(network, node)
        for way in (*found.up, *found.down):
            _check_way(network, way)
        assert bool([w for w in found.up if not w.loads and w.to]) == _fed(network, node)
    one, two = chance.choice(nodes), chance.choice(nodes)
    way = between(network, one, two)
    assert (way is not None) == _hang_together(network, one, two)
    if way is not None:
        _check_way(network, way)
        only_metal = all(hop.kind in ("wire", "joint") for hop in way.hops)
        assert only_metal == (network.net_index[one] == network.net_index[two])


def _check_way(network: Network, way: Way) -> None:
    """Every step is one the network has, no pin is passed twice, the end is what it claims."""
    assert len(set(way.nodes)) == len(way.nodes)
    for (here, there), hop in zip(pairwise(way.nodes), way.hops, strict=True):
        if hop.kind == "wire":
            assert set(network.ends_of[hop.id]) == {here, there}
        if hop.kind in ("wire", "joint"):
            assert network.net_index[here] == network.net_index[there]
        else:
            links = [link for link in network.links if (link.kind, link.id) == (hop.kind, hop.id)]
            assert any({here, there} <= set(link.nodes) for link in links)
    if way.to == "supply":
        assert way.end in network.sources
    if way.to == "earth":
        assert way.end in network.returns or way.end in network.earth_points


def _fed(network: Network, node: str) -> bool:
    """Whether metal, fuses, contacts and diodes (against their current) lead to a live pole."""
    reached = {network.net_index[node]}
    while True:
        more = set()
        for link in network.links:
            nets = [network.net_index[n] for n in link.nodes]
            if link.kind in ("fuse", "contact") and reached & set(nets):
                more |= set(nets)
            if link.kind == "diode" and len(nets) > 1 and nets[1] in reached:
                more.add(nets[0])
        more = {net for net in more - reached if network.nets[net].kind != "earth"}
        if not more:
            break
        reached |= more
    return any(network.net_index[pole] in reached for pole in network.sources)


def _hang_together(network: Network, one: str, two: str) -> bool:
    reached = {network.net_index[one]}
    links = [
        {network.net_index[n] for n in link.nodes}
        for link in network.links
        if link.kind != "source"
    ]
    while True:
        more = {net for nets in links if nets & reached for net in nets} - reached
        if not more:
            return network.net_index[two] in reached
        reached |= more
