"""Whether a drawn sheet has a lane free for one more wire, told from the drawing alone."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise

CLEAR = 1.0  # room before and behind a label, mm
BESIDE = 1.5  # room beside a box, mm
APART = 2.0  # least distance of runs in line with each other, mm
LANES = 24  # heights tried in a layer


class Sheet:
    """A placement as rectangles and runs, with the column or channel each one belongs to."""

    def __init__(self, graph, placement):
        self.graph, self.track, kept = graph, graph.track, placement.kept
        self.layers = 1 + max(box.layer for box in kept.boxes.values())
        self.boxes = {
            box.id: (
                at.x,
                at.y - box.margin_above,
                at.x + box.width,
                at.y + box.height + box.margin_below,
            )
            for box in graph.boxes
            for at in [placement.boxes[box.id]]
        }
        self.layer = {name: box.layer for name, box in kept.boxes.items()}
        self.pins = placement.pins
        self.strips = [
            (s.x - CLEAR, s.y - graph.label_height, s.x + s.width + CLEAR, s.y)
            for strips in placement.labels.values()
            for s in strips
        ]
        self.lanes = [[] for _ in range(self.layers)]
        self.uprights, self.levels = [], []
        for name, route in placement.routes.items():
            for number, y in kept.links[name].lanes.items():
                self.lanes[number].append(y)
            channel = {x: at for at, way in kept.links[name].runs.items() for x in way[::2]}
            for (ax, ay), (bx, by) in pairwise(route):
                if ax == bx:
                    near = min(channel, key=lambda x: abs(x - ax))
                    self.uprights.append((channel[near], ax, *sorted((ay, by))))
                else:
                    self.levels.append((ay, *sorted((ax, bx))))
        self.bottom = placement.height
        self.right = placement.width

    def heights(self, number):
        """The heights at which a wire may pass a column: midway between what stands there."""
        far = self.graph.pitch
        taken = [
            (self.boxes[b][1] - far, self.boxes[b][3] + far)
            for b, at in self.layer.items()
            if at == number
        ]
        taken += [(y - self.track, y + self.track) for y in self.lanes[number]]
        found, top = [], 0.0
        for low, high in [*sorted(taken), (self.bottom, math.inf)]:
            if low >= top:
                found.append((low + top) / 2)
            top = max(top, high)
        return found

    def tracks(self, channel, one, other):
        """The x at which an upright run from height to height may stand in a channel."""
        top, bottom = min(one, other) - APART, max(one, other) + APART
        half = self.track / 2
        low, high, shut = 0.0, self.right, []
        for name, (left, y0, right, y1) in self.boxes.items():
            if y0 < bottom and top < y1:
                if self.layer[name] < channel:
                    low = max(low, right + BESIDE + half)
                else:
                    high = min(high, left - BESIDE - half)
        for at, x, y0, y1 in self.uprights:
            if y0 < bottom and top < y1:
                if at < channel:
                    low = max(low, x + self.track)
                elif at > channel:
                    high = min(high, x - self.track)
                else:
                    shut.append((x - self.track, x + self.track))
        shut += [(s[0] - half, s[2] + half) for s in self.strips if s[1] < bottom and top < s[3]]
        edges = sorted({low, *(x for _, x in shut)})
        return [x for x in edges if low <= x <= high and not any(a < x < b for a, b in shut)]

    def level(self, y, one, other):
        """Whether a level stretch runs clear of all others, of labels and of boxes."""
        left, right = sorted((one, other))
        return not (
            any(abs(y - at) < self.track and a < right and left < b for at, a, b in self.levels)
            or any(
                s[1] - APART < y < s[3] + APART and s[0] < right and left < s[2]
                for s in (*self.strips, *self.boxes.values())
            )
        )

    def label(self, pin, width):
        """The x past which a run must stand for a label at a pin, None where there is no room."""
        sign = 1 if pin.side == "E" else -1
        end = pin.x + sign * (width + 2 * CLEAR)
        left, right = sorted((pin.x, end))
        top, bottom = pin.y - self.graph.label_height - APART, pin.y + APART
        half = self.track / 2
        fits = not any(
            y0 < bottom and top < y1 and left - half < x < right + half
            for _, x, y0, y1 in self.uprights
        ) and not any(
            s[1] < bottom and top < s[3] and s[0] < right and left < s[2]
            for s in (*self.strips, *self.boxes.values())
        )
        return end + sign * half if fits else None


def lane_is_free(sheet, one, other, width):
    """Whether a new wire between two pins finds a run in every channel and a lane in every column.

    It turns once in a channel, and has room for a label at its first or at its second end.
    """
    a, b = sheet.pins[one], sheet.pins[other]
    start, goal = (sheet.layer[ref[0]] + (pin.side == "E") for ref, pin in ((one, a), (other, b)))
    step = 1 if goal >= start else -1
    channels = list(range(start, goal + step, step))
    columns = [min(pair) for pair in pairwise(channels)]
    heights = [
        sorted(sheet.heights(at), key=lambda y: abs(y - a.y) + abs(y - b.y))[:LANES]
        for at in columns
    ]
    tracks = cache(sheet.tracks)
    level = cache(sheet.level)

    def past(x, pin, limit):
        return limit is None or (x >= limit if pin.side == "E" else x <= limit)

    def reaches(number, y, x, limits):
        key = (number, y, x)
        if key in tried:
            return False
        tried.add(key)
        last = number == len(columns)
        for far in [b.y] if last else heights[number]:
            for turn in tracks(channels[number], y, far):
                if not (number or past(turn, a, limits[0])) or not level(y, x, turn):
                    continue
                if not last and reaches(number + 1, far, turn, limits):
                    return True
                if last and past(turn, b, limits[1]) and level(far, turn, b.x):
                    return True
        return False

    for limits in ((sheet.label(a, width), None), (None, sheet.label(b, width))):
        if limits != (None, None):
            tried = set()
            if reaches(0, a.y, a.x, limits):
                return True
    return False
