"""What a device does between its terminals, as inner parts: contacts at rest, coils, loads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from wiregen.connect import node_name, node_of
from wiregen.layout.schematic.interior import Inner
from wiregen.layout.schematic.variants import marked
from wiregen.model import Design, Device
from wiregen.sheet.symbols import KINDS

CONTACT_KINDS = ("switch", "isolator", "relay", "flasher")
_WHOLE_KINDS = ("unit", "bus bar", "alternator")
"""Boxes with a symbol for the whole, however many terminals they have."""
_USUAL_REST = ("30", "87a")
_USUAL_PULLED = ("30", "87")


def symbol_kind(kind: str) -> str:
    """Return the symbol of a device kind; a plain load where there is none."""
    return kind if kind in KINDS else "load"


def facts(device: Device) -> str:
    """Return the main numbers of a device as its label prints them.

    Example:
        55 W, 85 ohm, 12.6 V: whichever the design says first.
    """
    for value, unit in (
        (device.watts_w, "W"),
        (device.amps_a, "A"),
        (device.ohms, "Ω"),
        (device.volts_v, "V"),
    ):
        if value is not None:
            return f"{value:g} {unit}"
    return ""


def inner_parts(device: Device, terminals: Sequence[str], design: Design) -> tuple[Inner, ...]:
    """Return what lies between the terminals of a device, and between the pins of a unit."""
    parts: list[Inner] = []
    if device.coil is not None:
        parts.append(_coil(device))
    parts.extend(_contacts(device, terminals))
    if not parts and device.kind not in _WHOLE_KINDS and len(terminals) == 2:
        first, second = (node_name(device.id, name) for name in terminals)
        parts.append(Inner(symbol_kind(device.kind), first, second))
    for part in device.inside.values():
        parts.extend(_inside(device, part, marked(design, part.only)))
    return tuple(parts)


def _coil(device: Device) -> Inner:
    coil = device.coil
    assert coil is not None
    note = " · ".join(
        text
        for text in (f"{coil.ohms:g} Ω" if coil.ohms is not None else "", coil.suppression)
        if text
    )
    start, end = node_name(device.id, coil.start), node_name(device.id, coil.end)
    return Inner("relay coil", start, end, note=note)


def _contacts(device: Device, terminals: Sequence[str]) -> list[Inner]:
    """Contacts as they lie at rest, each with the positions it is closed in."""
    if device.kind not in CONTACT_KINDS:
        return []
    at_rest, closed = _closed_in(device, terminals)
    parts = []
    for (first, second), when in closed.items():
        kind = "closed contact" if (first, second) in at_rest else "switch"
        if kind == "switch" and device.kind == "isolator":
            kind = "isolator"
        note = ", ".join(when) if device.positions else ""
        ends = node_name(device.id, first), node_name(device.id, second)
        parts.append(Inner(kind, *ends, note=note, linked=True))
    return parts


def _closed_in(
    device: Device, terminals: Sequence[str]
) -> tuple[set[tuple[str, str]], Mapping[tuple[str, str], list[str]]]:
    """Return the pairs closed at rest, and every pair with the positions that close it."""
    closed: dict[tuple[str, str], list[str]] = {}
    at_rest: set[tuple[str, str]] = set()
    if device.kind == "relay":
        rest, pulled = list(device.rest), list(device.pulled)
        if not rest and not pulled:
            rest = [_USUAL_REST] if set(_USUAL_REST) <= set(terminals) else []
            pulled = [_USUAL_PULLED] if set(_USUAL_PULLED) <= set(terminals) else []
        for pair in (*rest, *pulled):
            closed.setdefault(pair, [])
        return set(rest), closed
    for index, (position, pairs) in enumerate(device.positions.items()):
        for pair in pairs:
            closed.setdefault(pair, []).append(position)
            if index == 0:
                at_rest.add(pair)
    if not closed and len(terminals) == 2:
        closed[terminals[0], terminals[1]] = []
    return at_rest, closed


def _inside(unit: Device, part: Device, only: str) -> list[Inner]:
    """A part inside a unit, or the link lines of a join."""
    if part.kind == "join":
        nodes = [node_of(end) for end in part.join]
        return [Inner("", first, second) for first, second in pairwise(nodes)]
    ends = [node_of(end) for end in (part.start, part.end) if end is not None]
    if len(ends) == 1 and (part.case or unit.case):
        ends.append(node_name(unit.id, "case"))
    if len(ends) != 2:
        return []
    title = part.title if part.title and len(part.title) <= 18 else ""
    closed = f"closes in {', '.join(part.closed_in)}" if part.closed_in else ""
    note = f"{title or closed or facts(part)} {only}".strip()
    return [Inner(symbol_kind(part.kind), ends[0], ends[1], name=part.id, note=note)]
