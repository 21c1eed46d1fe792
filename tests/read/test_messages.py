"""What the schema complains about: place, path and words of each message."""

from __future__ import annotations

import pytest

from wiregen.problems import Unreadable
from wiregen.read import load_text
from wiregen.read.codes import FORMAT_CODES

END = (
    "write an end as PLUG:CAVITY, DEVICE:TERMINAL, FUSE:in, FUSE:out, or the id of a splice, "
    "an earth or a box"
)
PIN = "write empty, blocked or reserved, or {carries: what the wire does}"


def refusals(text: str) -> list[str]:
    with pytest.raises(Unreadable) as caught:
        load_text(text, "d.yaml")
    return [f"{p.span} {p.code} {p.message}" for p in caught.value.problems]


def wire(line: str) -> list[str]:
    return refusals(f"format: 1\nwires:\n  W3: {{{line}}}\n")


def test_unknown_key_with_the_nearest_known_one() -> None:
    assert wire("from: X1:1, colr: BN") == [
        "d.yaml:3:20 FMT107 unknown key 'colr' in wires.W3; did you mean 'colour'?"
    ]


@pytest.mark.parametrize(
    ("key", "ours"),
    [
        ("color", "colour"),
        ("gauge", "size"),
        ("awg", "size"),
        ("AWG", "size"),
        ("mm2", "size"),
        ("length_mm", "length"),
        ("harness", "loom"),
        ("start", "from"),
        ("end", "to"),
        ("notes", "note"),
        ("reason", "why"),
    ],
)
def test_words_of_others_get_ours(key: str, ours: str) -> None:
    (line,) = wire(f"from: X1:1, {key}: 3")
    if key == "length_mm":
        assert line.endswith("did you mean 'length'?")
    assert line == f"d.yaml:3:20 FMT107 unknown key '{key}' in wires.W3; did you mean '{ours}'?"


@pytest.mark.parametrize(
    ("section", "ours"),
    [
        ("grounds", "earths"),
        ("connectors", "plugs"),
        ("components", "devices"),
        ("nets", "circuits"),
    ],
)
def test_sections_by_other_names(section: str, ours: str) -> None:
    assert refusals(f"format: 1\n{section}: {{}}\n") == [
        f"d.yaml:2:1 FMT107 unknown key '{section}' in the file; did you mean '{ours}'?"
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("fuses: {F1: {box: FB1}}", "boxes: {FB1: {bars: {30: [F1, F2]}}}"),
        ("devices: {A1: {kind: unit, pins: {}}}", "plugs: {X1: {of: A1, pins: ...}}"),
        ("devices: {M1: {kind: pump}}", "did you mean 'motor'? legal:"),
        ("devices: {A1: {kind: PLC}}", "did you mean 'unit'? legal:"),
    ],
)
def test_what_a_stranger_writes_gets_what_to_write(text: str, said: str) -> None:
    (line,) = refusals(f"format: 1\n{text}\n")
    assert said in line


def test_unknown_key_far_from_all_lists_what_is_known() -> None:
    assert refusals("format: 1\ncontacts: {a: {zzz: 1}}\n") == [
        "d.yaml:2:16 FMT107 unknown key 'zzz' in contacts.a; known: title, blade, wire, seal, "
        "amps, max_wires, resistance, note, only"
    ]


def test_comma_in_a_number_and_in_a_text() -> None:
    assert wire("size: 0,75, from: X1:1") == [
        "d.yaml:3:16 FMT107 the comma ends the value of 'size'; write 0.75"
    ]
    assert wire("why: spare, not used, from: X1:1") == [
        "d.yaml:3:20 FMT107 the comma ends the text of 'why'; quote it: why: \"spare, not used\""
    ]


