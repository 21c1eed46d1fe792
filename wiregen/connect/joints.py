"""The metal joints of a design: wires, mated contacts, bars, earths of a kind, inner links."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from wiregen.connect.halves import Halves, node_name, node_of
from wiregen.connect.links import METAL_KINDS, terminals_of
from wiregen.model import Design, Plug

Metal = tuple[str, str, str]
"""Two nodes, and the wire that joins them (empty for a joint that is not a wire)."""


def wire_joints(design: Design, ends_of: Mapping[str, tuple[str, ...]]) -> Iterator[Metal]:
    """Yield each conducting wire with the nodes its ends are on; a parked one does not conduct."""
    for wire in design.wires.values():
        nodes = ends_of[wire.id]
        parked = wire.fate == "insulated" or design.status_of(wire) == "removed"
        if len(nodes) == 2 and not parked:
            yield nodes[0], nodes[1], wire.id


def fixed_joints(design: Design, wired: Sequence[str]) -> Iterator[Metal]:
    """Yield the joints that are not wires, except mated contacts.

    Args:
        design: the design.
        wired: nodes that wires end on, so that a bus bar without named terminals joins those used.
    """
    used = points_used(wired)
    for fuse in design.fuses.values():
        if fuse.fitted_on is not None:
            yield f"{fuse.id}:in", node_of(fuse.fitted_on), ""
    for box in design.boxes.values():
        for bar, fuses in box.bars.items():
            yield from ((node_name(box.id, bar), f"{fuse}:in", "") for fuse in fuses)
        if len(box.bars) == 1:
            yield box.id, node_name(box.id, next(iter(box.bars))), ""
    by_kind: dict[str, list[str]] = {}
    for earth in design.earths.values():
        by_kind.setdefault(earth.kind, []).append(earth.id)
    for earths in by_kind.values():
        yield from ((first, second, "") for first, second in pairwise(earths))
    for device in design.devices.values():
        if device.case:
            yield node_name(device.id, "case"), device.case, ""
        if device.kind in METAL_KINDS:
            names = [node_name(device.id, t) for t in terminals_of(device, used.get(device.id, ()))]
            yield from ((first, second, "") for first, second in pairwise([device.id, *names]))
        for part in device.inside.values():
            ends = [node_of(end) for end in part.join]
            yield from ((first, second, "") for first, second in pairwise(ends))
    for bus in design.buses.values():
        yield from ((node_of(one), node_of(other), "") for one, other in bus.through)


def mated_joints(design: Design, halves: Halves, wired: Sequence[str]) -> Iterator[Metal]:
    """Yield the contacts that meet: every cavity either half knows, unless one has no contact."""
    points = points_used(wired)
    for plug in design.plugs.values():
        other = halves.mates.get(plug.id)
        if other is None or halves.mates.get(other) != plug.id or other < plug.id:
            continue
        mate = design.plugs[other]
        known = [*plug.pins, *mate.pins, *points.get(plug.id, ()), *points.get(other, ())]
        for name in dict.fromkeys(known):
            if _has_contact(plug, name) and _has_contact(mate, name):
                yield node_name(plug.id, name), node_name(other, name), ""


def _has_contact(plug: Plug, name: str) -> bool:
    pin = plug.pins.get(name)
    return pin is None or (pin.state in ("used", "reserved") and pin.contact != "none")


def points_used(wired: Sequence[str]) -> dict[str, list[str]]:
    """Return owner -> points that wires end on, in the order given."""
    points: dict[str, list[str]] = {}
    for node in wired:
        owner, _, point = node.partition(":")
        if point:
            points.setdefault(owner, []).append(point)
    return points
