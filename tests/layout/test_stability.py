"""A drawing stays put when one wire changes: redrawn over its kept layout, line by line."""

from __future__ import annotations

import itertools
import random
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from tests.layout.graph_designs import design_text
from tests.layout.schematic_kit import read
from tests.layout.stability_kit import (
    Drawn,
    changed,
    drawn,
    merged,
    not_of,
    with_wire,
    without,
)
from tests.layout.test_reading_order import LEVEL_ACROSS
from tests.layout.vehicles import vehicle
from tests.layout.wiring_graphs import wiring
from wiregen.connect import Network, split_node
from wiregen.facts.colours import Colour
from wiregen.layout.schematic.page import label_room
from wiregen.layout.schematic.sheet_page import shown_wires
from wiregen.model import Design, Wire
from wiregen.model.faces import face_layout
from wiregen.publish import Document
from wiregen.publish.layout_file import layout_text, parse_layout
from wiregen.read import load

DESIGNS = Path(__file__).resolve().parents[2] / "designs"
NAMES = ("tractor", "medium 1", "medium 2", "medium 3", "vehicle")
SHARE = {"tractor": 3, "medium 1": 4, "medium 2": 4, "medium 3": 4, "vehicle": 12}


@cache
def design_of(name: str) -> Design:
    kind, _, seed = name.partition(" ")
    if kind == "tractor":
        return load(DESIGNS / "tractor.yaml").design
    if kind == "medium":
        return read(design_text(wiring("medium", int(seed))))
    return read(vehicle(150))


@cache
def first(name: str) -> Drawn:
    return drawn(design_of(name))


