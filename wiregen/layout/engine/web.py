"""The working form: boxes and lanes stand in layers, wires hop from layer to layer.

Channel `c` lies left of layer `c`. A wire end at an `E` edge belongs to the channel right of its
layer, one at a `W` edge to the channel left of it; between its two channels the wire passes every
layer as a lane. So one rule covers forward, backward, same-side and returning wires.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from wiregen.layout.engine.graph import Side


@dataclass(frozen=True, slots=True)
class End:
    """Where a wire ends: box number, edge, and offset of the pin from the box's clear area, mm."""

    box: int
    side: Side
    dy: float


@dataclass(frozen=True, slots=True)
class Wire:
    """A wire between two ends, `a` and `b` as in the link."""

    a: End
    b: End


@dataclass(slots=True)
class Web:
    """Items (boxes first, then lanes) in layers and the terminals that join them.

    Attributes:
        layers: items of every layer, top to bottom.
        height: of every item with its margins, mm; 0 for a lane.
        west: terminals at the left edge of every item, top to bottom.
        east: terminals at the right edge of every item, top to bottom.
        layer_of: layer of every item.
        item_of: item of every terminal.
        dy: offset of every terminal below the top of its item, mm.
        mate: the terminal at the other end of the hop.
        faces_east: whether a terminal lies at a right edge.
        hops: per wire the pairs of terminals from end `a` to end `b`, one a channel.
        boxes: number of items that are boxes.
        places: per box the offsets its free pins may take, top to bottom, mm; empty if fixed.
        shared: per box the sets of terminals that may exchange their places, see `Pin.terminal`.
        pitch: least distance of a box to a box, and of a lane to the pins of a box, mm.
        track: least distance of a lane to a lane or to the edge of a box, mm.
    """

    layers: list[list[int]]
    height: list[float]
    west: list[list[int]]
    east: list[list[int]]
    layer_of: list[int]
    item_of: list[int]
    dy: list[float]
    mate: list[int]
    faces_east: list[bool]
    hops: list[list[tuple[int, int]]]
    boxes: int
    places: list[Sequence[float]]
    pitch: float
    track: float
    shared: Mapping[int, Sequence[Sequence[int]]] = field(default_factory=dict)

    def ends(self, wire: int) -> tuple[int, int]:
        """Return the terminals at the two pins of a wire."""
        return self.hops[wire][0][0], self.hops[wire][-1][1]

    def line(self, y: Sequence[float], terminal: int) -> float:
        """Return the height of a terminal, mm, rounded so that straight runs are exactly so.

        Halves are rounded up, also those that a stored layout has with a little less.
        """
        return self.line_at(y[self.item_of[terminal]], terminal)

    def line_at(self, top: float, terminal: int) -> float:
        """Return the height of a terminal of an item whose top is given, mm, rounded likewise."""
        return round(round(top + self.dy[terminal], 4) + 1e-6, 3)

    def gap(self, upper: int, lower: int) -> float:
        """Return the least distance between two neighbouring items of a layer, mm.

        A lane keeps the pitch from the pins of a box, and only `track` from its edge.
        """
        if upper < self.boxes and lower < self.boxes:
            return self.pitch
        if upper < self.boxes:
            ends = [self.dy[t] for t in (*self.west[upper], *self.east[upper])]
            return max(self.track, self.pitch - self.height[upper] + max(ends, default=0.0))
        if lower < self.boxes:
            ends = [self.dy[t] for t in (*self.west[lower], *self.east[lower])]
            return max(self.track, self.pitch - min(ends, default=self.pitch))
        return self.track

    def channel(self, terminal: int) -> int:
        """Return the channel a terminal faces."""
        return self.layer_of[self.item_of[terminal]] + self.faces_east[terminal]


def build(
    layer: Sequence[int],
    heights: Sequence[float],
    wires: Sequence[Wire],
    *,
    places: Sequence[Sequence[float]],
    pitch: float,
    track: float,
) -> Web:
    """Return the web of boxes in given layers; every layer lists its boxes before its lanes."""
    count = len(layer)
    web = Web(
        layers=[[] for _ in range(max(layer, default=-1) + 1)],
        height=list(heights),
        west=[[] for _ in range(count)],
        east=[[] for _ in range(count)],
        layer_of=list(layer),
        item_of=[],
        dy=[],
        mate=[],
        faces_east=[],
        hops=[],
        boxes=count,
        places=[*places],
        pitch=pitch,
        track=track,
    )
    for box, number in enumerate(layer):
        web.layers[number].append(box)
    for wire in wires:
        _thread(web, wire)
    for terminals in (*web.west[:count], *web.east[:count]):
        terminals.sort(key=lambda terminal: web.dy[terminal])
    return web


def seat(web: Web, known: Mapping[int, float]) -> None:
    """Give the free pins of every box their places, in the order of its terminals.

    Args:
        web: the offsets of its terminals are changed.
        known: offsets of terminals that have been seated before, mm; they keep their places, new
            ones take those that are free.
    """
    for box, places in enumerate(web.places):
        used = max(len(web.west[box]), len(web.east[box]))
        for terminals in (web.west[box], web.east[box]) if places else ():
            seats = _known_seats(places, terminals, known)
            if not seats:
                first = (used - len(terminals)) // 2
                seats = dict(zip(terminals, places[first:], strict=False))
            for terminal, place in seats.items():
                web.dy[terminal] = place
            terminals.sort(key=lambda terminal: web.dy[terminal])


def _known_seats(
    places: Sequence[float], terminals: Sequence[int], known: Mapping[int, float]
) -> dict[int, float]:
    """Return the places of the terminals of one edge as before; empty where that is not to be."""
    seats: dict[int, float] = {}
    for terminal in terminals:
        if terminal in known:
            seats[terminal] = min(places, key=lambda place: abs(place - known[terminal]))
    free = [place for place in places if place not in {*seats.values()}]
    new = [terminal for terminal in terminals if terminal not in known]
    if not seats or len({*seats.values()}) < len(seats) or len(free) < len(new):
        return {}
    return seats | dict(zip(new, free, strict=False))


def _terminal(web: Web, item: int, east: bool, dy: float) -> int:
    number = len(web.item_of)
    web.item_of.append(item)
    web.dy.append(dy)
    web.mate.append(-1)
    web.faces_east.append(east)
    (web.east if east else web.west)[item].append(number)
    return number


def _thread(web: Web, wire: Wire) -> None:
    """Lay one wire through the layers between its two channels."""
    start = _terminal(web, wire.a.box, wire.a.side == "E", wire.a.dy)
    goal = _terminal(web, wire.b.box, wire.b.side == "E", wire.b.dy)
    here, there = web.channel(start), web.channel(goal)
    passed = range(here, there) if here <= there else range(here - 1, there - 1, -1)
    hops: list[tuple[int, int]] = []
    at = start
    for number in passed:
        lane = len(web.height)
        web.height.append(0.0)
        web.west.append([])
        web.east.append([])
        web.layer_of.append(number)
        web.layers[number].append(lane)
        near, far = (
            _terminal(web, lane, here > there, 0.0),
            _terminal(web, lane, here <= there, 0.0),
        )
        hops.append((at, near))
        at = far
    hops.append((at, goal))
    for one, other in hops:
        web.mate[one], web.mate[other] = other, one
    web.hops.append(hops)
