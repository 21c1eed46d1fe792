"""Two states of a sheet as one drawing: what is marked, and how it can be told without colour."""

from __future__ import annotations

import re

import pytest

from tests.history.samples import BASE, document
from wiregen.layout.drawn_diff import DrawnDiff, drawn_diff
from wiregen.layout.drawn_marks import EDGES, FADED_LINE, INKS
from wiregen.layout.drawn_renames import kept_renamed
from wiregen.sheet.items import Group, Item, Path, Pen, Rect, Sheet, Text, walk
from wiregen.sheet.moves import shifted

INK = Pen("#14181d", 0.5)


def wire(
    name: str, colour: str, points: tuple[tuple[float, float], ...], to: str = "X2:1"
) -> Group:
    words = (f"{name} 1.0 {colour}", False, "#14181d")
    data = (("wire", name), ("from", "X1:1"), ("to", to), ("colour", colour), ("size", "1.0"))
    label = Text(points[0][0] + 5, points[0][1] - 1, (words,), 2.3, cls="wire-label")
    return Group((Path(points, INK, cls="run"), label), "wire", f"wire-{name}", data)


def plug(name: str, x: float, *pins: str) -> Group:
    texts = tuple(
        Text(x + 2, 20 + 5 * n, ((pin, True, "#14181d"),), 2.5) for n, pin in enumerate(pins)
    )
    title = Text(x, 14, ((name, True, "#14181d"),), 4.2)
    return Group(
        (Rect(x, 15, 10, 40, INK, cls="body"), title, *texts), "plug", "", (("plug", name),)
    )


def page(*items: Item, heading: str = "Lamps") -> Sheet:
    head = Text(30, 8, ((heading, True, "#14181d"),), 5.0, cls="heading")
    return Sheet("sheet-02", heading, 420.0, 297.0, (head, *items))


HIGH, LOW = ((20.0, 40.0), (90.0, 40.0)), ((20.0, 60.0), (50.0, 60.0), (50.0, 80.0), (90.0, 80.0))


def marks(found: DrawnDiff) -> list[tuple[str, tuple[str, ...]]]:
    return [(mark.kind, mark.key) for mark in found.marks]


def texts(found: DrawnDiff, cls: str) -> list[str]:
    return [i.plain for i in walk(found.sheet.items) if isinstance(i, Text) and i.cls == cls]


def of_class(found: DrawnDiff, cls: str) -> list[Item]:
    return [item for item in walk(found.sheet.items) if getattr(item, "cls", "") == cls]


def test_the_same_sheet_has_no_marks_and_is_grey():
    sheet = page(plug("X1", 10, "1", "2"), wire("W1", "RD", HIGH))
    found = drawn_diff(sheet, sheet)
    assert found.marks == ()
    inks = {i.pen.stroke for i in of_class(found, "run") if isinstance(i, Path)}
    assert inks == {FADED_LINE}


def test_what_only_stands_elsewhere_is_as_it_was():
    old = page(plug("X1", 10, "1"), wire("W1", "RD", HIGH))
    new = page(plug("X1", 30, "1"), wire("W1", "RD", LOW))
    assert drawn_diff(old, new).marks == ()


def test_a_wire_has_no_direction():
    one = wire("W1", "RD", HIGH)
    data = dict(one.data)
    turned = Group(
        one.items,
        one.cls,
        one.id,
        (("wire", "W1"), ("from", data["to"]), ("to", data["from"]), *one.data[3:]),
    )
    assert drawn_diff(page(one), page(turned)).marks == ()


def test_an_added_and_a_removed_wire_can_be_told_without_colour():
    found = drawn_diff(page(wire("W1", "RD", HIGH)), page(wire("W2", "RD", LOW)))
    assert marks(found) == [("removed", ("wire", "W1")), ("added", ("wire", "W2"))]
    band = next(item for item in of_class(found, "band added") if isinstance(item, Path))
    assert band.points == LOW
    assert band.pen.dash == EDGES["added"] == ()
    (ghost,) = (i for i in of_class(found, "was wire") if isinstance(i, Group))
    (run,) = (i for i in ghost.items if isinstance(i, Path))
    assert run.points == HIGH
    assert (run.pen.stroke, run.pen.dash) == (INKS["removed"], EDGES["removed"])
    assert len(set(EDGES.values())) == len(set(INKS.values())) == 3
    assert texts(found, "before") == ["W1 1.0 RD"]
    assert texts(found, "after") == ["W2 1.0 RD"]
    # One sign on the sheet and one in the legend.
    assert [len(of_class(found, f"sign {kind}")) for kind in EDGES] == [2, 2, 1]


def test_both_states_of_a_changed_label_stand_on_the_sheet():
    found = drawn_diff(page(wire("W1", "RD", HIGH)), page(wire("W1", "GN", HIGH)))
    assert marks(found) == [("changed", ("wire", "W1"))]
    assert (texts(found, "before"), texts(found, "after")) == (["W1 1.0 RD"], ["W1 1.0 GN"])
    assert texts(found, "wire-label") == []
    assert len(of_class(found, "struck")) == 1


def test_a_wire_that_goes_to_another_pin_shows_its_old_way_too():
    found = drawn_diff(page(wire("W1", "RD", HIGH)), page(wire("W1", "RD", LOW, to="X2:5")))
    assert marks(found) == [("changed", ("wire", "W1"))]
    (ghost,) = of_class(found, "run")[:1]
    dashed = [i for i in walk(found.sheet.items) if isinstance(i, Path) and i.points == HIGH]
    assert [i.pen.dash for i in dashed] == [EDGES["removed"]]
    assert ghost