def test_colon_without_a_space() -> None:
    assert wire("from: X1:1, length:850") == [
        "d.yaml:3:20 FMT107 unknown key 'length:850' in wires.W3; "
        "write a space after the colon: 'length: 850'"
    ]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("from: X1:1 2", f"d.yaml:3:14 FMT112 wires.W3.from: found 'X1:1 2'; {END}"),
        ("from: ''", f"d.yaml:3:14 FMT112 wires.W3.from: found ''; {END}"),
        ("from: ", f"d.yaml:3:14 FMT109 wires.W3.from: found nothing; {END}"),
        ("from: [X1:1]", f"d.yaml:3:14 FMT109 wires.W3.from: found a list; {END}"),
        (
            "label: true",
            "d.yaml:3:15 FMT109 wires.W3.label: found true (put it in quotes if it is a text); "
            "write a text",
        ),
        (
            "fate: kept",
            "d.yaml:3:14 FMT110 wires.W3.fate: 'kept' is not a legal word here; "
            "legal: used, moved, insulated, removed",
        ),
        (
            "status: nwe",
            "d.yaml:3:16 FMT110 wires.W3.status: 'nwe' is not a legal word here; "
            "did you mean 'new'? legal: existing, new, removed",
        ),
        (
            "size: {mm2: 1}",
            "d.yaml:3:14 FMT109 wires.W3.size: found a group of keys; "
            "write a wire size such as 0.75, 18 AWG or 10 mm2 / 8 AWG",
        ),
    ],
)
def test_values_of_a_wire(line: str, said: str) -> None:
    assert wire(line) == [said]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "plugs: {}\n",
            "d.yaml:1:1 FMT108 the file: 'format' is missing; a design file is made of "
            "'key: value' lines and starts with 'format: 1'",
        ),
        ("format: 2\n", "d.yaml:1:9 FMT116 format: found '2'; write 'format: 1'"),
        ("format: '1'\n", "d.yaml:1:9 FMT116 format: found '1'; write 'format: 1'"),
        (
            "format: true\n",
            "d.yaml:1:9 FMT116 format: found true (put it in quotes if it is a "
            "text); write 'format: 1'",
        ),
        (
            "format: 1\nplugs: [X1]\n",
            "d.yaml:2:8 FMT109 plugs: found a list; write ID: {title: ..., face: ..., pins: ...}",
        ),
        (
            "format: 1\nplugs: {X 1: {}}\n",
            "d.yaml:2:9 FMT112 plugs.X 1: an id is made of letters, digits, '-', '_' and '.', "
            "at most 40, the first a letter or digit",
        ),
        (
            "format: 1\nplugs: {X1: {pins: {'1 2': empty}}}\n",
            "d.yaml:2:21 FMT112 plugs.X1.pins.1 2: a cavity or terminal name has no spaces and "
            "at most 40 characters",
        ),
        (
            "format: 1\nplugs: {X1: {pins: {1: wiper feed}}}\n",
            f"d.yaml:2:24 FMT110 plugs.X1.pins.1: found 'wiper feed'; {PIN}",
        ),
        (
            "format: 1\nplugs: {X1: {pins: {1: }}}\n",
            f"d.yaml:2:24 FMT109 plugs.X1.pins.1: found nothing; {PIN}",
        ),
        (
            "format: 1\nplugs: {X1: {sealed: yes}}\n",
            "d.yaml:2:22 FMT109 plugs.X1.sealed: found 'yes'; write true or false, without quotes",
        ),
        (
            "format: 1\nplugs: {X1: {contacts: female}}\n",
            "d.yaml:2:24 FMT110 plugs.X1.contacts: 'female' is not a legal word here; "
            "did you mean 'sockets'? legal: pins, sockets",
        ),
        (
            "format: 1\nearths: {EP1: {kind: ground}}\n",
            "d.yaml:2:22 FMT110 earths.EP1.kind: 'ground' is not a legal word here; "
            "legal: chassis, engine, isolated",
        ),
        (
            "format: 1\ndevices: {P1: {title: Lamp}}\n",
            "d.yaml:2:11 FMT108 devices.P1: 'kind' is missing; write {kind: lamp, "
            "terminals: [1, 2]}",
        ),
        (
            "format: 1\ndevices: {K1: {kind: relay, rest: [[30]]}}\n",
            "d.yaml:2:36 FMT115 devices.K1.rest[1]: found 1 item; "
            "write two terminal names such as [30, 87]",
        ),
        (
            "format: 1\ncontacts: {a: {max_wires: 0}}\n",
            "d.yaml:2:27 FMT111 contacts.a.max_wires: found '0'; "
            "write a whole number of wires, 1 or more",
        ),
        (
            "format: 1\nroute:\n  - {from: N1}\n",
            "d.yaml:3:5 FMT108 route[1]: 'to' is missing; write {from: N1, to: N2, length: 400}",
        ),
        (
            "format: 1\nplugs: {X1: {face: [[1, true]]}}\n",
            "d.yaml:2:25 FMT109 plugs.X1.face[1][2]: found true (put it in quotes if it is a "
            "text); write a cavity name without spaces, or ~ for a gap",
        ),
    ],
)
def test_values_elsewhere(text: str, said: str) -> None:
    assert refusals(text) == [said]


def test_all_faults_come_at_once_in_the_order_of_the_file() -> None:
    lines = refusals(
        "format: 1\n"
        "wires:\n"
        "  W1: {from: X1:1, gauge: 3, fate: gone}\n"
        "  W2: {from: }\n"
        "plugs: {X1: {colour: red}}\n"
    )
    assert [line.partition(" FMT")[0] for line in lines] == [
        "d.yaml:3:20",
        "d.yaml:3:36",
        "d.yaml:4:14",
        "d.yaml:5:14",
    ]


def test_long_values_are_cut() -> None:
    (line,) = wire(f"from: {'x' * 5000}")
    assert len(line) < 250


def test_a_flood_of_faults_stops() -> None:
    wires = "".join(f"  W{number}: {{colr: BN, gauge: 1}}\n" for number in range(1000))
    assert len(refusals(f"format: 1\nwires:\n{wires}")) == 200


def test_every_code_has_its_texts() -> None:
    assert len({code.code for code in FORMAT_CODES}) == len(FORMAT_CODES)
    for code in FORMAT_CODES:
        assert code.code.startswith("FMT1")
        assert code.name
        assert code.title
        assert code.why.endswith(".")
        assert code.fix.endswith(".")


@pytest.mark.parametrize("day", ["yesterday", "20.11.2026", "2026-11-31", "2026-02-30", "2026"])
def test_days_are_year_month_day(day):
    pin = "{carries: feed, measured: DAY}"
    block = "{date: DAY, revisions: [{revision: A, date: DAY, what: x}]}"
    text = f"format: 1\ndrawing: {block}\nplugs: {{X1: {{face: [[1]], pins: {{1: {pin}}}}}}}\n"
    assert load_text(text.replace("DAY", "2026-11-30"), "d.yaml").problems == ()
    with pytest.raises(Unreadable) as error:
        load_text(text.replace("DAY", day), "d.yaml")
    said = [problem.message for problem in error.value.problems]
    form = f"found '{day}'; write a date as year-month-day, such as 2026-11-20"
    keys = ("drawing.date", "drawing.revisions[1].date", "plugs.X1.pins.1.measured")
    assert said == [f"{key}: {form}" for key in keys]