def some(name: str, share: int = 1) -> list[str]:
    """A seeded sample of the wires of a design."""
    wires = list(design_of(name).wires)
    return random.Random(name).sample(wires, len(wires) // (SHARE[name] * share))


@pytest.mark.parametrize("name", NAMES)
def test_a_drawing_repeated_is_the_same(name):
    again = drawn(design_of(name), first(name).keep)
    assert again.svgs == first(name).svgs
    assert again.keep == first(name).keep


@pytest.mark.parametrize("name", NAMES)
def test_without_a_wire_only_its_own_lines_change(name):
    before = first(name)
    for wire in some(name):
        after = drawn(without(design_of(name), wire), before.keep)
        assert list(after.svgs) == list(before.svgs), wire
        found = {
            key: not_of(wire, before, svg, after.svgs[key])
            for key, svg in before.svgs.items()
            if svg != after.svgs[key]
        }
        assert found, f"{wire} was on no sheet"
        assert not any(found.values()), (wire, found)
        gone = before.boxes.keys() - after.boxes.keys()
        assert {name.split(" ")[1] for name in gone} <= {*design_of(name).splices}, wire
        assert {name: before.boxes[name] for name in after.boxes} == after.boxes, wire


def test_a_part_across_another_lies_as_it_did_whichever_wire_goes():
    design = read(LEVEL_ACROSS)
    before = drawn(design)
    assert drawn(design, before.keep).svgs == before.svgs
    for wire in design.wires:
        after = drawn(without(design, wire), before.keep)
        for key, svg in before.svgs.items():
            assert not_of(wire, before, svg, after.svgs[key]) == [], wire


def at(record: Wire, key: str, owner: str, point: str) -> Wire:
    end = getattr(record, key)
    text = f"{owner}:{point}" if point else owner
    return replace(record, **{key: replace(end, text=text, owner=owner, point=point)})


def moved(before: Drawn, after: Drawn) -> set[str]:
    """Boxes that stand elsewhere on their sheet, or have left it."""
    return {name for name, place in before.boxes.items() if after.boxes.get(name) != place}


def free_cavities(design: Design, network: Network, plug: str) -> list[str]:
    cavities = face_layout(design, plug).cavities
    return [name for name in cavities if not network.wires_at(f"{plug}:{name}")]


def re_pins(name: str) -> Iterator[tuple[str, str, str, str]]:
    """A seeded sample of wires with an end to move, its plug, and a free cavity there."""
    design, network = design_of(name), first(name).network
    draw = random.Random(f"re-pin {name}")
    for wire in draw.sample(list(design.wires), len(design.wires)):
        for key in ("start", "end"):
            plug = getattr(getattr(design.wires[wire], key), "owner", "")
            if plug in design.plugs and free_cavities(design, network, plug):
                yield wire, key, plug, draw.choice(free_cavities(design, network, plug))
                break


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_moved_to_a_free_cavity_moves_no_box(name):
    design, before = design_of(name), first(name)
    for wire, key, plug, cavity in itertools.islice(re_pins(name), 8):
        old = design.wires[wire]
        new = at(old, key, plug, cavity)
        after = drawn(replace(design, wires={**design.wires, wire: new}), before.keep)
        mate = before.network.mate(plug)
        was = getattr(old, key).point
        if mate and before.network.wires_at(f"{mate}:{was}") and mate not in design.devices:
            # The row stays for the other half and the plug grows by one: its neighbours may have
            # to make room, other sheets not.
            sheets = {page.plan.key for page in after.pages if wire in shown_wires(page.plan)}
            assert {name.split(" ")[0] for name in moved(before, after)} <= sheets
        else:
            assert not moved(before, after), (wire, key, plug, cavity)


def names(drawing: Drawn) -> set[str]:
    """All that stands on the sheets, earths and the marks of wires that go on elsewhere too."""
    return {f"{p.plan.key} {name}" for p in drawing.pages for name in p.laid.placement.boxes}


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_put_back_finds_the_lane_that_is_free(name):
    design, before = design_of(name), first(name)
    tried = some(name, share=1 if name == "tractor" else 3)
    stirred = there = 0
    for wire in tried:
        bare = drawn(without(design, wire), before.keep)
        new = wire.replace("W", "V")
        wires = {key: value for key, value in design.wires.items() if key != wire}
        wires[new] = replace(design.wires[wire], id=new)
        again = drawn(replace(design, wires=wires, groups={}), bare.keep)
        if names(bare) == names(again):  # both pins are there, and so is the lane
            assert not moved(bare, again), wire
            there += 1
        stirred += bool(moved(bare, again))
    assert there
    assert stirred <= 0.1 * len(tried), (stirred, len(tried))


@pytest.mark.parametrize("name", NAMES)
def test_a_new_wire_moves_nothing_on_other_sheets(name):
    design, before = design_of(name), first(name)
    draw = random.Random(f"new {name}")
    nodes = [node for nodes in before.network.ends_of.values() for node in nodes]
    like = next(wire for wire in design.wires.values() if wire.start and wire.end)
    for one, other in (draw.sample(nodes, 2) for _ in range(4)):
        record = replace(
            at(at(like, "start", *split_node(one)), "end", *split_node(other)), id="W9999"
        )
        after = drawn(replace(design, wires={**design.wires, "W9999": record}), before.keep)
        sheets = {page.plan.key for page in after.pages if "W9999" in shown_wires(page.plan)}
        assert {name.split(" ")[0] for name in moved(before, after)} <= sheets, (one, other)


def colour_beside(name: str, wire: str) -> Colour | None:
    """Another colour with as many letters that is on the sheet of a wire, else its own."""
    design = design_of(name)
    old = design.wires[wire].colour
    shown = next(shown_wires(page.plan) for page in first(name).pages
                 if wire in shown_wires(page.plan))  # fmt: skip
    colours = [design.wires[other].colour for other in shown]
    fit = (c for c in colours if old and c and c.iec != old.iec and len(c.iec) == len(old.iec))
    return next(fit, old)


@pytest.mark.parametrize("name", NAMES)
def test_another_colour_changes_that_wire_only(name):
    design, before = design_of(name), first(name)
    for wire in some(name, share=2):
        swapped = with_wire(design, wire, colour=colour_beside(name, wire))
        after = drawn(swapped, before.keep)
        if label_room(swapped, wire) == label_room(design, wire):
            for key, svg in before.svgs.items():
                assert not not_of(wire, before, svg, after.svgs[key]), wire
            assert not moved(before, after), wire
        else:
            elsewhere = before.svgs.keys() - {
                p.plan.key for p in after.pages if wire in shown_wires(p.plan)
            }
            assert not {name.split(" ")[0] for name in moved(before, after)} & elsewhere, wire


@pytest.mark.parametrize("name", NAMES)
def test_another_title_changes_only_words(name):
    design, before = design_of(name), first(name)
    for kind in ("devices", "plugs", "splices"):
        records = getattr(design, kind)
        for key in list(records)[:2]:
            new = replace(records[key], title=records[key].title[::-1])  # no wider
            after = drawn(replace(design, **{kind: {**records, key: new}}), before.keep)
            for sheet, svg in before.svgs.items():
                texts = [line for _, line in changed(svg, after.svgs[sheet])]
                assert all("<t" in line for line in texts), (key, texts)


def zoneless(svg: str) -> str:
    """A sheet without the zones of its references: what they name may be moved as one piece."""
    return re.sub(r'( data-zone="|, sheet \d+ )[A-Z]\d+', r"\1", svg)


def test_layouts_of_two_branches_merge_where_they_changed_other_sheets(tmp_path):
    design, before = design_of("tractor"), first("tractor")
    like = design.wires["W60"]
    new = {
        "W201": replace(at(at(like, "start", "X1", "12"), "end", "X12", "1"), id="W201"),
        "W202": replace(at(at(like, "start", "X10", "5"), "end", "P10", "1"), id="W202"),
    }
    ours, theirs = (
        drawn(replace(design, wires={**design.wires, key: wire}), before.keep)
        for key, wire in new.items()
    )
    texts = [layout_text(one.keep) for one in (before, ours, theirs)]
    both = parse_layout(merged(*texts, tmp_path))
    after = drawn(replace(design, wires={**design.wires, **new}), both)
    assert after.keep == both
    for key, svg in after.svgs.items():
        one, other, both_drawn = map(zoneless, (ours.svgs[key], theirs.svgs[key], svg))
        assert both_drawn in (one, other), key


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("layout: 1", "layout: 7", "is not a layout"),
        ("scale: ", "scale: tiny ", "'tiny' is no number"),
        ("    paper: ", "<<<<<<< ours\n    paper: ", "merge conflict"),
        ("paper: ", "paper: [", ""),
        ("paper: ", "paper: B5 ", "'B5' should be one of"),
        ("wires:", "wires: 5", ""),
        ("    foot: ", "    foot: low ", "'low' is no number"),
        ("    page: A4", "    page: A5", "'A5' should be one of"),
        ("columns: cavity", "columns: weight", "'weight' should be one of"),
    ],
)
def test_a_broken_layout_is_named_with_its_place_and_passed_over(tmp_path, old, new, said):
    path = tmp_path / "v.yaml"
    path.write_text(vehicle(30), encoding="utf-8")
    text = layout_text(Document(path).plan().kept)
    assert old in text
    line = text[: text.index(old)].count("\n") + 1
    path.with_name("v.layout.yaml").write_text(text.replace(old, new, 1), encoding="utf-8")
    document = Document(path)
    assert re.match(rf".*v\.layout\.yaml:({line}|{line + 1}|\d+):\d+: ", document.kept_message)
    assert said in document.kept_message
    assert document.kept is None
    assert document.plan().pages


def test_a_layout_that_names_what_is_gone_is_used_as_far_as_it_goes(tmp_path):
    path = tmp_path / "v.yaml"
    path.write_text(vehicle(30), encoding="utf-8")
    text = layout_text(Document(path).plan().kept)
    stale = text.replace("G2: ", "Z9: ").replace("W7: ", "W777: ").replace("X", "Q")
    path.with_name("v.layout.yaml").write_text(stale, encoding="utf-8")
    assert Document(path).plan().pages
