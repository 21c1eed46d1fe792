"""From a graph to millimetres: every group is laid out by itself, then the groups are packed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wiregen.layout.engine.channel import Hop, Tracks, route
from wiregen.layout.engine.facing import Facing, Tie, face, free_places, is_free
from wiregen.layout.engine.graph import (
    Box,
    Graph,
    Link,
    PlacedBox,
    PlacedPin,
    Placement,
    Point,
    Side,
    Strip,
)
from wiregen.layout.engine.order import arrange
from wiregen.layout.engine.rows import place_rows
from wiregen.layout.engine.web import End, Web, Wire, build, seat

CLEAR = 1.0  # room before and behind a label, mm


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
    return _Drawing(group, graph, facing, web, y).placement()


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


class _Drawing:
    """Coordinates of one group; a class only because the steps share many tables."""

    def __init__(
        self, group: Group, graph: Graph, facing: Facing, web: Web, y: Sequence[float]
    ) -> None:
        self.group, self.graph, self.facing, self.web, self.y = group, graph, facing, web, y
        self.inset = [self._inset(t) for t in range(len(web.item_of))]
        self.tracks, self.hop_at = self._route()
        self.zones = [self._zones(channel) for channel in range(len(web.layers) + 1)]
        self.layer_x, self.channel_x, self.total = self._columns()

    def _layer_width(self, number: int) -> float:
        boxes = [self.group.boxes[i] for i in self.web.layers[number] if i < self.web.boxes]
        return max((box.width for box in boxes), default=0.0)

    def _box_shift(self, box: int) -> float:
        """Return how far a box stands from the left edge of its layer, mm."""
        room = self._layer_width(self.web.layer_of[box]) - self.group.boxes[box].width
        if not self.web.west[box]:
            return room
        return room / 2 if self.web.east[box] else 0.0

    def _inset(self, terminal: int) -> float:
        """Return the distance from a pin to the edge of its layer, mm."""
        item = self.web.item_of[terminal]
        if item >= self.web.boxes:
            return 0.0
        shift = self._box_shift(item)
        box = self.group.boxes[item]
        if not self.web.faces_east[terminal]:
            return shift
        return self._layer_width(self.web.layer_of[item]) - shift - box.width

    def height(self, terminal: int) -> float:
        """Return the y of a terminal, mm."""
        return self.y[self.web.item_of[terminal]] + self.web.dy[terminal]

    def _route(self) -> tuple[list[Tracks], dict[tuple[int, int], tuple[int, int]]]:
        """Route every channel; return the tracks and where each (wire, hop) is found in them."""
        web = self.web
        hops: list[list[Hop]] = [[] for _ in range(len(web.layers) + 1)]
        at: dict[tuple[int, int], tuple[int, int]] = {}
        for wire, pairs in enumerate(web.hops):
            for index, (a, b) in enumerate(pairs):
                channel = web.channel(a)
                at[wire, index] = (channel, len(hops[channel]))
                hops[channel].append(Hop(*self._edge(a), *self._edge(b)))
        return [route(group) for group in hops], at

    def _edge(self, terminal: int) -> tuple[Side, float]:
        """Return the edge of its channel a terminal lies on, and its y."""
        return ("W" if self.web.faces_east[terminal] else "E", self.height(terminal))

    def _need(self, wire: int, terminal: int) -> float:
        """Return the width a label needs beyond the edge of the layer, mm."""
        return self.group.links[wire].label_width + 2 * CLEAR - self.inset[terminal]

    def _zones(self, channel: int) -> tuple[float, float]:
        """Return the widths kept free of upright runs at the left and right of a channel, mm."""
        web = self.web
        least = self.graph.track
        zone = {"W": least, "E": least}
        either: list[tuple[float, float]] = []
        for wire, pairs in enumerate(web.hops):
            first, last = pairs[0][0], pairs[-1][1]
            if len(pairs) == 1 and web.faces_east[first] is not web.faces_east[last]:
                if web.channel(first) == channel:
                    left, right = (first, last) if web.faces_east[first] else (last, first)
                    either.append((self._need(wire, left), self._need(wire, right)))
                continue
            for terminal in (first, last):
                if web.channel(terminal) == channel:
                    side = self._edge(terminal)[0]
                    zone[side] = max(zone[side], self._need(wire, terminal))
        tight = [n for n in either if n[0] > zone["W"] and n[1] > zone["E"]]
        if tight:
            at_left, at_right = max(n[0] for n in tight), max(n[1] for n in tight)
            if at_left - zone["W"] <= at_right - zone["E"]:
                zone["W"] = at_left
            else:
                zone["E"] = at_right
        return zone["W"], zone["E"]

    def _columns(self) -> tuple[list[float], list[float], float]:
        """Return the left edges of layers and channels and the whole width, mm."""
        layer_x: list[float] = []
        channel_x: list[float] = []
        x = 0.0
        for channel, tracks in enumerate(self.tracks):
            channel_x.append(x)
            if tracks.runs:
                outer_left, outer_right = channel == 0, channel == len(self.web.layers)
                left, right = self.zones[channel]
                x += max(0, tracks.count - 1) * self.graph.track
                x += left * (not outer_left) + right * (not outer_right)
            if channel < len(self.web.layers):
                layer_x.append(x)
                x += self._layer_width(channel)
        return layer_x, channel_x, x

    def _track_x(self, channel: int, track: int) -> float:
        left = 0.0 if channel == 0 else self.zones[channel][0]
        return self.channel_x[channel] + left + track * self.graph.track

    def _pin_point(self, terminal: int) -> Point:
        item = self.web.item_of[terminal]
        x = self.layer_x[self.web.layer_of[item]] + self._box_shift(item)
        if self.web.faces_east[terminal]:
            x += self.group.boxes[item].width
        return (x, self.height(terminal))

    def _route_of(self, wire: int) -> tuple[Point, ...]:
        pairs = self.web.hops[wire]
        points = [self._pin_point(pairs[0][0])]
        for index in range(len(pairs)):
            channel, place = self.hop_at[wire, index]
            for track, y_from, y_to in self.tracks[channel].runs[place]:
                x = self._track_x(channel, track)
                points += [(x, y_from), (x, y_to)]
        points.append(self._pin_point(pairs[-1][1]))
        return _tidy(points)

    def _strips(self, wire: int) -> tuple[Strip, ...]:
        """Return the clear strips of a wire: at each end where its zone has the room."""
        pairs = self.web.hops[wire]
        width = self.group.links[wire].label_width
        strips = []
        for terminal in (pairs[0][0], pairs[-1][1]):
            side, y = self._edge(terminal)
            zone = self.zones[self.web.channel(terminal)][side == "E"]
            if self._need(wire, terminal) <= zone + 1e-9:
                x = self._pin_point(terminal)[0]
                strips.append(Strip(x + CLEAR if side == "W" else x - CLEAR - width, y, width))
        if len(pairs) == 1 and len(strips) == 2 and strips[0].y == strips[1].y:
            return (min(strips, key=lambda strip: strip.x),)
        return tuple(strips)

    def placement(self) -> Placement:
        """Return the group's placement, shifted into the positive quarter."""
        group, web = self.group, self.web
        boxes = {}
        for number, box in enumerate(group.boxes):
            x = self.layer_x[web.layer_of[number]] + self._box_shift(number)
            y = self.y[number] + box.margin_above
            boxes[box.id] = PlacedBox(x, y, self.facing.flipped[number])
        pins = _pins(group, boxes)
        routes, labels = {}, {}
        for wire, link in enumerate(group.links):
            routes[link.id] = self._route_of(wire)
            labels[link.id] = self._strips(wire)
            pairs = web.hops[wire]
            for ref, terminal in ((link.a, pairs[0][0]), (link.b, pairs[-1][1])):
                side: Side = "E" if web.faces_east[terminal] else "W"
                pins[ref] = PlacedPin(*self._pin_point(terminal), side)
        tops = [boxes[box.id].y - box.margin_above for box in group.boxes]
        bottoms = [boxes[box.id].y + box.height + box.margin_below for box in group.boxes]
        heights = [y for points in routes.values() for _, y in points]
        top, bottom = min(tops + heights), max(bottoms + heights)
        return move(Placement(boxes, pins, routes, labels, self.total, bottom - top), 0.0, -top)


def _pins(group: Group, boxes: dict[str, PlacedBox]) -> dict[tuple[str, str], PlacedPin]:
    """Return the places of all pins as given, flips applied."""
    pins: dict[tuple[str, str], PlacedPin] = {}
    for box in group.boxes:
        at = boxes[box.id]
        for pin in box.pins:
            east = (pin.side == "E") is not at.flipped
            dx = box.width - pin.dx if at.flipped else pin.dx
            pins[box.id, pin.name] = PlacedPin(at.x + dx, at.y + pin.dy, "E" if east else "W")
    return pins


def _tidy(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return the corner points without repeats and without points on a straight run."""
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


def move(placement: Placement, dx: float, dy: float) -> Placement:
    """Return the placement shifted by (dx, dy) mm."""
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
    )
