"""Every reference of a drawing set is followed to the place it names, and back again.

Read from the printed words of the SVG, as a reader would: "→ X3:5, sheet 7 B4".
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from tests.layout.schematic_kit import SVG, groups, near, pins, place, run_of, words
from tests.layout.vehicles import vehicle
from wiregen.publish import Document

ROOT = Path(__file__).resolve().parents[2]
GOES_ON = re.compile(r"(?:[→←] )?(.+), sheet (\d+) ([A-H]\d+)")
# Zones of ISO 5457, from memory: 50 mm each from the centre of the sheet; the outermost ones take
# what is left. Number of zones by length of the side.
ZONES = {841: 16, 594: 12, 420: 8, 297: 6, 210: 4}


@pytest.fixture(scope="module", params=["tractor", (70, 5), (90, 17), (200, 1), (400, 1)], ids=str)
def drawing(request, tmp_path_factory):
    """A design and its sheets in order: name, SVG tree; vehicles by number of wires and seed."""
    path = ROOT / "designs" / f"{request.param}.yaml"
    if request.param != "tractor":
        path = tmp_path_factory.mktemp("vehicle") / "vehicle.yaml"
        path.write_text(vehicle(*request.param), encoding="utf-8")
    document = Document(path)
    sheets = [(d.name, ET.fromstring(d.svg)) for d in document.draw()]
    assert sum(name.startswith("sheet-") for name, _ in sheets) > 1
    return document.design, sheets


def zone(root, point):
    """Return the zone of a place on a sheet."""
    fields = []
    for at, side in zip(point, root.get("viewBox").split()[2:], strict=True):
        count = ZONES[int(side)]
        fields.append(min(max(int((at - float(side) / 2) // 50) + count // 2, 0), count - 1))
    return f"{'ABCDEFGH'[fields[1]]}{fields[0] + 1}"


def schematics(sheets):
    return [(n, root) for n, (name, root) in enumerate(sheets, 1) if name.startswith("sheet-")]


def ends_of(root, wire):
    """Return the two ends of a wire's run on a sheet."""
    (group,) = [g for g in groups(root, "wire") if g.get("data-wire") == wire]
    run = run_of(group)
    return run[0], run[-1]


def nodes_of(root, wire):
    """Return the pins a wire ends on."""
    return {
        node
        for node, places in pins(root).items()
        for end in ends_of(root, wire)
        if near(end, places)
    }


def test_sheets_stand_where_their_numbers_say(drawing):
    _, sheets = drawing
    for number, (name, root) in enumerate(sheets, start=1):
        assert f"{number} of {len(sheets)}" in words(root)
        if name.startswith("sheet-"):
            assert name == f"sheet-{number:02}"


def test_wires_that_go_on_are_found_again(drawing):
    _, sheets = drawing
    followed = 0
    for number, root in schematics(sheets):
        for mark in groups(root, "reference"):
            text = words(mark)[0]
            end, sheet, field = GOES_ON.fullmatch(text).groups()
            wire = mark.get("data-wire")
            assert near(place(mark), ends_of(root, wire)), text
            name, there = sheets[int(sheet) - 1]
            assert name.startswith("sheet-"), text
            (back,) = [g for g in groups(there, "reference") if g.get("data-wire") == wire]
            assert zone(there, place(back)) == field, text
            assert near(place(back), ends_of(there, wire)), text
            assert end in nodes_of(there, wire), text
            back_end, back_sheet, back_field = GOES_ON.fullmatch(words(back)[0]).groups()
            assert (int(back_sheet), back_field) == (number, zone(root, place(mark)))
            assert back_end in nodes_of(root, wire), text
            followed += 1
    assert followed > 10


def test_every_wire_has_both_its_ends(drawing):
    design, sheets = drawing
    found = {}
    for _, root in schematics(sheets):
        every_pin = [p for node, places in pins(root).items() if node for p in places]
        for group in groups(root, "wire"):
            wire = group.get("data-wire")
            on_pins = [near(end, every_pin) for end in ends_of(root, wire)]
            found[wire] = found.get(wire, 0) + sum(on_pins)
    assert found == {w.id: 2 if w.start and w.end else 1 for w in design.wires.values()}


def halves(design, plug):
    """Return a plug and what it is mated with."""
    mates = [p.id for p in design.plugs.values() if p.mates == plug]
    return {plug, design.plugs[plug].mates, *mates} - {""}


