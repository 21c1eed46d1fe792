"""Room for what has grown: boxes of a kept layout moved as few and as little as can be."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from wiregen.layout.engine.columns import PAD, ROUNDING, rounded_up
from wiregen.layout.engine.graph import KeptLayout
from wiregen.layout.engine.lead import Laid
from wiregen.layout.engine.runs import NEAR

MOST_PUSHED = 60  # moves that are tried before there is no room

Way = Literal["up", "down"]
WAYS: tuple[Way, ...] = ("up", "down")


@dataclass(frozen=True, slots=True)
class Clash:
    """Two boxes that are too close: the upper or left one, the other, and by how much, mm."""

    first: int
    second: int
    down: float
    right: float


def clashes(laid: Laid) -> Iterator[Clash]:
    """Yield the pairs of boxes in place that stand too close to each other."""
    web, y, xs = laid.web, laid.y, laid.old.boxes
    boxes = sorted((box for box in xs if box in y), key=lambda box: (y[box], box))
    apart = 2 * PAD * web.pitch
    for place, upper in enumerate(boxes):
        bottom = y[upper] + web.height[upper]
        for lower in boxes[place + 1 :]:
            if y[lower] >= bottom + web.pitch:
                break
            same = web.layer_of[upper] == web.layer_of[lower]
            down = bottom + (web.gap(upper, lower) if same else NEAR) - y[lower]
            left, right = sorted((upper, lower), key=lambda box: web.layer_of[box])
            across = 0.0 if same else xs[left] + laid.boxes[left].width + apart - xs[right]
            if down > 1e-3 and (same or across > ROUNDING):
                yield Clash(upper, lower, down, across)


def pushed(keep: KeptLayout, laid: Laid, way: Way) -> KeptLayout | None:
    """Return the layout with boxes that overlap moved apart up or down; None if there is no room.

    Args:
        keep: the layout.
        laid: the same on the graph as it is now.
        way: `up` moves the upper box of two by whole rows, `down` the lower one.
    """
    y = dict(laid.y)
    now = replace(laid, y=y)
    moved: set[int] = set()
    for _ in range(MOST_PUSHED):
        clash = next(clashes(now), None)
        if clash is None:
            break
        if way == "up":
            rows = math.ceil(clash.down / laid.web.pitch - 1e-6) * laid.web.pitch
            y[clash.first] -= rows
            moved.add(clash.first)
        else:
            y[clash.second] += rounded_up(clash.down)
            moved.add(clash.second)
    else:
        return None
    tops = [y[box] for box in moved]
    bottoms = [y[box] + laid.web.height[box] for box in moved]
    if (
        min(tops, default=0.0) < max(0.0, laid.room.top)
        or max(bottoms, default=0.0) > laid.room.bottom
    ):
        return None
    by = {laid.boxes[box].id: y[box] - laid.y[box] for box in moved}
    boxes = {name: replace(at, y=at.y + by.get(name, 0.0)) for name, at in keep.boxes.items()}
    return KeptLayout(boxes, keep.links)


def widened(keep: KeptLayout, laid: Laid, channel: int, by: float) -> KeptLayout | None:
    """Return the layout with all that stands right of a channel moved to the right as it is.

    None if the sheet does not reach so far.

    Args:
        keep: the layout.
        laid: the same on the graph as it is now.
        channel: by the column right of it.
        by: how far, mm.
    """
    xs = [laid.old.boxes[box] + laid.boxes[box].width for box in laid.old.boxes]
    if max(xs, default=0.0) + by > laid.room.right:
        return None
    boxes = {
        name: replace(at, x=at.x + by) if at.layer >= channel else at
        for name, at in keep.boxes.items()
    }
    links = {
        name: replace(link, runs={
            at: tuple(v + by if n % 2 == 0 and at > channel else v for n, v in enumerate(way))
            for at, way in link.runs.items()
        })
        for name, link in keep.links.items()
    }  # fmt: skip
    return KeptLayout(boxes, links)
