"""Wires added to drawn sheets: no box moves while there is room, told line by line."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache

import pytest

from tests.layout.schematic_kit import read
from tests.layout.stability_kit import Drawn, drawn, not_of, with_wire
from tests.layout.svg_figures import read_svg
from tests.layout.vehicles import vehicle
from wiregen.connect import connect, split_node
from wiregen.layout.lint import lint
from wiregen.layout.schematic.block import ROW_MM
from wiregen.layout.schematic.page import label_room
from wiregen.layout.schematic.sheet_drawing import draw_pages
from wiregen.layout.schematic.sheet_page import shown_wires
from wiregen.layout.schematic.sheets import schematic_pages
from wiregen.model import Design

NEW = "W9999"


@cache
def design_of(seed: int) -> Design:
    return read(vehicle(60, seed))


@cache
def first(seed: int) -> Drawn:
    return drawn(design_of(seed))


def with_new(design: Design, one: str, other: str) -> Design:
    """A design with one more wire, like its first."""
    like = next(wire for wire in design.wires.values() if wire.start and wire.end)
    ends = {}
    for key, node in (("start", one), ("end", other)):
        owner, point = split_node(node)
        ends[key] = replace(getattr(like, key), text=node, owner=owner, point=point)
    return replace(design, wires={**design.wires, NEW: replace(like, id=NEW, **ends)})


def moved(before: Drawn, after: Drawn) -> set[str]:
    return {name for name, place in before.boxes.items() if after.boxes.get(name) != place}


def flaws(design: Design, before: Drawn) -> list[str]:
    network = connect(design)
    pages, maker = schematic_pages(design, network, keep=before.keep)
    sheets = draw_pages(pages, maker, 1, len(pages), {})
    return [f"{sheet.name}: {flaw}" for sheet in sheets for flaw in lint(sheet).flaws]


def others(before: Drawn, after: Drawn) -> list[str]:
    """The lines that changed and are neither the new wire's nor stand at the pins it ends on.

    The pin of the mated half has as many lines.
    """
    ends = [*after.network.ends_of[NEW]]
    ends += [f"{after.network.mate(owner)}:{point}" for owner, point in map(split_node, ends)]
    known = replace(before, network=after.network)
    return [
        line
        for key, svg in before.svgs.items()
        for line in not_of(NEW, known, svg, after.svgs[key])
        if not any(f"/pin[pin={node}," in line for node in ends)
    ]


@pytest.mark.parametrize("ends", [("B1:3", "X6:3"), ("B7:2", "X2:1"), ("X4:3", "B7:2")])
def test_a_second_wire_at_pins_of_other_sheets_changes_their_lines_only(ends):
    design, before = design_of(1), first(1)
    after = drawn(with_new(design, *ends), before.keep)
    assert not moved(before, after)
    lines = others(before, after)
    # The label of a wire in the row below goes to its other end, its run stays.
    assert all('class="wire-label"' in line for line in lines)
    assert len({line.split("]")[0] for line in lines}) <= 2
    assert not flaws(with_new(design, *ends), before)


@pytest.mark.parametrize("ends", [("X3:19", "X2:15"), ("X2:21", "X6:22")])
def test_a_new_row_is_put_at_the_end_of_its_block_and_no_other_wire_changes(ends):
    design, before = design_of(1), first(1)
    after = drawn(with_new(design, *ends), before.keep)
    assert not moved(before, after)
    assert not [line for line in others(before, after) if line.startswith("wire ")]
    assert not flaws(with_new(design, *ends), before)


def pins(seed: int, count: int) -> list[tuple[str, str]]:
    """A seeded sample of pairs of pins that have wires."""
    nodes = sorted({node for nodes in first(seed).network.ends_of.values() for node in nodes})
    draw = random.Random(f"added {seed}")
    return [tuple(draw.sample(nodes, 2)) for _ in range(count)]


@pytest.mark.parametrize("seed", [1, 2])
def test_additions_at_any_pins_keep_the_sheets(seed):
    design, before = design_of(seed), first(seed)
    tried = pins(seed, 6)
    still = 0
    for ends in tried:
        more = with_new(design, *ends)
        after = drawn(more, before.keep)
        assert not flaws(more, before), ends
        assert drawn(more, after.keep).svgs == after.svgs, ends
        own = {page.plan.key for page in after.pages if NEW in shown_wires(page.plan)}
        assert {name.split(" ")[0] for name in moved(before, after)} <= own, ends
        still += not moved(before, after)
    assert still >= len(tried) / 3


def test_the_second_wire_at_a_pin_stays_when_the_first_is_taken_out():
    design, before = design_of(1), first(1)
    more = with_new(design, "B1:3", "X6:3")
    both = drawn(more, before.keep)
    gone = next(wire for wire, ends in both.network.ends_of.items() if "B1:3" in ends)
    fewer = replace(more, wires={key: w for key, w in more.wires.items() if key != gone})
    after = drawn(fewer, both.keep)
    assert not moved(both, after)
    assert not flaws(fewer, both)


def test_longer_labels_move_no_box_while_they_find_room():
    design, before = design_of(2), first(2)
    draw = random.Random("longer")
    plain = [w.id for w in design.wires.values() if w.colour and "/" not in w.colour.iec]
    two = next(w.colour for w in design.wires.values() if w.colour and "/" in w.colour.iec)
    tried = draw.sample(plain, 6)
    still = 0
    for wire in tried:
        longer = with_wire(design, wire, colour=two)
        assert label_room(longer, wire) > label_room(design, wire)
        after = drawn(longer, before.keep)
        assert not flaws(longer, before), wire
        still += not moved(before, after)
    assert still >= len(tried) / 2


def test_another_size_with_as_long_a_text_moves_nothing():
    design, before = design_of(1), first(1)
    draw = random.Random("size")
    sizes = {w.size.text: w.size for w in design.wires.values() if w.size}
    changed = 0
    for wire in draw.sample(list(design.wires), 20):
        old = design.wires[wire].size
        alike = (s for t, s in sizes.items() if old and t != old.text and len(t) == len(old.text))
        other = next(alike, None)
        if other is None or changed == 4:
            continue
        swapped = with_wire(design, wire, size=other)
        if label_room(swapped, wire) == label_room(design, wire):
            after = drawn(swapped, before.keep)
            assert not moved(before, after), wire
            for key, svg in before.svgs.items():
                assert not not_of(wire, before, svg, after.svgs[key]), wire
            changed += 1
    assert changed == 4


FURTHER = """
format: 1
devices: {A1: {kind: unit}, M1: {kind: motor}}
plugs:
  X1: {of: A1, contacts: pins, mates: X2}
  X2: {contacts: sockets}
  X4: {contacts: sockets}
