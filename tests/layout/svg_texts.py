"""Texts of a sheet and the ink around them, read from its SVG and the glyphs of the font (mm).

Nothing of the program is used: a text fills what its letters fill, a line what its pen covers.
"""

from __future__ import annotations

import math
import re
import unicodedata
import xml.etree.ElementTree as ET
from collections import defaultdict
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

from fontTools.ttLib import TTFont

import wiregen

SVG = "{http://www.w3.org/2000/svg}"
FONTS = Path(wiregen.__file__).parent / "draw" / "fonts"
CELL = 20.0  # mm
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@dataclass(frozen=True)
class Words:
    """A text: what it says, its size, the groups it stands in, what its letters fill."""

    text: str
    size: float
    kind: str
    owners: tuple[str, ...]
    box: tuple[float, float, float, float]


@dataclass(frozen=True)
class Line:
    """A straight stroke and half its width; `owners` are the groups around it, outermost first."""

    owners: tuple[str, ...]
    start: tuple[float, float]
    end: tuple[float, float]
    half: float


@dataclass(frozen=True)
class Page:
    """What is printed on a sheet; `plates` are filled areas, (owners, box); `bodies` outlines."""

    texts: tuple[Words, ...]
    lines: tuple[Line, ...]
    plates: tuple[tuple[tuple[str, ...], tuple[float, float, float, float]], ...]
    bodies: tuple[tuple[float, float, float, float], ...]


@cache
def _font(bold):
    font = TTFont(FONTS / f"WiregenSans-{'Bold' if bold else 'Regular'}.ttf")
    return font.getBestCmap(), font["hmtx"], font["glyf"], font["head"].unitsPerEm


def _letters(text, size, bold):
    """Return the advance of a text, and how far its letters rise and hang, mm."""
    names, advances, glyphs, em = _font(bold)
    wide = high = low = 0.0
    for char in text:
        if unicodedata.category(char) in ("Mn", "Me"):
            continue  # stands over the letter before it
        name = names.get(ord(char), ".notdef")
        glyph = glyphs[name]
        wide += advances[name][0]
        if glyph.numberOfContours:
            high, low = max(high, glyph.yMax), min(low, glyph.yMin)
    return wide * size / em, high * size / em, low * size / em


def read_page(svg):
    """Read a sheet; its units must be millimetres."""
    root = ET.fromstring(svg)
    size = [float(number) for number in root.get("viewBox").split()]
    assert (root.get("width"), root.get("height")) == (f"{size[2]:g}mm", f"{size[3]:g}mm")
    texts, lines, plates, bodies = [], [], [], []

    def visit(element, owners):
        for child in element:
            tag = child.tag.removeprefix(SVG)
            if tag == "g":
                names = [f"{key[5:]}={value}" for key, value in child.items() if "data-" in key]
                visit(child, (*owners, " ".join([child.get("class", ""), *names[:1]])))
            elif tag == "text":
                texts.append(_words(child, owners))
            elif tag == "path":
                lines.extend(_strokes(child, owners))
            elif tag in ("rect", "circle") and owners:
                box = _box(child)
                bodies.extend([box] if child.get("class") == "body" else ())
                if child.get("fill") not in (None, "none"):
                    plates.append((owners, box))
                if tag == "rect" and float(child.get("stroke-width", 0)):
                    half = float(child.get("stroke-width")) / 2
                    x, y, ex, ey = box
                    corners = ((x, y), (ex, y), (ex, ey), (x, ey), (x, y))
                    lines.extend(Line(owners, a, b, half) for a, b in pairwise(corners))

    visit(root, ())
    return Page(tuple(texts), tuple(lines), tuple(plates), tuple(bodies))


def _words(element, owners):
    size, x, y = (float(element.get(key)) for key in ("font-size", "x", "y"))
    parts = list(element) or [element]
    wide = high = low = 0.0
    for part in parts:
        bold = part.get("font-weight") == "bold"
        one = _letters("".join(part.itertext()), size, bold)
        wide, high, low = wide + one[0], max(high, one[1]), min(low, one[2])
    shift = {"middle": wide / 2, "end": wide}.get(element.get("text-anchor"), 0.0)
    box = (x - shift, y - high, x - shift + wide, y - low)
    if element.get("transform"):
        box = (x - high, y + shift - wide, x - low, y + shift)
    return Words("".join(element.itertext()), size, element.get("class", ""), owners, box)


