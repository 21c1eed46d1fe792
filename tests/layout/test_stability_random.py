"""Random edits of random designs: drawn over the layout kept before, nothing fails or overlaps."""

from __future__ import annotations

import random
import re
from dataclasses import replace

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from tests.layout.schematic_kit import read
from tests.layout.stability_kit import drawn, with_wire, without
from tests.layout.svg_figures import read_svg
from tests.layout.svg_texts import read_page, small_texts, unclear_labels
from tests.layout.vehicles import vehicle
from tests.strategies import design_text, designs
from wiregen.connect import connect
from wiregen.draw.svg import to_svg
from wiregen.layout.lint import lint
from wiregen.layout.schematic.sheet_drawing import draw_pages
from wiregen.layout.schematic.sheets import schematic_pages
from wiregen.model import Design


def edited(design: Design, draw: random.Random) -> Design:
    """One edit: something goes; a wire comes, or ends elsewhere, or has another id."""
    wires = list(design.wires)
    if not wires:
        return design
    wire = draw.choice(wires)
    kinds = ("wire", "pin", "new", "swap", "rename", "plugs", "devices", "boxes", "splices")
    kind = draw.choice(kinds)
    if kind == "wire":
        return without(design, wire)
    if kind == "pin":
        others = [w for w in design.wires.values() if w.end is not None]
        return with_wire(design, wire, end=draw.choice(others).end) if others else design
    if kind == "new":
        record = replace(
            design.wires[wire], id="W9000", start=design.wires[draw.choice(wires)].start
        )
        return replace(design, wires={**design.wires, "W9000": record})
    if kind == "swap":
        record = design.wires[wire]
        return with_wire(design, wire, start=record.end, end=record.start)
    if kind == "rename":
        record = replace(design.wires[wire], id="W9001")
        rest = {name: one for name, one in design.wires.items() if name != wire}
        return replace(design, wires={**rest, "W9001": record})
    records = getattr(design, kind)
    gone = draw.choice(list(records)) if records else ""
    return replace(design, **{kind: {name: one for name, one in records.items() if name != gone}})


def flaws(design: Design, keep) -> list[str]:
    network = connect(design)
    pages, maker = schematic_pages(design, network, keep=keep)
    found = []
    for sheet in draw_pages(pages, maker, 1, len(pages), {}):
        page = read_page(to_svg(sheet))
        measured = (*lint(sheet).flaws, *unclear_labels(page), *small_texts(page))
        found += [f"{sheet.name}: {flaw}" for flaw in measured]
    return found


@settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
@given(design=designs(max_plugs=4), seed=st.integers(0, 10**6))
def test_random_designs_are_edited_and_drawn_again(design, seed):
    draw = random.Random(seed)
    now = read(design_text(design))
    keep = drawn(now).keep
    for _ in range(2):
        now = edited(now, draw)
        assert flaws(now, keep) == []
        keep = drawn(now, keep).keep


@settings(max_examples=3, deadline=None)
@given(seed=st.integers(0, 10**6), size=st.sampled_from((40, 75)))
def test_vehicles_are_edited_and_drawn_again(seed, size):
    draw = random.Random(seed)
    now = read(vehicle(size, seed % 7))
    keep = drawn(now).keep
    for _ in range(2):
        now = edited(now, draw)
        assert flaws(now, keep) == []
        keep = drawn(now, keep).keep


@settings(max_examples=3, deadline=None)
@given(seed=st.integers(0, 10**6), size=st.sampled_from((30, 75)))
def test_a_plug_with_another_name_is_drawn_again(seed, size):
    text = vehicle(size, seed)
    plugs = [*read(text).plugs]
    assume(plugs)
    plug = random.Random(seed).choice(plugs)
    renamed = read(re.sub(rf"\b{plug}\b", "X901", text))
    assert plug not in renamed.plugs
    assert flaws(renamed, drawn(read(text)).keep) == []


UNIT = """
format: 1
devices: {A1: {kind: unit}}
plugs:
  X1: {of: A1, contacts: pins, mates: X2}
  X2: {contacts: sockets}
  X3: {contacts: sockets}
wires:
  W1: {from: X1:1, to: X3:1, colour: RD, size: 1.0}
  W2: {from: X1:1, fate: insulated, why: not used}
  W3: {from: X1:2, to: X1:3}
"""


def test_a_unit_goes_and_its_plug_stays():
    whole = read(UNIT)
    left = replace(whole, devices={})
    keep = drawn(whole).keep
    assert flaws(left, keep) == []
    # The wires still end on the half of the loom, where the design says they are.
    (svg,) = drawn(left, keep).svgs.values()
    run = {wire.name: wire for wire in read_svg(svg).wires}
    pins = read_svg(svg).pins
    assert {run["W1"].points[0], run["W2"].points[0]} == {*pins["X2:1"]} == {*pins["X1:1"]}


def test_a_design_that_grows_out_of_one_sheet_gets_several():
    small, large = read(vehicle(25, 3)), read(vehicle(75, 3))
    before = drawn(small)
    assert list(before.svgs) == ["schematic"]
    after = drawn(large, before.keep)
    assert flaws(large, before.keep) == []
    again = drawn(large, after.keep)
    assert again.svgs == after.svgs
    assert drawn(small, after.keep).svgs


RELAY = """
format: 1
devices:
  K1: {kind: relay, rest: [[30, 87a]], pulled: [[30, 87]]}
  A1: {kind: unit}
plugs: {X2: {of: A1}}
wires:
  W1: {to: "X2:7a"}
  W2: {from: "K1:30", to: "P1:2"}
  W3: {from: "X2:8a", fate: removed}
groups: {SC1: {multicore: [W2, W1]}}
"""


def test_no_label_goes_where_another_wire_of_the_pin_is_just_above():
    first = read(RELAY)
    fewer = without(first, "W1")
    kept = drawn(fewer, drawn(first).keep).keep
    new = replace(fewer.wires["W2"], id="W4", end=fewer.wires["W3"].start)
    more = replace(fewer, wires={**fewer.wires, "W4": new})
    left = replace(more, plugs={})
    assert flaws(left, drawn(more, kept).keep) == []
