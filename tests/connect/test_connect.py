"""Nets, mates, far ends and ways on small documents; every answer is worked out by hand."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

import pytest

from wiregen.connect import Network, connect
from wiregen.read import load

CAR = Path(__file__).with_name("car.yaml").read_text("utf-8")


@pytest.fixture(scope="module")
def car(tmp_path_factory) -> Network:
    return network(tmp_path_factory.mktemp("car"), CAR)


def network(folder: Path, text: str) -> Network:
    path = folder / "design.yaml"
    path.write_text(text, "utf-8")
    return connect(load(path).design)


def nodes(net: Network, node: str) -> set[str]:
    found = net.net_of(node)
    assert found is not None
    return set(found.nodes)


def test_wires_splices_and_mates_are_one_net(car):
    assert nodes(car, "X1:1") == {"X1:1", "X2:1", "J1", "X3:A", "X4:A", "K1:86"}
    assert car.net_of("J1").wires == ("W1", "W2", "W3")
    assert car.net_of("J1").name == "charge"


def test_bar_joins_the_in_ends_of_its_fuses(car):
    assert nodes(car, "F1:in") == {"FB1", "FB1:15", "F1:in", "F4:in", "S1:15"}


def test_fuse_fitted_on_a_terminal_hangs_on_it(car):
    assert nodes(car, "F2:in") == {"F2:in", "F3:in", "G1:plus"}


def test_earths_of_a_kind_and_cases_are_one_piece(tmp_path):
    text = CAR.replace("  W12: {from: EP2, to: EP1}\n", "")
    apart = network(tmp_path, text)
    assert nodes(apart, "EP2") == {"EP2", "EP3", "G1:minus", "P9:2", "X3:H", "X4:H", "X3:F", "X4:F"}
    assert nodes(apart, "EP1") == {"EP1", "E1:case", "K1:85"}


def test_kinds_of_earth_are_joined_by_a_wire(car):
    assert car.net_of("EP1") is car.net_of("EP2")
    assert car.net_of("EP1").kind == "earth"


def test_inner_join_and_lamp(car):
    assert car.net_of("X3:F") is car.net_of("X3:H")
    assert car.net_of("X3:D") is not car.net_of("X3:A")


def test_switch_and_relay_contacts_do_not_join(car):
    assert len({car.net_index[n] for n in ("S1:30", "S1:15", "S1:50", "K1:30", "K1:87")}) == 5


def test_empty_cavity_meets_nothing(tmp_path):
    text = CAR.replace("wires:\n", "wires:\n  W20: {from: X2:3, to: X2:4}\n")
    net = network(tmp_path, text)
    assert nodes(net, "X2:3") == {"X2:3", "X2:4", "X1:4"}
    assert net.net_of("X1:3") is None


def test_kinds_of_nets(car):
    assert car.net_of("G1:plus").kind == "supply"
    assert car.net_of("X3:D").kind == "supply"
    assert car.net_of("J1").kind == ""


def test_mate_is_known_from_either_half(car):
    assert [car.mate(plug) for plug in ("X1", "X2", "X3", "X4", "X5")] == [
        "X2",
        "X1",
        "X4",
        "X3",
        None,
    ]


def test_loom_half(car):
    assert [car.loom_half(plug) for plug in ("X1", "X3", "X5")] == ["X1", "X4", None]


def test_wires_against_a_units_half_are_found_from_both_halves(car):
    assert car.wires_at("X3:A") == car.wires_at("X4:A") == ("W2",)
    assert car.wires_at("X5:1") == ("W16",)
    assert car.wires_at("X1:1") == ()


def test_removed_wires_are_gone_and_parked_ones_are_there(car):
    assert car.wires_at("X2:2") == ("W15",)
    assert car.net_of("X2:2") is not car.net_of("X4:A")


def test_far_ends(car):
    (far,) = car.far_ends("X2", "1")
    assert (far.wire, far.node, far.title) == ("W1", "J1", "charge joint")
    (far,) = car.far_ends("X4", "A")
    assert (far.wire, far.node) == ("W2", "J1")
    (far,) = car.far_ends("X3", "D")
    assert (far.wire, far.node, far.title) == ("W5", "F1:out", "Panel feed")
    (parked,) = car.far_ends("X2", "2")
    assert (parked.wire, parked.node, parked.title) == ("W15", "", "insulated")


def test_far_end_keeps_the_text_of_the_file(tmp_path):
    net = network(tmp_path, CAR.replace("W3: {from: J1, to: K1:86}", "W3: {from: X2:4, to: X3:A}"))
    (far,) = net.far_ends("X2", "4")
    assert (far.node, far.title) == ("X3:A", "Panel plug")


@pytest.mark.parametrize(
    ("node", "fuses"),
    [
        ("X3:D", ("F1",)),  # metal to F1:out
        ("X4:D", ("F1",)),
        ("F1:in", ("F3",)),  # past the key switch
        ("S1:50", ("F3",)),
        ("E1:1", ("F2",)),
        ("G1:plus", ()),  # the source itself
        ("X3:A", ("F1",)),  # through the charge lamp
        ("X3:H", ("F1",)),  # earth of the panel: what feeds its lamp and supply pin
        ("P9:2", ("F4",)),  # earth side of the lamp
        ("E1:case", ("F2",)),
        ("X9:1", ()),  # not in the design
    ],
)
def test_protecting_fuses(car, node, fuses):
    assert car.protecting_fuses(node) == fuses


def test_earth_side_of_one_lamp_does_not_name_the_fuses_of_others(car):
    assert car.protecting_fuses("P9:2") == ("F4",)


def test_circuit_goes_up_to_the_source_by_the_shortest_way_only(car):
    # W5 is the net, W7 the bar, W8 the key switch, W9 the battery; not W13 behind F4
    assert car.circuit_wires("panel feed") == ("W5", "W7", "W8", "W9")


def test_circuit_does_not_pass_loads(car):
    assert car.circuit_wires("charge") == ("W1", "W2", "W3")


def test_circuit_names(car):
    assert car.circuit_names == ("charge", "panel feed")
    assert car.circuit_wires("no such circuit") == ()


def test_circuit_follows_a_relay_contact_down(tmp_path):
    net = network(
        tmp_path,
        """
