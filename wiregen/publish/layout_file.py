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
from pathlib import Path

from wiregen.edit.yaml_text import yaml_text
from wiregen.layout.kept import KeptDrawing
from wiregen.model import Design
from wiregen.model.order import in_order
from wiregen.problems import Problem, Unreadable
from wiregen.publish.files import CannotWrite, write_files
from wiregen.publish.layout_feet import face_lines, face_of
from wiregen.publish.layout_sheets import map_lines, map_of, sheet_lines, sheet_of
from wiregen.publish.layout_words import mapping, optional
from wiregen.read.companions import LAYOUT
from wiregen.read.files import plain_text, read_text
from wiregen.read.yaml_tree import read_tree
from wiregen.source import Span

_HEAD = """\
# Where everything stands on the drawings of {name}: kept so that a change moves nothing else.
# Written by `wiregen draw`; keep it with the design. To lay out anew: wiregen draw --fresh
layout: 1
"""
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
        lines.extend(f"{line}\n" for line in sheet_lines(sheet))
    if kept.overview is not None:
        lines.extend(f"{line}\n" for line in map_lines(kept.overview))
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
    overview = map_of(mapping(tree, "overview", name), name) if "overview" in tree else None
    faces = optional(tree, "faces", name)
    return KeptDrawing(
        tuple(sheet_of(key, mapping(sheets, key, name), name) for key in sheets),
        overview,
        {plug: face_of(mapping(faces, plug, name), name) for plug in faces},
    )


def _refused(message: str, name: str, at: tuple[int, int, int]) -> Unreadable:
    return Unreadable([Problem("FMT101", "error", message, Span(name, *at))])
