"""A kept layout on the graph as it is now: what is in its place before anything is led."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from wiregen.layout.engine.compose import Group, make_web
from wiregen.layout.engine.facing import Facing, edges, face
from wiregen.layout.engine.fitting import Old
from wiregen.layout.engine.graph import Box, Graph, KeptLayout, Room
from wiregen.layout.engine.lead import Laid
from wiregen.layout.engine.ranks import Ranks, assign, packed, ranks
from wiregen.layout.engine.settle import SAME
from wiregen.layout.engine.web import Web, seat


@dataclass(frozen=True, slots=True)
class Task:
    """A graph to be laid out over a kept layout.

    Attributes:
        group: all boxes and links.
        graph: what was given.
        keep: the earlier layout.
        room: how far the sheet reaches.
    """

    group: Group
    graph: Graph
    keep: KeptLayout
    room: Room


@dataclass(frozen=True, slots=True)
class Stage:
    """Where the boxes are to stand.

    Attributes:
        task: what is to be done.
        facing: flips and edges.
        spread: column of every box; known columns are odd, so that new ones fit between them.
        new: new boxes that have a place: box to its corner, margin included, mm.
    """

    task: Task
    facing: Facing
    spread: Sequence[int]
    new: Mapping[int, tuple[float, float]] = field(default_factory=dict)


def begin(task: Task) -> Stage:
    """Return the columns of all boxes, known ones as they were."""
    group, keep = task.group, task.keep
    known = {i: keep.boxes[box.id] for i, box in enumerate(group.boxes) if box.id in keep.boxes}
    facing = face(group.boxes, group.ties, {i: box.flipped for i, box in known.items()})
    for wire, link in enumerate(group.links):
        if link.id in keep.links:
            pairs = zip(facing.sides[wire], keep.links[link.id].sides, strict=True)
            a, b = (now or before for now, before in pairs)
            facing.sides[wire] = (a, b)
    hints = [2 * known[i].layer + 1 if i in known else None for i in range(len(group.boxes))]
    rules = ranks(facing.arcs, facing.place, hints)
    return Stage(task, facing, _join(assign(rules), rules))


def resume(stage: Stage) -> Laid:
    """Return the layout with the boxes of a stage in place, wires as they ran."""
    group, graph, keep = stage.task.group, stage.task.graph, stage.task.keep
    known = {i: keep.boxes[box.id] for i, box in enumerate(group.boxes) if box.id in keep.boxes}
    layer = packed(stage.spread)
    column = {now: (at - 1) // 2 for now, at in zip(layer, stage.spread, strict=True) if at % 2}
    web = make_web(group, graph, layer, edges(group.boxes, group.ties, stage.facing, layer))
    y = {i: known[i].y - group.boxes[i].margin_above for i in known}
    y |= {box: top for box, (_, top) in stage.new.items()}
    _shortened(group.boxes, web, y)
    y |= _lanes(group, web, column, keep)
    seats = _seats(group, web, y, keep)
    seat(web, seats)
    kept = [(w, keep.links[link.id]) for w, link in enumerate(group.links) if link.id in keep.links]
    old = Old(
        {i: box.x for i, box in known.items()} | {box: x for box, (x, _) in stage.new.items()},
        _runs(group, web, column, keep),
        {wire: link.labels for wire, link in kept},
        {wire: link.also for wire, link in kept},
    )
    ends = {wire: link.ends for wire, link in kept}
    return Laid(
        web, group.boxes, group.links, graph.label_height, y, old,
        ends=ends, seats=seats, wanted=old.labels, room=stage.task.room,
    )  # fmt: skip


def _join(layer: Sequence[int], rules: Ranks) -> list[int]:
    """Return the layers with new boxes moved into a known column beside them where they may be."""
    joined = list(layer)
    for box in rules.order:
        if joined[box] % 2 == 0:
            freedom = rules.freedom(joined, box)
            joined[box] = next(
                (at for at in (joined[box] - 1, joined[box] + 1) if at in freedom), joined[box]
            )
    return joined


def _shortened(boxes: Sequence[Box], web: Web, y: Mapping[int, float]) -> None:
    """Give boxes that shrink no more places than there is room for above the next box."""
    for box, places in enumerate(web.places):
        if not places or box not in y or not boxes[box].shrinks:
            continue
        layer = web.layers[web.layer_of[box]]
        below = [y[other] for other in layer if other in y and y[other] > y[box]]
        height = min(below, default=math.inf) - web.pitch - y[box]
        last = height - web.height[box] + places[-1]
        fewer = [place for place in places if place <= last + SAME]
        if height < web.height[box] - SAME and len(fewer) >= max(
            1, len(web.west[box]), len(web.east[box])
        ):
            web.height[box], web.places[box] = height, fewer


def _lanes(group: Group, web: Web, column: Mapping[int, int], keep: KeptLayout) -> dict[int, float]:
    """Return the heights of the lanes that were there before, mm."""
    y = {}
    for wire, link in enumerate(group.links):
        if link.id in keep.links:
            lanes = keep.links[link.id].lanes
            for hop in web.hops[wire]:
                for item in (web.item_of[t] for t in hop):
                    known = column.get(web.layer_of[item], -1)
                    if item >= web.boxes and known in lanes:
                        y[item] = lanes[known]
    return y


def _seats(group: Group, web: Web, y: Mapping[int, float], keep: KeptLayout) -> dict[int, float]:
    """Return the offsets of the wire ends that were there before at boxes in place, mm."""
    return {
        terminal: end - y[web.item_of[terminal]]
        for wire, link in enumerate(group.links)
        if link.id in keep.links
        for terminal, end in zip(web.ends(wire), keep.links[link.id].ends, strict=True)
        if web.item_of[terminal] in y
    }


def _runs(
    group: Group, web: Web, column: Mapping[int, int], keep: KeptLayout
) -> dict[tuple[int, int], tuple[float, ...]]:
    """Return the ways through channels that were there before, by wire and hop, mm."""
    found = {}
    last = len(web.layers)
    for wire, link in enumerate(group.links):
        if link.id not in keep.links:
            continue
        runs = keep.links[link.id].runs
        for number, (a, _) in enumerate(web.hops[wire]):
            channel = web.channel(a)
            left = column.get(channel - 1, -2) + 1 if channel else 0
            right = column.get(channel, left) if channel < last else left
            for at in (right, left):
                if at in runs:
                    found[wire, number] = runs[at]
                    break
    return found
