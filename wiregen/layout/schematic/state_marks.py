"""The marks of one operating state on a drawn sheet: on wires, beside pins, on lamps (mm)."""

from __future__ import annotations

from collections.abc import Sequence

from wiregen.layout.schematic.state_view import StateView
from wiregen.sheet.items import Item
from wiregen.sheet.zones import Area


def with_state(state: StateView, items: Sequence[Item], *, mono: bool) -> tuple[Item, ...]:
    """Return a drawn sheet with its marks."""
    return tuple(items)


def state_legend(state: StateView, area: Area) -> tuple[Item, ...]:
    """Return the legend of the marks."""
    return ()
