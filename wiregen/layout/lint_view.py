"""A sheet as the drawing lint sees it: strokes of wires, bodies, texts, pins; found by place."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Generic, TypeVar

from wiregen.sheet.items import Circle, Group, Item, Path, Point, Rect, Sheet, Text, walk
from wiregen.sheet.metrics import text_width_mm
from wiregen.sheet.moves import bounds
from wiregen.sheet.zones import FILING_MARGIN, MARGIN

_CELL_MM = 12.0
_CAP = 0.73
_DROP = 0.03
_SAME_MM = 0.05
_PIECE_MM = 0.4
CONTENT = (
    "plug",
    "device",
    "fuse",
    "box",
    "splice",
    "earth",
    "wire",
    "reference",
    "loose-end",
    "group-mark",
    "finding",
)
_Inks = TypeVar("_Inks", bound="Ink")


@dataclass(frozen=True, slots=True)
class Ink:
    """The upright rectangle something fills, mm."""

    name: str
    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Stroke(Ink):
    """One straight stroke of a wire; `left` to `right` is its centre line."""

    wire: str = ""
    level: bool = True
    width: float = 0.0

    def grown(self, by: float) -> Stroke:
        """Return the stroke as wide as it is printed, mm."""
        left, top, right, bottom = self.left - by, self.top - by, self.right + by, self.bottom + by
        return Stroke(self.name, left, top, right, bottom, self.wire, self.level, self.width)


@dataclass(frozen=True, slots=True)
class Label(Ink):
    """One text; `wire` is set for the label of a wire, `content` within the drawing."""

    text: str = ""
    size: float = 0.0
    wire: str = ""
    content: bool = False


@dataclass(frozen=True, slots=True)
class Run:
    """One connected line of a wire, and the nodes its file names for its ends."""

    wire: str
    points: tuple[Point, ...]
    nodes: tuple[str, str]


class Index(Generic[_Inks]):
    """Rectangles found by place: a grid of cells."""

    def __init__(self, items: Sequence[_Inks]) -> None:
        self.items = tuple(items)
        self._cells: dict[tuple[int, int], list[int]] = {}
        for number, item in enumerate(self.items):
            for cell in _cells(item, 0.0):
                self._cells.setdefault(cell, []).append(number)

    def near(self, ink: Ink, by: float = 1.0) -> Iterator[_Inks]:
        """Yield what may lie within `by` mm of an ink, each once."""
        found = {n for cell in _cells(ink, by) for n in self._cells.get(cell, ())}
        return (self.items[number] for number in sorted(found))

    def is_free(self, ink: Ink) -> bool:
        """Whether an ink overlaps nothing."""
        for cell in _cells(ink, 0.0):
            for number in self._cells.get(cell, ()):
                if overlap(ink, self.items[number]):
                    return False
        return True

    def covered(self, ink: Ink) -> int:
        """Return how many are overlapped by an ink."""
        cells, items = self._cells, self.items
        found = {n for cell in _cells(ink, 0.0) if cell in cells for n in cells[cell]}
        return sum([overlap(ink, items[number]) for number in found])

    def close_pairs(self, by: float) -> Iterator[tuple[_Inks, _Inks]]:
        """Yield pairs that may lie within `by` mm of each other, each pair once."""
        for number, item in enumerate(self.items):
            found = {n for cell in _cells(item, by) for n in self._cells.get(cell, ())}
            for other in sorted(found):
                if other > number:
                    yield item, self.items[other]


def _cells(ink: Ink, by: float) -> list[tuple[int, int]]:
    columns = range(int((ink.left - by) // _CELL_MM), int((ink.right + by) // _CELL_MM) + 1)
    rows = range(int((ink.top - by) // _CELL_MM), int((ink.bottom + by) // _CELL_MM) + 1)
    return [(column, row) for column in columns for row in rows]


@dataclass(frozen=True, slots=True)
class View:
    """Everything the lint measures.

    Attributes:
        runs: connected lines of the wires.
        strokes: their straight parts.
        bodies: outlines of plugs, devices, fuses ...
        texts: every text of the sheet.
        lines: ink lines within things, without the wires.
        edges: lines of frame, tables and legends, and the outlines of rectangles anywhere.
        rings: the numbered rings of findings.
        plates: filled discs and pills, small marks among them; a text on one is clear of the
            lines below it.
        pins: every pin, named by its node, where a wire must reach it.
        stops: where a wire may end otherwise, named by the wire: references and end marks.
        symbols: extents of symbols, named by the thing they belong to.
        boxes: bodies with an outline.
        frame: the frame line.
        page: the paper.
    """

    runs: tuple[Run, ...]
    strokes: Index[Stroke]
    bodies: Index[Ink]
    texts: Index[Label]
    lines: Index[Ink]
    edges: Index[Ink]
    rings: Index[Ink]
    plates: Index[Ink]
    pins: Index[Ink]
    stops: Index[Ink]
    symbols: tuple[Ink, ...]
    boxes: Index[Ink]
    frame: Ink
    page: Ink

    def pins_at(self, point: Point) -> frozenset[str]:
        """Return the nodes a wire that ends at this point has reached."""
        return _names_at(self.pins, point)

    def stops_at(self, point: Point) -> frozenset[str]:
        """Return the wires that may end at this point on no pin."""
        return _names_at(self.stops, point)


class _Collector:
    """Walks a display list once."""

    def __init__(self) -> None:
        self.runs: list[Run] = []
        self.strokes: list[Stroke] = []
        self.bodies: list[Ink] = []
        self.texts: list[Label] = []
        self.lines: list[Ink] = []
        self.edges: list[Ink] = []
        self.rings: list[Ink] = []
        self.plates: list[Ink] = []
        self.pins: list[Ink] = []
        self.stops: list[Ink] = []
        self.symbols: list[Ink] = []
        self.boxes: list[Ink] = []

    def visit(self, items: Sequence[Item], owner: str, wire: str, content: bool) -> None:
        """Take in items that belong to `owner`; `wire` is set within a wire's group."""
        for item in items:
            match item:
                case Group():
                    self._group(item, owner, wire, content)
                case Text() if item.plain.strip():
                    self.texts.append(_label(item, wire, content))
                case Rect():
                    self._rect(item, owner)
                case Path() if item.pen.stroke:
                    (self.lines if content else self.edges).extend(_lines(item, owner))
                case Circle() if item.pen.fill:
                    (x, y), radius = item.centre, item.radius
                    disc = Ink(owner, x - radius, y - radius, x + radius, y + radius)
                    (self.rings if owner.startswith("finding ") else self.plates).append(disc)

    def _rect(self, rect: Rect, owner: str) -> None:
        outline = Ink(owner, rect.x, rect.y, rect.x + rect.width, rect.y + rect.height)
        if rect.cls == "body":
            self.bodies.append(outline)
            if rect.pen.stroke:
                self.boxes.append(outline)
        elif rect.pen.fill and rect.corner >= min(rect.width, rect.height) / 2 - _SAME_MM:
            self.plates.append(outline)
        if rect.pen.stroke:
            half = rect.pen.width / 2
            self.edges.extend(_grown(edge, half) for edge in _sides(outline))

    def _group(self, group: Group, owner: str, wire: str, content: bool) -> None:
        data = dict(group.data)
        kind = group.cls.split(" ")[0]
        if kind == "pin":
            self.pins.append(_spot(data["pin"], data))
            if owner.startswith("loose-end "):
                self.stops.append(_spot(owner.partition(" ")[2], data))
        elif kind == "symbol" and any(not isinstance(i, Group) for i in walk(group.items)):
            self.symbols.append(Ink(owner, *bounds(group.items)))
        elif kind == "reference" and "x" in data:
            self.stops.append(_spot(data["wire"], data))
        if kind == "wire":
            self._wire(group, data)
            return
        name = owner
        if kind in CONTENT and group.data:
            name = group.data[0][1]
            if kind in ("loose-end", "finding"):
                name = f"{kind} {name}"
        self.visit(group.items, name, wire, content or kind in CONTENT)

    def _wire(self, group: Group, data: Mapping[str, str]) -> None:
        name = data["wire"]
        widths = [item.pen.width for item in group.items if isinstance(item, Path)]
        for item in group.items:
            if isinstance(item, Path) and item.cls == "run":
                self.runs.append(Run(name, item.points, (data["from"], data["to"])))
                self.strokes.extend(_strokes(name, item.points, max(widths)))
            elif isinstance(item, Text):
                self.texts.append(_label(item, name, True))


