"""Schematic sheets of odd, huge and hostile designs: always drawn, always clean."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.layout.schematic_kit import (
    drawn,
    groups,
    near,
    parsed,
    pins,
    read,
    run_of,
    schematic,
    words,
)
from tests.layout.svg_texts import marks_that_cross, read_page, small_texts, unclear_labels
from tests.strategies import design_text, designs
from wiregen.draw.svg import to_svg
from wiregen.layout.drawing_set import Options
from wiregen.layout.lint import lint
from wiregen.layout.lint_set import lint_set
from wiregen.model import Design
from wiregen.publish import Document
from wiregen.sheet.items import Sheet

ROOT = Path(__file__).resolve().parents[2]


def plugs(count: int, ways: int) -> str:
    pin_words = ", ".join(f"{way}: {{carries: line {way}}}" for way in range(1, ways + 1))
    return "".join(f"  X{n}: {{pins: {{{pin_words}}}}}\n" for n in range(1, count + 1))


def wires(ends: list[tuple[str, str]]) -> str:
    return "wires:\n" + "".join(
        f"  W{n}: {{from: '{a}', to: '{b}', colour: RD/BK, size: 1.0}}\n"
        for n, (a, b) in enumerate(ends, start=1)
    )


RELAY = "{kind: relay, coil: {from: 86, to: 85, ohms: 85}, rest: [[30, 87a]], pulled: [[30, 87]]}"
NAMES = ("W" * 40, "\u4e2d" * 40, "\u05d0" * 40, "\U0001f69c" * 40, "i" * 40)
LONG = "a very long title of a thing in a vehicle " * 8
ABROAD = "Zündschloß, Ζεύγος, зажигание, 点火, ½ Ω → e\u0301 \U0001f69c"


def fuses(count: int, title: str) -> str:
    return "fuses:\n" + "".join(
        f"  F{n}: {{rating: 10, title: {title} {n}}}\n" for n in range(1, count + 1)
    )


def titled(words: str) -> str:
    """A little of everything, all of it named with the same words."""
    return f"""
drawing: {{title: "{words}", number: "{words}", by: "{words}", revision: "{words}"}}
looms: {{main: {{title: "{words}", status: new}}}}
devices:
  P1: {{kind: lamp, title: "{words}", terminals: [1, 2]}}
  S1: {{kind: switch, title: "{words}", terminals: [1, 2], positions: {{off: [], run: [[1, 2]]}}}}
  A1: {{kind: unit, title: "{words}", where: "{words}"}}
boxes: {{FB1: {{title: "{words}", bars: {{{"b" * 40}: [F1]}}}}}}
fuses: {{F1: {{title: "{words}", rating: 10}}, F2: {{title: "{words}", rating: 5}}}}
splices: {{J1: {{title: "{words}"}}}}
earths: {{EP1: {{title: "{words}"}}}}
plugs:
  X1:
    title: "{words}"
    loom: main
    housing: "{words}"
    pins: {{1: {{carries: "{words}", circuit: "{words}"}}, {"c" * 40}: {{carries: "{words}"}}}}
  X2: {{title: "{words}", of: A1, mates: X1}}
