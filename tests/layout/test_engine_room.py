"""A kept layout on which something grows or a channel is full: little moves, or as one."""

from __future__ import annotations

from dataclasses import replace

from tests.layout.engine_kit import link, plug
from tests.layout.placement_lint import faults
from wiregen.layout.engine import Graph, Room, lay_out


def shifts(before, after):
    """By how much every box of both layouts moved on its sheet, mm."""
    left, top = after.origin
    return {
        name: (
            round(after.boxes[name].x - left - at.x, 2),
            round(after.boxes[name].y - top - at.y, 2),
        )
        for name, at in before.boxes.items()
    }


PAIR = Graph(
    (plug("X1", 0, 4), plug("X2", 4, 0)),
    (link("W1", "X1:e1", "X2:w2"), link("W2", "X1:e2", "X2:w1"), link("W3", "X1:e3", "X2:w3")),
)


def test_a_full_channel_is_widened_and_all_right_of_it_moves_as_one():
    boxes = (plug("X1", 0, 4), plug("X2", 5, 1), plug("X3", 1, 0))
    straight = tuple(link(f"W{i}", f"X1:e{i}", f"X2:w{i}") for i in (1, 2, 3))
    ladder = Graph(boxes, (*straight, link("W5", "X2:e1", "X3:w1")), max_height=30.0, aspect=1.0)
    first = lay_out(ladder)
    more = replace(ladder, links=(*ladder.links, link("W6", "X1:e4", "X2:w5")))
    after = lay_out(more, first.kept)
    assert faults(more, after) == []
    moved = shifts(first, after)
    assert moved["X1"] == (0.0, 0.0)
    assert moved["X2"] == moved["X3"]
    assert 0.0 < moved["X2"][0] <= 4 * ladder.track
    assert moved["X2"][1] == 0.0


def test_a_box_that_grows_into_free_room_moves_nothing():
    first = lay_out(PAIR)
    taller = replace(PAIR, boxes=(plug("X1", 0, 6), PAIR.boxes[1]))
    after = lay_out(taller, first.kept)
    assert faults(taller, after) == []
    assert set(shifts(first, after).values()) == {(0.0, 0.0)}


def test_a_box_that_grows_into_its_neighbour_moves_one_of_the_two_only():
    stack = Graph(
        (plug("X1", 0, 8), *(plug(f"P{i}", 1, 0) for i in range(1, 5))),
        tuple(link(f"W{i}", f"X1:e{2 * i - 1}", f"P{i}:w1") for i in range(1, 5)),
    )
    first = lay_out(stack)
    taller = replace(stack, boxes=(stack.boxes[0], plug("P1", 3, 0), *stack.boxes[2:]))
    after = lay_out(taller, first.kept)
    assert faults(taller, after) == []
    moved = {name for name, by in shifts(first, after).items() if by != (0.0, 0.0)}
    assert moved
    assert "X1" not in moved


def test_a_new_box_stands_within_the_room_of_its_sheet():
    first = lay_out(PAIR)
    new = plug("X4", 1, 0)
    more = replace(
        PAIR, boxes=(*PAIR.boxes, new), links=(*PAIR.links, link("W4", "X1:e4", "X4:w1"))
    )
    room = Room(0.0, 0.0, first.width, first.height + 40.0)
    after = lay_out(more, first.kept, room)
    assert faults(more, after) == []
    assert set(shifts(first, after).values()) == {(0.0, 0.0)}
    at = after.boxes["X4"]
    assert at.x + new.width <= room.right
    assert at.y + new.height <= room.bottom
