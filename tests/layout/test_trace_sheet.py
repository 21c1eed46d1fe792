"""A drawn trace: everything of the ways is on it once, in its place."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from wiregen.connect import connect
from wiregen.connect.trace import trace
from wiregen.draw.svg import to_svg
from wiregen.layout.trace_sheet import trace_sheet
from wiregen.read import load
from wiregen.sheet.items import Text, walk
from wiregen.sheet.metrics import text_width_mm

ROOT = Path(__file__).resolve().parents[2]
SVG = "{http://www.w3.org/2000/svg}"
PINS = ("X1:3", "X4:D", "J3", "EP2", "F13:out", "X2:9", "S1:50")


@pytest.fixture(scope="module")
def tractor():
    design = load(ROOT / "designs" / "tractor.yaml").design
    return design, connect(design)


@pytest.mark.parametrize("pin", PINS)
def test_every_wire_of_every_way_is_drawn_once(tractor, pin):
    design, network = tractor
    found = trace(network, pin)
    root = ET.fromstring(to_svg(trace_sheet(design, network, found)))
    drawn = [
        g.get("data-wire") for g in root.iter(f"{SVG}g") if "wire" in g.get("class", "").split()
    ]
    ways = (*found.up, *found.down)
    wanted = {hop.id for way in ways for hop in way.hops if hop.kind == "wire"}
    assert sorted(drawn) == sorted(wanted)


def test_supply_is_above_earth_and_the_pin_between(tractor):
    design, network = tractor
    sheet = trace_sheet(design, network, trace(network, "J3"))
    texts = {t.plain: (t.x, t.y) for t in walk(sheet.items) if isinstance(t, Text)}
    column = {name: texts[name][1] for name in ("G1:plus", "S1:50", "J3", "K1:30")}
    assert column["G1:plus"] < column["S1:50"] < column["J3"] < column["K1:30"]
    assert texts["G1:minus"][0] > texts["K1:30"][0]


@pytest.mark.parametrize("pin", PINS)
def test_texts_keep_within_the_frame_and_off_each_other(tractor, pin):
    design, network = tractor
    sheet = trace_sheet(design, network, trace(network, pin))
    boxes = []
    for text in walk(sheet.items):
        if not isinstance(text, Text) or text.cls == "zone":
            continue
        width = sum(text_width_mm(words, text.size, bold) for words, bold, _ in text.parts)
        left = text.x - width * {"start": 0, "middle": 0.5, "end": 1}[text.anchor]
        assert left >= 20, text.plain
        assert left + width <= sheet.width - 10, text.plain
        assert 10 <= text.y <= sheet.height - 10, text.plain
        boxes.append((left, text.y - 0.7 * text.size, left + width, text.y, text.plain))
    for number, one in enumerate(boxes):
        for other in boxes[:number]:
            apart = (
                one[2] <= other[0] + 0.1
                or other[2] <= one[0] + 0.1
                or one[3] <= other[1] + 0.1
                or other[3] <= one[1] + 0.1
            )
            assert apart, (one[4], other[4])


def test_ids_are_unique(tractor):
    design, network = tractor
    svg = to_svg(trace_sheet(design, network, trace(network, "EP2")))
    ids = re.findall(r'\bid="([^"]+)"', svg)
    assert len(ids) == len(set(ids)) > 20


def spread(folder: Path, lamps: int) -> str:
    """Return the drawn trace of a splice that feeds so many lamps."""
    numbers = range(1, lamps + 1)
    lines = [
        'format: 1\nsplices: {J1: {}}\nearths: {EP1: {}}\nfuses: {F1: {fitted_on: "G1:plus"}}',
        "devices:\n  G1: {kind: battery, volts: 12}",
        *(f"  P{n}: {{kind: lamp, watts: 5, volts: 12, terminals: [1, 2]}}" for n in numbers),
        "wires:\n  W900: {from: F1:out, to: J1}\n  W901: {from: G1:minus, to: EP1}",
        *(f"  W{n}: {{from: J1, to: P{n}:1}}" for n in numbers),
        *(f"  W{n + 200}: {{from: P{n}:2, to: EP1}}" for n in numbers),
    ]
    path = folder / "spread.yaml"
    path.write_text("\n".join(lines) + "\n", "utf-8")
    design = load(path).design
    network = connect(design)
    return to_svg(trace_sheet(design, network, trace(network, "J1")))


def test_a_splice_of_thirty_legs_is_drawn_whole(tmp_path):
    svg = spread(tmp_path, 29)
    assert len(set(re.findall(r'data-wire="(W\d+)"', svg))) == 2 * 29 + 2
    assert "found no room" not in svg


def test_what_finds_no_room_on_the_largest_paper_is_told(tmp_path):
    svg = spread(tmp_path, 120)
    assert len(set(re.findall(r'data-wire="(W\d+)"', svg))) < 2 * 120 + 2
    assert re.search(r"\d+ pieces found no room: see the printed trace", svg)
