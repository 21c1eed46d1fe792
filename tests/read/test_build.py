"""Values of the model: quantities, colours, ends, faces, and keys that exclude each other."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiregen.model import Design
from wiregen.problems import Unreadable
from wiregen.read import Loaded, load, load_text

FOLDER = Path(__file__).parents[2] / "designs"
DESIGNS = sorted(path for path in FOLDER.glob("*.yaml") if "." not in path.stem)


def read(body: str) -> Loaded:
    return load_text(f"format: 1\n{body}\n", "d.yaml")


def design(body: str) -> Design:
    return read(body).design


def refusals(body: str) -> list[str]:
    with pytest.raises(Unreadable) as caught:
        read(body)
    return [f"{p.span} {p.code} {p.message}" for p in caught.value.problems]


def test_six_lines_are_enough() -> None:
    plug = design(
        "plugs:\n"
        "  X1:\n"
        "    title: Wiper motor plug\n"
        "    face: [[1, 2, 3], [4, ~, 6]]\n"
        "    pins: {1: {carries: wiper feed, colour: BU/WH}, 5: empty, 10: blocked}\n"
    ).plugs["X1"]
    assert plug.title == "Wiper motor plug"
    assert plug.face is not None
    assert plug.face.rows == (("1", "2", "3"), ("4", None, "6"))
    assert {name: pin.state for name, pin in plug.pins.items()} == {
        "1": "used",
        "5": "empty",
        "10": "blocked",
    }
    assert plug.pins["1"].colours[0].name == "blue with white tracer"


def test_cavity_and_terminal_names_stay_as_written() -> None:
    names = ["01", "1", "1.0", "1.50", "010", "NO", "1e3", "0x1F", "58L", "B+", "true", "null"]
    listed = ", ".join(name if name not in ("true", "null") else f"'{name}'" for name in names)
    plug = design(
        f"plugs: {{X1: {{face: [[{listed}]], apart: [[{listed}]], "
        f"pins: {{{': empty, '.join(names)}: empty}}}}}}"
    ).plugs["X1"]
    assert plug.face is not None
    assert plug.face.rows == (tuple(names),)
    assert plug.apart == (tuple(names),)
    assert sorted(plug.pins) == sorted(names)


def test_sections_come_in_natural_order() -> None:
    wires = design("wires: {W10: {}, W2: {}, W1a: {}, W1: {}}").wires
    assert list(wires) == ["W1", "W1a", "W2", "W10"]


@pytest.mark.parametrize(
    ("text", "owner", "point"),
    [
        ("X1:3", "X1", "3"),
        ("K1:87a", "K1", "87a"),
        ("J1", "J1", ""),
        ("X1:a:b", "X1", "a:b"),
        ("7:1", "7", "1"),
        ("1.50", "1.50", ""),
    ],
)
def test_ends_are_split_at_the_first_colon(text: str, owner: str, point: str) -> None:
    wire = design(f"wires: {{W1: {{from: {text}, to: EP1}}}}").wires["W1"]
    assert wire.start is not None
    assert (wire.start.text, wire.start.owner, wire.start.point) == (text, owner, point)
    assert str(wire.start.span) == "d.yaml:2:20"
    assert wire.start.span.length == len(text)


def test_quantities_come_in_base_units() -> None:
    loaded = design(
        "system: {volts: 12, ambient: -10, drop: {default: 3 %, crank: 0.5 V}}\n"
        "wires: {W1: {length: 3 ft, size: 18 AWG, resistance: 0}, W2: {length: 1.2 m}}\n"
        "devices: {G1: {kind: battery, resistance: 12 mohm}}\n"
        "contacts: {a: {wire: 20 AWG..14 AWG, seal: 1.2..2.1}}\n"
    )
    first, second = loaded.wires.values()
    assert (first.length_mm, first.resistance_ohm, second.length_mm) == (914.4, 0.0, 1200.0)
    assert first.size is not None
    assert first.size.label == "18 AWG"
    assert loaded.devices["G1"].resistance_ohm == 0.012
    assert loaded.system.ambient_c == -10
    assert loaded.system.drop["default"].percent == 3
    assert loaded.system.drop["crank"].volts_v == 0.5
    contact = loaded.contacts["a"]
    assert contact.wire_mm2 is not None
    assert contact.seal_mm is not None
    # 20 AWG and 14 AWG in mm2: ASTM B258, 0.518 and 2.08
    assert contact.wire_mm2.low == pytest.approx(0.518, abs=0.001)
    assert contact.wire_mm2.high == pytest.approx(2.08, abs=0.005)
    assert (contact.seal_mm.low, contact.seal_mm.high) == (1.2, 2.1)


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ("wires: {W1: {size: '0,75'}}", "d.yaml:2:20 FMT111 wires.W1.size: write 0.75, not 0,75"),
        (
            "wires: {W1: {length: thick}}",
            "d.yaml:2:22 FMT111 wires.W1.length: expected a length such as 850 or 1.2 m, "
            "found 'thick'",
        ),
        (
            "wires: {W1: {length: -5}}",
            "d.yaml:2:22 FMT111 wires.W1.length: a length cannot be negative: '-5'",
        ),
        (
            "system: {drop: {default: 3}}",
            "d.yaml:2:26 FMT111 system.drop.default: a voltage drop needs its unit: "
            "write 3 V or 3 %",
        ),
        (
            "contacts: {a: {wire: 2.5..0.5}}",
            "d.yaml:2:22 FMT111 contacts.a.wire: the ends of '2.5..0.5' are the wrong way round; "
            "write the smaller first",
        ),
        (
            "plugs: {X1: {pins: {1: {pull_up: 4.7 kohm}}}}",
            "d.yaml:2:34 FMT111 plugs.X1.pins.1.pull_up: write a pull-up such as "
            "4.7 kohm to 5 V, found '4.7 kohm'",
        ),
        (
            "plugs: {X1: {face: {ring: [A, B], from: middle}}}",
            "d.yaml:2:41 FMT111 plugs.X1.face.from: expected an angle such as 90 or 90 deg, "
            "found 'middle'",
        ),
    ],
)
def test_quantities_that_cannot_be_read(body: str, said: str) -> None:
    assert refusals(body) == [said]


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (
            "plugs: {X1: {face: {rows: [[1]], ring: [1]}}}",
            "d.yaml:2:40 FMT113 plugs.X1.face.ring: a face has one arrangement; "
            "keep 'rows' or 'ring'",
        ),
        (
            "plugs: {X1: {face: {like: X2, stagger: 0.5}}}",
            "d.yaml:2:40 FMT113 plugs.X1.face.stagger: 'stagger' goes with 'rows'",
        ),
        (
            "plugs: {X1: {loom: a, of: A1}}",
            "d.yaml:2:27 FMT113 plugs.X1.of: a half is in a 'loom' or 'of' a device, not both",
        ),
        (
            "devices: {P1: {kind: lamp, inside: {}}}",
            "d.yaml:2:36 FMT113 devices.P1.inside: only a device of kind unit has 'inside'",
        ),
        (
            "devices: {R1: {kind: resistor, resistance: 0.1 mohm}}",
            "d.yaml:2:44 FMT113 devices.R1.resistance: a resistor has 'ohms'; 'resistance' is "
            "that inside a source or of a closed contact",
        ),
        (
            "devices: {A1: {kind: unit, inside: {P2: {from: X1:1, to: X1:2}}}}",
            "d.yaml:2:37 FMT108 devices.A1.inside.P2.kind: write 'kind: lamp' or "
            "'join: [X1:1, X1:2]'",
        ),
        (
            "devices: {A1: {kind: unit, inside: {P2: {kind: lamp, from: X1:1}}}}",
            "d.yaml:2:37 FMT108 devices.A1.inside.P2.to: a part has 'from' and 'to'; "
            "only a unit with a 'case' may go without 'to'",
        ),
        (
            "devices: {D1: {kind: diode, forward: {volts: 1}, saturation: 1e-9 A}}",
            "d.yaml:2:62 FMT113 devices.D1.saturation: a diode is given by 'forward', or by "
            "'saturation' and 'ideality', not both",
        ),
        (
            "groups: {SC1: {screen: X1:1}}",
            "d.yaml:2:10 FMT108 groups.SC1.twisted: a group has 'twisted', 'screened' or "
            "'multicore' with its wires",
        ),
        (
            "plugs: {X1: {face: [[1, 2], [2, 3]]}}",
            "d.yaml:2:30 FMT115 plugs.X1.face: cavity '2' is there twice, first on line 2",
        ),
        (
            "plugs: {X1: {face: {rings: [{names: [A]}, {names: [B, A]}]}}}",
            "d.yaml:2:55 FMT115 plugs.X1.face: cavity 'A' is there twice, first on line 2",
        ),
    ],
)
def test_keys_that_do_not_go_together(body: str, said: str) -> None:
    assert refusals(body) == [said]


def test_faces_of_every_kind() -> None:
    plugs = design(
        "plugs:\n"
        "  X1: {face: {ring: [A, B], from: 22.5, turn: anticlockwise}}\n"
        "  X2: {face: {rings: [{names: [7], radius: 0}, {names: [1, 2], radius: 8 mm}]}}\n"
        "  X3: {face: {at: {2: [9, -1.5], 1: [0, 0]}, unit: none, seen_from: wire side}}\n"
        "  X4: {face: {like: X1, cavity: {default: 2.8 mm, A: blade-6.3}}}\n"
        "  X5: {face: {rows: [[1]], key: top, latch: bottom left}}\n"
    ).plugs
    faces = {name: plug.face for name, plug in plugs.items() if plug.face}
    (ring,) = faces["X1"].rings
    assert (ring.names, ring.start, ring.turn) == (("A", "B"), "22.5", "anticlockwise")
    assert [(r.names, r.radius) for r in faces["X2"].rings] == [(("7",), 0), (("1", "2"), 8)]
    assert faces["X3"].places == {"1": (0, 0), "2": (9, -1.5)}
    assert list(faces["X3"].places) == ["1", "2"]
    assert (faces["X3"].unit, faces["X3"].seen_from) == ("none", "wire side")
    assert faces["X4"].like == "X1"
    assert faces["X4"].cavity == {"A": "blade-6.3", "default": "2.8"}
    assert (faces["X5"].key, faces["X5"].latch) == ("top", "bottom left")


def test_colours_follow_plug_then_loom_then_file() -> None:
    loaded = design(
        "colour_key: german\n"
        "colour_keys: {mine: {S: black}}\n"
        "looms: {L1: {colour_key: mine}}\n"
        "plugs:\n"
        "  X1: {pins: {1: {colour: SW}}}\n"
        "  X2: {loom: L1, pins: {1: {colour: S}}}\n"
        "  X3: {loom: L1, colour_key: iec-60757, pins: {1: {colour: [BK, BN]}}}\n"
        "wires: {W1: {colour: SW}, W2: {loom: L1, colour: S}}\n"
    )
    pins = [plug.pins["1"].colours for plug in loaded.plugs.values()]
    assert [[colour.iec for colour in colours] for colours in pins] == [
        ["BK"],
        ["BK"],
        ["BK", "BN"],
    ]
    assert [wire.colour.iec for wire in loaded.wires.values() if wire.colour] == ["BK", "BK"]
    assert loaded.wires["W2"].colour is not None
    assert (loaded.wires["W2"].colour.text, loaded.wires["W2"].colour.key) == ("S", "mine")


def test_a_colour_that_cannot_be_read_is_a_finding_not_an_end() -> None:
    loaded = read(
        "wires: {W1: {from: J1, colour: XQ}}\nplugs: {X1: {pins: {1: {colour: [BN, 5]}}}}"
    )
    assert loaded.design.wires["W1"].colour is None
    assert [colour.iec for colour in loaded.design.plugs["X1"].pins["1"].colours] == ["BN"]
    found = [(p.code, p.severity, str(p.span), p.subjects) for p in loaded.problems]
    assert found == [
        ("COL101", "error", "d.yaml:2:32", ("W1",)),
        ("COL101", "error", "d.yaml:3:38", ("X1:1",)),
    ]
    assert loaded.problems[0].message.startswith("W1: 'XQ' is not a colour of iec-60757")


@pytest.mark.parametrize(
    ("body", "at"),
    [
        ("colour_key: germna", "d.yaml:2:13 FMT110 colour_key: 'germna'"),
        ("looms: {L: {colour_key: x}}", "d.yaml:2:25 FMT110 looms.L.colour_key: 'x'"),
        ("plugs: {X: {colour_key: x}}", "d.yaml:2:25 FMT110 plugs.X.colour_key: 'x'"),
        ("colour_keys: {german: {S: black}}", "d.yaml:2:15 FMT113 colour_keys.german: 'german'"),
        ("colour_keys: {mine: {S: blakc}}", "d.yaml:2:15 FMT110 colour_keys.mine: "),
    ],
)
def test_colour_keys_that_are_not_known(body: str, at: str) -> None:
    (line,) = refusals(body)
    assert line.startswith(at)


def test_one_id_for_one_thing() -> None:
    loaded = read(
        "plugs: {X1: {}}\nwires: {X1: {}}\n"
        "devices: {A1: {kind: unit, case: E, inside: {X1: {kind: lamp, from: X1:1}}}}\n"
        "circuits: {X1: {}}\nstates: {X1: {}}\n"
    )
    assert [(p.code, str(p.span), p.message) for p in loaded.problems] == [
        ("REF101", "d.yaml:3:9", "'X1' is used twice: for a wire here, for a plug before"),
        ("REF101", "d.yaml:4:46", "'X1' is used twice: for a part of A1 here, for a plug before"),
    ]


def test_devices_units_and_relays() -> None:
    devices = design(
        "devices:\n"
        "  G1: {kind: battery, volts: 12.6}\n"
        "  M1: {kind: motor, terminals: [plus, minus], from: plus, to: minus}\n"
        "  K1: {kind: relay, coil: {from: 86, to: 85, ohms: 85}, rest: [[30, 87a]]}\n"
        "  S1: {kind: switch, positions: {run: [[30, 15]], key off: [], acc: [[30, 75]]}}\n"
        "  A1: {kind: unit, case: EP1, inside: {L1: {join: [X1:1, X1:2]}, "
        "Q1: {kind: switch, from: X1:3, closed_in: [run]}}}\n"
    ).devices
    assert devices["G1"].terminals == ("plus", "minus")
    motor = devices["M1"]
    assert motor.start is not None
    assert (motor.start.owner, motor.start.point, motor.polarity) == ("M1", "plus", True)
    coil = devices["K1"].coil
    assert coil is not None
    assert (coil.start, coil.end, coil.ohms) == ("86", "85", 85)
    assert devices["K1"].rest == (("30", "87a"),)
    assert list(devices["S1"].positions) == ["run", "key off", "acc"]  # as they follow one another
    inside = devices["A1"].inside
    assert inside["L1"].kind == "join"
    assert [end.text for end in inside["L1"].join] == ["X1:1", "X1:2"]
    assert inside["Q1"].closed_in == ("run",)
    assert inside["Q1"].end is None


def test_texts_come_on_one_line() -> None:
    plug = design('plugs: {X1: {title: "  a\\n b  ", note: "c   d"}}').plugs["X1"]
    assert (plug.title, plug.note) == ("a b", "c d")


def test_origins_point_at_keys_and_values() -> None:
    wire = design("wires:\n  W1: {from: X1:1, size: 0.75}").wires["W1"]
    assert (str(wire.origin.span), wire.origin.span.length) == ("d.yaml:3:3", 2)
    assert str(wire.origin.at("size")) == "d.yaml:3:26"
    assert wire.origin.at("length") == wire.origin.span


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_the_demo_designs_can_be_read(path: Path) -> None:
    assert load(path).design.plugs