format: 1
plugs:
  X1: {of: A1, pins: {1: {carries: out, circuit: fan}}}
devices:
  A1: {kind: unit}
  K1: {kind: relay, coil: {from: 86, to: 85}, rest: [[30, 87a]], pulled: [[30, 87]]}
  M1: {kind: motor, terminals: [1, 2]}
  G1: {kind: battery}
earths: {EP1: {}}
wires:
  W1: {from: X1:1, to: K1:30}
  W2: {from: K1:87, to: M1:1}
  W3: {from: M1:2, to: EP1}
  W4: {from: K1:87a, to: EP1}
""",
    )
    assert net.circuit_wires("fan") == ("W1", "W2")


def test_plus_earthed_vehicle_has_its_live_pole_at_minus(tmp_path):
    net = network(
        tmp_path,
        """
format: 1
fuses: {F1: {rating: 10}}
earths: {EP1: {}}
devices:
  G1: {kind: battery, volts: 12}
  P1: {kind: lamp, terminals: [1, 2]}
wires:
  W1: {from: G1:plus, to: EP1}
  W2: {from: G1:minus, to: F1:in}
  W3: {from: F1:out, to: P1:1}
  W4: {from: P1:2, to: EP1}
""",
    )
    assert net.sources == ("G1:minus",)
    assert net.net_of("G1:plus").kind == "earth"
    assert net.net_of("G1:minus").kind == "supply"
    assert net.protecting_fuses("P1:2") == ("F1",)


def test_order_of_the_file_changes_nothing(tmp_path):
    head, wires = CAR.split("wires:\n")
    lines = wires.splitlines(keepends=True)
    first = network(tmp_path, CAR)
    for order in list(permutations(range(4)))[1::7]:
        shuffled = [lines[i] for i in order] + lines[4:][::-1]
        other = network(tmp_path, head + "wires:\n" + "".join(shuffled))
        assert [(n.nodes, n.wires, n.kind) for n in other.nets] == [
            (n.nodes, n.wires, n.kind) for n in first.nets
        ]


def test_every_node_is_on_one_net(car):
    seen = [node for net in car.nets for node in net.nodes]
    assert len(seen) == len(set(seen)) == len(car.net_index)
    assert all(net.index == place for place, net in enumerate(car.nets))


def test_relay_without_contacts_has_those_of_din_72552(tmp_path):
    net = network(
        tmp_path,
        """
format: 1
plugs:
  X1: {of: A1, pins: {1: {carries: out, circuit: fan}}}
devices:
  A1: {kind: unit}
  K1: {kind: relay, terminals: [85, 86, 30, 87]}
splices: {J1: {}}
wires:
  W1: {from: X1:1, to: K1:30}
  W2: {from: K1:87, to: J1}
""",
    )
    assert net.circuit_wires("fan") == ("W1", "W2")


def test_parts_inside_a_unit(tmp_path):
    net = network(
        tmp_path,
        """
format: 1
plugs:
  X1: {of: A1, pins: {1: {carries: feed, circuit: feed}, 2: {carries: out}, 3: {carries: lamp}}}
devices:
  A1:
    kind: unit
    case: EP1
    inside:
      Q1: {kind: switch, from: X1:1, to: X1:2, closed_in: [run]}
      P1: {kind: lamp, watts: 2, from: X1:3}
      D1: {kind: diode, from: X1:2, to: X1:3}