def _strokes(path, owners):
    half = float(path.get("stroke-width", 0)) / 2
    letters = re.findall(r"([A-Z])([^A-Z]*)", path.get("d"))
    if not half or any(letter == "A" for letter, _ in letters):
        return
    x = y = 0.0
    points = []
    for letter, numbers in letters:
        values = [float(number) for number in NUMBER.findall(numbers)]
        if letter in "ML":
            x, y = values
        elif letter == "H":
            (x,) = values
        elif letter == "V":
            (y,) = values
        points.append(points[0] if letter == "Z" else (x, y))
    yield from (Line(owners, a, b, half) for a, b in pairwise(points))


def _box(element):
    if element.tag == f"{SVG}circle":
        x, y, r = (float(element.get(key)) for key in ("cx", "cy", "r"))
        return x - r, y - r, x + r, y + r
    x, y, width, height = (float(element.get(key)) for key in ("x", "y", "width", "height"))
    return x, y, x + width, y + height


def crosses(line, box, by=0.05):
    """Tell whether a stroke covers a part of a box deeper than `by` mm (Liang-Barsky)."""
    grow = line.half - by
    left, top, right, bottom = box[0] - grow, box[1] - grow, box[2] + grow, box[3] + grow
    if left >= right or top >= bottom:
        return False
    (x, y), (ex, ey) = line.start, line.end
    low, high = 0.0, 1.0
    for step, near, far in ((ex - x, left - x, right - x), (ey - y, top - y, bottom - y)):
        if abs(step) < 1e-9:
            if near >= 0 or far <= 0:
                return False
            continue
        first, last = sorted((near / step, far / step))
        low, high = max(low, first), min(high, last)
    return low < high


def overlap(one, other, by=0.05):
    """Tell whether two boxes overlap by more than `by` mm both ways."""
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > by
        and min(one[3], other[3]) - max(one[1], other[1]) > by
    )


class _Near:
    """Things by place."""

    def __init__(self, things, box_of):
        self.cells = defaultdict(list)
        for thing in things:
            for cell in self._cells(box_of(thing)):
                self.cells[cell].append(thing)

    def __call__(self, box):
        found = {id(t): t for cell in self._cells(box) for t in self.cells.get(cell, ())}
        return found.values()

    @staticmethod
    def _cells(box):
        for column in range(math.floor((box[0] - 2) / CELL), math.floor((box[2] + 2) / CELL) + 1):
            for row in range(math.floor((box[1] - 2) / CELL), math.floor((box[3] + 2) / CELL) + 1):
                yield column, row


def _line_box(line):
    (x, y), (ex, ey) = line.start, line.end
    return min(x, ex), min(y, ey), max(x, ex), max(y, ey)


def unclear_labels(page):
    """Return (label, what lies over it) of every label of a wire that is not wholly clear."""
    lines = _Near(page.lines, _line_box)
    texts = _Near(page.texts, lambda words: words.box)
    plates = _Near(page.plates, lambda plate: plate[1])
    bad = []
    for label in page.texts:
        if label.kind != "wire-label":
            continue
        bad += [(label.text, line.owners) for line in lines(label.box) if crosses(line, label.box)]
        bad += [
            (label.text, other.text)
            for other in texts(label.box)
            if other is not label and overlap(label.box, other.box)
        ]
        bad += [
            (label.text, owners) for owners, box in plates(label.box) if overlap(label.box, box)
        ]
    return bad


def marks_that_cross(page, members):
    """Return what marks of screens and twists cross: texts, wires of others; names in bodies.

    Args:
        page: the sheet.
        members: group -> its wires.
    """
    texts = _Near(page.texts, lambda words: words.box)
    wires = _Near(
        [line for line in page.lines if line.owners and line.owners[0].startswith("wire")],
        _line_box,
    )
    bad = [
        (words.text, "in a body")
        for words in page.texts
        if words.owners and words.owners[0].startswith("group-mark")
        for box in page.bodies
        if overlap(words.box, box)
    ]
    for line in page.lines:
        if not (line.owners and line.owners[0].startswith("group-mark")):
            continue
        group = line.owners[0].partition("group=")[2]
        own = {f"wire={wire}" for wire in members[group]}
        box = _line_box(line)
        bad += [(group, words.text) for words in texts(box) if crosses(line, words.box)]
        for wire in wires(box):
            across = tuple(
                edge + sign * wire.half
                for edge, sign in zip(_line_box(wire), (-1, -1, 1, 1), strict=True)
            )
            if not own & {*wire.owners[0].split(" ")} and crosses(line, across):
                bad.append((group, wire.owners[0]))
    return bad


def small_texts(page):
    """Return the texts smaller than 1.8 mm as printed."""
    return [words.text for words in page.texts if words.size < 1.8 - 0.005]