def _spot(name: str, data: Mapping[str, str]) -> Ink:
    x, y = float(data["x"]), float(data["y"])
    return Ink(name, x, y, x, y)


def _names_at(index: Index[Ink], point: Point) -> frozenset[str]:
    x, y = point
    here = Ink("", x, y, x, y)
    return frozenset(
        spot.name
        for spot in index.near(here)
        if abs(spot.left - x) < _SAME_MM and abs(spot.top - y) < _SAME_MM
    )


def _strokes(wire: str, points: Sequence[Point], width: float) -> Iterator[Stroke]:
    for (ax, ay), (bx, by) in pairwise(points):
        left, right = sorted((ax, bx))
        top, bottom = sorted((ay, by))
        yield Stroke(wire, left, top, right, bottom, wire, abs(ay - by) < 0.02, width)


def _lines(path: Path, owner: str) -> Iterator[Ink]:
    """Strokes of an ink line; slanted ones in pieces, so that each fills its rectangle."""
    half = path.pen.width / 2
    points = (*path.points, path.points[0]) if path.closed else path.points
    for (ax, ay), (bx, by) in pairwise(points):
        count = math.ceil(min(abs(ax - bx), abs(ay - by)) / _PIECE_MM) or 1
        dx, dy = (bx - ax) / count, (by - ay) / count
        for piece in range(count):
            x, y = ax + dx * piece, ay + dy * piece
            yield Ink(
                owner,
                min(x, x + dx) - half,
                min(y, y + dy) - half,
                max(x, x + dx) + half,
                max(y, y + dy) + half,
            )


