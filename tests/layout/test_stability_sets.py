"""A whole set stays put when something changes: schematic, faces, overview, contents, findings."""

from __future__ import annotations

import random
import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from tests.layout.schematic_kit import read
from tests.layout.stability_kit import (
    FOOT,
    DrawnSet,
    difference,
    drawn_set,
    merged,
    renumbered,
    retold,
    stirred,
    with_wire,
    without,
)
from tests.layout.vehicles import vehicle
from wiregen.check import Report
from wiregen.connect import connect
from wiregen.facts.colours import parse_colour
from wiregen.facts.sizes import read_size
from wiregen.layout.drawing_set import plan_set
from wiregen.layout.kept import KeptDrawing
from wiregen.layout.lint import lint
from wiregen.layout.overview import lay_overview
from wiregen.publish import Document
from wiregen.publish.layout_file import layout_text, parse_layout

DESIGNS = Path(__file__).resolve().parents[2] / "designs"
NAMES = ("tractor", "vehicle 60 1", "vehicle 150 2")
TOLD = (
    ("tractor", "W8"),  # a change of colour is further on
    ("tractor", "W38"),  # findings of one rule come in before one of the same place
    ("tractor", "W54"),  # a change of colour has one end less
    ("faults", "W5"),  # many findings go, their count says so
    ("faults", "W7"),  # a pin is left to the three wires of its other half
    ("vocabulary", "W34"),  # what lies across a motor loses its end there
    ("vocabulary", "W12"),  # a heater is left without a wire beside a lane
    ("vocabulary", "W43"),  # a resistor loses an end
    ("trailer-adapter", "W4"),
    ("vehicle 60 8", "W12"),  # a finding is marked at the pin that loses it
)
"""Wires whose loss changes what is said of others: rings, numbers and rows."""
SOME = {"tractor": 11, "vehicle 60 1": 5, "vehicle 150 2": 3}


@pytest.fixture(scope="module")
def sets(tmp_path_factory):
    """Return a function from a name to its set, drawn once."""

    @cache
    def drawn(name: str) -> DrawnSet:
        if (DESIGNS / f"{name}.yaml").exists():
            return drawn_set(Document(DESIGNS / f"{name}.yaml"))
        _, size, seed = name.split()
        path = tmp_path_factory.mktemp("set") / "v.yaml"
        path.write_text(vehicle(int(size), int(seed)), encoding="utf-8")
        return drawn_set(Document(path))

    return drawn


def some(before: DrawnSet, name: str, of: Mapping[str, object] | None = None) -> list[str]:
    """A seeded sample of the wires, or of other objects."""
    ids = list(before.document.design.wires if of is None else of)
    return random.Random(name).sample(ids, min(SOME[name], len(ids)))


@pytest.mark.parametrize("name", NAMES)
def test_without_a_wire_nothing_moves_on_any_sheet(sets, name):
    before = sets(name)
    for wire in some(before, name):
        assert_quiet(before, wire)


@pytest.mark.parametrize(("name", "wire"), TOLD)
def test_what_is_said_otherwise_without_a_wire_moves_nothing_beside_it(sets, name, wire):
    assert_quiet(sets(name), wire)


def assert_quiet(before: DrawnSet, wire: str) -> None:
    """Assert that nothing moves or says something else without a wire but what is about it."""
    after = before.again(without(before.document.design, wire))
    assert list(after.svgs) == list(before.svgs), wire
    own = [wire, *before.document.network.ends_of[wire]]
    assert stirred(before, after, own) == [], wire
    assert retold(before, after, wire) == [], wire
    assert renumbered(before, after) == [], wire


