"""A layout repeated after a change: what was there stays, what is new finds its place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiregen.layout.engine.compose import Group, make_web
from wiregen.layout.engine.facing import edges, face
from wiregen.layout.engine.fitting import Limits, Old, draw
from wiregen.layout.engine.graph import Graph, KeptLayout, Placement
from wiregen.layout.engine.insert import insert
from wiregen.layout.engine.lead import Laid, lead
from wiregen.layout.engine.ranks import Ranks, assign, packed, ranks
from wiregen.layout.engine.rows import keep_rows
from wiregen.layout.engine.trace import Parts
from wiregen.layout.engine.web import Web, seat


def lay_kept(group: Group, graph: Graph, keep: KeptLayout) -> Placement:
    """Return the layout of all boxes with those of an earlier layout in their places."""
    kept = [(w, link) for w, link in enumerate(group.links) if link.id in keep.links]
    known = {i: keep.boxes[box.id] for i, box in enumerate(group.boxes) if box.id in keep.boxes}
    facing = face(group.boxes, group.ties, {i: box.flipped for i, box in known.items()})
    for wire, link in kept:
        pairs = zip(facing.sides[wire], keep.links[link.id].sides, strict=True)
        a, b = (now or before for now, before in pairs)
        facing.sides[wire] = (a, b)
    # Known columns get odd numbers, so that new ones fit between them.
    hints = [2 * known[i].layer + 1 if i in known else None for i in range(len(group.boxes))]
    rules = ranks(facing.arcs, facing.place, hints)
    spread = _join(assign(rules), rules)
    layer = packed(spread)
    column = {now: (wide - 1) // 2 for now, wide in zip(layer, spread, strict=True) if wide % 2}
    web = make_web(group, graph, layer, edges(group.boxes, group.ties, facing, layer))
    y = {i: known[i].y - group.boxes[i].margin_above for i in known}
    y.update(_lanes(group, web, column, keep))
    seats = _seats(group, web, y, keep)
    seat(web, seats)
    labels = {wire: keep.links[link.id].labels for wire, link in kept}
    also = {wire: keep.links[link.id].also for wire, link in kept}
    old = Old({i: box.x for i, box in known.items()}, _runs(group, web, column, keep), labels, also)
    laid = lead(Laid(web, group.boxes, group.links, graph.label_height, y, old))
    led = [wire for wire in laid.old.labels if wire not in labels]
    seats |= {terminal: web.dy[terminal] for wire in led for terminal in web.ends(wire)}
    insert(web, laid.y)
    seat(web, seats)
    parts = Parts(group.boxes, group.links, facing.flipped)
    limits = Limits(graph.label_height, 0.0, 0.0)
    return draw(parts, web, keep_rows(web, laid.y), limits, laid.old)


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
