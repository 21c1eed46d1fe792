"""A wire comes to a full sheet: runs and marks are pressed aside, labels closer, no box moves."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path

import pytest

from tests.layout.engine_kit import link, plug
from tests.layout.placement_lint import faults
from tests.layout.stability_kit import Drawn, drawn
from wiregen.connect import connect, split_node
from wiregen.layout.engine import Box, Graph, Pin, Room, lay_out
from wiregen.layout.lint import lint
from wiregen.layout.schematic.sheet_drawing import draw_pages
from wiregen.layout.schematic.sheets import schematic_pages
from wiregen.model import Design
from wiregen.read import load

DESIGNS = Path(__file__).resolve().parents[2] / "designs"
GAP_MM = 2.0  # as the drawing lint asks for it


@cache
def tractor() -> Design:
    return load(DESIGNS / "tractor.yaml").design


@cache
def first() -> Drawn:
    return drawn(tractor())


def flaws(design: Design) -> list[str]:
    pages, maker = schematic_pages(design, connect(design), keep=first().keep)
    sheets = draw_pages(pages, maker, 1, len(pages), {})
    return [f"{sheet.name}: {flaw}" for sheet in sheets for flaw in lint(sheet).flaws]


def with_end(design: Design, wire: str, key: str, node: str) -> Design:
    record = design.wires[wire]
    owner, point = split_node(node)
    end = replace(getattr(record, key), text=node, owner=owner, point=point)
    return replace(design, wires={**design.wires, wire: replace(record, **{key: end})})


@pytest.mark.parametrize(
    ("wire", "key", "old", "new"),
    [
        ("W7", "end", "X5:1", "X5:9"),
        ("W12", "start", "X1:1", "X1:6"),
        ("W14", "start", "X1:4", "X1:11"),
        ("W18", "start", "X1:5", "X1:11"),
        ("W30", "start", "X1:2", "X1:11"),
        ("W32", "start", "X1:3", "X1:12"),
        ("W19", "end", "X4:C", "X4:M"),
        ("W31", "end", "X4:B", "X4:M"),
        ("W46", "end", "X4:J", "X4:M"),
        ("W25", "end", "X4:F", "X4:G"),
        ("W23", "end", "X8:1", "X8:6"),
        ("W24", "start", "X8:4", "X8:6"),
        ("W42", "end", "X8:2", "X8:6"),
        ("W26", "end", "X5:2", "X5:9"),
        ("W27", "start", "X6:2", "X6:9"),
        ("W44", "end", "X5:3", "X5:9"),
        ("W67", "end", "X10:1", "X10:5"),
        ("W80", "start", "X10:6", "X10:5"),
        ("W71", "start", "X11:1", "X11:5"),
        ("W86", "start", "X2:9", "X2:11"),
        ("W11", "end", "X2:1", "X2:12"),
        ("W31", "start", "X2:2", "X2:12"),
        ("W35", "start", "X2:10", "X2:12"),
        ("W85", "start", "X1:9", "X1:12"),
        ("W39", "start", "X2:8", "X2:12"),
    ],
)
def test_a_wire_of_the_tractor_moved_to_another_cavity_moves_no_box(wire, key, old, new):
    assert getattr(tractor().wires[wire], key).text == old
    assert not first().network.wires_at(new)
    design = with_end(tractor(), wire, key, new)
    after = drawn(design, first().keep)
    assert first().boxes.items() <= after.boxes.items()
    assert flaws(design) == []
    assert drawn(design, after.keep).svgs == after.svgs


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("X8:5", "X10:1"),
        ("X5:7", "X5:2"),
        ("X6:7", "X5:7"),
        ("X10:1", "X5:9"),
        ("B3:1", "X1:12"),
        ("B4:1", "X1:11"),
        ("B4:1", "X11:1"),
        ("K1:85", "X11:2"),
        ("K1:86", "X1:11"),
        ("FB1:15", "X11:1"),
    ],
)
def test_a_wire_added_to_the_tractor_moves_no_box(one, other):
    new = replace(tractor().wires["W60"], id="W999")
    more = replace(tractor(), wires={**tractor().wires, "W999": new})
    more = with_end(with_end(more, "W999", "start", one), "W999", "end", other)
    after = drawn(more, first().keep)
    assert first().boxes.items() <= after.boxes.items()
    assert flaws(more) == []
    assert drawn(more, after.keep).svgs == after.svgs


def moved_to(layout, box, x):
    """A kept layout with a box elsewhere."""
    boxes = {**layout.boxes, box: replace(layout.boxes[box], x=x)}
    return replace(layout, boxes=boxes)


TURNED = Graph(
    (plug("X1", 0, 8), plug("X2", 8, 0)),
    tuple(link(f"W{i}", f"X1:e{i}", f"X2:w{9 - i}") for i in (1, 2, 3, 6, 7, 8)),
)
MORE = replace(TURNED, links=(*TURNED.links, link("W4", "X1:e4", "X2:w4")))


def gaps(placement):
    """The distances of upright runs of different wires that share a height, mm."""
    runs = [
        (name, a[0], *sorted((a[1], b[1])))
        for name, route in placement.routes.items()
        for a, b in pairwise(route)
        if a[0] == b[0]
    ]
    return [
        abs(one[1] - other[1])
        for one, other in combinations(runs, 2)
        if one[0] != other[0] and one[2] < other[3] and other[2] < one[3]
    ]


def test_runs_of_a_full_channel_are_pressed_aside_to_the_least_distance():
    full = lay_out(TURNED).kept
    tracks = [x for kept in full.links.values() for way in kept.runs.values() for x in way[::2]]
    tight = moved_to(full, "X2", max(tracks) + TURNED.track / 2 + 0.3 * TURNED.pitch)
    once = lay_out(TURNED, tight)
    assert once.boxes["X2"].x == pytest.approx(tight.boxes["X2"].x)
    after = lay_out(MORE, tight, Room(0.0, 0.0, once.width, once.height))
    assert faults(MORE, after) == []
    assert after.boxes == once.boxes
    assert GAP_MM - 0.02 <= min(gaps(after)) < TURNED.track


def test_a_mark_makes_way_for_a_wire_and_a_box_that_grows():
    mark = Box("M1", 10.0, 0.0, (Pin("1", "E", 10.0, 0.0),), yields=True)
    graph = Graph(
        (plug("X1", 3, 0), mark, plug("B1", 0, 1)),
        (link("W1", "M1:1", "X1:w2"), link("W2", "B1:e1", "X1:w1")),
    )
    first_laid = lay_out(graph)
    taller = replace(graph, boxes=(graph.boxes[0], mark, plug("B1", 0, 4)))
    after = lay_out(taller, first_laid.kept)
    assert faults(taller, after) == []
    left, top = after.origin
    for name in ("X1", "B1"):
        before, now = first_laid.boxes[name], after.boxes[name]
        assert (now.x - left, now.y - top) == pytest.approx((before.x, before.y))
    assert after.boxes["M1"].y - top != pytest.approx(first_laid.boxes["M1"].y)
