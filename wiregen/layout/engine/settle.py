"""Which wires of a kept layout can stay as they ran once boxes have grown, moved or come in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wiregen.layout.engine.columns import ROUNDING
from wiregen.layout.engine.field import Field, field_of, has_label_room, spots
from wiregen.layout.engine.fitting import Ends
from wiregen.layout.engine.free_way import JOG
from wiregen.layout.engine.lead import (
    Laid,
    ground_of,
    labels_for,
    labels_of,
    runs_of,
    without,
)
from wiregen.layout.engine.runs import GAP, NEAR

SAME = 1e-3  # heights closer than this are one height, mm


def settled(laid: Laid) -> tuple[Laid, list[int]]:
    """Return the layout with the wires that can stay, and those that have to be led anew."""
    here = laid.old.labels
    crooked = [wire for wire in here if not _as_before(laid, wire)]
    firm = without(laid, crooked)
    field = field_of(ground_of(firm), laid.room, GAP)
    ends = _ends(laid)
    hit = [wire for wire in firm.old.labels if not _stands(field, firm, wire, ends)]
    firm = without(firm, hit)
    loose = []
    for wire in sorted([*crooked, *hit]):
        tried = (_put_back(firm, laid, wire, labels) for labels in labels_for(laid, wire))
        back = next((found for found in tried if found), None)
        if back is None:
            loose.append(wire)
        firm = back or firm
    return firm, loose


def _ends(laid: Laid) -> list[list[float]]:
    """Return per channel the heights of all wire ends at boxes in place, new ones too, mm."""
    web = laid.web
    found: list[list[float]] = [[] for _ in range(len(web.layers) + 1)]
    for wire in range(len(laid.links)):
        for terminal in web.ends(wire):
            if web.item_of[terminal] in laid.y:
                found[web.channel(terminal)].append(laid.line(terminal))
    return found


def _as_before(laid: Laid, wire: int) -> bool:
    """Tell whether the ends of a wire are level with where they were, and its lanes known."""
    web = laid.web
    ends = zip(web.ends(wire), laid.ends[wire], strict=True)
    return all(
        web.item_of[terminal] in laid.y and abs(laid.line(terminal) - y) < SAME
        for terminal, y in ends
    ) and all(web.item_of[b] in laid.y for _, b in web.hops[wire][:-1])


def _stands(field: Field, laid: Laid, wire: int, ends: Sequence[Sequence[float]]) -> bool:
    """Tell whether a wire in place keeps off boxes, labels and ends, and its labels have room."""
    if not _has_labels(field, laid, wire) or not _has_lanes(laid, wire, laid.web.boxes):
        return False
    for number, hop in enumerate(laid.web.hops[wire]):
        channel, way = laid.web.channel(hop[0]), laid.old.runs.get((wire, number), ())
        if any(abs(bend - y) < NEAR for bend in way[1::2] for y in ends[channel]):
            return False
        for x, run in runs_of(laid, hop, way) if way else ():
            left, right = field.beside(channel, run)
            if not left - ROUNDING <= x <= right + ROUNDING:
                return False
    return True


def _has_labels(field: Field, laid: Laid, wire: int) -> bool:
    own = labels_of(laid, {wire: laid.old.labels[wire]}, pressed=True)
    return all(has_label_room(field, terminal, width) for terminal, width in own.items())


def _has_lanes(laid: Laid, wire: int, among: int) -> bool:
    """Tell whether the lanes of a wire keep off the items before `among` in their layers."""
    web, y = laid.web, laid.y
    for lane in (web.item_of[b] for _, b in web.hops[wire][:-1]):
        for item in web.layers[web.layer_of[lane]]:
            if item == lane or item >= among or item not in y:
                continue
            above = y[item] + web.height[item] + web.gap(item, lane) <= y[lane] + SAME
            if not above and y[lane] + web.gap(lane, item) > y[item] + SAME:
                return False
    return True


def _put_back(firm: Laid, before: Laid, wire: int, labels_at: Ends) -> Laid | None:
    """Return the layout with a wire where it ran before; None where that is not free."""
    web = firm.web
    lanes = [web.item_of[b] for _, b in web.hops[wire][:-1]]
    known = before.y.keys()
    if any(item not in known for item in (*lanes, *(web.item_of[t] for t in web.ends(wire)))):
        return None
    labels = {**firm.old.labels, wire: labels_at}
    y = {**firm.y, **{lane: before.y[lane] for lane in lanes}}
    runs = {at: way for at, way in before.old.runs.items() if at[0] == wire}
    back = replace(firm, y=y, old=replace(firm.old, labels=labels))
    ways = [(hop, runs.get((wire, number), ())) for number, hop in enumerate(web.hops[wire])]
    bent = any(bool(way) is _is_straight(back, hop) for hop, way in ways)
    if bent or not _has_lanes(back, wire, len(web.height)):
        return None
    field = field_of(ground_of(replace(back, y=firm.y)), back.room, GAP)
    if not _has_labels(field, back, wire):
        return None
    if not all(_is_free(field, back, hop, way) for hop, way in ways if way):
        return None
    return replace(back, old=replace(back.old, runs={**firm.old.runs, **runs}))


def _is_straight(laid: Laid, hop: tuple[int, int]) -> bool:
    """Tell whether a hop needs no run: its ends are level, and face each other."""
    across = laid.web.faces_east[hop[0]] is not laid.web.faces_east[hop[1]]
    return across and laid.line(hop[0]) == laid.line(hop[1])


def _is_free(field: Field, laid: Laid, hop: tuple[int, int], way: tuple[float, ...]) -> bool:
    """Tell whether a way through a channel is free, its ends as they are now."""
    channel, start, goal = laid.web.channel(hop[0]), laid.line(hop[0]), laid.line(hop[1])
    ends = [y for _, other, _ in field.ground.uprights[channel] for y in (other.y_a, other.y_b)]
    ends += [*field.ground.levels[channel], start, goal]
    if any(abs(level - y) < NEAR for level in way[1::2] for y in ends):
        return False
    return all(
        run.bottom - run.top >= JOG
        and any(s.left - ROUNDING <= x <= s.right + ROUNDING for s in spots(field, channel, run))
        for x, run in runs_of(laid, hop, way)
    )
