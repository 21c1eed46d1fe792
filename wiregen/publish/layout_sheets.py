"""Sheets and the overview in a layout file: boxes, sizes, marks, wires, pins."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from wiregen.edit.yaml_text import yaml_text
from wiregen.layout.engine import KeptBox, KeptLayout
from wiregen.layout.engine.graph import Point
from wiregen.layout.kept import KeptMap, KeptMark, KeptPin, KeptSheet, KeptSize
from wiregen.layout.schematic.ends import link_keys
from wiregen.model.order import in_order
from wiregen.publish.layout_feet import foot_lines, foot_of
from wiregen.publish.layout_ways import link_of, way_of, way_words, wire_key, wire_words
from wiregen.publish.layout_words import Words, line, mapping, number_text, optional
from wiregen.read.yaml_tree import Map
from wiregen.sheet.frame import PAPERS

_DEEP = "      "
_MOST_LINES = 99


def sheet_lines(sheet: KeptSheet) -> Iterator[str]:
    """Yield the lines of a sheet."""
    yield f"  {yaml_text(sheet.key)}:"
    yield f"    title: {yaml_text(sheet.title)}"
    yield from _page_lines(sheet, "    ")
    if sheet.foot is not None:
        yield from foot_lines(sheet.foot, "    ")
    if sheet.sizes:
        yield "    sizes:"
    for owner in in_order(sheet.sizes):
        size = sheet.sizes[owner]
        yield line(owner, " ".join(map(number_text, (size.width, size.left, size.top))), _DEEP)
    if sheet.marks:
        yield "    marks:"
    for group in in_order(sheet.marks):
        yield line(group, " ".join(map(_mark_words, sheet.marks[group])), _DEEP)
    yield "    wires:"
    wires = {wire_key(name): name for name in sheet.layout.links}
    for key in in_order(wires):
        name = wires[key]
        yield line(key, wire_words(name, sheet.layout.links[name], sheet.nodes), _DEEP)
    if sheet.pins:
        yield "    pins:"
        for node in in_order(sheet.pins):
            pin = sheet.pins[node]
            heights = pin.lines or (pin.row,)
            kind = "free" if pin.lines else "row"
            yield line(node, " ".join((pin.side, kind, *map(number_text, heights))), _DEEP)


def map_lines(kept: KeptMap) -> Iterator[str]:
    """Yield the lines of the overview."""
    yield "overview:"
    yield from _page_lines(kept, "  ")
    yield "  bundles:"
    for key in in_order(kept.layout.links):
        yield line(key, way_words(("", ""), kept.layout.links[key]), "    ")
    if kept.members:
        yield "  counted_into:"
        for name in in_order(kept.members):
            yield line(name, kept.members[name], "    ")
    if kept.earths:
        yield "  earth_lines:"
        for name in in_order(kept.earths):
            yield line(name, str(kept.earths[name]), "    ")


def _page_lines(kept: KeptSheet | KeptMap, indent: str) -> Iterator[str]:
    """Yield paper, corner, scale and boxes."""
    x, y = kept.corner
    yield f"{indent}paper: {kept.paper}"
    yield f"{indent}corner: {number_text(x)} {number_text(y)}"
    yield f"{indent}scale: {number_text(kept.scale)}"
    yield f"{indent}boxes:"
    for box_id in in_order(kept.layout.boxes):
        box = kept.layout.boxes[box_id]
        size = kept.sizes.get(box_id, ()) if isinstance(kept, KeptMap) else ()
        numbers = " ".join(map(number_text, (box.x, box.y, *size)))
        yield line(box_id, f"{box.layer} {numbers}", f"{indent}  ")


def map_of(tree: Map, name: str) -> KeptMap:
    """Return the overview of a layout file; `name` is that of the file."""
    bundles = mapping(tree, "bundles", name)
    members = optional(tree, "counted_into", name)
    paper, corner, scale, boxes = _page(tree, name)
    links = {key: way_of(("", ""), Words.of(bundles, key, name), {}) for key in bundles}
    into = {key: Words.of(members, key, name).text for key in members}
    sizes = {}
    for box, words in ((box, Words.of(mapping(tree, "boxes", name), box, name)) for box in boxes):
        numbers = words.numbers()
        if len(numbers) == 5:
            sizes[box] = (numbers[3], numbers[4])
    earths = optional(tree, "earth_lines", name)
    lines = {key: Words.of(earths, key, name).whole(_MOST_LINES, least=1) for key in earths}
    return KeptMap(paper, corner, scale, KeptLayout(boxes, links), into, sizes, lines)


def _page(tree: Map, name: str) -> tuple[str, Point, float, dict[str, KeptBox]]:
    """Return paper, corner, scale and boxes."""
    boxes = mapping(tree, "boxes", name)
    paper = Words.of(tree, "paper", name).one_of([paper.name for paper in PAPERS])
    corner = Words.of(tree, "corner", name)
    scale = Words.of(tree, "scale", name)
    return (
        paper,
        (corner.number(), corner.number()),
        scale.number(0.01, 2.0),
        {box: _box(Words.of(boxes, box, name)) for box in boxes},
    )


def sheet_of(key: str, tree: Map, name: str) -> KeptSheet:
    """Return the sheet under a key of a layout file; `name` is that of the file."""
    wires = mapping(tree, "wires", name)
    pins = optional(tree, "pins", name)
    marks = optional(tree, "marks", name)
    sizes = optional(tree, "sizes", name)
    paper, corner, scale, boxes = _page(tree, name)
    nodes: dict[str, str] = {}
    links = {}
    for wire in wires:
        link = link_of(wire)
        links[link] = way_of(link_keys(link), Words.of(wires, wire, name), nodes)
    return KeptSheet(
        key,
        Words.of(tree, "title", name).text,
        paper,
        corner,
        scale,
        KeptLayout(boxes, links),
        nodes,
        {node: _pin(Words.of(pins, node, name)) for node in pins},
        foot_of(tree, name),
        {owner: _size(Words.of(sizes, owner, name)) for owner in sizes},
        {group: _marks(Words.of(marks, group, name)) for group in marks},
    )


def _box(words: Words) -> KeptBox:
    return KeptBox(words.whole(), words.number(), words.number(), False)


def _size(words: Words) -> KeptSize:
    return KeptSize(words.number(0), words.number(0), words.number(0))


def _mark_words(mark: KeptMark) -> str:
    """Return how the file writes a mark.

    Example:
        >>> _mark_words(KeptMark((120.5, 88.2), (118, 85.1)))
        'at 120.5 88.2 name 118 85.1'
    """
    name = ("name", *map(number_text, mark.name)) if mark.name is not None else ()
    return " ".join(("at", *map(number_text, mark.at), *name))


def _marks(words: Words) -> tuple[KeptMark, ...]:
    marks: list[KeptMark] = []
    while words.left:
        kind = words.one_of(("at", "name") if marks else ("at",))
        place = (words.number(), words.number())
        if kind == "at":
            marks.append(KeptMark(place))
        else:
            marks[-1] = replace(marks[-1], name=place)
    return tuple(marks)


def _pin(words: Words) -> KeptPin:
    side, kind = words.side(), words.one_of(("free", "row"))
    heights = words.numbers() or (words.number(),)
    return KeptPin(side, heights[0], heights if kind == "free" else ())
