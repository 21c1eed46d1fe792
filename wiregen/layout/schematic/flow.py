"""Which way to read: every block gets a place between supply (0, left) and load (1, right)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from wiregen.connect import Network
from wiregen.layout.schematic.ends import Ends, WireEnd
from wiregen.layout.schematic.steps import find_steps
from wiregen.layout.schematic.wishes import Rank, wished_ranks
from wiregen.model import Design

_SWEEPS = 60
_ANCHORS = {
    "battery": 0.0,
    "alternator": 0.05,
    "isolator": 0.1,
    "sensor": 0.25,
    "sender": 0.25,
    "lamp": 1.0,
    "led": 1.0,
    "motor": 1.0,
    "solenoid": 1.0,
    "heater": 1.0,
    "horn": 1.0,
    "gauge": 0.95,
    "socket": 1.0,
    "load": 1.0,
    "terminator": 1.0,
}
_PULLS = {"converter": 0.3, "flasher": 0.5, "switch": 0.3, "relay": 0.5, "unit": 0.65, "coil": 0.9}
_BOX_FLOW = 0.12
_LUG_FLOW = 0.08
EARTH_FLOW = 2.0
"""Earths and loose ends lie beyond the loads."""
_STEP = 0.02
"""A wire leads this far from its `from` to its `to` end where nothing else decides."""


@dataclass(frozen=True, slots=True)
class Flow:
    """Place of every block along the way of the current, 0 at the supply, 1 at the loads.

    Attributes:
        of_block: block -> place.
        ranks: block -> side or column of the sheet that the design asks for.
        steps: node -> how many parts lie between the supply and it, where one is known.
    """

    of_block: Mapping[str, float]
    ranks: Mapping[str, Rank] = field(default_factory=dict)
    steps: Mapping[str, int] = field(default_factory=dict)

    def at(self, block: str) -> float:
        """Return the place of a block; earths and loose ends lie beyond the loads."""
        if block.startswith("earth "):
            return EARTH_FLOW
        return self.of_block.get(block, 0.5)


def find_flow(design: Design, ends: Ends, network: Network) -> Flow:
    """Relax the places: sources and loads are held, all else settles between its neighbours.

    The result is to a wiring diagram what voltage is to a network of equal resistors, so that
    wires have one direction and no ring of wires runs in circles. Wires of the earth side join
    everything with everything and decide nothing.
    """
    ranks = wished_ranks(design, ends.block_of)
    held = _held(design, ends) | {
        block: 0.0 if rank == "left" else 1.0
        for block, rank in ranks.items()
        if rank in ("left", "right")
    }
    pulls = {
        block: _PULLS[device.kind]
        for device in design.devices.values()
        if device.kind in _PULLS and (block := ends.block_of[device.id]) not in held
    }
    neighbours: dict[str, list[tuple[str, float]]] = {}
    for first, second in _leading(network, ends):
        neighbours.setdefault(first.block, []).append((second.block, -_STEP))
        neighbours.setdefault(second.block, []).append((first.block, _STEP))
    place = {block: held.get(block, pulls.get(block, 0.5)) for block in neighbours}
    place |= held
    free = [(block, others) for block, others in neighbours.items() if block not in held]
    for _ in range(_SWEEPS):
        for block, others in free:
            total = sum([place[other] + step for other, step in others])
            weight = len(others)
            if block in pulls:
                total += pulls[block]
                weight += 1
            place[block] = total / weight
    return Flow(place | _returns(ends, place), ranks, find_steps(design, network))


def _leading(network: Network, ends: Ends) -> Iterator[tuple[WireEnd, WireEnd]]:
    """Yield the ends of the wires and of metal that say which way to read."""
    for first, second in (*ends.of_wire.values(), *ends.fitted.values()):
        loose = _is_loose(first.block) or _is_loose(second.block)
        if not loose and first.block != second.block and not _is_return(network, first):
            yield first, second


def _is_return(network: Network, end: WireEnd) -> bool:
    net = network.net_of(end.node) if end.node else None
    return net is not None and net.kind == "earth"


def _returns(ends: Ends, place: Mapping[str, float]) -> dict[str, float]:
    """Return the places of what only the earth side reaches: a little left of what it joins."""
    joined: dict[str, list[float]] = {}
    for first, second in ends.of_wire.values():
        for end, other in ((first, second), (second, first)):
            if end.block not in place and other.block in place and not _is_loose(end.block):
                joined.setdefault(end.block, []).append(place[other.block])
    return {block: sum(found) / len(found) - _STEP for block, found in joined.items()}


def _held(design: Design, ends: Ends) -> dict[str, float]:
    """Blocks whose place is known beforehand."""
    held = {
        ends.block_of[device.id]: _ANCHORS[device.kind]
        for device in design.devices.values()
        if device.kind in _ANCHORS
    }
    for box in design.boxes:
        held[ends.block_of[box]] = _BOX_FLOW
    for fuse in design.fuses.values():
        on = design.devices.get(fuse.fitted_on.owner) if fuse.fitted_on else None
        if on is not None and on.kind in ("battery", "alternator"):
            held[ends.block_of[fuse.id]] = _LUG_FLOW
    return held


def _is_loose(block: str) -> bool:
    return block.startswith(("earth ", "end "))
