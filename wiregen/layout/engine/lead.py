"""New wires between boxes of a kept layout: each is led through what is free, one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from wiregen.layout.engine.field import Field, Ground, field_of, has_label_room
from wiregen.layout.engine.fitting import Ends, Old
from wiregen.layout.engine.free_way import edge_of, free_way
from wiregen.layout.engine.graph import Box, Link
from wiregen.layout.engine.runs import NEAR, Run
from wiregen.layout.engine.web import Web

MOST_LED = 8  # new wires that are led one by one
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
        old: what is taken over from the earlier layout.
    """

    web: Web
    boxes: Sequence[Box]
    links: Sequence[Link]
    label_height: float
    y: Mapping[int, float]
    old: Old


def lead(laid: Laid) -> Laid:
    """Return the layout with the new wires that found a free way.

    Where there is none because another wire stands before one of its pins, that wire is led anew.
    """
    web, known = laid.web, laid.old.labels
    new = [
        wire
        for wire in range(len(laid.links))
        if wire not in known and all(web.item_of[t] in laid.y for t in web.ends(wire))
    ]
    for wire in new[:MOST_LED]:
        laid = _led(laid, wire, LABELLED) or _exchanged(laid, wire) or laid
    return laid


def _led(laid: Laid, wire: int, labelled: Sequence[Ends]) -> Laid | None:
    """Return the layout with one more wire, room for its label at the ends that are named."""
    field = _field(laid)
    for ends in labelled:
        own = _labels(laid, {wire: ends})
        if all(has_label_room(field, terminal, width) for terminal, width in own.items()):
            old = replace(laid.old, labels={**laid.old.labels, wire: ends})
            way = free_way(_field(replace(laid, old=old)), wire)
            if way:
                hops = {(wire, number): hop for number, hop in enumerate(way.hops) if hop}
                old = replace(old, runs={**old.runs, **hops})
                return replace(laid, y={**laid.y, **way.lanes}, old=old)
    return None


def _exchanged(laid: Laid, wire: int) -> Laid | None:
    """Return the layout with one more wire and one that stood before its pins led anew."""
    for other in _blocking(laid, wire):
        labels = laid.old.labels[other]
        led = _led(_without(laid, other), wire, LABELLED)
        found = _led(led, other, [labels]) if led else None
        if found:
            return found
    return None


def _blocking(laid: Laid, wire: int) -> list[int]:
    """Return the kept wires that end, at the other side of a channel, level with a new wire's end.

    Such a wire must turn behind the new one, which may have no room before it.
    """
    web = laid.web
    ends = [
        (web.channel(terminal), web.faces_east[terminal], web.line_at(laid.y[item], terminal))
        for terminal in web.ends(wire)
        for item in [web.item_of[terminal]]
    ]
    return [
        other
        for other in laid.old.labels
        if any(
            web.channel(terminal) == channel
            and web.faces_east[terminal] is not east
            and abs(web.line_at(laid.y[web.item_of[terminal]], terminal) - line) < NEAR
            for hop in web.hops[other]
            for terminal in hop
            if web.item_of[terminal] in laid.y
            for channel, east, line in ends
        )
    ]


def _without(laid: Laid, wire: int) -> Laid:
    """Return the layout without a wire that was there before."""
    old, lanes = laid.old, {laid.web.item_of[b] for _, b in laid.web.hops[wire][:-1]}
    runs = {at: way for at, way in old.runs.items() if at[0] != wire}
    labels = {other: ends for other, ends in old.labels.items() if other != wire}
    y = {item: height for item, height in laid.y.items() if item not in lanes}
    return replace(laid, y=y, old=replace(old, runs=runs, labels=labels))


def _field(laid: Laid) -> Field:
    """Return what the boxes, labels and runs that are in place leave free."""
    web, y = laid.web, laid.y
    uprights: list[list[tuple[float, Run]]] = [[] for _ in range(len(web.layers) + 1)]
    levels: list[list[float]] = [[] for _ in uprights]
    for wire, hops in enumerate(web.hops):
        for number, hop in enumerate(hops):
            if wire not in laid.old.labels or any(web.item_of[end] not in y for end in hop):
                continue
            channel, sides = web.channel(hop[0]), [edge_of(web, end) for end in hop]
            way = laid.old.runs.get((wire, number), ())
            start, goal = (web.line_at(y[web.item_of[end]], end) for end in hop)
            heights = pairwise((start, *way[1::2], goal))
            if way:
                uprights[channel] += [
                    (x, Run(-1, sides[0], a, sides[1], b))
                    for x, (a, b) in zip(way[::2], heights, strict=True)
                ]
            else:
                levels[channel].append(start)
    for runs in uprights:
        runs.sort(key=lambda upright: upright[0])
    edges = [
        (laid.old.boxes[number], laid.old.boxes[number] + box.width)
        if number in laid.old.boxes
        else None
        for number, box in enumerate(laid.boxes)
    ]
    labels = _labels(laid, laid.old.labels)
    return field_of(Ground(web, y, edges, labels, laid.label_height, uprights, levels))


def _labels(laid: Laid, labelled: Mapping[int, Ends]) -> dict[int, float]:
    """Return the labels room is kept for: terminal to width, mm."""
    return {
        terminal: laid.links[wire].label_width
        for wire, ends in labelled.items()
        for terminal, wanted in zip(laid.web.ends(wire), ends, strict=True)
        if wanted
    }
