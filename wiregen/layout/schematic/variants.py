"""Which variants of a machine an object belongs to, as the sheets mark it."""

from __future__ import annotations

from collections.abc import Iterable

from wiregen.model import Design
from wiregen.sheet.wire import variant_words


def only_of(design: Design, owner: str) -> tuple[str, ...]:
    """Return the variants an object belongs to, empty for all; a plug follows its device."""
    plug = design.plugs.get(owner)
    if plug is not None:
        device = design.devices.get(plug.of)
        return plug.only or (device.only if device else ())
    for records in (design.devices, design.fuses, design.boxes, design.splices, design.earths):
        if owner in records:
            return records[owner].only
    return ()


def variant_note(design: Design, owner: str) -> str:
    """Return the mark of an object's variants, empty where it belongs to all."""
    return marked(design, only_of(design, owner))


def marked(design: Design, only: Iterable[str]) -> str:
    """Return the mark of some variants; a design without variants, or drawn as one, has none."""
    return variant_words(tuple(only)) if design.variants else ""
