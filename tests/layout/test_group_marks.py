"""Marks of screens, twists and cables: clear of every label and of other wires, with their names.

Measured from the SVG with the glyphs of the font, independent of the drawing lint.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.layout import stability_kit
from tests.layout.schematic_kit import drawn, groups, parsed, read, words
from tests.layout.svg_texts import marks_that_cross, read_page, small_texts, unclear_labels
from wiregen.draw.svg import to_svg
from wiregen.layout.lint import lint
from wiregen.layout.schematic.bundle_places import REACH_MM, SIZES
from wiregen.sheet.items import Path, walk
from wiregen.sheet.marks import screen_mark, twist_mark

PLUGS = """
format: 1
plugs:
  X1: {pins: {1: {carries: a}, 2: {carries: b}, 3: {carries: c}, 4: {carries: d}}}
  X2: {pins: {1: {carries: a}, 2: {carries: b}, 3: {carries: c}, 4: {carries: d}}}
"""
BETWEEN = """
wires:
  W1: {from: X1:1, to: X2:1, colour: YE, size: 0.5}
  W2: {from: X1:2, to: X2:2, colour: RD, size: 1.0}
  W3: {from: X1:3, to: X2:3, colour: GN, size: 0.5}
  W4: {from: X1:4, to: X2:4, colour: 'GN/YE', size: 10}
"""
SAME_PLUG = """
wires:
  W1: {from: X1:1, to: X1:4}
  W2: {from: X1:2, to: X1:3}
  W3: {from: X2:1, to: X2:2, colour: 'OG/BK/RD', size: 10 mm2 / 8 AWG}
  W4: {from: X2:3, fate: insulated, why: not used}
"""
GROUPS = {
    "one wire of many marks": "{SC1: {screened: [W1], twisted: [W1]}, SC2: {twisted: [W1]}, "
    "CB1: {multicore: [W1]}}",
    "a pair with a stranger between": "{SC1: {screened: [W1, W3], twisted: [W1, W3]}}",
    "two pairs crossed": "{TW1: {twisted: [W1, W3]}, TW2: {screened: [W2, W4], twisted: [W2, W4]}}",
    "all in one cable with a long name": "{a-cable-with-a-very-long-name: "
    "{multicore: [W1, W2, W3, W4]}, SC1: {twisted: [W1, W2], screened: [W1, W2]}}",
}


@pytest.mark.parametrize("marked", GROUPS)
@pytest.mark.parametrize("wires", [BETWEEN, SAME_PLUG])
def test_marks_leave_labels_and_other_wires_alone(marked, wires):
    design = read(f"{PLUGS}{wires}groups: {GROUPS[marked]}\n")
    (sheet,) = [sheet for sheet in drawn(design) if sheet.name.startswith("sheet")]
    page = read_page(to_svg(sheet))
    members = {g.id: {*g.screened, *g.twisted, *g.multicore} for g in design.groups.values()}
    assert marks_that_cross(page, members) == []
    assert unclear_labels(page) == []
    assert small_texts(page) == []
    assert lint(sheet).flaws == ()
    marks = {mark.get("data-group"): words(mark) for mark in groups(parsed(sheet), "group-mark")}
    assert marks.keys() == members.keys()
    for name, said in marks.items():
        assert said
        assert all(text.removesuffix("…") in name for text in said)


BESIDE_A_BOX = """
format: 1
devices: {K1: {kind: relay, rest: [[30, 87a]]}}
wires: {W1: {from: "X4:1a", to: "K1:85"}, W4: {from: "X4:5a", to: "K1:87a"}}
groups: {SC0: {multicore: [W4]}, CAN-H-pair1: {multicore: [W4]}}
"""


def test_no_name_of_a_mark_stands_in_a_box():
    (sheet,) = drawn(read(BESIDE_A_BOX))
    assert marks_that_cross(read_page(to_svg(sheet)), {"SC0": {"W4"}, "CAN-H-pair1": {"W4"}}) == []
    assert lint(sheet).flaws == ()


ALONE = """
format: 1
plugs: {X2: {}}
wires: {W1: {from: "G2:B", to: "X2:A2"}}
groups: {SC1: {twisted: [W1], screened: [W1]}}
"""


def test_a_mark_is_smaller_where_a_wire_that_came_later_leaves_less_room():
    design = read(ALONE)
    more = replace(design, wires={**design.wires, "W2": replace(design.wires["W1"], id="W2")})
    first = stability_kit.drawn(design)
    (before,) = first.svgs.values()
    (svg,) = stability_kit.drawn(more, first.keep).svgs.values()
    page = read_page(svg)
    assert marks_that_cross(page, {"SC1": {"W1"}}) == []
    assert unclear_labels(page) == []
    heights = [_mark_height(read_page(one)) for one in (before, svg)]
    assert heights[1] < heights[0]


def _mark_height(page):
    lines = [line for line in page.lines if "group-mark group=SC1" in line.owners]
    ends = [y for line in lines for _, y in (line.start, line.end)]
    return max(ends) - min(ends)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("kind", "draw"), [("screen", screen_mark), ("twist", twist_mark)])
def test_a_mark_of_any_size_fills_no_more_than_its_place(kind, draw, size):
    along, beyond = (reach * size + 0.2 for reach in REACH_MM[kind])
    paths = [item for item in walk((draw(0.0, 0.0, 0.0, size),)) if isinstance(item, Path)]
    assert paths
    for path in paths:
        half = path.pen.width / 2
        assert max(abs(x) for x, _ in path.points) + half <= along
        assert max(abs(y) for _, y in path.points) + half <= beyond
