"""How many wires lie together and carry current: cores of a cable, wires that share a route."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wiregen.compute.states import Point
from wiregen.connect import Network
from wiregen.connect.route import rides
from wiregen.model import Design

_LEAST_A = 0.1
"""A wire that carries less than this warms no other."""


@dataclass(frozen=True, slots=True)
class Bundle:
    """What lies together with a wire.

    Attributes:
        loaded: wires that carry current at once, itself among them.
        words: what was counted, and where.
        cable: the wires are cores of one cable.
    """

    loaded: int
    words: str
    cable: bool = False


def bundles_of(design: Design, network: Network, points: Sequence[Point]) -> Mapping[str, Bundle]:
    """Return wire -> the largest bundle it lies in; no entry for a wire alone or not placed.

    Args:
        design: the design.
        network: from `connect`.
        points: states with an operating point; without one every wire of a stretch counts.
    """
    found: dict[str, Bundle] = {}
    for group in design.groups.values():
        for core in group.multicore:
            count = len(group.multicore)
            if count > found.get(core, Bundle(1, "")).loaded:
                found[core] = Bundle(count, f"{count} cores of {group.id}", cable=True)
    together: dict[int, list[str]] = {}
    for wire, ride in rides(design, network).items():
        for number in ride.legs:
            together.setdefault(number, []).append(wire)
    for number, wires in together.items():
        leg = design.route[number]
        loaded = [{w for w in wires if abs(point.amps(w)) >= _LEAST_A} for point in points] or [
            set(wires)
        ]
        most = max(loaded, key=len)
        at_once = "carry current at once" if points else "in all, no state is solved"
        for wire in wires:
            count = len(most | {wire})
            if count > found.get(wire, Bundle(1, "")).loaded:
                words = f"{count} of {len(wires)} wires between {leg.start} and {leg.end} {at_once}"
                found[wire] = Bundle(count, words)
    return found
