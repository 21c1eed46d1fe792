"""What the objects of a design are called."""

from __future__ import annotations

from collections.abc import Mapping

from wiregen.model import Design


def title_of(design: Design, owner: str) -> str:
    """Return the title of any object of a design, empty when it has none."""
    sections: tuple[Mapping[str, object], ...] = (
        design.plugs,
        design.devices,
        design.boxes,
        design.fuses,
        design.splices,
        design.earths,
    )
    for section in sections:
        if owner in section:
            return str(getattr(section[owner], "title", ""))
    return ""
