"""Wires of a kept layout that are new, or cannot stay: each is led through what is free."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from wiregen.layout.engine.field import (
    Ground,
    Upright,
    field_of,
    has_label_room,
    pressed,
)
from wiregen.layout.engine.fitting import Ends, Old
from wiregen.layout.engine.free_way import Way, edge_of, free_way
from wiregen.layout.engine.graph import Box, Link, Room
from wiregen.layout.engine.runs import GAP, NEAR, Run
from wiregen.layout.engine.web import Web

MOST_LED = 40  # wires that are led one by one
ORDERS = 3  # orders in which they are tried
LABELLED: tuple[Ends, ...] = ((True, False), (False, True))  # room for a label, by preference


@dataclass(frozen=True, slots=True)
class Laid:
    """A kept layout to which wires are added.

    Attributes:
        web: boxes in their layers, pins in their places.
        boxes: in the order of the web's items.
        links: in the order of the web's wires.
        label_height: mm.
        y: heights of the items that are in place, mm.
        old: what is taken over from the earlier layout; wires with a label there are in place.
        ends: wire to the heights its ends had before, mm.
        seats: offsets of the ends in place at boxes with free pins, mm.
        wanted: wire to whether room was kept for a label at its ends.
        room: how far the sheet reaches.
    """

    web: Web
    boxes: Sequence[Box]
    links: Sequence[Link]
    label_height: float
    y: Mapping[int, float]
    old: Old
    ends: Mapping[int, tuple[float, float]] = field(default_factory=dict)
    seats: Mapping[int, float] = field(default_factory=dict)
    wanted: Mapping[int, Ends] = field(default_factory=dict)
    room: Room = field(default_factory=Room)

    def line(self, terminal: int) -> float:
        """Return the height of a terminal of an item in place, mm."""
        return self.web.line_at(self.y[self.web.item_of[terminal]], terminal)


def lead(laid: Laid, wires: Sequence[int]) -> tuple[Laid, list[int]]:
    """Return the layout with more wires, and those of them that found no free way.

    The order in which they are led is changed so that one that found none comes first.
    """
    queue = list(wires)
    best, missed = laid, queue
    if len(queue) > MOST_LED:
        return best, missed
    for _ in range(ORDERS):
        now, failed = _in_turn(laid, queue)
        if len(failed) < len(missed):
            best, missed = now, failed
        if not failed or queue[: len(failed)] == failed:
            break
        queue = [*failed, *(wire for wire in queue if wire not in failed)]
    return best, missed


def _in_turn(laid: Laid, queue: Sequence[int]) -> tuple[Laid, list[int]]:
    """Return the layout with the wires that found a way one after the other, and the others."""
    failed = []
    for wire in queue:
        placed = all(laid.web.item_of[t] in laid.y for t in laid.web.ends(wire))
        found = None
        if placed:
            found = led(laid, wire) or _exchanged(laid, wire) or led(laid, wire, pressing=True)
        if found is None:
            failed.append(wire)
        laid = found or laid
    return laid, failed


def led(
    laid: Laid,
    wire: int,
    labelled: Sequence[Ends] = (),
    *,
    doglegs: bool = True,
    pressing: bool = False,
) -> Laid | None:
    """Return the layout with one more wire; None if there is no free way.

    Args:
        laid: the layout without it.
        wire: to be led.
        labelled: ends at which room for its label is looked for; where none are named, at those
            where it had room before, else at either end.
        doglegs: whether it may turn more than once between two columns.
        pressing: whether runs and marks are pressed aside for it.
    """
    track = GAP if pressing else laid.web.track
    bare = field_of(ground_of(laid, wire, pressed=pressing), laid.room, track, pressed=pressing)
    for ends in labelled or labels_for(laid, wire):
        own = labels_of(laid, {wire: ends}, pressed=pressing)
        if all(has_label_room(bare, terminal, width) for terminal, width in own.items()):
            there = replace(laid, old=replace(laid.old, labels={**laid.old.labels, wire: ends}))
            ground = ground_of(there, wire, pressed=pressing)
            field = field_of(ground, laid.room, track, pressed=pressing) if own else bare
            fits = field.is_possible or not pressing
            way = free_way(field, wire, doglegs=doglegs) if fits else None
            if way:
                hops = {(wire, number): hop for number, hop in enumerate(way.hops) if hop}
                there = replace(
                    there,
                    y={**laid.y, **way.lanes},
                    old=replace(there.old, runs={**laid.old.runs, **hops}),
                )
                found = _pressed(there, ground, wire, way) if pressing else there
                if found:
                    return found
    return None


def _pressed(laid: Laid, ground: Ground, wire: int, way: Way) -> Laid | None:
    """Return the layout with runs and marks pressed away from a wire; None where they cannot be.

    Args:
        laid: the layout with the wire on its way.
        ground: what else stands on the sheet.
        wire: the wire.
        way: its way.
    """
    uprights = [[*runs] for runs in ground.uprights]
    for (number, hop), places in zip(enumerate(laid.web.hops[wire]), way.places, strict=True):
        new = zip(places, uprights_of(laid, wire, number), strict=False)
        for place, upright in sorted(new, key=lambda at: (-at[0], -at[1].x)):
            uprights[laid.web.channel(hop[0])].insert(place, upright)
    ground = replace(ground, y=laid.y, uprights=uprights)
    found = pressed(ground, laid.room, GAP)
    if found is None:
        return None
    runs = dict(laid.old.runs)
    for channel, xs in zip(uprights, found.runs, strict=True):
        for (_, _, (other, number, part)), x in zip(channel, xs, strict=True):
            old = runs[other, number]
            runs[other, number] = (*old[: 2 * part], x, *old[2 * part + 1 :])
    return replace(laid, old=replace(laid.old, boxes=found.boxes, runs=runs))


def labels_for(laid: Laid, wire: int) -> tuple[Ends, ...]:
    """Return the ends at which room for the label of a wire is looked for, the best first."""
    before = laid.wanted.get(wire)
    if before is None:
        return LABELLED
    return (before, *LABELLED) if any(before) else (*LABELLED, before)


def _exchanged(laid: Laid, wire: int) -> Laid | None:
    """Return the layout with one more wire and one that stood before its pins led anew."""
    for other in _blocking(laid, wire):
        labels = laid.old.labels[other]
        first = led(without(laid, [other]), wire)
        found = led(first, other, [labels]) if first else None
        if found:
            return found
    return None


def _blocking(laid: Laid, wire: int) -> list[int]:
    """Return the kept wires that end, at the other side of a channel, level with a new wire's end.

    Such a wire must turn behind the new one, which may have no room before it.
    """
    web = laid.web
    ends = [
        (web.channel(terminal), web.faces_east[terminal], laid.line(terminal))
        for terminal in web.ends(wire)
    ]
    return [
        other
        for other in laid.old.labels
        if any(
            web.channel(terminal) == channel
            and web.faces_east[terminal] is not east
            and abs(laid.line(terminal) - line) < NEAR
            for hop in web.hops[other]
            for terminal in hop
            if web.item_of[terminal] in laid.y
            for channel, east, line in ends
        )
    ]


def without(laid: Laid, wires: Collection[int]) -> Laid:
    """Return the layout without some wires that were there before."""
    gone = {*wires}
    if not gone:
        return laid
    old = laid.old
    lanes = {laid.web.item_of[b] for wire in gone for _, b in laid.web.hops[wire][:-1]}
    runs = {at: way for at, way in old.runs.items() if at[0] not in gone}
    labels = {other: ends for other, ends in old.labels.items() if other not in gone}
    y = {item: height for item, height in laid.y.items() if item not in lanes}
    return replace(laid, y=y, old=replace(old, runs=runs, labels=labels))


def ground_of(laid: Laid, but: int = -1, *, pressed: bool = True) -> Ground:
    """Return the boxes, labels and runs that are in place.

    Args:
        laid: what is in place.
        but: a wire whose runs are left out.
        pressed: whether labels have no more room than they must.
    """
    web, y = laid.web, laid.y
    uprights: list[list[Upright]] = [[] for _ in range(len(web.layers) + 1)]
    levels: list[list[float]] = [[] for _ in uprights]
    bends: list[list[float]] = [[] for _ in uprights]
    for wire, hops in enumerate(web.hops):
        if wire not in laid.old.labels or wire == but:
            continue
        for number, hop in enumerate(hops):
            if any(web.item_of[end] not in y for end in hop):
                continue
            channel = web.channel(hop[0])
            way = laid.old.runs.get((wire, number), ())
            if way:
                uprights[channel] += uprights_of(laid, wire, number)
                bends[channel] += way[1::2]
            else:
                levels[channel].append(laid.line(hop[0]))
    for runs in uprights:
        runs.sort(key=lambda upright: upright.x)
    edges = [
        (laid.old.boxes[number], laid.old.boxes[number] + box.width)
        if number in laid.old.boxes
        else None
        for number, box in enumerate(laid.boxes)
    ]
    marks = frozenset(number for number, box in enumerate(laid.boxes) if box.yields)
    labels = labels_of(laid, laid.old.labels, pressed=pressed)
    return Ground(web, y, edges, marks, labels, laid.label_height, uprights, levels, bends)


def uprights_of(laid: Laid, wire: int, number: int) -> Iterator[Upright]:
    """Yield the runs of a wire in one of its hops."""
    way = laid.old.runs.get((wire, number), ())
    for part, (x, run) in enumerate(runs_of(laid, laid.web.hops[wire][number], way)):
        yield Upright(x, run, (wire, number, part))


def runs_of(laid: Laid, hop: tuple[int, int], way: Sequence[float]) -> Iterator[tuple[float, Run]]:
    """Yield the runs of a way through a channel, each with its x, mm; none for a straight way."""
    if not way:
        return
    sides = [edge_of(laid.web, end) for end in hop]
    heights = pairwise((laid.line(hop[0]), *way[1::2], laid.line(hop[1])))
    for x, (a, b) in zip(way[::2], heights, strict=True):
        yield x, Run(-1, sides[0], a, sides[1], b)


def labels_of(
    laid: Laid, labelled: Mapping[int, Ends], *, pressed: bool = False
) -> dict[int, float]:
    """Return the labels room is kept for: terminal to width, mm; pressed without what is spare."""
    return {
        terminal: laid.links[wire].label_width - pressed * laid.links[wire].label_spare
        for wire, ends in labelled.items()
        for terminal, wanted in zip(laid.web.ends(wire), ends, strict=True)
        if wanted
    }
