"""Small designs for face sheets, and what can be measured on a sheet."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from wiregen.check import Report
from wiregen.connect import connect
from wiregen.draw.svg import to_svg
from wiregen.facts.colours import parse_colour
from wiregen.facts.sizes import read_size
from wiregen.layout.faces import face_sheets
from wiregen.model import Design, End, Face, Origin, Pin, Plug, Wire
from wiregen.problems import Problem
from wiregen.sheet.items import Circle, Group, Item, Path, Rect, Sheet, Text
from wiregen.sheet.metrics import text_width_mm
from wiregen.source import Span

SPAN = Span("design.yaml")
HERE = Origin(SPAN)
SVG = "{http://www.w3.org/2000/svg}"
Box = tuple[float, float, float, float]


def pin(name: str, carries: str = "", colour: str = "", size: str = "", **more: Any) -> Pin:
    """Return a pin; colours and sizes of several wires are parted by a plus."""
    colours = tuple(parse_colour(c) for c in colour.split("+") if c)
    sizes = tuple(read_size(s) for s in size.split("+") if s)
    return Pin(name, HERE, carries=carries, colours=colours, sizes=sizes, **more)


def rows(*lines: str, **more: Any) -> Face:
    """Return rows written as words, `~` is a gap."""
    names = tuple(tuple(None if n == "~" else n for n in line.split()) for line in lines)
    return Face(HERE, rows=names, **more)


def plug(plug_id: str, face: Face | None = None, *pins: Pin, **more: Any) -> Plug:
    return Plug(plug_id, HERE, face=face, pins={p.name: p for p in pins}, **more)


def wire(wire_id: str, start: str, end: str, colour: str = "", size: str = "", **more: Any) -> Wire:
    ends = [
        End(text, text.partition(":")[0], text.partition(":")[2], SPAN) if text else None
        for text in (start, end)
    ]
    return Wire(
        wire_id,
        HERE,
        *ends,
        parse_colour(colour) if colour else None,
        read_size(size) if size else None,
        **more,
    )


def design(*records: Any, **sections: Any) -> Design:
    """Return a design of plugs and wires, and further sections by name."""
    plugs = {r.id: r for r in records if isinstance(r, Plug)}
    wires = {r.id: r for r in records if isinstance(r, Wire)}
    return Design("design.yaml", "design", HERE, plugs=plugs, wires=wires, **sections)


def finding(code: str, message: str, *subjects: str) -> Problem:
    return Problem(code, "error", message, SPAN, subjects=subjects)


def draw(
    made: Design, plugs: Sequence[str] | None = None, *findings: Problem, mono: bool = False
) -> list[Sheet]:
    report = Report(findings=findings)
    return face_sheets(made, connect(made), report, plugs=plugs, mono=mono)


def parsed(sheet: Sheet) -> ET.Element:
    return ET.fromstring(to_svg(sheet))


@dataclass(frozen=True)
class View:
    """One picture as the SVG states it: cavity -> (x, y, state), places from its middle."""

    plug: str
    side: str
    mate: bool
    cavities: dict[str, tuple[float, float, str]]


def views(sheets: Sequence[Sheet]) -> list[View]:
    """Return every picture on the sheets, read from the SVG alone."""
    found = []
    for sheet in sheets:
        for face in parsed(sheet).iter(f"{SVG}g"):
            if face.get("class", "").split()[:1] != ["face"]:
                continue
            middle = _middle(face)
            cavities = {
                group.get("data-pin", ""): (
                    round(float(group.get("data-x", "")) - middle, 2),
                    float(group.get("data-y", "")),
                    group.get("data-state", ""),
                )
                for group in face.iter(f"{SVG}g")
                if group.get("class") == "cavity"
            }
            mate = face.get("class") == "face mate"
            found.append(View(face.get("data-plug", ""), face.get("data-side", ""), mate, cavities))
    return found


def _middle(face: ET.Element) -> float:
    for shape in face:
        if shape.get("class") == "outline":
            if shape.tag == f"{SVG}circle":
                return float(shape.get("cx", ""))
            return float(shape.get("x", "")) + float(shape.get("width", "")) / 2
    raise AssertionError("a face without an outline")


def texts(items: Sequence[Item]) -> Iterator[Text]:
    for item in items:
        if isinstance(item, Group):
            yield from texts(item.items)
        elif isinstance(item, Text):
            yield item


def text_box(text: Text) -> Box:
    """Return left, top, right and bottom of a printed text, mm."""
    width = sum(text_width_mm(part, text.size, bold) for part, bold, _ in text.parts)
    shift = {"start": 0.0, "middle": -width / 2, "end": -width}[text.anchor]
    left = text.x + shift
    return (left, text.y - 0.73 * text.size, left + width, text.y + 0.2 * text.size)


def overlap(one: Box, other: Box, slack: float = 0.02) -> bool:
    return (
        one[0] < other[2] - slack
        and other[0] < one[2] - slack
        and one[1] < other[3] - slack
        and other[1] < one[3] - slack
    )


def covered_texts(sheet: Sheet) -> list[tuple[str, str]]:
    """Return every pair of texts on a sheet that cover each other."""
    boxes = sorted(
        ((text_box(t), t.plain) for t in texts(sheet.items) if t.plain.strip() and not t.upright),
        key=lambda pair: pair[0],
    )
    found = []
    for number, (box, words) in enumerate(boxes):
        for other, other_words in boxes[number + 1 :]:
            if other[0] >= box[2]:
                break
            if overlap(box, other):
                found.append((words, other_words))
    return found


def outside(sheet: Sheet, margin_left: float = 20.0, margin: float = 10.0) -> list[str]:
    """Return what reaches out of the frame, except the frame itself and the zone names."""
    right, bottom = sheet.width - margin, sheet.height - margin
    found = []
    for what, (x1, y1, x2, y2) in _boxes(sheet.items):
        if x1 < margin_left - 0.3 or y1 < margin - 0.3 or x2 > right + 0.3 or y2 > bottom + 0.3:
            found.append(what)
    return found


def _boxes(items: Sequence[Item]) -> Iterator[tuple[str, Box]]:
    for item in items:
        match item:
            case Group():
                yield from _boxes(item.items)
            case Text() if item.cls != "zone":
                yield f"text {item.plain}", text_box(item)
            case Rect() if item.cls != "frame":
                yield (
                    f"rect {item.cls}",
                    (item.x, item.y, item.x + item.width, item.y + item.height),
                )
            case Circle():
                (x, y), r = item.centre, item.radius
                yield "circle", (x - r, y - r, x + r, y + r)
            case Path() if item.closed:
                xs, ys = [p[0] for p in item.points], [p[1] for p in item.points]
                yield f"path {item.cls}", (min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True)
class Opening:
    """The drawn opening of a cavity: its box, and whether it is round."""

    pin: str
    box: Box
    is_round: bool

    def touches(self, other: Opening) -> bool:
        if not (self.is_round and other.is_round):
            return overlap(self.box, other.box)
        (x1, y1, r1), (x2, y2, r2) = self.circle, other.circle
        return math.hypot(x1 - x2, y1 - y2) < r1 + r2 - 0.02

    @property
    def circle(self) -> tuple[float, float, float]:
        left, top, right, bottom = self.box
        return (left + right) / 2, (top + bottom) / 2, (right - left) / 2


def _is_slot(item: Item) -> bool:
    return isinstance(item, Path) and item.closed and len(item.points) == 4


def openings(sheet: Sheet) -> Iterator[list[Opening]]:
    """Yield the openings of each picture, from left to right."""
    for face in sheet.items:
        if isinstance(face, Group) and face.cls.startswith("face"):
            found = []
            for cavity in face.items:
                if isinstance(cavity, Group) and cavity.cls == "cavity":
                    shape = next(i for i in cavity.items if isinstance(i, Circle) or _is_slot(i))
                    box = next(box for _, box in _boxes((shape,)))
                    found.append(Opening(dict(cavity.data)["pin"], box, isinstance(shape, Circle)))
            yield sorted(found, key=lambda opening: opening.box)


def touching(sheet: Sheet) -> list[tuple[str, str]]:
    """Return every pair of openings of one picture that touch."""
    found = []
    for picture in openings(sheet):
        for number, one in enumerate(picture):
            for other in picture[number + 1 :]:
                if other.box[0] >= one.box[2]:
                    break
                if one.touches(other):
                    found.append((one.pin, other.pin))
    return found


def codes_on_openings(sheet: Sheet) -> list[tuple[str, str]]:
    """Return every code that reaches into the opening of a cavity."""
    found = []
    for face in sheet.items:
        if isinstance(face, Group) and face.cls.startswith("face"):
            for one in next(openings(replace(sheet, items=(face,)))):
                x, y, radius = one.circle
                for text in texts(face.items):
                    left, top, right, bottom = text_box(text)
                    near = (min(max(x, left), right), min(max(y, top), bottom))
                    inside = math.dist(near, (x, y)) < radius - 0.02
                    if text.cls == "code" and one.is_round and inside:
                        found.append((text.plain, one.pin))
    return found


def beyond_outline(sheet: Sheet, aside: Sequence[str] = ()) -> list[str]:
    """Return the cavities that are not wholly within the outline of their picture."""
    found = []
    for face in sheet.items:
        if isinstance(face, Group) and face.cls.startswith("face"):
            outline = next(i for i in face.items if getattr(i, "cls", "") == "outline")
            for cavity in face.items:
                if isinstance(cavity, Group) and cavity.cls == "cavity":
                    boxes = [box for _, box in _boxes(cavity.items)]
                    name = dict(cavity.data)["pin"]
                    if name not in aside and not all(_within(box, outline) for box in boxes):
                        found.append(name)
    return found


def _within(box: Box, outline: Item) -> bool:
    if isinstance(outline, Circle):
        corners = [(x, y) for x in box[::2] for y in box[1::2]]
        # The corners of the box around a round opening may reach out by its free quarters.
        return all(math.dist(c, outline.centre) < outline.radius + 1.2 for c in corners)
    assert isinstance(outline, Rect)
    right, bottom = outline.x + outline.width, outline.y + outline.height
    return outline.x < box[0] and outline.y < box[1] and box[2] < right and box[3] < bottom


def table_rows(sheets: Sequence[Sheet]) -> dict[str, list[str]]:
    """Return the texts of each row of the pin table, by pin."""
    found: dict[str, list[str]] = {}
    for sheet in sheets:
        for item in sheet.items:
            if isinstance(item, Group) and item.cls == "pin-row":
                found[dict(item.data)["pin"]] = [text.plain for text in texts(item.items)]
    return found


def all_words(sheets: Sequence[Sheet]) -> str:
    return " ".join(text.plain for sheet in sheets for text in texts(sheet.items))
