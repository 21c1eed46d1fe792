"""From a graph to millimetres: every group is laid out by itself, then the groups are packed."""

from __future__ import annotations

from dataclasses import dataclass

from wiregen.layout.engine.facing import Facing, Tie, face, free_places, is_free
from wiregen.layout.engine.graph import Box, Graph, Link, Placement
from wiregen.layout.engine.order import arrange
from wiregen.layout.engine.rows import place_rows
from wiregen.layout.engine.trace import Parts, draw
from wiregen.layout.engine.web import End, Web, Wire, build, seat


@dataclass(frozen=True, slots=True)
class Group:
    """Boxes that hang together and their links, both in natural order of their ids."""

    boxes: tuple[Box, ...]
    links: tuple[Link, ...]
    ties: tuple[Tie, ...]


def lay_group(group: Group, graph: Graph) -> Placement:
    """Return the layout of one group of boxes."""
    facing = face(group.boxes, group.ties)
    web = _web(group, graph, facing)
    arrange(web, kicks=24 if len(group.links) <= 100 else 0)
    seat(web)
    y = place_rows(web)
    widest = graph.max_height * graph.aspect
    parts = Parts(group.boxes, group.links, facing.flipped)
    return draw(parts, web, y, graph.label_height, widest)


def _web(group: Group, graph: Graph, facing: Facing) -> Web:
    """Return the web of a group, free pins not yet in their places."""
    boxes = group.boxes
    wires = []
    for tie, (side_a, side_b) in zip(group.ties, facing.sides, strict=True):
        a, b = boxes[tie.box_a], boxes[tie.box_b]
        dy_a = a.margin_above + a.pins[tie.pin_a].dy
        dy_b = b.margin_above + b.pins[tie.pin_b].dy
        wires.append(Wire(End(tie.box_a, side_a, dy_a), End(tie.box_b, side_b, dy_b)))
    heights = [box.margin_above + box.height + box.margin_below for box in boxes]
    places = [
        [box.margin_above + dy for dy in free_places(box)] if is_free(box) else [] for box in boxes
    ]
    return build(facing.layer, heights, wires, places=places, pitch=graph.pitch, track=graph.track)
