"""Further wires at a pin that was drawn before: half a row below, so that no row moves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

from wiregen.connect.links import terminals_of
from wiregen.layout.kept import KeptSheet
from wiregen.layout.schematic.block import ROW_MM, Block, Part, Port, line
from wiregen.layout.schematic.ends import WireEnd, link_keys
from wiregen.model import Design
from wiregen.sheet import style

_NEAR_MM = (0.2 * ROW_MM, 0.6 * ROW_MM)
"""How far below a line of its pin a half line stands: between these, mm at any scale."""


_BARE = 2
"""A device with so many terminals may be a bare symbol with words below its leads."""


@dataclass(frozen=True, slots=True)
class HalfLine:
    """A wire end half a row below another line of its pin, counted from 0 at the top."""

    end: WireEnd
    below: int


def kept_halves(keep: KeptSheet) -> dict[str, int]:
    """Return the wire ends that stood half a row below a line of their pin, and which line."""
    lines: dict[str, list[tuple[float, str]]] = {}
    for link, kept in keep.layout.links.items():
        for key, y in zip(link_keys(link), kept.ends, strict=True):
            if keep.nodes.get(key):
                lines.setdefault(keep.nodes[key], []).append((y, key))
    for node, pin in keep.pins.items():
        for y in pin.lines:
            lines.setdefault(node, []).append((y, ""))
    found: dict[str, int] = {}
    for mine in lines.values():
        full = 0
        above: float | None = None
        for y, key in sorted(mine):
            if above is not None and key and _NEAR_MM[0] < y - above < _NEAR_MM[1]:
                found[key] = full - 1
            else:
                full, above = full + 1, y
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
        full: new wire ends that are to have a row of their own.
    """
    before = kept_halves(keep)
    drawn: dict[str, list[str]] = {}
    for key, node in keep.nodes.items():
        drawn.setdefault(node, []).append(key)
    found: dict[str, HalfLine] = {}
    for node, ends in at.items():
        here = {end.key: end for end in ends}
        rows = [key for key in drawn.get(node, ()) if key not in before]
        taken = set()
        for key, end in here.items():
            kept = key in before and keep.nodes[key] == node and key not in full
            if kept and any(row in here for row in rows):
                found[key] = HalfLine(end, before[key])
                taken.add(before[key])
        if not rows or not all(key in here for key in rows) or not _has_room(design, ends[0]):
            continue
        lines = len(rows)
        free = [n for n in range(lines - 1, -1, -1) if n not in taken]
        for key, end in here.items():
            if keep.nodes.get(key) != node and key not in full and free:
                found[key] = HalfLine(end, free.pop(0))
    return found


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
    """Return a block with the half lines of its pins, each joined to the line above it by a bar."""
    mine: dict[str, list[HalfLine]] = {}
    for half in halves.values():
        mine.setdefault(half.end.node, []).append(half)
    if not any(port.node in mine for part in block.parts for port in part.ports):
        return block
    return replace(block, parts=tuple(_with_ports(part, mine) for part in block.parts))


def _with_ports(part: Part, halves: Mapping[str, Sequence[HalfLine]]) -> Part:
    ports = list(part.ports)
    for node in dict.fromkeys(port.node for port in part.ports):
        rows = sorted((port for port in part.ports if port.node == node), key=lambda port: port.y)
        for half in halves.get(node, ()):
            over = rows[min(half.below, len(rows) - 1)]
            y = over.y + ROW_MM / 2
            bar = line((over.x, over.y), (over.x, y), width=style.LINE_HEAVY)
            ports.append(Port(node, over.x, y, over.side, half.end.key, (bar,)))
    return replace(part, ports=tuple(ports))
