"""Measures of a schematic sheet, read from its SVG alone (mm): nothing of the program is used."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from bisect import bisect_left
from collections import Counter
from dataclasses import dataclass
from itertools import pairwise

SVG = "{http://www.w3.org/2000/svg}"
SAME = 0.05  # mm; coordinates have two decimals
LANE = 2.0  # least distance of parallel runs side by side, mm
BOXES = ("plug", "device", "fuse", "box", "splice", "earth")


@dataclass(frozen=True)
class Wire:
    """One wire of a sheet: its run, the ends its group names, the places of its labels."""

    name: str
    ends: tuple[str, str]
    points: tuple[tuple[float, float], ...]
    labels: tuple[tuple[float, float, str], ...]


@dataclass(frozen=True)
class Drawn:
    """A sheet as its SVG has it; `boxes` are (id, left, top, right, bottom)."""

    wires: tuple[Wire, ...]
    boxes: tuple[tuple[str, float, float, float, float], ...]
    pins: dict[str, list[tuple[float, float]]]
    marks: dict[str, list[tuple[float, float]]]


def read_svg(text):
    """Read a sheet; a stroke of a wire that is neither level nor upright is an error."""
    wires, boxes = [], []
    pins, marks = {}, {}
    for group in ET.fromstring(text).iter(f"{SVG}g"):
        words = group.get("class", "").split()
        if "wire" in words:
            wires.append(_wire(group))
        elif "pin" in words:
            pins.setdefault(group.get("data-pin"), []).append(_place(group))
        elif "reference" in words:
            marks.setdefault(group.get("data-wire"), []).append(_place(group))
        elif words and words[0] in BOXES:
            boxes += [
                _box(group.get(f"data-{words[0]}"), rect)
                for rect in group.iter(f"{SVG}rect")
                if rect.get("class") == "body"
            ]
    return Drawn(tuple(wires), tuple(boxes), pins, marks)


def _place(group):
    return float(group.get("data-x")), float(group.get("data-y"))


def _box(name, rect):
    x, y, width, height = (float(rect.get(key)) for key in ("x", "y", "width", "height"))
    return name, x, y, x + width, y + height


def _wire(group):
    (path,) = [p for p in group.iter(f"{SVG}path") if p.get("class") == "run"]
    x = y = 0.0
    points = []
    for letter, numbers in re.findall(r"([A-Za-z])([^A-Za-z]*)", path.get("d")):
        values = [float(number) for number in numbers.split()]
        if letter == "M":
            x, y = values
        elif letter == "H":
            (x,) = values
        elif letter == "V":
            (y,) = values
        else:
            raise ValueError(f"{path.get('d')}: only M, H and V")
        points.append((x, y))
    labels = [
        (float(text.get("x")), float(text.get("y")), "".join(text.itertext()))
        for text in group.iter(f"{SVG}text")
        if text.get("class") == "wire-label"
    ]
    ends = group.get("data-from"), group.get("data-to")
    return Wire(group.get("data-wire"), ends, _straight(points), tuple(labels))


def _straight(points):
    """Drop points of no length and points in the middle of a straight stroke."""
    out = []
    for point in points:
        if out and max(abs(out[-1][0] - point[0]), abs(out[-1][1] - point[1])) < SAME:
            continue
        while len(out) >= 2 and _one_way(out[-2], out[-1], point):
            out.pop()
        out.append(point)
    return tuple(out)


def _one_way(a, b, c):
    level = abs(a[1] - b[1]) < SAME and abs(b[1] - c[1]) < SAME
    upright = abs(a[0] - b[0]) < SAME and abs(b[0] - c[0]) < SAME
    ahead = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]) >= 0
    return (level or upright) and ahead


def strokes(drawn):
    """Return level (y, x0, x1, wire) and upright (x, y0, y1, wire) strokes, sorted."""
    level, upright = [], []
    for wire in drawn.wires:
        for (x0, y0), (x1, y1) in pairwise(wire.points):
            if abs(y0 - y1) < SAME:
                level.append((y0, min(x0, x1), max(x0, x1), wire.name))
            else:
                upright.append((x0, min(y0, y1), max(y0, y1), wire.name))
    return sorted(level), sorted(upright)


def crossings_and_touches(drawn):
    """Return how often two wires cross, and the pairs that touch without crossing."""
    level, upright = strokes(drawn)
    heights = [stroke[0] for stroke in level]
    crossed, touching = 0, []
    for x, y0, y1, name in upright:
        for y, x0, x1, other in level[bisect_left(heights, y0 - SAME) :]:
            if y > y1 + SAME:
                break
            if other == name or not x0 - SAME <= x <= x1 + SAME:
                continue
            if x0 + SAME < x < x1 - SAME and y0 + SAME < y < y1 - SAME:
                crossed += 1
            else:
                touching.append((name, other))
    return crossed, touching


def side_by_side(drawn):
    """Return the pairs of wires on one line, and those in lanes closer than `LANE`."""
    shared, close = [], []
    for group in strokes(drawn):
        for index, (at, low, high, name) in enumerate(group):
            for other_at, other_low, other_high, other in group[index + 1 :]:
                if other_at - at >= LANE - SAME:
                    break
                if other != name and min(high, other_high) - max(low, other_low) > -SAME:
                    (shared if other_at - at < SAME else close).append((name, other))
    return shared, close


def through_boxes(drawn):
    """Return the (wire, box) pairs where a wire enters the inside of a body."""
    level, upright = strokes(drawn)
    lines = [(x0, y, x1, y, name) for y, x0, x1, name in level]
    lines += [(x, y0, x, y1, name) for x, y0, y1, name in upright]
    return [
        (name, box)
        for box, left, top, right, bottom in drawn.boxes
        for x0, y0, x1, y1, name in lines
        if x0 < right - SAME and x1 > left + SAME and y0 < bottom - SAME and y1 > top + SAME
    ]


def off_pins(drawn):
    """Return the (wire, end) pairs where a run does not stop on the pin or mark it names."""
    return [
        (wire.name, end)
        for wire in drawn.wires
        for end, point in zip(wire.ends, (wire.points[0], wire.points[-1]), strict=True)
        if not _near(point, [*drawn.pins.get(end, ()), *drawn.marks.get(wire.name, ())])
    ]


def _near(point, places):
    return any(abs(point[0] - x) < SAME and abs(point[1] - y) < SAME for x, y in places)


def badly_labelled(drawn, letter_mm=1.0, height_mm=1.8):
    """Return the wires without a label, or with one off the wire, or under a stroke of another.

    Args:
        drawn: the sheet.
        letter_mm: least width to be taken for a letter of a label.
        height_mm: least height of a label.
    """
    level, upright = strokes(drawn)
    bad = []
    for wire in drawn.wires:
        own = [stroke for stroke in level if stroke[3] == wire.name]
        if not wire.labels:
            bad.append((wire.name, "no label"))
        for x, y, text in wire.labels:
            right = x + letter_mm * len(text)
            if not any(-SAME < s[0] - y < height_mm and s[1] < x and s[2] > right for s in own):
                bad.append((wire.name, "label off its wire"))
            across = [s[3] for s in upright
                      if x < s[0] < right and s[1] < y and s[2] > y - height_mm]  # fmt: skip
            across += [
                s[3] for s in level if y - height_mm < s[0] < y and s[1] < right and s[2] > x
            ]
            bad += [(wire.name, other) for other in across]
    return bad


def faults(drawn):
    """Return everything that is wrong with a sheet as (kind, what); empty for a clean one."""
    _, touching = crossings_and_touches(drawn)
    shared, close = side_by_side(drawn)
    doubled = [name for name, n in Counter(wire.name for wire in drawn.wires).items() if n > 1]
    kinds = {
        "touch": touching,
        "overlap": shared,
        "narrow gap": close,
        "through box": through_boxes(drawn),
        "off pin": off_pins(drawn),
        "label": badly_labelled(drawn),
        "drawn twice": doubled,
    }
    return [(kind, what) for kind, found in kinds.items() for what in found]


def figures(drawn):
    """Return crossings, bends, length (mm) and the area of bodies and wires together (mm2)."""
    crossed, _ = crossings_and_touches(drawn)
    bends = sum(max(0, len(wire.points) - 2) for wire in drawn.wires)
    length = sum(
        abs(x1 - x0) + abs(y1 - y0)
        for wire in drawn.wires
        for (x0, y0), (x1, y1) in pairwise(wire.points)
    )
    places = [point for wire in drawn.wires for point in wire.points]
    places += [(x, y) for _, x0, y0, x1, y1 in drawn.boxes for x, y in ((x0, y0), (x1, y1))]
    width, height = (max(axis) - min(axis) for axis in zip(*places, strict=True))
    return crossed, bends, length, width * height
