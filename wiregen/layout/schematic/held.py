"""Boxes keep the size they were drawn with while their words fit; they grow where no wire is."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from wiregen.layout.engine import KeptLayout
from wiregen.layout.kept import KeptSize
from wiregen.layout.schematic.block import Block
from wiregen.layout.schematic.heads import WIDEST_MM, Head, up_to_grid
from wiregen.layout.schematic.keeping import DECIMALS
from wiregen.layout.schematic.scene import Scene
from wiregen.sheet.metrics import text_width_mm, wrap

_SAME_MM = 1e-4
_STEP_MM = 0.01


def held_width(scene: Scene, owner: str, needed_mm: float, words_mm: float = 0.0) -> float:
    """Return the width of a box: as it was drawn, wider only where that is too narrow, mm.

    Args:
        scene: the sheet.
        owner: whose box it is.
        needed_mm: width that it needs.
        words_mm: width for words that may reach over its edge where there is room beside it.
    """
    before = scene.sizes.get(owner)
    if before is None or owner not in scene.spill:
        needed_mm = max(needed_mm, words_mm)
    if before is not None and needed_mm <= before.width + _SAME_MM:
        return before.width
    return round(math.ceil(round(needed_mm / _STEP_MM, 6)) * _STEP_MM, 2)


def held_top(scene: Scene, owner: str, needed_mm: float) -> float:
    """Return the height of the first row of a box: as it was drawn, or lower, mm.

    Args:
        scene: the sheet.
        owner: whose box it is.
        needed_mm: height that its heading needs.
    """
    before = scene.sizes.get(owner)
    return max(before.top, needed_mm) if before is not None else needed_mm


def held_head(
    scene: Scene, owner: str, edge_mm: float, make: Callable[[float], Head], room_mm: float
) -> Head:
    """Return a heading for the box as it was drawn, where it is too long the one it grows least by.

    Args:
        scene: the sheet.
        owner: whose box it is.
        edge_mm: from the heading to the first row.
        make: returns the heading for a width.
        room_mm: width it may take in a box not drawn before.
    """
    first = make(room_mm)
    before = scene.sizes.get(owner)
    if before is None:
        return first

    def grown(title: Head) -> tuple[bool, float, float]:
        wide = max(min(title.width, WIDEST_MM) - before.width, _SAME_MM)
        high = max(up_to_grid(title.height + edge_mm, scene.row_mm) - before.top, _SAME_MM)
        return (title.cut, high, wide) if spills else (title.cut, wide + high, 0.0)

    spills = owner in scene.spill
    titles = [first, make(before.width), *([make(WIDEST_MM)] if spills else [])]
    return min(titles, key=grown)


def held_lines(
    scene: Scene, owner: str, lines: Sequence[str], size_mm: float, besides_mm: float
) -> tuple[str, ...]:
    """Return lines of words, each as two where it is too long for its part as it was drawn.

    Args:
        scene: the sheet.
        owner: whose part it is.
        lines: the words.
        size_mm: of the text.
        besides_mm: width of the part that is not for words.
    """
    before = scene.sizes.get(owner)
    if before is None or owner in scene.spill:
        return tuple(lines)
    room = before.width - besides_mm + _SAME_MM
    if max(text_width_mm(line, size_mm) for line in ("", *lines)) <= room:
        return tuple(lines)
    found = [wrap(line, room, size_mm) for line in lines]
    words = {word for line in lines for word in line.split()}
    whole = all({*part.split()} <= words for parts in found for part in parts)
    short = whole and max(map(len, found)) <= 2
    return tuple(part for parts in found for part in parts) if short else tuple(lines)


def grown_in_place(
    layout: KeptLayout, blocks: Sequence[Block], before: Mapping[str, KeptSize], scale: float
) -> KeptLayout:
    """Return a layout in which boxes that have grown reach to the left and up from their pins.

    Args:
        layout: as it was drawn.
        blocks: as they are now.
        before: their sizes as they were drawn.
        scale: lengths of the blocks to those of the layout.
    """
    boxes = dict(layout.boxes)
    for block in blocks:
        sizes = [(size, before[owner]) for owner, size in block.sizes if owner in before]
        if block.id in boxes and sizes:
            size, old = sizes[0]
            at = boxes[block.id]
            x = round(at.x - (size.left - old.left) * scale, DECIMALS)
            y = round(at.y - (size.top - old.top) * scale, DECIMALS)
            boxes[block.id] = replace(at, x=x, y=y)
    return KeptLayout(boxes, layout.links)
