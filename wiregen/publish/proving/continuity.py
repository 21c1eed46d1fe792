"""Continuity of every wire, from where a probe can go to where the other can go."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from typing import TYPE_CHECKING

from wiregen.connect import Network, split_node
from wiregen.connect.legs import wire_ohm
from wiregen.connect.screens import Screen
from wiregen.model import Design, Wire
from wiregen.publish.proving.checks import CONTACT_OHM, METER_OHM, UNKNOWN_OHM, Check
from wiregen.publish.proving.groups import Groups
from wiregen.publish.proving.under_load import under_load

if TYPE_CHECKING:
    from wiregen.compute.states import Point


def continuity_checks(
    design: Design, network: Network, groups: Groups, points: Mapping[str, Point]
) -> tuple[Check, ...]:
    """Return one test for each wire that conducts and each screen; those of new looms first.

    A splice cannot be probed: the reading goes on through another of its wires, the next one in
    order, so that each wire of a splice is in two readings and a bad one shows itself.

    Args:
        design: the design.
        network: from `connect`.
        groups: what is joined by metal.
        points: state -> its operating point, for the current of each wire.
    """
    wires = [
        wire
        for wire in design.wires.values()
        if len(network.ends_of[wire.id]) == 2
        and wire.fate != "insulated"
        and design.status_of(wire) != "removed"
    ]
    made = [
        (_is_old(design, wire.id), _check(design, network, groups, points, wire)) for wire in wires
    ]
    made += [
        (all(_is_old(design, wire) for wire in s.wires), _screened(design, network, groups, s))
        for s in groups.screens.values()
    ]
    made.sort(key=lambda one: one[0])
    checks: list[Check] = []
    seen: set[tuple[frozenset[str], frozenset[str]]] = set()
    for _, check in made:
        key = (frozenset(check.wires), frozenset((check.start, check.end)))
        if key not in seen:
            seen.add(key)
            checks.append(check)
    return tuple(checks)


def _is_old(design: Design, wire: str) -> bool:
    return design.status_of(design.wires[wire]) != "new"


def _screened(design: Design, network: Network, groups: Groups, screen: Screen) -> Check:
    """The test of a screen: from its pin to its free end, whose ohms nobody states."""
    start, before = _probed(design, network, screen.node, screen.id)
    passed = tuple(dict.fromkeys(name for _, name in before))
    far = ", ".join(dict.fromkeys(end for end in screen.far if end)) or "its free end"
    via = dict.fromkeys(node for node in (screen.node, *(n for n, _ in before)) if node != start)
    return Check(
        screen.id,
        "continuity",
        start,
        screen.id,
        tuple(via),
        (screen.id, *passed),
        high=UNKNOWN_OHM,
        apart=groups.around(start),
        words=f"screen of {screen.over}: probe it at {far}, before it is insulated",
    )


def _check(
    design: Design, network: Network, groups: Groups, points: Mapping[str, Point], wire: Wire
) -> Check:
    first, second = network.ends_of[wire.id]
    start, before = _probed(design, network, first, wire.id)
    end, after = _probed(design, network, second, wire.id)
    steps = [*reversed(before), (first, wire.id), *after]
    passed = tuple(dict.fromkeys(name for _, name in steps))
    passing = (first, *(node for node, _ in (*before, *after)), second)
    via = dict.fromkeys(node for node in passing if node in design.splices)
    ohms = [wire_ohm(design, design.wires[name]) for name in passed]
    known = [ohm for ohm in ohms if ohm is not None]
    expect = sum(known) if len(known) == len(ohms) else None
    words = "" if len(passed) == 1 else f"through {', '.join(passed)}"
    loaded = under_load(design, points, wire.id, passed) if expect is not None else ""
    contacts = sum(1 for node in (start, end) if split_node(node)[0] in design.plugs)
    high = UNKNOWN_OHM if expect is None else expect + contacts * CONTACT_OHM + METER_OHM
    return Check(
        wire.id,
        "continuity",
        start,
        end,
        tuple(node for node in via if node not in (start, end)),
        passed,
        expect,
        high=high,
        apart=groups.around(start),
        colour=wire.colour.iec if wire.colour else "",
        words="; ".join(part for part in (words, loaded) if part),
    )


def _probed(
    design: Design, network: Network, node: str, wire: str
) -> tuple[str, list[tuple[str, str]]]:
    """Return where a probe can touch beyond a node, and the wires that lead there.

    Beyond a splice that is the far end of its next wire; a splice with nothing else is itself.
    """
    if node not in design.splices:
        return node, []
    came: dict[str, list[tuple[str, str]]] = {node: []}
    queue = deque([(node, wire)])
    while queue:
        here, entered = queue.popleft()
        for name in _after(network.wires_at(here), entered):
            ends = network.ends_of[name]
            if len(ends) != 2 or name == wire or design.wires[name].fate == "insulated":
                continue
            far = ends[1] if ends[0] == here else ends[0]
            if far in came:
                continue
            came[far] = [*came[here], (here, name)]
            if far not in design.splices:
                return far, came[far]
            queue.append((far, name))
    return node, []


def _after(wires: tuple[str, ...], wire: str) -> tuple[str, ...]:
    """Return the other wires of a splice, beginning with the one after `wire`, round and round."""
    if wire not in wires:
        return wires
    place = wires.index(wire)
    return (*wires[place + 1 :], *wires[:place])