def test_marks_of_screens_and_twists_stay_when_another_wire_goes(sets):
    before = sets("tractor")
    design = before.document.design
    marked = [name for name, svg in before.svgs.items() if 'class="group-mark"' in svg]
    assert marked
    shown = {
        wire for name in marked for wire in re.findall(r'data-wire="(.*?)"', before.svgs[name])
    }
    grouped = {w for g in design.groups.values() for w in (*g.screened, *g.twisted, *g.multicore)}
    for wire in random.Random(1).sample(sorted(shown - grouped), 16):
        after = before.again(without(design, wire))
        for name in marked:
            differs = difference(before.svgs[name], after.svgs[name])
            stirred_marks = [o for o, _ in (*differs.moved, *differs.other) if "group-mark" in o]
            assert stirred_marks == [], (wire, name)


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_put_back_brings_back_every_face(sets, name):
    before = sets(name)
    design = before.document.design
    for wire in some(before, name)[:2]:
        again = before.again(without(design, wire)).again(design)
        for sheet, svg in before.svgs.items():
            if sheet.startswith("face-"):
                moved = difference(svg, again.svgs[sheet]).moved
                assert not [line for _, line in moved if not FOOT.search(line)], (wire, sheet)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", ["size", "colour"])
def test_a_wire_said_otherwise_moves_nothing_on_any_sheet(sets, name, kind):
    before = sets(name)
    design, network = before.document.design, before.document.network
    for wire in some(before, name)[:3]:
        if kind == "size":
            after = before.again(with_wire(design, wire, size=read_size("0.5")))
        else:
            after = before.again(with_wire(design, wire, colour=parse_colour("WH")))
        own = [wire, *network.ends_of[wire]]
        assert stirred(before, after, own) == [], wire


@pytest.mark.parametrize("name", NAMES)
def test_another_title_of_a_plug_moves_nothing_on_any_sheet(sets, name):
    before = sets(name)
    design = before.document.design
    for plug in some(before, name, design.plugs)[:3]:
        words = design.plugs[plug].title.split()
        new = replace(design.plugs[plug], title=" ".join(word[::-1] for word in words))  # as wide
        after = before.again(replace(design, plugs={**design.plugs, plug: new}))
        assert stirred(before, after, [plug]) == [], plug


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("section", ["plugs", "devices"])
def test_a_shorter_title_moves_nothing_on_any_sheet(sets, name, section):
    before = sets(name)
    records = getattr(before.document.design, section)
    titled = {one: record for one, record in records.items() if " " in record.title}
    for one in some(before, name, titled):
        new = replace(titled[one], title=titled[one].title.rpartition(" ")[0])
        after = before.again(replace(before.document.design, **{section: {**records, one: new}}))
        assert stirred(before, after, [one]) == [], one


def test_a_longer_title_of_a_plug_moves_nothing_on_the_schematic(sets):
    before = sets("tractor")
    plugs = before.document.design.plugs
    for plug in plugs:
        new = replace(plugs[plug], title=f"{plugs[plug].title}s")
        after = before.again(replace(before.document.design, plugs={**plugs, plug: new}))
        moved = [line for line in stirred(before, after, [plug]) if line.startswith("sheet-")]
        assert moved == [], plug


@pytest.mark.parametrize("one", ["B1", "P10", "S6", "X2"])
def test_a_longer_title_reaches_over_its_edge_where_nothing_stands(sets, one):
    before = sets("tractor")
    design = before.document.design
    section = "plugs" if one in design.plugs else "devices"
    records = getattr(design, section)
    new = replace(records[one], title=f"{records[one].title}abcd")
    longer = replace(design, **{section: {**records, one: new}})
    after = before.again(longer)
    assert [line for line in stirred(before, after, [one]) if line.startswith("sheet-")] == []
    assert f"{records[one].title}abcd".split()[-1] in "".join(after.svgs.values())
    assert after.again(longer).svgs == after.svgs
    planned = plan_set(longer, before.document.network, Report(), keep=before.keep)
    assert [flaw for sheet in planned.sheets() for flaw in lint(sheet).flaws] == []


