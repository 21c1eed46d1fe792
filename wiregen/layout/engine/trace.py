"""From layers, heights and widths to a placement in millimetres."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wiregen.layout.engine.columns import CLEAR, Columns, Stand
from wiregen.layout.engine.graph import (
    Box,
    KeptBox,
    KeptLayout,
    KeptLink,
    Link,
    PinRef,
    PlacedBox,
    PlacedPin,
    Placement,
    Point,
    Strip,
)
from wiregen.layout.engine.labels import Wish, place_strips
from wiregen.layout.engine.web import Web


@dataclass(frozen=True, slots=True)
class Parts:
    """Boxes in the order of the web's items, links in that of its wires, flips of the boxes."""

    boxes: Sequence[Box]
    links: Sequence[Link]
    flipped: Sequence[bool]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A group ready to be traced.

    Attributes:
        parts: what was given.
        stand: layers, heights, tracks.
        hop_at: per wire and hop its channel and its number there.
        columns: the widths.
        bare: terminals that get no label but one that room is kept for.
    """

    parts: Parts
    stand: Stand
    hop_at: Sequence[Sequence[tuple[int, int]]]
    columns: Columns
    bare: frozenset[int] = frozenset()

    def pin_point(self, terminal: int) -> Point:
        """Return the point on the edge of its box where a wire ends."""
        web = self.stand.web
        box = web.item_of[terminal]
        frame = self.stand.frames[box]
        x = self.columns.boxes[box]
        return (x + frame.width if web.faces_east[terminal] else x, self.stand.line(terminal))


def placement_of(drawn: Drawn, labels: dict[int, float]) -> Placement:
    """Return the placement of a group, moved into the positive quarter."""
    parts, stand = drawn.parts, drawn.stand
    boxes: dict[str, PlacedBox] = {}
    for number, box in enumerate(parts.boxes):
        x = drawn.columns.boxes[number]
        y = stand.y[number] + box.margin_above
        boxes[box.id] = PlacedBox(x, y, parts.flipped[number])
    pins = _pins(parts, boxes)
    routes = {}
    for wire, link in enumerate(parts.links):
        points = list(_points(drawn, wire))
        ends = stand.web.ends(wire)
        for ref, terminal, index in zip((link.a, link.b), ends, (0, -1), strict=True):
            pins[ref] = _linked_pin(stand.web, pins[ref], terminal, points[index])
            points[index] = (pins[ref].x, pins[ref].y)
        routes[link.id] = tuple(points)
    areas = []
    for box in parts.boxes:
        at = boxes[box.id]
        top, bottom = at.y - box.margin_above, at.y + box.height + box.margin_below
        areas.append((at.x, top, at.x + box.width, bottom))
    wishes = [wish for wire in range(len(parts.links)) for wish in _wishes(drawn, wire, labels)]
    strips = place_strips(wishes, areas, routes, stand.label_height)
    xs = [x for points in routes.values() for x, _ in points]
    ys = [y for points in routes.values() for _, y in points]
    xs += [x for left, _, right, _ in areas for x in (left, right)]
    ys += [y for _, top, _, bottom in areas for y in (top, bottom)]
    # A repeated layout stays where it is unless something now lies outside the sheet.
    left, top = (math.floor(min(values) * 100) / 100 for values in (xs, ys))
    if stand.kept_boxes:
        left, top = min(left, 0.0), min(top, 0.0)
    kept = _kept(drawn, labels, boxes, strips)
    size = (max(xs) - left, max(ys) - top)
    return move(Placement(boxes, pins, routes, strips, *size, kept), -left, -top)


def _points(drawn: Drawn, wire: int) -> tuple[Point, ...]:
    """Return the corner points of a wire, without repeats and points on a straight run."""
    web = drawn.stand.web
    first, last = web.ends(wire)
    points = [drawn.pin_point(first)]
    for channel, hop in drawn.hop_at[wire]:
        runs = drawn.stand.tracks[channel].runs[hop]
        for (_, y_from, y_to), x in zip(runs, drawn.columns.runs[channel][hop], strict=True):
            points += [(x, y_from), (x, y_to)]
    points.append(drawn.pin_point(last))
    kept: list[Point] = []
    for point in points:
        if kept and kept[-1] == point:
            continue
        while len(kept) > 1 and (
            kept[-2][0] == kept[-1][0] == point[0] or kept[-2][1] == kept[-1][1] == point[1]
        ):
            kept.pop()
        kept.append(point)
    return tuple(kept)


def _wishes(drawn: Drawn, wire: int, labels: dict[int, float]) -> list[Wish]:
    """Return the label strips wanted for a wire, first the one at its end `a`."""
    link, points = drawn.parts.links[wire], _points(drawn, wire)
    wishes = []
    for terminal, near in zip(drawn.stand.web.ends(wire), (points[1], points[-2]), strict=True):
        if terminal in drawn.bare and terminal not in labels:
            continue
        room = abs(near[0] - drawn.pin_point(terminal)[0])
        strip = _strip(drawn, link, terminal)
        wishes.append(Wish(link.id, strip, room, terminal in labels))
    return wishes


def _strip(drawn: Drawn, link: Link, terminal: int) -> Strip:
    """Return where the label of a wire stands at one of its ends."""
    x, y = drawn.pin_point(terminal)
    east = drawn.stand.web.faces_east[terminal]
    return Strip(x + CLEAR if east else x - CLEAR - link.label_width, y, link.label_width)


def _pins(parts: Parts, boxes: dict[str, PlacedBox]) -> dict[PinRef, PlacedPin]:
    """Return the places of all pins as given, flips applied."""
    pins: dict[PinRef, PlacedPin] = {}
    for box in parts.boxes:
        at = boxes[box.id]
        for pin in box.pins:
            east = (pin.side == "E") is not at.flipped
            dx = box.width - pin.dx if at.flipped else pin.dx
            pins[box.id, pin.name] = PlacedPin(at.x + dx, at.y + pin.dy, "E" if east else "W")
    return pins


def _linked_pin(web: Web, pin: PlacedPin, terminal: int, edge: Point) -> PlacedPin:
    """Return the place of a pin that has a link: a free pin goes to its edge and height."""
    if web.places[web.item_of[terminal]]:
        return PlacedPin(*edge, "E" if web.faces_east[terminal] else "W")
    return PlacedPin(pin.x, edge[1], pin.side)


def _kept(
    drawn: Drawn,
    labels: Mapping[int, float],
    boxes: Mapping[str, PlacedBox],
    strips: Mapping[str, Sequence[Strip]],
) -> KeptLayout:
    """Return what is needed to repeat a layout."""
    web, y = drawn.stand.web, drawn.stand.y
    kept_boxes = {
        box.id: KeptBox(web.layer_of[number], at.x, at.y, at.flipped)
        for number, box in enumerate(drawn.parts.boxes)
        for at in [boxes[box.id]]
    }
    links = {}
    for wire, link in enumerate(drawn.parts.links):
        items = [web.item_of[t] for hop in web.hops[wire] for t in hop]
        first, last = web.ends(wire)
        links[link.id] = KeptLink(
            ("E" if web.faces_east[first] else "W", "E" if web.faces_east[last] else "W"),
            (drawn.stand.line(first), drawn.stand.line(last)),
            {web.layer_of[item]: y[item] for item in items if item >= web.boxes},
            {at[0]: _way(drawn, *at) for at in drawn.hop_at[wire]},
            (first in labels, last in labels),
            (
                first not in labels and _strip(drawn, link, first) in strips[link.id],
                last not in labels and _strip(drawn, link, last) in strips[link.id],
            ),
        )
    return KeptLayout(kept_boxes, links)


def _way(drawn: Drawn, channel: int, hop: int) -> tuple[float, ...]:
    """Return the x of the upright runs of a hop, and the heights between them, mm."""
    runs, xs = drawn.stand.tracks[channel].runs[hop], drawn.columns.runs[channel][hop]
    way = [value for (_, _, y), x in zip(runs, xs, strict=True) for value in (x, y)]
    return tuple(way[:-1])


def move(placement: Placement, dx: float, dy: float, layers: int = 0) -> Placement:
    """Return the placement shifted by (dx, dy) mm, its kept columns counted from `layers`."""
    kept = KeptLayout(
        {
            k: KeptBox(b.layer + layers, b.x + dx, b.y + dy, b.flipped)
            for k, b in placement.kept.boxes.items()
        },
        {
            k: KeptLink(
                link.sides,
                (link.ends[0] + dy, link.ends[1] + dy),
                {at + layers: y + dy for at, y in link.lanes.items()},
                {at + layers: _moved(way, dx, dy) for at, way in link.runs.items()},
                link.labels,
                link.also,
            )
            for k, link in placement.kept.links.items()
        },
    )
    return Placement(
        {k: PlacedBox(b.x + dx, b.y + dy, b.flipped) for k, b in placement.boxes.items()},
        {k: PlacedPin(p.x + dx, p.y + dy, p.side) for k, p in placement.pins.items()},
        {k: tuple((x + dx, y + dy) for x, y in pts) for k, pts in placement.routes.items()},
        {
            k: tuple(Strip(s.x + dx, s.y + dy, s.width) for s in strips)
            for k, strips in placement.labels.items()
        },
        placement.width,
        placement.height,
        kept,
        (placement.origin[0] + dx, placement.origin[1] + dy),
    )


def _moved(way: Sequence[float], dx: float, dy: float) -> tuple[float, ...]:
    return tuple(value + (dy if place % 2 else dx) for place, value in enumerate(way))
