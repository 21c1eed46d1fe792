"""From layers, heights and tracks to a placement in millimetres."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from wiregen.layout.engine.channel import Hop, Tracks, route
from wiregen.layout.engine.columns import CLEAR, Columns, Frame, Stand, place_columns
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
    Side,
    Strip,
)
from wiregen.layout.engine.labels import Wish, choose_labels, place_strips
from wiregen.layout.engine.web import Web

SPARE = 3  # tracks left free in a channel where the sheet has room


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
    """

    parts: Parts
    stand: Stand
    hop_at: Sequence[Sequence[tuple[int, int]]]
    columns: Columns

    def pin_point(self, terminal: int) -> Point:
        """Return the point on the edge of its box where a wire ends."""
        web = self.stand.web
        box = web.item_of[terminal]
        frame = self.stand.frames[box]
        x = self.columns.boxes[box]
        return (x + frame.width if web.faces_east[terminal] else x, self.stand.line(terminal))


@dataclass(frozen=True, slots=True)
class Limits:
    """What the sheet asks for.

    Attributes:
        label_height: mm.
        widest: the width wanted, mm.
        roomy: the width up to which every channel gets spare room for runs to come, mm.
    """

    label_height: float
    widest: float
    roomy: float


@dataclass(frozen=True, slots=True)
class Old:
    """What is taken over from an earlier layout, all empty for a first one.

    Attributes:
        boxes: box number to x, mm.
        runs: (wire, hop) to the x of its runs, mm.
        labels: wire to whether room was kept for a label at its ends.
    """

    boxes: Mapping[int, float] = field(default_factory=dict)
    runs: Mapping[tuple[int, int], tuple[float, ...]] = field(default_factory=dict)
    labels: Mapping[int, tuple[bool, bool]] = field(default_factory=dict)


def draw(
    parts: Parts,
    web: Web,
    y: Sequence[float],
    limits: Limits,
    old: Old,
) -> Placement:
    """Return the placement: with a label at both ends of a wire, or at one if it gets too wide.

    Args:
        parts: boxes, links, flips.
        web: layers and hops.
        y: height of every item, mm.
        limits: what the sheet asks for.
        old: what to take over.
    """
    widths = [link.label_width for link in parts.links]
    labels = _old_labels(web, widths, old)
    tracks, hop_at = _route(web, y, old, _room(web, parts.boxes, labels, old))
    stand = Stand(
        web,
        y,
        _frames(web, parts.boxes),
        tracks,
        limits.label_height,
        _hung(web, hop_at),
        old.boxes,
        {hop_at[wire][hop]: xs for (wire, hop), xs in old.runs.items()},
    )
    if old.boxes:
        columns = place_columns(stand, labels, ragged=True)
    else:
        labels, columns = _fitting(stand, widths, limits)
    return _placement(Drawn(parts, stand, hop_at, columns), labels)


def _fitting(
    stand: Stand, widths: Sequence[float], limits: Limits
) -> tuple[dict[int, float], Columns]:
    """Return labels and columns, the roomiest that are not wider than wanted."""
    for ends, ragged, spare, limit in (
        (2, False, SPARE * stand.web.track, limits.roomy),
        (2, False, 0.0, limits.widest),
        (1, False, 0.0, limits.widest),
        (1, True, 0.0, limits.widest),
    ):
        labels = choose_labels(stand.web, widths, ends)
        columns = place_columns(stand, labels, ragged, spare)
        if columns.width <= limit:
            break
    return labels, columns


def _room(
    web: Web, boxes: Sequence[Box], labels: Mapping[int, float], old: Old
) -> list[tuple[float, float]]:
    """Return per channel the x between the boxes and labels that were at its edges, mm."""
    lefts = [-math.inf] * (len(web.layers) + 1)
    rights = [math.inf] * (len(web.layers) + 1)
    for number, x in old.boxes.items():
        layer = web.layer_of[number]
        before = max((labels.get(t, 0.0) + 2 * CLEAR for t in web.west[number]), default=0.0)
        behind = max((labels.get(t, 0.0) + 2 * CLEAR for t in web.east[number]), default=0.0)
        rights[layer] = min(rights[layer], x - before)
        lefts[layer + 1] = max(lefts[layer + 1], x + boxes[number].width + behind)
    return list(zip(lefts, rights, strict=True))