fuses: {F1: {rating: 10}, F2: {rating: 10}}
boxes: {FB1: {bars: {"30": [F1, F2]}}}
wires:
  W1: {from: X4:1, to: F1:in}
  W2: {from: F1:out, to: M1:+}
  W3: {from: F2:out, to: X4:4}
  W4: {from: X1:1, to: X4:2}
  W5: {from: X1:2, to: X4:3}
  W6: {from: X1:3, to: M1:-}
  W7: {from: X2:3, to: X4:5}
"""


@pytest.mark.parametrize(
    "node",
    [
        pytest.param("F1:in", id="fed at the bar of its box, its symbol elsewhere"),
        pytest.param("X1:1", id="own half of a unit, the loom half over it"),
        pytest.param("X1:3", id="a line of each half"),
        pytest.param("X2:3", id="a line of each half, the other one"),
    ],
)
def test_a_second_wire_at_any_kind_of_pin_ends_on_its_pin(node):
    design = read(FURTHER)
    before = drawn(design)
    more = with_new(design, "X4:6", node)
    assert not flaws(more, before)
    after = drawn(more, before.keep)
    assert not moved(before, after)
    (svg,) = after.svgs.values()
    figures = read_svg(svg)
    x, y = next(wire.points[-1] for wire in figures.wires if wire.name == NEW)
    row = after.pages[0].scale * ROW_MM
    for height in (y - row / 2, y):  # half a row below a line of its pin
        assert any(at == pytest.approx((x, height), abs=0.02) for at in figures.pins[node])
    assert drawn(more, after.keep).svgs == after.svgs


@pytest.mark.parametrize("node", ["F1:in", "X1:1", "X4:4", "F1:out"])
def test_a_wire_back_to_its_own_pin_keeps_its_label_clear(node):
    design = read(FURTHER)
    before = drawn(design)
    more = with_new(design, node, node)
    assert not flaws(more, before)
    assert drawn(more, drawn(more, before.keep).keep).svgs == drawn(more, before.keep).svgs
