"""Tracks, labels and widths chosen so that a group fits its sheet."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from wiregen.layout.engine.channel import Hop, Tracks, route
from wiregen.layout.engine.columns import CLEAR, ROUNDING, Columns, Frame, Stand, place_columns
from wiregen.layout.engine.graph import Box, Placement, Side
from wiregen.layout.engine.labels import choose_labels
from wiregen.layout.engine.sequence import Room
from wiregen.layout.engine.trace import Drawn, Parts, placement_of
from wiregen.layout.engine.web import Web

Ends = tuple[bool, bool]
FIRST: Ends = (True, False)

MOST_TRIED = 8  # new wires for whose label the better end is looked for
SPARE = 3  # tracks left free in a channel where the sheet has room


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
        runs: (wire, hop) to its way: x of its runs, heights between them, mm.
        labels: wire to whether room was kept for a label at its ends.
        also: wire to whether a label stood at its ends where no room was kept.
    """

    boxes: Mapping[int, float] = field(default_factory=dict)
    runs: Mapping[tuple[int, int], tuple[float, ...]] = field(default_factory=dict)
    labels: Mapping[int, tuple[bool, bool]] = field(default_factory=dict)
    also: Mapping[int, tuple[bool, bool]] = field(default_factory=dict)


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
    if old.boxes:
        return _least_moved(parts, web, y, limits, old)
    rooms = _rooms(web, parts.boxes, {}, old)
    stand, hop_at = _stand(parts, web, y, limits.label_height, old=old, rooms=rooms)
    labels, columns = _fitting(stand, widths, limits)
    return placement_of(Drawn(parts, stand, hop_at, columns), labels)


def _stand(
    parts: Parts,
    web: Web,
    y: Sequence[float],
    label_height: float,
    *,
    old: Old,
    rooms: Sequence[Room],
) -> tuple[Stand, list[list[tuple[int, int]]]]:
    """Return what is settled before the widths, and where each hop is found in its channel."""
    tracks, hop_at = _route(web, y, old, rooms)
    stand = Stand(
        web,
        y,
        _frames(web, parts.boxes),
        tracks,
        label_height,
        _hung(web, hop_at),
        _turned(web, hop_at),
        old.boxes,
        {hop_at[wire][hop]: way[::2] for (wire, hop), way in old.runs.items()},
    )
    return stand, hop_at


def _least_moved(parts: Parts, web: Web, y: Sequence[float], limits: Limits, old: Old) -> Placement:
    """Return a repeated layout with the labels of new wires where they move least."""
    widths = [
        link.label_width - (wire in old.labels) * link.label_spare
        for wire, link in enumerate(parts.links)
    ]
    bare = frozenset(
        terminal
        for wire, also in old.also.items()
        for terminal, stood in zip(web.ends(wire), also, strict=True)
        if not stood
    )

    covered = _covered(web, y, limits.label_height)

    def attempt(labels_at: Mapping[int, Ends]) -> Placement:
        labels = _kept_labels(web, widths, labels_at)
        rooms = _rooms(web, parts.boxes, labels, old)
        stand, hop_at = _stand(parts, web, y, limits.label_height, old=old, rooms=rooms)
        columns = place_columns(stand, labels, ragged=True)
        return placement_of(Drawn(parts, stand, hop_at, columns, bare), labels)

    def cost(placement: Placement, labels_at: Mapping[int, Ends]) -> tuple[int, int]:
        bare = sum(not placement.labels[link.id] for link in parts.links)
        bare += len(covered & _kept_labels(web, widths, labels_at).keys())
        boxes = placement.kept.boxes
        xs = (
            boxes[parts.boxes[box].id].x - placement.origin[0] - x for box, x in old.boxes.items()
        )
        return bare, sum(moved > ROUNDING for moved in xs)

    chosen = {wire: old.labels.get(wire, FIRST) for wire in range(len(widths))}
    found = attempt(chosen)
    unlabelled = [w for w, link in enumerate(parts.links) if not found.labels[link.id]]
    if unlabelled:
        chosen |= dict.fromkeys(unlabelled, FIRST)
        found = attempt(chosen)
    new = [wire for wire in chosen if wire not in old.labels or wire in unlabelled]
    known = sorted(_pushing(web, parts, found, old) - {*new}, key=lambda w: (-widths[w], w))
    for wire in (*new[:MOST_TRIED], *known[:MOST_TRIED]):
        for ends in ((False, True), (True, False), (False, False)):
            now = cost(found, chosen)
            if now > (0, 0) and ends != chosen[wire]:
                others = {**chosen, wire: ends}
                other = attempt(others)
                if cost(other, others) < now:
                    chosen, found = others, other
    return found


