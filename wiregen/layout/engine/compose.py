"""From a graph to millimetres: every group is laid out by itself, then the groups are packed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from wiregen.layout.engine.facing import Facing, Tie, edges, face, free_places, is_free
from wiregen.layout.engine.fitting import Limits, Old, draw
from wiregen.layout.engine.graph import Box, Graph, Link, Placement, Point, Side
from wiregen.layout.engine.loads import loads, spread
from wiregen.layout.engine.order import arrange, improve
from wiregen.layout.engine.ranks import apart, assign, fold, packed, ranks
from wiregen.layout.engine.rows import place_rows
from wiregen.layout.engine.trace import Parts
from wiregen.layout.engine.web import End, Web, Wire, build, seat

MANY = 100  # wires above which the search is cut short
KICKS = 16  # attempts to find a better order
LONG = 30  # pitches of run that a crossing is worth


@dataclass(frozen=True, slots=True)
class Group:
    """Boxes that hang together and their links, both in natural order of their ids."""

    boxes: tuple[Box, ...]
    links: tuple[Link, ...]
    ties: tuple[Tie, ...]


@dataclass(frozen=True, slots=True)
class Trial:
    """One way to lay a group out, and how bad it is."""

    cost: float
    web: Web
    placement: Placement


def lay_group(group: Group, graph: Graph) -> Placement:
    """Return the layout of one group of boxes: the best of several."""
    facing = face(group.boxes, group.ties, {})
    hints = [box.rank for box in group.boxes]
    rules = ranks(facing.arcs, facing.place, hints)
    layer = packed(assign(rules))
    best = _trial(group, graph, facing, layer)
    few = len(group.links) <= MANY
    widest = graph.max_height * graph.aspect
    others = []
    if few and not all(arc.directed for arc in facing.arcs):
        more = ranks(apart(facing.arcs, facing.place), facing.place, hints)
        others.append(packed(assign(more)))
    if few and best.placement.height > graph.max_height:
        heights = [height + graph.pitch for height in best.web.height[: len(layer)]]
        state = loads(layer, rules, heights, graph.track, graph.max_height)
        others.append(spread(state, 0 if best.placement.width > widest else 6))
    sparse = len(group.links) < 2 * len(group.boxes) and not any(hint is not None for hint in hints)
    if sparse and best.placement.width > 1.25 * widest:
        others.append(fold(layer, best.placement.width / widest))
    for other in others:
        if other != layer:
            best = min(best, _trial(group, graph, facing, other), key=lambda trial: trial.cost)
    if few:
        web = replace(best.web)
        before = _order(web)
        crossed = improve(web, KICKS)
        if _order(web) != before:
            stirred = _drawn(group, graph, facing, web, crossed)
            best = min(best, stirred, key=lambda trial: trial.cost)
    return best.placement


def _order(web: Web) -> tuple[list[list[int]], ...]:
    """Return the order of the items of every layer, and of the terminals at their edges."""
    return tuple([list(order) for order in lists] for lists in (web.layers, web.west, web.east))


def _trial(group: Group, graph: Graph, facing: Facing, layer: list[int]) -> Trial:
    """Lay a group out in given layers."""
    web = make_web(group, graph, layer, edges(group.boxes, group.ties, facing, layer))
    web.shared = _shared(group, web)
    return _drawn(group, graph, facing, web, arrange(web))


def _shared(group: Group, web: Web) -> dict[int, list[list[int]]]:
    """Return per box the terminals that may exchange their places."""
    found: dict[tuple[int, str, bool], list[int]] = {}
    for wire, tie in enumerate(group.ties):
        ends = ((tie.box_a, tie.pin_a), (tie.box_b, tie.pin_b))
        for (box, pin), terminal in zip(ends, web.ends(wire), strict=True):
            name = group.boxes[box].pins[pin].terminal
            if name:
                found.setdefault((box, name, web.faces_east[terminal]), []).append(terminal)
    shared: dict[int, list[list[int]]] = {}
    for (box, _, _), terminals in found.items():
        if len(terminals) > 1:
            shared.setdefault(box, []).append(terminals)
    return shared


def _drawn(group: Group, graph: Graph, facing: Facing, web: Web, crossed: int) -> Trial:
    """Draw a group in a given order."""
    seat(web, {})
    y = place_rows(web, graph.max_height)
    widest = graph.max_height * graph.aspect
    parts = Parts(group.boxes, group.links, facing.flipped)
    roomy = widest * len(group.boxes) / len(graph.boxes)
    placement = draw(parts, web, y, Limits(graph.label_height, widest, roomy), Old())
    size = max(1.0, placement.width / widest, placement.height / graph.max_height)
    bends = sum(len(points) - 2 for points in placement.routes.values())
    length = sum(map(_length, placement.routes.values())) / (LONG * graph.pitch)
    return Trial(size * size * (len(group.links) + crossed + bends / 2 + length), web, placement)


def _length(points: Sequence[Point]) -> float:
    """Return the length of a run, mm."""
    return sum(abs(bx - ax) + abs(by - ay) for (ax, ay), (bx, by) in pairwise(points))


def make_web(
    group: Group, graph: Graph, layer: list[int], sides: Sequence[tuple[Side, Side]]
) -> Web:
    """Return the web of a group, free pins not yet in their places."""
    boxes = group.boxes
    wires = []
    for tie, (side_a, side_b) in zip(group.ties, sides, strict=True):
        a, b = boxes[tie.box_a], boxes[tie.box_b]
        dy_a = a.margin_above + a.pins[tie.pin_a].dy
        dy_b = b.margin_above + b.pins[tie.pin_b].dy
        wires.append(Wire(End(tie.box_a, side_a, dy_a), End(tie.box_b, side_b, dy_b)))
    heights = [box.margin_above + box.height + box.margin_below for box in boxes]
    places = [
        [box.margin_above + dy for dy in free_places(box)] if is_free(box) else [] for box in boxes
    ]
    return build(layer, heights, wires, places=places, pitch=graph.pitch, track=graph.track)
