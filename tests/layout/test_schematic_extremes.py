"""Schematic sheets of odd, huge and hostile designs: always drawn, always clean."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

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
from tests.strategies import design_text, designs
from wiregen.layout.drawing_set import Options
from wiregen.layout.lint import lint

ROOT = Path(__file__).resolve().parents[2]


def plugs(count: int, ways: int) -> str:
    pin_words = ", ".join(f"{way}: {{carries: line {way}}}" for way in range(1, ways + 1))
    return "".join(f"  X{n}: {{pins: {{{pin_words}}}}}\n" for n in range(1, count + 1))


def wires(ends: list[tuple[str, str]]) -> str:
    return "wires:\n" + "".join(
        f"  W{n}: {{from: '{a}', to: '{b}', colour: RD/BK, size: 1.0}}\n"
        for n, (a, b) in enumerate(ends, start=1)
    )


EXTREMES = {
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
}


@pytest.mark.parametrize("name", EXTREMES)
def test_extremes_are_drawn_clean(name):
    design = read("format: 1\n" + EXTREMES[name])
    seen = set()
    for sheet in schematic(design):
        assert lint(sheet).flaws == (), (name, sheet.name)
        seen |= {wire.get("data-wire") for wire in groups(parsed(sheet), "wire")}
    assert seen == set(design.wires)


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
@given(designs(bad_ends=True))
def test_random_designs_are_drawn_clean(made):
    design = read(design_text(made))
    seen = set()
    for sheet in schematic(design):
        assert lint(sheet).flaws == ()
        seen |= {wire.get("data-wire") for wire in groups(parsed(sheet), "wire")}
    assert seen == set(design.wires)


DEMOS = sorted(path.name for path in (ROOT / "designs").glob("*.yaml") if "." not in path.stem)


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("mono", [False, True])
def test_demo_designs_are_drawn_clean(name, mono):
    from wiregen.read import load

    for sheet in drawn(load(ROOT / "designs" / name).design, Options(mono=mono)):
        if not sheet.name.startswith("face"):
            assert lint(sheet).flaws == (), sheet.name


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