""" + wires(
        [
            ("X1:1", "P1:1"),
            ("P1:2", "EP1"),
            ("F1:out", "J1"),
            ("J1", "S1:1"),
            ("J1", "F2:in"),
            ("S1:2", f"X1:{'c' * 40}"),
        ]
    )


EXTREMES = {
    "one plug and no wires": "plugs:\n" + plugs(1, 6),
    "a plug of which nothing is known": "plugs: {X1: {}}\n",
    "a finding at the first cavity, between the corner mark and the next one": "plugs:\n"
    + "  X1: {face: {rows: [[A1, A2, A3, A4, A5, A6, A7]], key: left},"
    + " pins: {A1: {circuit: glow command}}}\n  X2: {mates: X1}\n",
    "a wire back to its own plug": "plugs:\n" + plugs(1, 2) + wires([("X1:1", "X1:2")]),
    "a wire from a pin to itself": "plugs:\n" + plugs(1, 1) + wires([("X1:1", "X1:1")]),
    "a plug of 500 ways": "plugs:\n"
    + plugs(2, 500)
    + wires([(f"X1:{n}", f"X2:{n}") for n in range(1, 501)]),
    "100 wires on one splice": "splices: {J1: {}}\nplugs:\n"
    + plugs(100, 1)
    + wires([("J1", f"X{n}:1") for n in range(1, 101)]),
    "30 wires in one contact": "plugs:\n"
    + plugs(2, 30)
    + wires([("X1:1", f"X2:{n}") for n in range(1, 31)]),
    "earth to earth": "earths: {EP1: {}, EP2: {kind: engine}}\nplugs:\n"
    + plugs(1, 1)
    + wires([("EP1", "EP2"), ("EP1", "EP1")]),
    "two splices in a ring": "splices: {J1: {}, J2: {}}\n"
    + wires([("J1", "J2"), ("J2", "J1"), ("J1", "J1")]),
    "a chain of 30 splices": "splices: {"
    + ", ".join(f"J{n}: {{}}" for n in range(1, 31))
    + "}\nplugs:\n"
    + plugs(2, 1)
    + wires([("X1:1", "J1"), *((f"J{n}", f"J{n + 1}") for n in range(1, 30)), ("J30", "X2:1")]),
    "all wires on the same side": "plugs:\n"
    + plugs(6, 12)
    + wires(
        [(f"X{1 + n % 6}:{1 + n // 6}", f"X{1 + (n + 1) % 6}:{12 - n // 6}") for n in range(36)]
    ),
    "two plugs of one unit wired to each other": "devices: {A1: {kind: unit}}\nplugs:\n"
    + "  X1: {of: A1}\n  X2: {of: A1}\n"
    + wires([(f"X1:{n}", f"X2:{n}") for n in range(1, 21)]),
    "wires meant for a plug of a unit that is not there": "plugs:\n"
    + "  X1: {contacts: sockets}\n  X2: {of: A1, mates: X1, contacts: pins}\n"
    + wires([("X2:1", "X1:2"), ("X2:1", "X2:3"), ("X2:4", "X2:4"), ("X1:5", "X2:4")]),
    "two plugs with 100 parallel wires": "plugs:\n"
    + plugs(2, 100)
    + wires([(f"X1:{n}", f"X2:{n}") for n in range(1, 101)]),
    "two plugs with 50 wires in the wrong order": "plugs:\n"
    + plugs(2, 50)
    + wires([(f"X1:{n}", f"X2:{51 - n}") for n in range(1, 51)]),
    "a device with 60 terminals": "devices: {A1: {kind: unit, terminals: ["
    + ", ".join(str(n) for n in range(1, 61))
    + "]}}\nplugs:\n"
    + plugs(2, 30)
    + wires([(f"A1:{n}", f"X{1 + (n - 1) // 30}:{1 + (n - 1) % 30}") for n in range(1, 61)]),
    "40 fuses in one box": "boxes: {FB1: {title: Big box, bars: {30: ["
    + ", ".join(f"F{n}" for n in range(1, 31))
    + "], 15: ["
    + ", ".join(f"F{n}" for n in range(31, 41))
    + "]}}}\n"
    + fuses(40, "consumer")
    + "plugs:\n"
    + plugs(4, 10)
    + wires([(f"F{n}:out", f"X{1 + (n - 1) // 10}:{1 + (n - 1) % 10}") for n in range(1, 41)]),
    "a relay with every terminal wired twice": f"devices: {{K1: {RELAY}}}\nplugs:\n"
    + plugs(2, 5)
    + wires(
        [
            (f"K1:{terminal}", f"X{plug}:{n}")
            for plug in (1, 2)
            for n, terminal in enumerate(("86", "85", "30", "87", "87a"), start=1)
        ]
    ),
    "a relay wired to itself": f"devices: {{K1: {RELAY}}}\n"
    + wires([("K1:86", "K1:30"), ("K1:85", "K1:87"), ("K1:87a", "K1:86")]),
    "the longest names of cavities": "plugs:\n"
    + "".join(
        f"  {plug}: {{pins: {{{', '.join(f'{n}: {{carries: c}}' for n in NAMES)}}}}}\n"
        for plug in ("X1", "X2")
    )
    + wires([(f"X1:{name}", f"X2:{name}") for name in NAMES]),
    "very long titles": titled(LONG),
    "titles in many scripts": titled(ABROAD),
}


def whole_set(text: str, *, mono: bool = False) -> tuple[Design, tuple[Sheet, ...]]:
    """Read and draw everything as the command does, findings marked."""
    with TemporaryDirectory() as folder:
        path = Path(folder, "small.yaml")
        path.write_text(text, encoding="utf-8")
        document = Document(path)
        return document.design, tuple(drawing.sheet for drawing in document.draw(mono=mono))


def assert_clean(design: Design, sheets: Sequence[Sheet]) -> None:
    """No flaw on any sheet, no reference that leads nowhere, every wire somewhere.

    Labels and sizes are measured from the SVG too, with the glyphs of the font.
    """
    assert {found.sheet: found.flaws for found in lint_set(sheets) if found.flaws} == {}
    drawn_wires = {g.get("data-wire") for s in sheets for g in groups(parsed(s), "wire")}
    assert drawn_wires == set(design.wires)
    members = {g.id: {*g.screened, *g.twisted, *g.multicore} for g in design.groups.values()}
    for sheet in sheets:
        page = read_page(to_svg(sheet))
        assert unclear_labels(page) == [], sheet.name
        assert small_texts(page) == [], sheet.name
        assert marks_that_cross(page, members) == [], sheet.name


@pytest.mark.parametrize("name", EXTREMES)
def test_extremes_are_drawn_clean(name):
    assert_clean(*whole_set("format: 1\n" + EXTREMES[name]))


@pytest.mark.parametrize("name", ["54", "500", "K101", "A-1/12", "WW", "\u05d0\u05d0\u05d0\u05d0"])
def test_the_name_of_a_cavity_stands_whole_beside_its_words(name):
    halves = "".join(f"  {x}: {{pins: {{{name}: {{carries: coolant}}}}}}\n" for x in ("X1", "X2"))
    text = f"format: 1\nplugs:\n{halves}" + wires([(f"X1:{name}", f"X2:{name}")])
    (sheet,) = schematic(read(text))
    assert lint(sheet).flaws == ()
    for plug in groups(parsed(sheet), "plug"):
        assert {name, "coolant"} < {*words(plug)}


HOSTILE = f"""
format: 1
drawing: {{title: "<b>#import x & *bold* $x$ </svg>"}}
plugs:
  X1:
    title: "<script>alert(1)</script>"
    pins: {{1: {{carries: "]]> & <g>"}}, 2: {{carries: "日本"}}}}
  X2:
    title: "{"very long title " * 30}"
    pins: {{1: {{carries: "{"endless words " * 30}"}}, 2: {{carries: "'\\""}}}}
devices:
  P1: {{kind: lamp, title: "<!-- -->", terminals: ["<a>", "&b"]}}
wires:
  W1: {{from: "X1:1", to: "X2:1", colour: RD}}
  W2: {{from: "X1:2", to: "P1:<a>"}}
  W3: {{from: "X2:2", fate: insulated, why: "{"because " * 60}"}}
"""


def test_hostile_texts_stay_text_and_inside_the_frame():
    (sheet,) = schematic(read(HOSTILE))
    root = parsed(sheet)
    assert not list(root.iter("{http://www.w3.org/2000/svg}script"))
    assert "<script>alert(1)</script>" in " ".join(words(root))
    assert lint(sheet).flaws == ()
    assert near(run_of(groups(root, "wire")[1])[-1], pins(root)["P1:<a>"])


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(designs(bad_ends=True), st.booleans())
def test_random_designs_are_drawn_clean(made, mono):
    assert_clean(*whole_set(design_text(made), mono=mono))


DEMOS = sorted(path.name for path in (ROOT / "designs").glob("*.yaml") if "." not in path.stem)


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("mono", [False, True])
def test_demo_designs_are_drawn_clean(name, mono):
    document = Document(ROOT / "designs" / name)
    assert_clean(document.design, [drawing.sheet for drawing in document.draw(mono=mono)])


def test_every_kind_of_device_is_drawn_clean():
    from wiregen.read import load

    (sheet,) = schematic(load(Path(__file__).with_name("every_kind.yaml")).design)
    root = parsed(sheet)
    assert lint(sheet).flaws == ()
    shown = {g.get("data-kind") for g in groups(root, "symbol")}
    assert {
        "battery",
        "isolator",
        "breaker",
        "fusible-link",
        "converter",
        "motor",
        "solenoid",
    } <= shown
    assert {
        "horn",
        "diode",
        "capacitor",
        "resistor",
        "gauge",
        "sender",
        "socket",
        "flasher",
    } <= shown
    assert {"earth", "isolated-earth"} <= shown
    (metal,) = groups(root, "metal")
    assert (metal.get("data-from"), metal.get("data-to")) == ("G1:plus", "F1:in")


def test_options_choose_wires_and_faces():
    from wiregen.read import load

    design = load(ROOT / "designs" / "tractor.yaml").design
    sheets = drawn(design, Options(plug="X7"))
    assert next(s.name for s in sheets if s.name.startswith("face")) == "face-X7"
    shown = {w.get("data-wire") for s in sheets for w in groups(parsed(s), "wire")}
    # From the file: these wires name X8, the loom half that pushes into X7.
    assert shown == {"W10", "W23", "W24", "W25", "W42"}
    shown = {
        w.get("data-wire")
        for s in drawn(design, Options(loom="rear"))
        for w in groups(parsed(s), "wire")
    }
    assert shown == {wire.id for wire in design.wires.values() if wire.loom == "rear"}
    shown = {
        w.get("data-wire")
        for s in drawn(design, Options(circuit="coolant"))
        for w in groups(parsed(s), "wire")
    }
    assert {"W30", "W31"} <= shown
    assert "W60" not in shown


def test_the_same_bytes_under_any_hash_seed(tmp_path):
    code = (
        "import hashlib, sys\n"
        "from wiregen.read import load\n"
        "from wiregen.connect import connect\n"
        "from wiregen.check import Report\n"
        "from wiregen.layout.drawing_set import drawing_set\n"
        "from wiregen.draw.svg import to_svg\n"
        f"design = load({str(ROOT / 'designs' / 'vocabulary.yaml')!r}).design\n"
        "sheets = drawing_set(design, connect(design), Report())\n"
        "text = ''.join(to_svg(sheet) for sheet in sheets)\n"
        "print(hashlib.sha256(text.encode()).hexdigest())\n"
    )
    prints = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("0", "1", "77")
    }
    assert len(prints) == 1
