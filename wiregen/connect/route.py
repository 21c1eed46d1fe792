"""The way of each wire along the physical loom, where the design says its route."""

from __future__ import annotations

import heapq
from collections.abc import Mapping
from dataclasses import dataclass

from wiregen.connect.network import Network
from wiregen.model import Design, End, Wire, natural_key


@dataclass(frozen=True, slots=True)
class Ride:
    """The shortest way of a wire along the route.

    Attributes:
        legs: places in `Design.route` of the stretches it runs through, `from` end first.
        length_mm: of all of them.
    """

    legs: tuple[int, ...]
    length_mm: float


def rides(design: Design, network: Network) -> Mapping[str, Ride]:
    """Return wire -> its way; no entry where an end is not on the route.

    A stretch without a length leads nowhere: which way is shorter cannot be told.

    Args:
        design: the design.
        network: from `connect`.
    """
    near = _stretches(design)
    known: dict[tuple[str, str], Ride | None] = {}
    found = {}
    for wire in design.wires.values() if near else ():
        ends = _points(design, network, wire, near)
        if ends is None:
            continue
        if ends not in known:
            known[ends] = _shortest(near, *ends)
        ride = known[ends]
        if ride is not None:
            found[wire.id] = ride
    return found


def _stretches(design: Design) -> dict[str, list[tuple[str, int, float]]]:
    """Return point -> the stretches that begin there: other point, place, length in mm."""
    near: dict[str, list[tuple[str, int, float]]] = {}
    for number, leg in enumerate(design.route):
        if leg.length_mm is not None:
            near.setdefault(leg.start, []).append((leg.end, number, leg.length_mm))
            near.setdefault(leg.end, []).append((leg.start, number, leg.length_mm))
    return near


def _points(
    design: Design, network: Network, wire: Wire, near: Mapping[str, object]
) -> tuple[str, str] | None:
    if wire.start is None or wire.end is None:
        return None
    start, end = (_point(design, network, end, near) for end in (wire.start, wire.end))
    return (start, end) if start and end else None


def _point(design: Design, network: Network, end: End, near: Mapping[str, object]) -> str:
    """Return the point of the route an end is at: its own id, its mate's, or its `at`."""
    record = design.splices.get(end.owner) or design.earths.get(end.owner)
    said = record.at if record else ""
    names = (end.owner, network.mate(end.owner) or "", said)
    return next((name for name in names if name in near), "")


def _shortest(
    near: Mapping[str, list[tuple[str, int, float]]], start: str, goal: str
) -> Ride | None:
    queue: list[tuple[float, tuple[object, ...], str, tuple[int, ...]]] = [
        (0.0, natural_key(start), start, ())
    ]
    done: set[str] = set()
    while queue:
        far, _, here, legs = heapq.heappop(queue)
        if here == goal:
            return Ride(legs, far)
        if here in done:
            continue
        done.add(here)
        for other, number, length in near[here]:
            entry = (far + length, natural_key(other), other, (*legs, number))
            heapq.heappush(queue, entry)
    return None