earths: {EP1: {}}
splices: {J1: {}, J2: {}}
wires:
  W1: {from: J1, to: X1:1}
  W2: {from: J2, to: X1:2}
states: {run: {}}
""",
    )
    assert net.circuit_wires("feed") == ("W1", "W2")
    kinds = {link.id: (link.kind, link.nodes, link.when) for link in net.links}
    assert kinds["A1.Q1"] == ("contact", ("X1:1", "X1:2"), ("run",))
    assert kinds["A1.P1"] == ("load", ("X1:3", "A1:case"), ())
    assert kinds["A1.D1"] == ("diode", ("X1:2", "X1:3"), ())
    assert net.net_of("A1:case") is net.net_of("EP1")


def test_battery_with_other_terminal_names_and_alternator_lamp_terminal(tmp_path):
    net = network(
        tmp_path,
        """
format: 1
earths: {EP1: {}}
devices:
  G1: {kind: battery, volts: 12, terminals: [a, b]}
  G2: {kind: alternator, volts: 14, amps: 65, terminals: [B, L, W], case: EP1}
wires:
  W1: {from: G1:a, to: G2:B}
""",
    )
    assert net.sources == ("G1:a", "G2:B")
    assert net.returns == ("G1:b", "G2:case")
    loads = [link.nodes for link in net.links if link.kind == "load"]
    assert loads == [("G2:L", "G2:case"), ("G2:W", "G2:case")]


def test_bus_led_through_a_unit_is_one_net(tmp_path):
    net = network(
        tmp_path,
        """
format: 1
plugs:
  X1: {of: A1, pins: {1: {carries: in, role: bus}, 2: {carries: out, role: bus}}}
devices: {A1: {kind: unit}}
buses: {B1: {kind: CAN, members: [X1:1], through: [[X1:1, X1:2]]}}
""",
    )
    assert net.net_of("X1:1") is net.net_of("X1:2")


def test_bus_bar_joins_the_terminals_that_are_used(tmp_path):
    net = network(
        tmp_path,
        """
format: 1
devices: {A1: {kind: bus bar}}
splices: {J1: {}, J2: {}}
wires:
  W1: {from: J1, to: A1:1}
  W2: {from: J2, to: A1:9}
""",
    )
    assert net.net_of("J1") is net.net_of("J2")


def test_terminals_of_a_device_are_the_cavities_of_its_own_plug(tmp_path):
    # A pump with a plug built in is reached through it; common practice, no source.
    text = """\
format: 1
plugs:
  X1: {mates: X2, face: [[1, 2]]}
  X2: {of: M1}
devices:
  G1: {kind: battery, volts: 12}
  M1: {kind: motor, amps: 4}
fuses:
  F1: {rating: 7.5, fitted_on: G1:plus}
wires:
  W1: {from: F1:out, to: X1:1}
  W2: {from: X1:2, to: G1:minus}
"""
    path = tmp_path / "pump.yaml"
    path.write_text(text, encoding="utf-8")
    network = connect(load(path).design)
    assert network.own_pins == {"M1:1": "X2:1", "M1:2": "X2:2"}
    assert network.net_of("M1:1") == network.net_of("X1:1") == network.net_of("F1:out")
    assert network.net_of("M1:2") == network.net_of("G1:minus")
    assert [link.nodes for link in network.links if link.id == "M1"] == [("M1:1", "M1:2")]


def test_earth_bus_bar_does_not_name_the_fuses_of_what_else_is_bolted_to_it(tmp_path):
    net = network(
        tmp_path,
        """format: 1
plugs: {X1: {pins: {1: {carries: feed}, 2: {carries: earth}}}}
fuses: {F1: {}, F2: {}}
earths: {EP1: {}}
devices:
  G1: {kind: battery, volts: 12, terminals: [plus, minus]}
  BB1: {kind: bus bar, terminals: [1, 2, 3]}
  P1: {kind: lamp, terminals: [1, 2]}
  P2: {kind: lamp, terminals: [1, 2]}
wires:
  W1: {from: G1:plus, to: F1:in}
  W2: {from: G1:plus, to: F2:in}
  W3: {from: F1:out, to: P1:1}
  W4: {from: F2:out, to: P2:1}
  W5: {from: P1:2, to: X1:2}
  W6: {from: X1:2, to: BB1:1}
  W7: {from: P2:2, to: BB1:2}
  W8: {from: BB1:3, to: EP1}
  W9: {from: G1:minus, to: EP1}
""",
    )
    assert net.net_of("X1:2").kind == "earth"
    assert net.protecting_fuses("X1:2") == ("F1",)
    assert net.protecting_fuses("P2:2") == ("F2",)
