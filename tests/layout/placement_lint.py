"""Measures of a placement, worked out from its numbers alone, without the engine's own code."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from itertools import pairwise

TOUCH = 0.05  # mm
LANE = 2.0  # least distance of parallel runs side by side, mm


def runs(placement):
    """Return level runs (y, x0, x1, link) and upright runs (x, y0, y1, link), and the bends."""
    level, upright, bends, slanted = [], [], 0, []
    for link, points in placement.routes.items():
        bends += max(0, len(points) - 2)
        for (x0, y0), (x1, y1) in pairwise(points):
            if y0 == y1:
                level.append((y0, min(x0, x1), max(x0, x1), link))
            elif x0 == x1:
                upright.append((x0, min(y0, y1), max(y0, y1), link))
            else:
                slanted.append(link)
    return level, upright, bends, slanted


def crossings_and_touches(level, upright):
    """Return the number of proper crossings and the pairs of links that touch."""
    level = sorted(level)
    heights = [run[0] for run in level]
    count, touches = 0, set()
    for x, y0, y1, link in upright:
        at = bisect_left(heights, y0 - TOUCH)
        while at < len(level) and level[at][0] <= y1 + TOUCH:
            y, x0, x1, other = level[at]
            at += 1
            if other == link or x < x0 - TOUCH or x > x1 + TOUCH:
                continue
            if x0 + TOUCH < x < x1 - TOUCH and y0 + TOUCH < y < y1 - TOUCH:
                count += 1
            else:
                touches.add((link, other))
    return count, touches


def tight_pairs(strokes):
    """Return pairs of links whose parallel runs lie side by side closer than the lane gap."""
    found = set()
    strokes = sorted(strokes)
    for index, (at, low, high, link) in enumerate(strokes):
        for other_at, other_low, other_high, other in strokes[index + 1 :]:
            if other_at - at >= LANE - 1e-6:
                break
            if other != link and min(high, other_high) - max(low, other_low) > -TOUCH:
                found.add((link, other))
    return found


def rectangles(graph, placement):
    """Return the boxes as (id, x0, y0, x1, y1)."""
    found = []
    for box in graph.boxes:
        at = placement.boxes[box.id]
        found.append((box.id, at.x, at.y, at.x + box.width, at.y + box.height))
    return found


def _stubs(graph, placement):
    """Return per (link, box) the pins where the link may run from inside the box to its edge."""
    found = defaultdict(list)
    for link in graph.links:
        for ref in (link.a, link.b):
            pin = placement.pins[ref]
            found[link.id, ref[0]].append((pin.x, pin.y, pin.side))
    return found


def through_boxes(graph, placement, level, upright):
    """Return the (link, box) pairs where a run enters the inside of a box."""
    bad = set()
    stubs = _stubs(graph, placement)
    strokes = [(x0, y, x1, y, link) for y, x0, x1, link in level]
    strokes += [(x, y0, x, y1, link) for x, y0, y1, link in upright]
    for name, left, top, right, bottom in rectangles(graph, placement):
        for x0, y0, x1, y1, link in strokes:
            sides = [
                side
                for pin_x, pin_y, side in stubs.get((link, name), ())
                if y0 == y1 == pin_y and pin_x in (x0, x1)
            ]
            start = max(x0, right) if "E" in sides else x0
            stop = min(x1, left) if "W" in sides else x1
            inside_x = stop > left + TOUCH and start < right - TOUCH
            if inside_x and y1 > top + TOUCH and y0 < bottom - TOUCH:
                bad.add((link, name))
    return bad


def box_overlaps(graph, placement):
    """Return the pairs of boxes whose clear areas (with margins) overlap."""
    bad = []
    areas = []
    for box in graph.boxes:
        at = placement.boxes[box.id]
        top, bottom = at.y - box.margin_above, at.y + box.height + box.margin_below
        areas.append((at.x, at.x + box.width, top, bottom, box.id))
    areas.sort()
    for index, (_, right, top, bottom, name) in enumerate(areas):
        for x, _, other_top, other_bottom, other in areas[index + 1 :]:
            if x >= right - TOUCH:
                break
            if other_top < bottom - TOUCH and other_bottom > top + TOUCH:
                bad.append((name, other))
    return bad


def off_pin(graph, placement):
    """Return the links that do not end on their pins, or leave them through the box."""
    boxes = {box.id: box for box in graph.boxes}
    bad = []
    for link in graph.links:
        points = placement.routes[link.id]
        for (box_id, pin_name), end, following in (
            (link.a, points[0], points[1]),
            (link.b, points[-1], points[-2]),
        ):
            box, at = boxes[box_id], placement.boxes[box_id]
            pin = next(pin for pin in box.pins if pin.name == pin_name)
            placed = placement.pins[box_id, pin_name]
            if pin.free:
                allowed = [(x, p.dy, s) for p in box.pins for x, s in ((0, "W"), (box.width, "E"))]
            elif at.flipped:
                allowed = [(box.width - pin.dx, pin.dy, "E" if pin.side == "W" else "W")]
            else:
                allowed = [(pin.dx, pin.dy, pin.side)]
            fits = any(
                abs(at.x + dx - end[0]) < 1e-6
                and abs(at.y + dy - end[1]) < 1e-3
                and side == placed.side
                for dx, dy, side in allowed
            )
            outwards = following[0] > end[0] if placed.side == "E" else following[0] < end[0]
            if not (fits and outwards and (placed.x, placed.y) == end):
                bad.append(link.id)
    return bad


def blocked_labels(graph, placement, level, upright):
    """Return the links without a label strip, or with one that is not on its wire or not clear."""
    own = defaultdict(list)
    for y, x0, x1, link in level:
        own[link].append((y, x0, x1))
    areas = [(x0, y0, x1, y1, None) for _, x0, y0, x1, y1 in rectangles(graph, placement)]
    areas += [(x0, y, x1, y, link) for y, x0, x1, link in level]
    areas += [(x, y0, x, y1, link) for x, y0, y1, link in upright]
    bad = []
    for link in graph.links:
        strips = placement.labels[link.id]
        if not strips and link.label_width > 0:
            bad.append((link.id, "none"))
        for strip in strips:
            left, right = strip.x, strip.x + strip.width
            if strip.width != link.label_width or not any(
                abs(y - strip.y) < 1e-6 and x0 - 1e-6 <= left and right <= x1 + 1e-6
                for y, x0, x1 in own[link.id]
            ):
                bad.append((link.id, "not on its wire"))
            top, bottom = strip.y - graph.label_height, strip.y
            for x0, y0, x1, y1, other in areas:
                clear = x1 < left or x0 > right or y1 < top or y0 > bottom
                if other != link.id and not clear:
                    bad.append((link.id, other))
    return bad


def faults(graph, placement):
    """Return every broken hard property as (name, where); empty for a good placement."""
    level, upright, _, slanted = runs(placement)
    _, touches = crossings_and_touches(level, upright)
    found = [("slanted", link) for link in slanted]
    found += [("touch", pair) for pair in touches]
    found += [("tight", pair) for pair in tight_pairs(level) | tight_pairs(upright)]
    found += [("through box", pair) for pair in through_boxes(graph, placement, level, upright)]
    found += [("box overlap", pair) for pair in box_overlaps(graph, placement)]
    found += [("off pin", link) for link in off_pin(graph, placement)]
    found += [("label", pair) for pair in blocked_labels(graph, placement, level, upright)]
    for x0, y0, x1, y1 in (
        *((x0, y, x1, y) for y, x0, x1, _ in level),
        *((x, y0, x, y1) for x, y0, y1, _ in upright),
        *((x0, y0, x1, y1) for _, x0, y0, x1, y1 in rectangles(graph, placement)),
    ):
        if min(x0, y0) < -1e-6 or x1 > placement.width + 1e-6 or y1 > placement.height + 1e-6:
            found.append(("outside", (x0, y0, x1, y1)))
    if {box.id for box in graph.boxes} != set(placement.boxes):
        found.append(("missing box", ""))
    if {link.id for link in graph.links} != set(placement.routes):
        found.append(("missing link", ""))
    return found


def figures(placement):
    """Return crossings, bends and length (mm) of a placement."""
    level, upright, bends, _ = runs(placement)
    crossed, _ = crossings_and_touches(level, upright)
    length = sum(high - low for _, low, high, _ in level + upright)
    return crossed, bends, length
