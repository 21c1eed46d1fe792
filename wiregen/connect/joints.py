"""The metal joints of a design: wires, mated contacts, bars, earths of a kind, inner links."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
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


def fixed_joints(
    design: Design, used: Mapping[str, Sequence[str]], own_pins: Mapping[str, str]
) -> Iterator[Metal]:
    """Yield the joints that are not wires, except mated contacts.

    Args:
        design: the design.
        used: device -> terminals in use, so that a bus bar without named terminals joins those.
        own_pins: from `find_own_pins`.
    """
    yield from ((terminal, pin, "") for terminal, pin in own_pins.items())
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


def find_own_pins(
    design: Design, halves: Halves, points: Mapping[str, Sequence[str]]
) -> dict[str, str]:
    """Return terminal -> pin of the device's own plug that has its name: one piece of metal.

    A motor with a plug built in (`of: M1`) is reached through it: its terminals are the cavities
    of the plug, or those of them that `terminals` names. What is inside a unit is said by
    `inside`. A name that stands on two plugs of one device joins nothing.

    Args:
        design: the design.
        halves: which plug pushes into which.
        points: owner -> points that wires end on.
    """
    pins: dict[str, str] = {}
    for plug in design.plugs.values():
        device = design.devices.get(plug.of)
        if device is None or device.kind == "unit":
            continue
        declared = terminals_of(device)
        for name in _cavities(design, halves, plug, points):
            if _has_contact(plug, name) and (name in declared or not declared):
                terminal = node_name(device.id, name)
                pins[terminal] = "" if terminal in pins else node_name(plug.id, name)
    return {terminal: pin for terminal, pin in pins.items() if pin}


def _cavities(
    design: Design, halves: Halves, plug: Plug, points: Mapping[str, Sequence[str]]
) -> dict[str, None]:
    """Return the cavities of a plug that it, its mate or a wire names."""
    mate = halves.mates.get(plug.id, "")
    told = design.plugs[mate].pins if mate else {}
    return dict.fromkeys([*plug.pins, *told, *points.get(plug.id, ()), *points.get(mate, ())])


def mated_joints(
    design: Design, halves: Halves, points: Mapping[str, Sequence[str]]
) -> Iterator[Metal]:
    """Yield the contacts that meet: every cavity either half knows, unless one has no contact."""
    for plug in design.plugs.values():
        other = halves.mates.get(plug.id)
        if other is None or other < plug.id:
            continue
        mate = design.plugs[other]
        for name in _cavities(design, halves, plug, points):
            if _has_contact(plug, name) and _has_contact(mate, name):
                yield node_name(plug.id, name), node_name(other, name), ""


def _has_contact(plug: Plug, name: str) -> bool:
    pin = plug.pins.get(name)
    return pin is None or (pin.state in ("used", "reserved") and pin.contact != "none")


def points_used(wired: Iterable[str]) -> dict[str, list[str]]:
    """Return owner -> points that wires end on, in the order given."""
    points: dict[str, list[str]] = {}
    for node in wired:
        owner, _, point = node.partition(":")
        if point:
            points.setdefault(owner, []).append(point)
    return points
