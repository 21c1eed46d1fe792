"""The drawing lint on finished sheets: each kind of flaw is planted in a drawing and reported."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from tests.layout.schematic_kit import drawn
from wiregen.layout.lint import LEAST_TEXT_MM, lint
from wiregen.layout.lint_set import lint_set
from wiregen.read import load
from wiregen.sheet.frame import A3
from wiregen.sheet.items import Circle, Group, Pen, Rect, Text, walk
from wiregen.sheet.items import Path as Line
from wiregen.sheet.marks import finding_ring

ROOT = Path(__file__).resolve().parents[2]
INK = "#14181d"


@pytest.fixture(scope="module")
def tractor():
    """All sheets of a demo design of several schematic sheets."""
    return drawn(load(ROOT / "designs" / "tractor.yaml").design)


@pytest.fixture(scope="module")
def page(tractor):
    """Its first schematic sheet with plugs and devices."""
    return next(
        sheet
        for sheet in tractor
        if sheet.name.startswith("sheet-") and has(sheet, "plug") and has(sheet, "device")
    )


def wire_groups(page):
    return [i for i in walk(page.items) if isinstance(i, Group) and i.cls.startswith("wire")]


def run_of(group):
    return next(i for i in group.items if isinstance(i, Line) and i.cls == "run")


def longest_stroke(group):
    points = run_of(group).points
    return max(pairwise(points), key=lambda s: abs(s[0][0] - s[1][0]))


def texts(items):
    return [item for item in walk(tuple(items)) if isinstance(item, Text) and item.plain.strip()]


def has(page, cls):
    return any(isinstance(i, Group) and i.cls == cls for i in walk(page.items))


def first(page, cls):
    return next(i for i in walk(page.items) if isinstance(i, Group) and i.cls == cls)


def kinds(page, *more):
    return {flaw.kind for flaw in lint(replace(page, items=(*page.items, *more))).flaws}


def changed(items, old, new):
    """Return a display list with one item replaced, at any depth."""
    out = []
    for item in items:
        if item is old:
            out.append(new)
        elif isinstance(item, Group):
            out.append(replace(item, items=changed(item.items, old, new)))
        else:
            out.append(item)
    return tuple(out)


def kinds_with(page, old, new):
    return {flaw.kind for flaw in lint(replace(page, items=changed(page.items, old, new))).flaws}


def test_the_drawing_is_clean_before(tractor):
    assert [found.flaws for found in lint_set(tractor) if found.flaws] == []


def test_text_over_text(page):
    label = next(t for t in texts(page.items) if t.cls == "wire-label")
    plug_word = texts(first(page, "plug").items)[0]
    legend = next(t for t in texts(page.items) if t.plain == "Colours")
    date = next(t for t in texts(page.items) if t.plain == "Date")
    for over in (label, plug_word, legend, date):
        assert "text over text" in kinds(page, replace(over, x=over.x + 0.5, data=(), cls=""))


def test_a_box_on_a_wire(page):
    (ax, ay), (bx, _) = longest_stroke(wire_groups(page)[0])
    body = Rect((ax + bx) / 2 - 3, ay - 3, 6, 6, Pen(INK, 0.3), cls="body")
    assert "wire through box" in kinds(page, Group((body,), "device", data=(("device", "Q9"),)))


def test_a_symbol_over_the_edge_of_its_box(page):
    for device in (i for i in walk(page.items) if isinstance(i, Group) and i.cls == "device"):
        signs = [i for i in device.items if isinstance(i, Group) and i.cls == "symbol"]
        body = next((i for i in device.items if isinstance(i, Rect) and i.cls == "body"), None)
        if signs and body is not None and body.pen.stroke:
            narrow = replace(body, width=body.width / 2)
            assert "symbol over edge" in kinds_with(page, body, narrow)
            return
    raise AssertionError("no device with a symbol in a box")


def test_a_label_moved_down_onto_its_wire(page):
    label = next(t for t in wire_groups(page)[0].items if isinstance(t, Text))
    assert "wire through text" in kinds_with(page, label, replace(label, y=label.y + 1.8))


def test_a_label_left_out(page):
    group = wire_groups(page)[0]
    bare = replace(group, items=tuple(i for i in group.items if not isinstance(i, Text)))
    assert kinds_with(page, group, bare) == {"no label"}


def test_text_outside_the_frame_and_the_page(page):
    word = texts(first(page, "plug").items)[0]
    assert "outside frame" in kinds_with(page, word, replace(word, x=A3.width - 9))
    assert "outside page" in kinds(page, Text(A3.width - 5, 50, (("caution", False, INK),), 2.5))


def test_text_across_a_line_of_the_title_block(page):
    date = next(t for t in texts(page.items) if t.plain == "Date")
    assert "line through text" in kinds_with(page, date, replace(date, x=date.x - 4))


def test_a_word_across_the_edge_of_a_box(page):
    plug = first(page, "plug")
    body = next(i for i in plug.items if isinstance(i, Rect) and i.cls == "body")
    word = Text(body.x - 4, body.y + body.height + 0.8, (("a long word", False, INK),), 2.5)
    assert "line through text" in kinds(page, word)


def test_a_wire_that_stops_short_of_its_pin(page):
    run = run_of(wire_groups(page)[0])
    (x, y), *others = run.points
    assert "loose end" in kinds_with(page, run, replace(run, points=((x + 1, y), *others)))


def test_tiny_text(page):
    word = texts(first(page, "plug").items)[0]
    small = replace(word, size=LEAST_TEXT_MM - 0.1)
    assert kinds_with(page, word, small) == {"small text"}


def test_wires_that_touch_or_lie_close(page):
    group = wire_groups(page)[0]
    (ax, ay), (bx, _) = longest_stroke(group)
    middle = (ax + bx) / 2

    def beside(*points):
        run = replace(run_of(group), points=points)
        data = (("wire", "W999"), *group.data[1:])
        return replace(group, items=(run,), id="wire-W999", data=data)

    assert "touch" in kinds(page, beside((middle, ay), (middle, ay + 1)))
    assert "narrow gap" in kinds(page, beside((middle - 5, ay + 1), (middle + 5, ay + 1)))
    assert "overlap" in kinds(page, beside((middle - 5, ay), (middle + 5, ay)))


def test_a_ring_over_a_wire_a_text_a_mark_or_a_ring(page):
    (ax, ay), (bx, _) = longest_stroke(wire_groups(page)[0])
    assert "ring over wire" in kinds(page, finding_ring(1, (ax + bx) / 2, ay))
    word = next(t for t in texts(page.items) if t.plain == "Cautions")
    assert "ring over text" in kinds(page, finding_ring(1, word.x, word.y))
    stud = next(i for i in walk(first(page, "device").items) if isinstance(i, Circle))
    assert "ring over mark" in kinds(page, finding_ring(1, *stud.centre))
    free = A3.width - 40, 60.0
    both = finding_ring(1, *free), finding_ring(2, free[0] + 3, free[1])
    assert kinds(page, both[0]) == set()
    assert kinds(page, *both) == {"ring over ring", "ring over text"}


def test_references_that_lead_nowhere(tractor):
    index, page = next((i, s) for i, s in enumerate(tractor) if has(s, "reference"))
    mark = first(page, "reference")

    def flaws(**wrong):
        data = tuple((key, wrong.get(key, value)) for key, value in mark.data)
        planted = changed(page.items, mark, replace(mark, data=data))
        whole = [*tractor[:index], replace(page, items=planted), *tractor[index + 1 :]]
        return {f.kind for found in lint_set(whole) for f in found.flaws}

    assert flaws() == set()
    assert "dangling reference" in flaws(sheet="77")
    assert flaws(zone="Z9") == {"dangling reference"}
    assert "dangling reference" in flaws(wire="W999")
    other = f"sheet-{int(dict(mark.data)['sheet']):02d}"
    rest = [sheet for sheet in tractor if sheet.name != other]
    assert "dangling reference" in {f.kind for found in lint_set(rest) for f in found.flaws}