def _old_labels(web: Web, widths: Sequence[float], old: Old) -> dict[int, float]:
    """Return the labels to keep room for: where there was room before, else at the first end."""
    labels = {}
    for wire, width in enumerate(widths):
        before = old.labels.get(wire, (True, False))
        for terminal, wanted in zip(web.ends(wire), before, strict=True):
            if wanted:
                labels[terminal] = width
    return labels


def _route(
    web: Web, y: Sequence[float], old: Old, between: Sequence[tuple[float, float]]
) -> tuple[list[Tracks], list[list[tuple[int, int]]]]:
    """Route every channel; return the tracks, and where each hop of each wire is found in them."""
    hops: list[list[Hop]] = [[] for _ in range(len(web.layers) + 1)]
    at: list[list[tuple[int, int]]] = []

    def edge(terminal: int) -> tuple[Side, float]:
        return ("W" if web.faces_east[terminal] else "E", web.line(y, terminal))

    for wire, pairs in enumerate(web.hops):
        at.append([])
        for number, (a, b) in enumerate(pairs):
            channel = web.channel(a)
            at[-1].append((channel, len(hops[channel])))
            hops[channel].append(Hop(*edge(a), *edge(b), old.runs.get((wire, number), ())))
    return [route(group, room) for group, room in zip(hops, between, strict=True)], at


def _hung(web: Web, hop_at: Sequence[Sequence[tuple[int, int]]]) -> frozenset[tuple[int, int]]:
    """Return the channel and number of the hops from boxes with no wire at their left."""
    found = set()
    for wire, hops in enumerate(web.hops):
        for (a, b), at in zip(hops, hop_at[wire], strict=True):
            for terminal in (a, b):
                item = web.item_of[terminal]
                if web.faces_east[terminal] and item < web.boxes and not web.west[item]:
                    found.add(at)
    return frozenset(found)


def _frames(web: Web, boxes: Sequence[Box]) -> list[Frame]:
    """Return the boxes within their layers: sources flush right, all others flush left."""
    widths = [0.0] * len(web.layers)
    for number, box in enumerate(boxes):
        if not web.west[number]:
            widths[web.layer_of[number]] = max(widths[web.layer_of[number]], box.width)
    return [
        Frame(0.0 if web.west[number] else widths[web.layer_of[number]] - box.width, box.width)
        for number, box in enumerate(boxes)
    ]


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


def _placement(drawn: Drawn, labels: dict[int, float]) -> Placement:
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
    left = min(0.0, *xs) if stand.kept_boxes else min(xs)
    top = min(0.0, *ys) if stand.kept_boxes else min(ys)
    kept = _kept(drawn, labels, boxes)
    size = (max(xs) - left, max(ys) - top)
    return move(Placement(boxes, pins, routes, strips, *size, kept), -left, -top)


def _kept(drawn: Drawn, labels: dict[int, float], boxes: Mapping[str, PlacedBox]) -> KeptLayout:
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
            {at[0]: drawn.columns.runs[at[0]][at[1]] for at in drawn.hop_at[wire]},
            (first in labels, last in labels),
        )
    return KeptLayout(kept_boxes, links)


def _wishes(drawn: Drawn, wire: int, labels: dict[int, float]) -> list[Wish]:
    """Return the label strips wanted for a wire, first the one at its end `a`."""
    link, points = drawn.parts.links[wire], _points(drawn, wire)
    wishes = []
    for terminal, near in zip(drawn.stand.web.ends(wire), (points[1], points[-2]), strict=True):
        x, y = drawn.pin_point(terminal)
        east = drawn.stand.web.faces_east[terminal]
        left = x + CLEAR if east else x - CLEAR - link.label_width
        strip = Strip(left, y, link.label_width)
        wishes.append(Wish(link.id, strip, abs(near[0] - x), terminal in labels))
    return wishes


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
                {at + layers: tuple(x + dx for x in xs) for at, xs in link.runs.items()},
                link.labels,
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
    )
