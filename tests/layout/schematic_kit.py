"""Small design files for schematic sheets, and what can be read back from the SVG."""

from __future__ import annotations

import itertools
import re
import tempfile
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from pathlib import Path

from wiregen.check import Report
from wiregen.connect import connect
from wiregen.draw.svg import to_svg
from wiregen.layout.drawing_set import Options, drawing_set
from wiregen.model import Design
from wiregen.problems import Problem
from wiregen.read import load
from wiregen.sheet.items import Sheet

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]


def read(text: str) -> Design:
    """Read a design written in the test."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "small.yaml"
        path.write_text(text, encoding="utf-8")
        return load(path).design


def drawn(
    design: Design, options: Options | None = None, findings: Sequence[Problem] = ()
) -> tuple[Sheet, ...]:
    """Draw the whole set."""
    return drawing_set(design, connect(design), Report(findings=tuple(findings)), options)


def schematic(design: Design, options: Options | None = None) -> list[Sheet]:
    """Draw the schematic sheets of a design."""
    return [sheet for sheet in drawn(design, options) if sheet.name.startswith("sheet-")]


def parsed(sheet: Sheet) -> ET.Element:
    return ET.fromstring(to_svg(sheet))


def groups(root: ET.Element, cls: str) -> list[ET.Element]:
    return [g for g in root.iter(f"{SVG}g") if cls in g.get("class", "").split()]


def words(root: ET.Element) -> list[str]:
    return ["".join(text.itertext()) for text in root.iter(f"{SVG}text")]


def place(element: ET.Element) -> Point:
    return float(element.get("data-x", "")), float(element.get("data-y", ""))


def pins(root: ET.Element) -> dict[str, list[Point]]:
    """Every pin of a sheet by its node; a splice or a shared contact has several."""
    found: dict[str, list[Point]] = {}
    for pin in groups(root, "pin"):
        found.setdefault(pin.get("data-pin", ""), []).append(place(pin))
    return found


def run_of(wire: ET.Element) -> list[Point]:
    """The corner points of a wire's run; a stroke that is not level or upright is an error."""
    (path,) = [p for p in wire.iter(f"{SVG}path") if p.get("class") == "run"]
    x = y = 0.0
    points: list[Point] = []
    for letter, numbers in re.findall(r"([A-Z])([^A-Z]*)", path.get("d", "")):
        values = [float(number) for number in numbers.split()]
        assert letter in "MHV", path.get("d")
        if letter == "M":
            x, y = values
        elif letter == "H":
            (x,) = values
        else:
            (y,) = values
        points.append((x, y))
    return points


def near(point: Point, others: Sequence[Point]) -> bool:
    return any(abs(point[0] - x) < 0.05 and abs(point[1] - y) < 0.05 for x, y in others)


def shared_strokes(root: ET.Element) -> Iterator[tuple[str, str]]:
    """Pairs of wires that lie on one line for a stretch, found by comparing all with all."""
    strokes = [
        (wire.get("data-wire", ""), a, b)
        for wire in groups(root, "wire")
        for a, b in itertools.pairwise(run_of(wire))
    ]
    for (one, (ax, ay), (bx, by)), (other, (cx, cy), (dx, dy)) in itertools.combinations(
        strokes, 2
    ):
        if one == other:
            continue
        level = abs(ay - by) < 0.01 and abs(cy - dy) < 0.01 and abs(ay - cy) < 0.01
        upright = abs(ax - bx) < 0.01 and abs(cx - dx) < 0.01 and abs(ax - cx) < 0.01
        if level and min(max(ax, bx), max(cx, dx)) - max(min(ax, bx), min(cx, dx)) > 0.01:
            yield one, other
        if upright and min(max(ay, by), max(cy, dy)) - max(min(ay, by), min(cy, dy)) > 0.01:
            yield one, other
