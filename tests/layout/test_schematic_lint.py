"""The drawing lint: every kind of flaw is seen, and nothing is found on a clean sheet."""

from __future__ import annotations

from wiregen.layout.lint import lint
from wiregen.sheet.items import Group, Item, Path, Pen, Rect, Sheet, Text
from wiregen.sheet.wire import LabelSpot, wire_group

INK = "#14181d"


def pin(node: str, x: float, y: float) -> Group:
    return Group((), cls="pin", data=(("pin", node), ("x", f"{x}"), ("y", f"{y}")))


def plug(name: str, x: float, y: float, *pins: Group) -> Group:
    outline = Rect(x, y, 20, 20, Pen(INK, 0.3), cls="body")
    return Group((outline, *pins), cls="plug", data=(("plug", name),))


def wire(
    name: str, start: str, end: str, *points: tuple[float, float], label: bool = True
) -> Group:
    spots = (LabelSpot(points[0][0] + 2, points[0][1] - 1.2),) if label else ()
    return wire_group(
        name, start=start, end=end, colour="RD", size="1.0", runs=(points,), labels=spots
    )


def text(x: float, y: float, words: str, size: float = 2.5) -> Text:
    return Text(x, y, ((words, False, INK),), size)


LEFT = plug("X1", 50, 50, pin("X1:1", 70, 55), pin("X1:2", 70, 62))
RIGHT = plug("X2", 150, 50, pin("X2:1", 150, 55), pin("X2:2", 150, 62))
ONE = wire("W1", "X1:1", "X2:1", (70, 55), (150, 55))
TWO = wire("W2", "X1:2", "X2:2", (70, 62), (150, 62))


def kinds(*items: Item) -> list[str]:
    return sorted({flaw.kind for flaw in lint(Sheet("s", "s", 420, 297, items)).flaws})


def test_a_clean_sheet_has_no_flaws():
    found = lint(Sheet("s", "s", 420, 297, (LEFT, RIGHT, ONE, TWO)))
    assert found.flaws == ()
    assert (found.wires, found.crossings, found.bends) == (2, 0, 0)


def test_crossings_and_bends_are_counted():
    up = wire("W3", "X1:2", "X2:1", (70, 62), (100, 62), (100, 40), (150, 40), (150, 55))
    found = lint(Sheet("s", "s", 420, 297, (LEFT, RIGHT, ONE, up)))
    assert found.crossings == 1
    assert found.bends == 3


def test_a_shared_stroke():
    along = wire(
        "W2", "X1:2", "X2:2", (70, 62), (90, 62), (90, 55), (120, 55), (120, 62), (150, 62)
    )
    assert "overlap" in kinds(LEFT, RIGHT, ONE, along)


def test_a_corner_on_another_wire():
    touching = wire("W2", "X1:2", "X2:2", (70, 62), (90, 62), (90, 55))
    assert "touch" in kinds(LEFT, RIGHT, ONE, touching)


def test_lanes_too_close():
    close = plug("X3", 50, 80, pin("X3:1", 70, 56.5))
    beside = wire("W2", "X3:1", "X2:2", (70, 56.5), (140, 56.5), (140, 62), (150, 62))
    assert "narrow gap" in kinds(LEFT, RIGHT, ONE, close, beside)


def test_a_wire_through_a_box():
    between = plug("X3", 100, 50)
    assert kinds(LEFT, RIGHT, ONE, between) == ["wire through box"]


def test_a_wire_through_a_text():
    words = Group((text(100, 55.8, "Instrument panel"),), cls="device", data=(("device", "A1"),))
    assert kinds(LEFT, RIGHT, ONE, words) == ["wire through text"]


def test_a_text_over_a_text():
    assert kinds(text(100, 100, "Engine plug"), text(104, 100.5, "Engine plug")) == [
        "text over text"
    ]


def test_texts_one_below_the_other_are_fine():
    assert kinds(text(100, 100, "Engine plug"), text(100, 103, "Engine plug")) == []


def test_a_line_of_a_symbol_through_a_text():
    line = Path(((100, 99), (130, 99)), Pen(INK, 0.35))
    group = Group((line, text(105, 100, "diode")), cls="device", data=(("device", "D1"),))
    assert kinds(group) == ["line through text"]


def test_boxes_that_overlap():
    assert kinds(plug("X1", 50, 50), plug("X2", 60, 60)) == ["box over box"]


def test_a_box_within_a_box_is_fine():
    inner = Group((Rect(52, 52, 5, 5, Pen(INK, 0.3), cls="body"),), "fuse", data=(("fuse", "F1"),))
    assert kinds(plug("X1", 50, 50), inner) == []


def test_a_wire_that_ends_on_no_pin():
    short = wire("W1", "X1:1", "X2:1", (70, 55), (140, 55))
    assert kinds(LEFT, RIGHT, short) == ["loose end"]


def test_a_wire_on_the_wrong_pin():
    wrong = wire("W1", "X1:1", "X2:1", (70, 55), (100, 55), (100, 62), (150, 62))
    assert kinds(LEFT, RIGHT, wrong) == ["loose end"]


def test_a_wire_may_end_at_its_own_reference():
    data = (("wire", "W1"), ("to", "X2:1"), ("sheet", "2"), ("x", "140"), ("y", "55"))
    short = wire("W1", "X1:1", "X2:1", (70, 55), (140, 55))
    mark = Group((text(142, 56, "X2:1, sheet 2"),), cls="reference", data=data)
    assert kinds(LEFT, short, mark) == []
    other = Group(mark.items, cls="reference", data=(("wire", "W9"), *data[1:]))
    assert kinds(LEFT, short, other) == ["loose end"]


def test_a_slanted_wire():
    slanted = wire("W1", "X1:1", "X2:2", (70, 55), (150, 62))
    assert "slanted" in kinds(LEFT, RIGHT, slanted)


def test_a_wire_without_label():
    assert kinds(LEFT, RIGHT, wire("W1", "X1:1", "X2:1", (70, 55), (150, 55), label=False)) == [
        "no label"
    ]


def test_small_text():
    assert kinds(text(100, 100, "tiny", 1.7)) == ["small text"]
    assert kinds(text(100, 100, "small", 1.8)) == []


def test_outside_the_frame():
    assert kinds(plug("X1", 12, 50)) == ["outside frame"]
    assert "outside frame" in kinds(wire("W1", "", "", (300, 280), (300, 292), label=False))


def test_upright_text_is_measured_upright():
    upright = Text(100, 100, (("Engine plug", False, INK),), 2.5, upright=True)
    assert kinds(upright, text(103, 95, "beside")) == []
    assert kinds(upright, text(95, 92, "across it")) == ["text over text"]
