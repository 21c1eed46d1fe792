"""Words that got longer reach over the edge of their part where nothing stands beside it."""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace

from wiregen.layout.kept import KeptSheet
from wiregen.layout.lint_view import Ink, Label, inks_of
from wiregen.layout.schematic.build import make_blocks
from wiregen.layout.schematic.page import Laid
from wiregen.layout.schematic.scene import Scene
from wiregen.sheet.frame import Area
from wiregen.sheet.items import Group, Item

_SAME_MM = 0.01
_CLEAR_MM = 0.3
"""Kept between such words and anything else."""


def is_as_before(laid: Laid, keep: KeptSheet) -> bool:
    """Tell whether every box and wire of a sheet drawn before is where it was, and no box wider."""
    now, before = laid.placement.kept, keep.layout
    sizes = [(size, keep.sizes.get(owner, size)) for b in laid.blocks for owner, size in b.sizes]
    return (
        all(size.width < old.width + _SAME_MM for size, old in sizes)
        and all(before.boxes.get(name, at) == at for name, at in now.boxes.items())
        and all(before.links.get(name, way) == way for name, way in now.links.items())
    )


def longer_parts(scene: Scene, keep: KeptSheet) -> frozenset[str]:
    """Return the plugs, devices and fuses whose words need more room than they had."""
    blocks = make_blocks(scene)
    held = make_blocks(replace(scene, spill=frozenset(keep.sizes)))
    return frozenset(
        owner
        for block, before in zip(blocks, held, strict=True)
        if (block.width, block.height, block.ports) != (before.width, before.height, before.ports)
        for owner, _ in block.sizes
    )


def clashing(items: Sequence[Item], parts: AbstractSet[str], room: Area) -> frozenset[str]:
    """Return the parts whose words cover something else or leave the sheet.

    Args:
        items: the drawing.
        parts: plugs, devices and fuses whose words may reach over their edge.
        room: of the drawing, in its lengths.
    """
    found = set()
    for part in parts:
        own = [item for item in items if _is_of(item, part)]
        others = inks_of([item for item in items if not _is_of(item, part)])
        inks = [_around(ink) for ink in inks_of(own).items if isinstance(ink, Label)]
        if not all(_is_within(ink, room) and others.is_free(ink) for ink in inks):
            found.add(part)
    return frozenset(found)


def _is_of(item: Item, part: str) -> bool:
    return isinstance(item, Group) and bool(item.data) and item.data[0][1] == part


def _around(ink: Ink) -> Ink:
    by = _CLEAR_MM
    return Ink(ink.name, ink.left - by, ink.top - by, ink.right + by, ink.bottom + by)


def _is_within(ink: Ink, room: Area) -> bool:
    across = room.x <= ink.left and ink.right <= room.right
    return across and room.y <= ink.top and ink.bottom <= room.bottom
