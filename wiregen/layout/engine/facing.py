"""Which way boxes face: flips of two-terminal parts and the edges taken by free pins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wiregen.layout.engine.graph import Box, Side
from wiregen.layout.engine.ranks import Arc, sequence

OTHER: dict[Side, Side] = {"W": "E", "E": "W"}


@dataclass(frozen=True, slots=True)
class Tie:
    """A link between pins by number: box, pin, box, pin."""

    box_a: int
    pin_a: int
    box_b: int
    pin_b: int


@dataclass(frozen=True, slots=True)
class Facing:
    """How the boxes stand, whatever their layers.

    Attributes:
        flipped: of every box.
        sides: per tie the edges of its ends `a` and `b`, None where an end is free.
        arcs: wishes between boxes, all directed but those between like edges.
        place: of every box in an order in which few arcs point backwards.
    """

    flipped: list[bool]
    sides: list[tuple[Side | None, Side | None]]
    arcs: list[Arc]
    place: list[int]


def is_free(box: Box) -> bool:
    """Return whether the pins of a box choose their edges."""
    return bool(box.pins) and box.pins[0].free


def face(boxes: Sequence[Box], ties: Sequence[Tie], settled: Mapping[int, bool]) -> Facing:
    """Return flips and the sequence from left to right for a group of boxes.

    Args:
        boxes: of the group.
        ties: links between them.
        settled: the boxes whose flips are known.
    """
    flipped = _flips(boxes, ties, settled)

    def side(box: int, pin: int) -> Side | None:
        if is_free(boxes[box]):
            return None
        own = boxes[box].pins[pin].side
        return OTHER[own] if flipped[box] else own

    sides = [(side(tie.box_a, tie.pin_a), side(tie.box_b, tie.pin_b)) for tie in ties]
    arcs = [_arc(tie, *pair) for tie, pair in zip(ties, sides, strict=True)]
    place = sequence(len(boxes), arcs)
    for index, pair in enumerate(sides):
        arc = arcs[index]
        if pair == (None, None):
            tail, head = sorted((arc.tail, arc.head), key=lambda box: place[box])
            arcs[index] = Arc(tail, head, True)
    return Facing(flipped, sides, arcs, place)


def edges(
    boxes: Sequence[Box], ties: Sequence[Tie], facing: Facing, layer: Sequence[int]
) -> list[tuple[Side, Side]]:
    """Return per tie the edges at which its ends leave, free ends facing the other end."""
    chosen = [_edges(tie, *pair, layer) for tie, pair in zip(ties, facing.sides, strict=True)]
    _share_places(boxes, ties, chosen)
    return chosen


def free_places(box: Box) -> list[float]:
    """Return the offsets at which free pins may stand, one each side, top to bottom, mm."""
    return sorted({pin.dy for pin in box.pins})


def _share_places(
    boxes: Sequence[Box], ties: Sequence[Tie], sides: list[tuple[Side, Side]]
) -> None:
    """Move free ends to the other edge where more want one edge than it has places."""
    room = {
        (number, side): len(free_places(box))
        for number, box in enumerate(boxes)
        if is_free(box)
        for side in OTHER
    }
    for index, tie in enumerate(ties):
        first, second = sides[index]
        if (tie.box_a, first) in room:
            first = _with_room(room, tie.box_a, first)
        if (tie.box_b, second) in room:
            second = _with_room(room, tie.box_b, second)
        sides[index] = (first, second)


def _with_room(room: dict[tuple[int, Side], int], box: int, side: Side) -> Side:
    """Take a place at the wanted edge of a box, or at the other if that edge is full."""
    if not room[box, side]:
        side = OTHER[side]
    room[box, side] -= 1
    return side


def _arc(tie: Tie, side_a: Side | None, side_b: Side | None) -> Arc:
    """Return the wish of a link: its `E` end stands left of its `W` end."""
    a_first = side_a == "E" or (side_a is None and side_b == "W")
    b_first = side_b == "E" or (side_b is None and side_a == "W")
    if b_first and not a_first:
        return Arc(tie.box_b, tie.box_a, True)
    return Arc(tie.box_a, tie.box_b, a_first and not b_first)


def _edges(
    tie: Tie, side_a: Side | None, side_b: Side | None, layer: Sequence[int]
) -> tuple[Side, Side]:
    """Return the edges of a link, each free end facing the other end."""
    at_a, at_b = layer[tie.box_a], layer[tie.box_b]
    if side_a is None and side_b is None:
        return ("W" if at_b < at_a else "E", "W" if at_a < at_b else "E")
    if side_a is None:
        return ("E" if at_b + (side_b == "E") > at_a else "W", side_b or "E")
    if side_b is None:
        return (side_a, "E" if at_a + (side_a == "E") > at_b else "W")
    return (side_a, side_b)


def _flips(boxes: Sequence[Box], ties: Sequence[Tie], settled: Mapping[int, bool]) -> list[bool]:
    """Return which boxes to mirror so that few links join two like edges."""
    turns = [box.flip and not is_free(box) for box in boxes]
    flipped = [turn and settled.get(i, False) for i, turn in enumerate(turns)]
    known = [not is_free(box) and (i in settled or not turns[i]) for i, box in enumerate(boxes)]
    links: list[list[tuple[Side, int, Side]]] = [[] for _ in boxes]
    for tie in ties:
        side_a = boxes[tie.box_a].pins[tie.pin_a].side
        side_b = boxes[tie.box_b].pins[tie.pin_b].side
        links[tie.box_a].append((side_a, tie.box_b, side_b))
        links[tie.box_b].append((side_b, tie.box_a, side_a))

    def clash(box: int, flip: bool) -> int:
        """Count the links of a box that join like edges, less those that join unlike ones."""
        count = 0
        for side, other, far in links[box]:
            if known[other] and other != box:
                like = (side == far) is (flip == flipped[other])
                count += 1 if like else -1
        wanted = {"left": "E", "right": "W"}.get(str(boxes[box].rank))
        if wanted:
            count += sum(1 if (pin.side == wanted) is flip else -1 for pin in boxes[box].pins)
        return count

    waiting = [i for i, turn in enumerate(turns) if turn and not known[i]]
    while waiting:
        pick = next((i for i in waiting if clash(i, False)), waiting[0])
        flipped[pick] = clash(pick, True) < clash(pick, False)
        known[pick] = True
        waiting.remove(pick)
    return flipped
