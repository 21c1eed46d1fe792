"""The list of earth points with everything that is earthed there (mm)."""

from __future__ import annotations

from collections.abc import Mapping

from wiregen.layout.schematic.block import NOTE_MM, words
from wiregen.layout.schematic.ends import Ends
from wiregen.model import Design
from wiregen.model.order import in_order
from wiregen.sheet import style
from wiregen.sheet.frame import Area
from wiregen.sheet.items import Item
from wiregen.sheet.metrics import fit, text_width_mm, wrap

_LINE_MM = 3.3
_NAME_MM = 52.0
_MOST_SHARE = 0.3


def earth_users(design: Design, ends: Ends) -> dict[str, tuple[str, ...]]:
    """Return earth -> its users as printed: wire and the pin it comes from, or a case.

    Args:
        design: the design.
        ends: from `find_ends`.
    """
    users: dict[str, list[str]] = {earth: [] for earth in in_order(design.earths)}
    for wire, pair in ends.of_wire.items():
        for here, there in (pair, pair[::-1]):
            if here.owner in users:
                users[here.owner].append(f"{wire} {there.node}".strip())
    for device in design.devices.values():
        if device.case in users:
            users[device.case].append(f"case of {device.id}")
    return {earth: tuple(found) for earth, found in users.items() if found}


def earth_lines(
    users: Mapping[str, tuple[str, ...]], area: Area, before: Mapping[str, int]
) -> dict[str, tuple[str, ...]]:
    """Return the users of each earth line by line.

    Args:
        users: from `earth_users`.
        area: room of the drawing.
        before: lines an earth had in the list before; so many it has again, empty ones too.
    """
    found = {}
    for earth, names in users.items():
        lines = wrap(" · ".join(names), area.width - _NAME_MM, NOTE_MM)
        found[earth] = (*lines, *[""] * (before.get(earth, 1) - len(lines)))
    return found


def earth_list(
    design: Design, earths: Mapping[str, tuple[str, ...]], area: Area
) -> tuple[tuple[Item, ...], float]:
    """Return the list at the bottom of an area, and the height it takes, mm.

    Args:
        design: the design.
        earths: from `earth_lines`.
        area: room of the drawing; the list takes no more than a share of its height.
    """
    lines: list[tuple[str, str, str]] = []
    for earth_id, found in earths.items():
        title = design.earths[earth_id].title
        for index, text in enumerate(found):
            lines.append((earth_id if index == 0 else "", title if index == 0 else "", text))
    most = int(area.height * _MOST_SHARE / _LINE_MM) - 1
    if len(lines) > most:
        lines = [*lines[: most - 1], ("", "", "… further users: see the wire list")]
    if not lines:
        return (), 0.0
    height = (len(lines) + 1) * _LINE_MM + 3.0
    y = area.bottom - height + _LINE_MM
    items: list[Item] = [words(area.x, y, "Earth points", style.TEXT_PIN, bold=True)]
    for earth_id, title, text in lines:
        y += _LINE_MM
        if earth_id:
            name = fit(earth_id, 18.0, NOTE_MM, bold=True)
            items.append(words(area.x, y, name, NOTE_MM, bold=True))
            x = text_width_mm(name, NOTE_MM, bold=True) + 1.5
            room = _NAME_MM - x - 2.0
            items.append(
                words(area.x + x, y, fit(title, room, NOTE_MM), NOTE_MM, colour=style.SECONDARY)
            )
        if text:
            items.append(words(area.x + _NAME_MM, y, text, NOTE_MM))
    return tuple(items), height