def test_layouts_of_two_branches_merge_where_they_changed_other_plugs(sets, tmp_path):
    before = sets("vehicle 60 1")
    design = before.document.design
    plugs = [plug for plug in design.plugs if design.plugs[plug].pins]
    with_words = {}
    for plug in (plugs[0], plugs[-1]):
        pins = design.plugs[plug].pins
        name = next(iter(pins))
        pin = replace(pins[name], carries=f"{pins[name].carries} {'and much more ' * 5}")
        with_words[plug] = replace(design.plugs[plug], pins={**pins, name: pin})
    ours, theirs = (
        before.again(replace(design, plugs={**design.plugs, plug: record}))
        for plug, record in with_words.items()
    )
    assert before.text != ours.text != theirs.text != before.text
    both = merged(before.text, ours.text, theirs.text, tmp_path)
    path = Path(before.document.design.path)
    loaded = replace(
        before.document.loaded, design=replace(design, plugs={**design.plugs, **with_words})
    )
    after = drawn_set(Document(path, loaded), parse_layout(both))
    assert after.text == both


@pytest.mark.parametrize(("old", "new"), [("X12", "X13"), ("X3", "X3b"), ("X5", "X5b")])
def test_another_id_of_a_plug_moves_nothing(sets, tmp_path, old, new):
    before = sets("tractor")
    path = tmp_path / "tractor.yaml"
    text = (DESIGNS / "tractor.yaml").read_text(encoding="utf-8")
    path.write_text(re.sub(rf"\b{old}\b", new, text), encoding="utf-8")
    after = drawn_set(Document(path), before.keep)
    assert len(after.svgs) == len(before.svgs)
    for name, svg in before.svgs.items():
        again = after.svgs.get(name) or after.svgs[name.replace(old, new)]
        moved = difference(svg, re.sub(rf"\b{new}\b", old, again)).moved
        near = [line for owner, line in moved if not (owner or "plug-title" in line)]
        if len(old) == len(new):
            assert moved == (), name
        elif name.startswith("face-"):
            assert len(near) <= 2, name  # the words beside its name


def test_a_plug_moved_to_an_included_file_is_drawn_as_before(tmp_path):
    text = vehicle(60, 1)
    path = tmp_path / "v.yaml"
    path.write_text(text, encoding="utf-8")
    before = drawn_set(Document(path))
    plug = re.search(r"^  X3: .*\n", text, re.MULTILINE)[0]
    (tmp_path / "part.yaml").write_text(f"format: 1\nplugs:\n{plug}", encoding="utf-8")
    path.write_text(f"{text.replace(plug, '')}include: part.yaml\n", encoding="utf-8")
    after = drawn_set(Document(path), before.keep)
    assert after.svgs == before.svgs
    assert after.text == before.text


@pytest.mark.parametrize("path", [p for p in DESIGNS.glob("*.yaml") if "." not in p.stem], ids=str)
def test_a_whole_set_drawn_again_has_the_same_bytes(path):
    document = Document(path)
    once = drawn_set(document)
    again = drawn_set(document, once.keep)
    assert again.svgs == once.svgs
    assert again.text == once.text


def test_the_overview_keeps_its_places(sets):
    before = sets("tractor")
    for wire in some(before, "tractor"):
        after = before.again(without(before.document.design, wire))
        assert places(after).items() <= places(before).items(), wire


def places(drawn: DrawnSet) -> dict[str, str]:
    overview = drawn.svgs["overview"]
    return dict(re.findall(r'data-place="(.*?)" (data-x="\S+" data-y="\S+")', overview))


def test_the_overview_of_a_large_design_is_kept_to_the_last_digit():
    design = read(vehicle(2000, 2))
    network = connect(design)
    once = KeptDrawing((), lay_overview(design, network, {}).kept)
    keep = parse_layout(layout_text(once)).overview
    again = KeptDrawing((), lay_overview(design, network, {}, keep=keep).kept)
    assert layout_text(again) == layout_text(once)


def test_an_overview_without_a_line_is_kept(tmp_path):
    plugs = "".join(f"  X{n}: {{}}\n" for n in range(1, 101))
    wires = "".join(f"  W{n}: {{from: J1, to: 'X{n}:1'}}\n" for n in range(1, 101))
    path = tmp_path / "star.yaml"
    path.write_text(f"format: 1\nsplices: {{J1: {{}}}}\nplugs:\n{plugs}wires:\n{wires}", "utf-8")
    once = drawn_set(Document(path))
    overview = once.keep.overview
    assert overview is not None
    assert not overview.layout.links
    assert drawn_set(once.document, once.keep).svgs == once.svgs