def test_plugs_name_the_sheet_of_their_face(drawing):
    design, sheets = drawing
    followed = 0
    for _, root in schematics(sheets):
        for group in [*groups(root, "plug"), *groups(root, "device")]:
            for text in words(group):
                match = re.search(r"(?:^|· )sheet (\d+)$", text)
                if match and GOES_ON.fullmatch(text) is None:
                    name, there = sheets[int(match[1]) - 1]
                    assert name.startswith("face-"), text
                    shown = {g.get("data-plug") for g in groups(there, "face")}
                    owner = group.get("data-plug") or group.get("data-device")
                    plugs = [p.id for p in design.plugs.values() if owner in (p.id, p.of)]
                    assert shown & {half for plug in plugs for half in halves(design, plug)}, text
                    followed += 1
    assert followed > 3


def test_faces_name_the_place_of_their_pins(drawing):
    design, sheets = drawing
    followed = 0
    for _, root in sheets:
        for row in groups(root, "pin-row"):
            plug, _, cavity = row.get("data-pin").partition(":")
            nodes = [f"{half}:{cavity}" for half in halves(design, plug)]
            screens = [g for g in design.groups.values() if g.screen and g.screen.text in nodes]
            under = [design.wires[w] for g in screens for w in g.screened]
            nodes += [end.text for wire in under for end in wire.ends]
            for text in row.iter(f"{SVG}text"):
                if text.get("class") != "drawn-on":
                    continue
                sheet, field = "".join(text.itertext()).split()
                name, there = sheets[int(sheet) - 1]
                assert name.startswith("sheet-")
                places = [p for node in nodes for p in pins(there).get(node, ())]
                assert field in {zone(there, p) for p in places}, (row.get("data-pin"), sheet)
                followed += 1
    assert followed > 10


def shown_on(root):
    """Return everything a sheet shows: plugs, devices, fuses, boxes, splices, earths."""
    kinds = ("plug", "device", "fuse", "box", "splice", "earth")
    return {g.get(f"data-{kind}") for kind in kinds for g in groups(root, kind)}


def test_overview_and_contents_name_sheets_that_show_the_object(drawing):
    _, sheets = drawing
    followed, thing = 0, ""
    for name, root in sheets:
        if name == "overview":
            for box in groups(root, "place"):
                listed = [t for t in words(box) if re.fullmatch(r"sheets? [\d, ]+", t)]
                for number in re.findall(r"\d+", " ".join(listed)):
                    assert box.get("data-place") in shown_on(sheets[int(number) - 1][1])
                    followed += 1
        if name.startswith("contents"):
            for text in root.iter(f"{SVG}text"):
                if text.get("class") == "found":
                    thing = text.get("data-object") or thing  # a list may go on on a second line
                    for number in re.findall(r"\d+", "".join(text.itertext())):
                        root_there = sheets[int(number) - 1][1]
                        faces = {g.get("data-plug") for g in groups(root_there, "face")}
                        assert thing in shown_on(root_there) | faces
                        followed += 1
    assert followed > 10


def test_the_index_names_every_sheet_that_shows_an_object(drawing):
    _, sheets = drawing
    listed = {}
    for name, root in sheets:
        for text in root.iter(f"{SVG}text") if name.startswith("contents") else ():
            if text.get("data-object"):
                runs = re.findall(r"(\d+)(?:–(\d+))?", text.get("data-sheets"))
                numbers = {n for one, last in runs for n in range(int(one), int(last or one) + 1)}
                listed[text.get("data-object")] = numbers
    for number, root in schematics(sheets) if listed else ():
        for thing in shown_on(root) - {None}:
            assert number in listed[thing], thing


def test_contents_name_the_earth_points_that_a_sheet_collects(drawing):
    design, sheets = drawing
    for name, root in sheets:
        for row in groups(root, "row") if name.startswith("contents") else ():
            number, title, shows = (*words(row), "")[:3]
            if title.startswith("Earth distribution"):
                named = set(re.findall(r"\w+", shows.partition("earth point")[2])) & {
                    *design.earths
                }
                assert named
                assert named <= shown_on(sheets[int(number) - 1][1])


def test_contents_list_every_sheet_with_its_heading(drawing):
    _, sheets = drawing
    rows = [
        words(row)
        for name, root in sheets
        if name.startswith("contents")
        for row in groups(root, "row")
        if row.get("data-table") == "contents"
    ]
    assert [row[0] for row in rows] == [str(n) for n in range(1, len(sheets) + 1)]
    for number, root in schematics(sheets):
        title = rows[number - 1][1].removesuffix("…")
        assert any(text.startswith(title) for text in words(root)), title
