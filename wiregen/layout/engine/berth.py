"""New boxes in a kept layout: each finds a place where there is room, near its wire."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from wiregen.layout.engine.columns import CLEAR, PAD, rounded_up
from wiregen.layout.engine.field import Field, field_of, heights_free
from wiregen.layout.engine.lead import Laid, ground_of, led
from wiregen.layout.engine.resume import Stage, resume
from wiregen.layout.engine.runs import NEAR
from wiregen.layout.engine.settle import settled
from wiregen.layout.engine.web import Web

FAR = 1  # columns further off than the nearest that a new box may stand in
MOST = 16  # places tried in a column
LANE = 60.0  # run that a lane is worth, mm
BENT = 40.0  # run that a pair of bends is worth, mm


@dataclass(frozen=True, slots=True)
class Berth:
    """A place for a new box: what it costs, mm of run, and the stage with the box there."""

    cost: float
    stage: Stage


def berthed(stage: Stage) -> Stage:
    """Return the stage with a place for every new box that found one, the first by id first."""
    while True:
        laid = resume(stage)
        ties = ((box, _tie(laid, box)) for box in range(len(laid.boxes)) if box not in laid.y)
        box, wire = next((tie for tie in ties if tie[1] is not None), (0, None))
        if wire is None:
            return stage
        found = _berth(stage, laid, box, wire)
        if found is None:
            return stage
        stage = found.stage


def _tie(laid: Laid, box: int) -> int | None:
    """Return the first wire that joins a box to one in place; None where there is none."""
    web = laid.web
    for wire in range(len(laid.links)):
        ends = [web.item_of[t] for t in web.ends(wire)]
        if box in ends and any(end in laid.y for end in ends):
            return wire
    return None


def _berth(stage: Stage, laid: Laid, box: int, wire: int) -> Berth | None:
    """Return the best place for a new box: in a column near by, the nearest first."""
    best: Berth | None = None
    for spread, passed in _columns(stage, laid, box, wire):
        if best is not None and LANE * passed >= best.cost:
            break
        tried = replace(stage, spread=spread)
        firm, _ = settled(resume(tried))
        for x, y, off in _places(firm, box, wire)[:MOST]:
            if best is not None and LANE * passed + off >= best.cost:
                break
            there = replace(
                firm, y={**firm.y, box: y}, old=replace(firm.old, boxes={**firm.old.boxes, box: x})
            )
            if led(there, wire, doglegs=False):
                new = {**stage.new, box: (x, y)}
                best = Berth(LANE * passed + off, replace(tried, new=new))
                break
    return best


def _ends(web: Web, box: int, wire: int) -> tuple[int, int]:
    """Return the terminal of a wire at a box, and the one at its far end."""
    first, last = web.ends(wire)
    return (first, last) if web.item_of[first] == box else (last, first)


def _columns(stage: Stage, laid: Laid, box: int, wire: int) -> list[tuple[Sequence[int], int]]:
    """Return the columns of all boxes with a new box in each near by, and the lanes that takes."""
    web = laid.web
    mine, far = _ends(web, box, wire)
    other = web.item_of[far]
    at = stage.spread[other] // 2 + web.faces_east[far] - web.faces_east[mine]
    known = [column // 2 for column in stage.spread if column % 2]
    found = []
    for column in range(max(min(known) - 1, at - FAR), min(max(known) + 1, at + FAR) + 1):
        spread = [*stage.spread]
        spread[box] = 2 * column + 1
        found.append((spread, abs(column - at)))
    return sorted(found, key=lambda item: item[1])


def _places(laid: Laid, box: int, wire: int) -> list[tuple[float, float, float]]:
    """Return the corners at which a box could stand in its column, and how far off its wire, mm.

    Those with the shortest way come first.
    """
    web = laid.web
    mine, far = _ends(web, box, wire)
    goal = laid.line(far) - web.dy[mine]
    field = field_of(ground_of(laid, pressed=False), laid.room, laid.web.track)
    heights = sorted(heights_free(field, box, [goal]), key=lambda y: (abs(y - goal), y))
    column = _column_x(laid, box)
    width = laid.links[wire].label_width + 2 * CLEAR
    found: list[tuple[float, float, float]] = []
    for y in (at if at == goal else round(at, 2) for at in heights):
        low, high = _stretch(field, box, y, laid.boxes[box].width)
        east = web.faces_east[mine]
        near, step = (high, -1) if east else (low, 1)
        off = abs(y - goal) + (BENT if y != goal else 0.0)
        wishes = [column, near + step * (width + 2 * web.track), near]
        for x in dict.fromkeys(rounded_up(x) for x in wishes if x is not None and math.isfinite(x)):
            if low - 1e-6 <= x <= high + 1e-6:
                found.append((x, y, off))
    return found


def _column_x(laid: Laid, box: int) -> float | None:
    """Return where the boxes of a column stand, mm; None for a new column."""
    here = [item for item in laid.web.layers[laid.web.layer_of[box]] if item in laid.old.boxes]
    return min((laid.old.boxes[item] for item in here), default=None)


def _stretch(field: Field, box: int, y: float, width: float) -> tuple[float, float]:
    """Return the least and the greatest x at which a box may stand at a height, mm."""
    web = field.ground.web
    number, pad = web.layer_of[box], PAD * web.pitch
    top, bottom = y - NEAR, y + web.height[box] + NEAR
    low = max(field.lefts.layers[number].reach(top, bottom) + pad, field.room.left)
    high = min(-field.rights.layers[number].reach(top, bottom) - pad, field.room.right) - width
    return low, high