def _sides(box: Ink) -> tuple[Ink, ...]:
    """Return the four sides of a rectangle."""
    name, left, top, right, bottom = box.name, box.left, box.top, box.right, box.bottom
    return (
        Ink(name, left, top, right, top),
        Ink(name, left, bottom, right, bottom),
        Ink(name, left, top, left, bottom),
        Ink(name, right, top, right, bottom),
    )


def _grown(ink: Ink, by: float) -> Ink:
    return Ink(ink.name, ink.left - by, ink.top - by, ink.right + by, ink.bottom + by)


def _label(text: Text, wire: str, content: bool) -> Label:
    width = sum(text_width_mm(part, text.size, bold) for part, bold, _ in text.parts)
    shift = {"start": 0.0, "middle": width / 2, "end": width}[text.anchor]
    up, down = text.size * _CAP, text.size * _DROP
    if text.upright:
        box = (text.x - up, text.y + shift - width, text.x + down, text.y + shift)
    else:
        box = (text.x - shift, text.y - up, text.x - shift + width, text.y + down)
    own = wire if text.cls == "wire-label" else ""
    return Label(text.plain, *box, text.plain, text.size, own, content)


def view_of(sheet: Sheet) -> View:
    """Read a sheet for the lint."""
    found = _Collector()
    found.visit(sheet.items, "", "", False)
    frame = Ink("frame", FILING_MARGIN, MARGIN, sheet.width - MARGIN, sheet.height - MARGIN)
    return View(
        tuple(found.runs),
        Index(found.strokes),
        Index(found.bodies),
        Index(found.texts),
        Index(found.lines),
        Index(found.edges),
        Index(found.rings),
        Index(found.plates),
        Index(found.pins),
        Index(found.stops),
        tuple(found.symbols),
        Index(found.boxes),
        frame,
        Ink("page", 0.0, 0.0, sheet.width, sheet.height),
    )


def strokes_of(items: Sequence[Item]) -> tuple[Stroke, ...]:
    """Return the straight strokes of all wires of a drawing."""
    found = _Collector()
    found.visit(items, "", "", False)
    return tuple(found.strokes)


def bodies_of(items: Sequence[Item]) -> Index[Ink]:
    """Return the outlines of all things of a drawing."""
    found = _Collector()
    found.visit(items, "", "", False)
    return Index(found.bodies)


def inks_of(items: Sequence[Item]) -> Index[Ink]:
    """Return everything printed by the blocks and wires of a drawing; bodies by their edges."""
    found = _Collector()
    found.visit(items, "", "", False)
    inks: list[Ink] = [stroke.grown(stroke.width / 2) for stroke in found.strokes]
    inks += [label for label in found.texts if label.content]
    inks += found.lines
    inks += found.plates
    for box in found.bodies:
        inks += _sides(box)
    return Index(inks)


def overlap(one: Ink, other: Ink, by: float = 0.0) -> bool:
    """Whether two rectangles overlap by more than `by` mm both ways."""
    return (
        one.left < other.right - by
        and other.left < one.right - by
        and one.top < other.bottom - by
        and other.top < one.bottom - by
    )
