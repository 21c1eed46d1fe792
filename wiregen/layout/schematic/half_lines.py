"""Further wires at a pin that was drawn before: half a row below, so that no row moves."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

from wiregen.connect.links import terminals_of
from wiregen.layout.kept import KeptSheet
from wiregen.layout.schematic.block import ROW_MM, Block, Port, line
from wiregen.layout.schematic.ends import WireEnd, link_keys
from wiregen.model import Design
from wiregen.sheet import style
from wiregen.sheet.items import Point

_NEAR_MM = (0.2 * ROW_MM, 0.6 * ROW_MM)
"""How far below a line of its pin a half line stands: between these, mm at any scale."""
_BARE = 2
"""A device with so many terminals may be a bare symbol with words below its leads."""


@dataclass(frozen=True, slots=True)
class HalfLine:
    """A wire end half a row below another at its pin, `over`."""

    end: WireEnd
    over: str


def kept_lines(keep: KeptSheet) -> dict[str, list[tuple[float, str]]]:
    """Return pin -> the height of each of its lines and the wire end there, from top to bottom.

    There is no wire end on a line that is free.
    """
    lines: dict[str, list[tuple[float, str]]] = {}
    for link, kept in keep.layout.links.items():
        for key, y in zip(link_keys(link), kept.ends, strict=True):
            if keep.nodes.get(key):
                lines.setdefault(keep.nodes[key], []).append((y, key))
    for node, pin in keep.pins.items():
        for y in pin.lines:
            lines.setdefault(node, []).append((y, ""))
    return {node: sorted(mine) for node, mine in lines.items()}


def kept_halves(lines: Mapping[str, Sequence[tuple[float, str]]]) -> dict[str, str]:
    """Return the wire ends that stood half a row below another of their pin, and which.

    Args:
        lines: from `kept_lines`.
    """
    found: dict[str, str] = {}
    for mine in lines.values():
        above, over = -math.inf, ""
        for y, key in mine:
            if key and _NEAR_MM[0] < y - above < _NEAR_MM[1]:
                found[key] = over
            else:
                above, over = y, key
    return found


def find_halves(
    design: Design,
    at: Mapping[str, Sequence[WireEnd]],
    keep: KeptSheet,
    full: AbstractSet[str],
) -> dict[str, HalfLine]:
    """Return the wire ends of a sheet that stand half a row below another of their pin.

    Args:
        design: the design.
        at: node -> wire ends on the sheet.
        keep: the sheet as it was drawn.
        full: wire ends that are to have a row of their own.
    """
    lines = kept_lines(keep)
    before = kept_halves(lines)
    found: dict[str, HalfLine] = {}
    for node, ends in at.items():
        here = {end.key: end for end in ends}
        drawn = [key for _, key in lines.get(node, ()) if key]
        rows = [key for key in drawn if key not in before]
        taken = set()
        for key in drawn:
            if key in here and before.get(key) in here:
                found[key] = HalfLine(here[key], before[key])
                taken.add(before[key])
        if rows and all(row in here for row in rows) and _has_room(design, ends[0]):
            new = [end for key, end in here.items() if key not in drawn]
            free = [row for row in reversed(rows) if row not in taken]
            found |= {e.key: HalfLine(e, row) for e, row in zip(new, free, strict=False)}
    return {key: half for key, half in found.items() if key not in full}


def _has_room(design: Design, end: WireEnd) -> bool:
    """Tell whether nothing is written half a row below the lines of an object."""
    if end.owner in design.devices:
        return len(terminals_of(design.devices[end.owner], [end.point])) > _BARE
    return end.owner in design.plugs or end.block in design.boxes


def full_rows(halves: Mapping[str, HalfLine], keep: KeptSheet) -> Iterator[frozenset[str]]:
    """Yield which half lines are to be full rows, the fewest first, in the end all of them.

    A wire with half lines at both its ends has no room for a label at either.

    Args:
        halves: from `find_halves`.
        keep: the sheet as it was drawn.
    """
    new = [key for key, half in halves.items() if keep.nodes.get(key) != half.end.node]
    wires = [halves[key].end.wire for key in new]
    both = [key for key in new if wires.count(halves[key].end.wire) > 1]
    first, second = frozenset(both[::2]), frozenset(both[1::2])
    yield from dict.fromkeys((second, first, frozenset(new), frozenset(halves)))


def with_halves(block: Block, halves: Mapping[str, HalfLine]) -> Block:
    """Return a block with the half lines of its pins, each joined to the line above it by a bar.

    As with full rows, a half line is one of both pins of a mated pair.
    """
    below = {half.over: half.end.key for half in halves.values()}
    places = {(port.x, port.y): below[port.key] for port in block.ports if port.key in below}
    if not places:
        return block
    parts = tuple(replace(part, ports=_with_halves(part.ports, places)) for part in block.parts)
    return replace(block, parts=parts)


def _with_halves(ports: Sequence[Port], places: Mapping[Point, str]) -> tuple[Port, ...]:
    """Return the ports of a part with those half a row below; `places` has the wire end there."""
    found = list(ports)
    for port in ports:
        if (port.x, port.y) in places:
            y = port.y + ROW_MM / 2
            bar = line((port.x, port.y), (port.x, y), width=style.LINE_HEAVY)
            key = places[port.x, port.y] if port.key else ""
            found.append(Port(port.node, port.x, y, port.side, key, (bar,) if key else ()))
    return tuple(found)
