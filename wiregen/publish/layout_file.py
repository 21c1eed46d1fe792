"""The file beside a design that keeps its layout: `NAME.layout.yaml`, a line for each box and wire.

A box: its column, x and y in mm, on the overview its width and height too. A size: how wide a box
is drawn, and where in it the wires begin, from its left and its top. A mark of a screen or twist:
where it stands on the page, and its name. A wire: at both ends
the pin, the edge and the height; then the columns it passes with its height there, the channels
with the x of its upright runs and the heights between these, where room is kept for its label and
where one stands also. A pin without a wire: its edge, and the heights kept free for it or the one
its box needs.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from wiregen.edit.yaml_text import yaml_text
from wiregen.layout.engine import KeptBox, KeptLayout, KeptLink
from wiregen.layout.engine.graph import Point
from wiregen.layout.kept import KeptDrawing, KeptMap, KeptMark, KeptPin, KeptSheet, KeptSize
from wiregen.layout.schematic.ends import link_keys
from wiregen.layout.schematic.keeping import link_id
from wiregen.model import Design
from wiregen.model.order import in_order
from wiregen.problems import Problem, Unreadable
from wiregen.publish.files import CannotWrite, write_files
from wiregen.publish.layout_feet import face_lines, face_of, foot_lines, foot_of
from wiregen.publish.layout_words import Words, line, mapping, number_text
from wiregen.read.companions import LAYOUT
from wiregen.read.files import plain_text, read_text
from wiregen.read.yaml_tree import Map, read_tree
from wiregen.sheet.frame import PAPERS
from wiregen.source import Span

_HEAD = """\
# Where everything stands on the drawings of {name}: kept so that a change moves nothing else.
# Written by `wiregen draw`; keep it with the design. To lay out anew: wiregen draw --fresh
layout: 1
"""
_DEEP = "      "
_MOST_LINES = 99
_ROOM = {"none": (False, False), "first": (True, False), "last": (False, True),
         "both": (True, True)}  # fmt: skip
_CONFLICT = re.compile(r"^(?:<{7}|={7}|>{7})(?: |$)", re.MULTILINE)


def layout_path(design_path: str | Path) -> Path:
    """Return where the layout of a design is kept.

    Example:
        >>> str(layout_path("jobs/tractor.yaml"))
        'jobs/tractor.layout.yaml'
    """
    path = Path(design_path)
    return path.with_name(re.sub(r"\.ya?ml\Z", "", path.name) + LAYOUT)


def read_layout(design_path: str | Path) -> tuple[KeptDrawing | None, str]:
    """Return the kept layout of a design, or None and why it cannot be used.

    Args:
        design_path: the design file.

    Returns:
        The layout, None where there is none; and one line for the user, empty when all is well.
    """
    path = layout_path(design_path)
    try:
        if not path.exists():
            return None, ""
        return parse_layout(_text_of(path), str(path)), ""
    except Unreadable as error:
        first = error.problems[0]
        return None, f"{first.span}: {first.message}; this layout is not used"
    except (OSError, ValueError):
        return None, ""


def _text_of(path: Path) -> str:
    if not path.is_file():
        raise _refused("this is no file", str(path), (1, 1, 0))
    return read_text(path, str(path))


def of_this_design(
    design: Design, kept: KeptDrawing | None, message: str
) -> tuple[KeptDrawing | None, str]:
    """Refuse the layout of another design: one that knows none of the wires.

    Args:
        design: the design.
        kept: from `read_layout`.
        message: from `read_layout`.
    """
    if kept is None or not design.wires:
        return kept, message
    known = {key.rpartition(":")[0] for sheet in kept.sheets for key in sheet.nodes}
    if known and known.isdisjoint(design.wires):
        where = Span(str(layout_path(design.path)))
        return None, f"{where}: this is the layout of another design; it is not used"
    return kept, message


def write_layout(design_path: str | Path, kept: KeptDrawing) -> tuple[Path | None, str]:
    """Keep a layout beside its design; a file that says the same already is left alone.

    Args:
        design_path: the design file.
        kept: the sheets as they were drawn.

    Returns:
        The file where it was written; and why it cannot be kept, as one line, empty when it is.
    """
    path = layout_path(design_path)
    try:
        there = path.read_bytes() if path.is_file() else None
    except OSError:
        there = None
    content = layout_text(kept, Path(design_path).name).encode()
    if content == there or (there is None and not kept.sheets):
        return None, ""
    try:
        return write_files(path.parent, {path.name: content})[0], ""
    except CannotWrite as error:
        return None, f"the layout is not kept: {error}"


def layout_text(kept: KeptDrawing, name: str = "the design") -> str:
    """Return a layout as the text of its file.

    Args:
        kept: the sheets as they were drawn.
        name: what the design file is called.
    """
    shown = "".join(c for c in name if c.isprintable())
    lines = [_HEAD.format(name=shown), "sheets:\n" if kept.sheets else "sheets: {}\n"]
    for sheet in kept.sheets:
        lines.extend(f"{line}\n" for line in _sheet_lines(sheet))
    if kept.overview is not None:
        lines.extend(f"{line}\n" for line in _map_lines(kept.overview))
    if kept.faces:
        lines.append("faces:\n")
    for plug in in_order(kept.faces):
        lines.append(f"  {yaml_text(plug)}:\n")
        lines.extend(f"{line}\n" for line in face_lines(kept.faces[plug], "    "))
    return "".join(lines)


def parse_layout(text: str, name: str = "layout.yaml") -> KeptDrawing:
    """Return the layout a file holds.

    Args:
        text: of the file.
        name: of the file, for the places in messages.

    Raises:
        Unreadable: this is no layout; each problem names line and column.
    """
    text = plain_text(text, name)
    conflict = _CONFLICT.search(text)
    if conflict:
        line = text.count("\n", 0, conflict.start()) + 1
        raise _refused("a merge conflict that is not resolved", name, (line, 1, 7))
    tree = read_tree(text, name)
    if tree.get("layout") != 1:
        raise _refused("this is not a layout: 'layout: 1' is missing", name, tree.at)
    sheets = mapping(tree, "sheets", name)
    overview = _overview(mapping(tree, "overview", name), name) if "overview" in tree else None
    faces = mapping(tree, "faces", name) if "faces" in tree else Map(tree.at)
    return KeptDrawing(
        tuple(_sheet(key, mapping(sheets, key, name), name) for key in sheets),
        overview,
        {plug: face_of(mapping(faces, plug, name), name) for plug in faces},
    )


def _sheet_lines(sheet: KeptSheet) -> Iterator[str]:
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
    wires = {_wire_key(name): name for name in sheet.layout.links}
    for key in in_order(wires):
        name = wires[key]
        yield line(key, _wire_words(name, sheet.layout.links[name], sheet.nodes), _DEEP)
    if sheet.pins:
        yield "    pins:"
        for node in in_order(sheet.pins):
            pin = sheet.pins[node]
            heights = pin.lines or (pin.row,)
            kind = "free" if pin.lines else "row"
            yield line(node, " ".join((pin.side, kind, *map(number_text, heights))), _DEEP)


def _map_lines(kept: KeptMap) -> Iterator[str]:
    yield "overview:"
    yield from _page_lines(kept, "  ")
    yield "  bundles:"
    for key in in_order(kept.layout.links):
        yield line(key, _way_words(("", ""), kept.layout.links[key]), "    ")
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


def _wire_key(name: str) -> str:
    """Return how the file names a link: `W5`, `W5 from` where only that end is here.

    Example:
        >>> [_wire_key(one) for one in ("W5:0 W5:1", "W5:1 W5:1>", "under F1:0 under F1:1")]
        ['W5', 'W5 to', 'under F1']
    """
    wire, _, end = link_keys(name)[0].rpartition(":")
    if name.endswith(">"):
        return f"{wire} {'to' if end == '1' else 'from'}"
    return wire


def _link_id(key: str) -> str:
    """Return the link a key of the file names.

    Example:
        >>> [_link_id(one) for one in ("W5", "W5 to", "under F1")]
        ['W5:0 W5:1', 'W5:1 W5:1>', 'under F1:0 under F1:1']
    """
    wire, _, end = key.partition(" ")
    if end in ("from", "to"):
        here = f"{wire}:{int(end == 'to')}"
        return link_id(here, f"{here}>")
    return link_id(f"{key}:0", f"{key}:1")


def _wire_words(name: str, link: KeptLink, nodes: Mapping[str, str]) -> str:
    first, second = (nodes.get(key) or "-" for key in link_keys(name))
    return _way_words((f"{first} ", f"{second} "), link)


def _way_words(nodes: tuple[str, str], link: KeptLink) -> str:
    said = [
        f"{node}{side} {number_text(y)}"
        for node, side, y in zip(nodes, link.sides, link.ends, strict=True)
    ]
    said += [f"lane {at} {number_text(link.lanes[at])}" for at in sorted(link.lanes)]
    for at in sorted(link.runs):
        if link.runs[at]:
            said.append(f"run {at} {' '.join(map(number_text, link.runs[at]))}")
    said.append(f"label {_ends_word(link.labels)}")
    if any(link.also):
        said.append(f"also {_ends_word(link.also)}")
    return " ".join(said)


def _ends_word(ends: tuple[bool, bool]) -> str:
    return next(word for word, which in _ROOM.items() if which == ends)


def _refused(message: str, name: str, at: tuple[int, int, int]) -> Unreadable:
    return Unreadable([Problem("FMT101", "error", message, Span(name, *at))])


def _overview(tree: Map, name: str) -> KeptMap:
    bundles = mapping(tree, "bundles", name)
    members = mapping(tree, "counted_into", name) if "counted_into" in tree else Map(tree.at)
    paper, corner, scale, boxes = _page(tree, name)
    links = {key: _way(("", ""), Words.of(bundles, key, name), {}) for key in bundles}
    into = {key: Words.of(members, key, name).text for key in members}
    sizes = {}
    for box, words in ((box, Words.of(mapping(tree, "boxes", name), box, name)) for box in boxes):
        numbers = words.numbers()
        if len(numbers) == 5:
            sizes[box] = (numbers[3], numbers[4])
    earths = mapping(tree, "earth_lines", name) if "earth_lines" in tree else Map(tree.at)
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


def _sheet(key: str, tree: Map, name: str) -> KeptSheet:
    wires = mapping(tree, "wires", name)
    pins = mapping(tree, "pins", name) if "pins" in tree else Map(tree.at)
    marks = mapping(tree, "marks", name) if "marks" in tree else Map(tree.at)
    sizes = mapping(tree, "sizes", name) if "sizes" in tree else Map(tree.at)
    paper, corner, scale, boxes = _page(tree, name)
    nodes: dict[str, str] = {}
    links = {}
    for wire in wires:
        link = _link_id(wire)
        links[link] = _way(link_keys(link), Words.of(wires, wire, name), nodes)
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


def _way(keys: tuple[str, str], words: Words, nodes: dict[str, str]) -> KeptLink:
    """Return the way of a wire, or of a bundle, whose ends have no keys."""
    sides, ends = [], []
    for key in keys:
        node = words.word() if key else ""
        if key and not key.endswith(">"):
            nodes[key] = "" if node == "-" else node
        sides.append(words.side())
        ends.append(words.number())
    lanes: dict[int, float] = {}
    runs: dict[int, tuple[float, ...]] = {}
    labels, also = (True, False), (False, False)
    while words.left:
        kind = words.one_of(("lane", "run", "label", "also"))
        if kind == "label":
            labels = _ROOM[words.one_of(list(_ROOM))]
            continue
        if kind == "also":
            also = _ROOM[words.one_of(list(_ROOM))]
            continue
        at = words.whole()
        if kind == "lane":
            lanes[at] = words.number()
        else:
            runs[at] = words.numbers()
    return KeptLink((sides[0], sides[1]), (ends[0], ends[1]), lanes, runs, labels, also)