def test_a_pin_more_is_marked_at_the_pin_not_all_over_the_plug():
    found = drawn_diff(page(plug("X1", 10, "1", "2")), page(plug("X1", 10, "1", "2", "3")))
    assert marks(found) == [("changed", ("plug", "X1"))]
    assert texts(found, "after") == ["3"]
    assert of_class(found, "tag changed") == []


def test_a_renamed_plug_is_one_plug():
    old, new = page(plug("X1", 10, "1")), page(plug("X7", 10, "1"))
    found = drawn_diff(old, new, renames={"X1": "X7"})
    assert marks(found) == [("changed", ("plug", "X7"))]
    assert (texts(found, "before"), texts(found, "after")) == (["X1"], ["X7"])
    apart = drawn_diff(old, new)
    assert marks(apart) == [("removed", ("plug", "X1")), ("added", ("plug", "X7"))]


@pytest.mark.parametrize(("fate", "states"), [("new", (None, 1)), ("gone", (1, None))])
def test_a_sheet_that_is_new_or_gone_says_so(fate, states):
    sheet = page(plug("X1", 10, "1"))
    found = drawn_diff(*(sheet if one else None for one in states), ("revision B", "revision C"))
    assert [mark.key for mark in found.marks] == [("sheet", "sheet-02")]
    assert texts(found, "state") == [
        "before:",
        "revision B",
        "after:",
        "revision C",
        f"this sheet is {fate}",
    ]


def test_lines_broken_elsewhere_and_other_sheet_numbers_are_no_change():
    def titled(*lines: str) -> Group:
        rows = tuple(
            Text(10, 10 + 3 * n, ((line, False, "#14181d"),), 2.0) for n, line in enumerate(lines)
        )
        return Group((Rect(10, 15, 10, 40, INK, cls="body"), *rows), "plug", "", (("plug", "X5"),))

    old = page(titled("Bulkhead plug, cab side", "· sheet 11"))
    new = page(titled("Bulkhead plug,", "cab side", "sheet 13"))
    assert drawn_diff(old, new).marks == ()
    other = page(titled("Bulkhead plug,", "engine side", "sheet 13"))
    assert marks(drawn_diff(old, other)) == [("changed", ("plug", "X5"))]


def sheets(text: str) -> dict[str, Sheet]:
    return {drawing.name: drawing.sheet for drawing in document(text).draw()}


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        ("colour: GY, size", "colour: GY/WH, size", {("changed", ("wire", "W4"))}),
        ("rating: 15", "rating: 20", {("changed", ("fuse", "F2"))}),
        ("title: Left lamp", "title: Lamp", {("changed", ("device", "P1"))}),
    ],
)
def test_drawn_designs(before, after, expected):
    old, new = sheets(BASE), sheets(BASE.replace(before, after))
    found = drawn_diff(old["sheet-01"], new["sheet-01"])
    assert {mark for mark in marks(found) if mark[1][0] != "finding"} == expected


def test_a_changed_cavity_is_marked_on_both_sides_of_the_face_and_in_the_table():
    new = BASE.replace("2: {carries: horn, colour: BU}", "2: {carries: signal horn, colour: BU}")
    found = drawn_diff(sheets(BASE)["face-X1"], sheets(new)["face-X1"])
    kinds = [mark.key[0] for mark in found.marks if mark.key[1] == "X1:2"]
    assert kinds.count("cavity") == 2
    assert kinds.count("pin-row") == 1
    assert any("signal horn" in text.lower() for text in texts(found, "after"))


def test_the_title_block_says_both_revisions():
    block = "drawing: {title: Lamps, revision: B}\n"
    old, new = BASE + block, BASE + block.replace("revision: B", "revision: C")
    new = new.replace("colour: GY, size", "colour: GY/WH, size")
    found = drawn_diff(sheets(old)["sheet-01"], sheets(new)["sheet-01"])
    assert "B → C" in texts(found, "value")
    assert not re.search("→", " ".join(texts(found, "field")))


def test_old_places_follow_the_drawing_when_all_of_it_moved_on_the_page():
    old = page(plug("X1", 10, "1"), plug("X2", 90, "1"), wire("W1", "RD", HIGH))
    moved = tuple(shifted(item, 0.0, 12.0) for item in (plug("X1", 10, "1"), plug("X2", 90, "1")))
    found = drawn_diff(old, page(*moved))
    (run,) = (item for item in of_class(found, "run") if isinstance(item, Path))
    assert run.points == tuple((x, y + 12.0) for x, y in HIGH)


def test_a_kept_drawing_with_new_ids_keeps_every_place():
    kept = document(BASE).plan().kept
    renames = {"X1": "X7", "W4": "W14", "P1": "P11"}
    found = kept_renamed(kept, renames)
    new = re.sub(r"\b(X1|W4|P1)\b", lambda word: renames[word[0]], BASE)
    from_new = document(new).plan().kept
    for one, other in zip(found.sheets, from_new.sheets, strict=True):
        assert set(one.layout.boxes) == set(other.layout.boxes)
        assert set(one.layout.links) == set(other.layout.links)
        assert dict(one.nodes) == dict(other.nodes)
    assert kept_renamed(kept, {}) == kept