def _covered(web: Web, y: Sequence[float], label_height: float) -> set[int]:
    """Return the terminals where a wire just above, at the same edge, would cross a label."""
    found = set()
    for box in range(web.boxes):
        for edge in (web.east[box], web.west[box]):
            lines = sorted((web.line_at(y[box], terminal), terminal) for terminal in edge)
            found |= {
                terminal
                for (above, _), (line, terminal) in pairwise(lines)
                if 0.0 < line - above < label_height - ROUNDING
            }
    return found


def _pushing(web: Web, parts: Parts, found: Placement, old: Old) -> set[int]:
    """Return the wires with an end in the channel left of the first box that has moved."""
    moved = [
        web.layer_of[box]
        for box, x in old.boxes.items()
        if found.kept.boxes[parts.boxes[box].id].x - found.origin[0] - x > ROUNDING
    ]
    channel = min(moved, default=-1)
    return {
        wire
        for wire in range(len(parts.links))
        if any(web.channel(terminal) == channel for terminal in web.ends(wire))
    }


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


def _rooms(web: Web, boxes: Sequence[Box], labels: Mapping[int, float], old: Old) -> list[Room]:
    """Return per channel the room between the boxes and labels that were at its edges."""
    lefts = [-math.inf] * (len(web.layers) + 1)
    rights = [math.inf] * (len(web.layers) + 1)
    for number, x in old.boxes.items():
        layer = web.layer_of[number]
        before = max((labels.get(t, 0.0) + 2 * CLEAR for t in web.west[number]), default=0.0)
        behind = max((labels.get(t, 0.0) + 2 * CLEAR for t in web.east[number]), default=0.0)
        rights[layer] = min(rights[layer], x - before)
        lefts[layer + 1] = max(lefts[layer + 1], x + boxes[number].width + behind)
    half = web.track / 2
    return [
        Room(left - half, right + half, web.track)
        for left, right in zip(lefts, rights, strict=True)
    ]


def _kept_labels(
    web: Web, widths: Sequence[float], labels_at: Mapping[int, Ends]
) -> dict[int, float]:
    """Return the labels to keep room for: terminal -> width."""
    return {
        terminal: width
        for wire, width in enumerate(widths)
        for terminal, wanted in zip(web.ends(wire), labels_at[wire], strict=True)
        if wanted
    }


def _route(
    web: Web, y: Sequence[float], old: Old, rooms: Sequence[Room]
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
    return [route(group, room) for group, room in zip(hops, rooms, strict=True)], at


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


def _turned(web: Web, hop_at: Sequence[Sequence[tuple[int, int]]]) -> frozenset[tuple[int, int]]:
    """Return the channel and number of the hops between two left edges."""
    return frozenset(
        at
        for wire, hops in enumerate(web.hops)
        for (a, b), at in zip(hops, hop_at[wire], strict=True)
        if not web.faces_east[a] and not web.faces_east[b]
    )


def _frames(web: Web, boxes: Sequence[Box]) -> list[Frame]:
    """Return the boxes within their layers: sources flush right, all others flush left."""
    widths = [0.0] * len(web.layers)
    for number, box in enumerate(boxes):
        if not web.west[number]:
            widths[web.layer_of[number]] = max(widths[web.layer_of[number]], box.width)
    return [
        Frame(
            0.0 if web.west[number] else _down(widths[web.layer_of[number]] - box.width),
            box.width,
            box.spare,
        )
        for number, box in enumerate(boxes)
    ]


def _down(x: float) -> float:
    """Return x rounded down to a hundredth, mm, so that a layout can be stored and repeated."""
    return math.floor(x * 100 + 1e-6) / 100
