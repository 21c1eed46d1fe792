"""How much wire lies between a battery and the first fuse on each way from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from heapq import heappop, heappush

from wiregen.compute.network import Circuit
from wiregen.connect import Network
from wiregen.connect.route import rides
from wiregen.facts.tables import rows
from wiregen.model import Design, Wire

_METAL = ("wire", "joint", "contact")
_LOW_OHM = 1.0


@dataclass(frozen=True, slots=True)
class Lead:
    """The wires from a battery to a fuse.

    Attributes:
        battery: id.
        fuse: the first one on this way.
        wires: on the way, without declared starter cables.
        length_mm: of those whose length is known.
        missing: wires of unknown length.
        limit_mm: the stated practice.
        limit_words: which case of it, and its status.
        furthest_mm: what the practice allows in its widest case.
    """

    battery: str
    fuse: str
    wires: tuple[str, ...]
    length_mm: float
    missing: tuple[str, ...]
    limit_mm: float
    limit_words: str
    furthest_mm: float

    @property
    def is_short(self) -> bool:
        """Every length is known, and they keep to the practice."""
        return not self.missing and self.length_mm <= self.limit_mm

    @property
    def is_far(self) -> bool:
        """Longer than the practice has it in this case, but not than in every case."""
        return self.limit_mm < self.length_mm <= self.furthest_mm


def fuse_leads(design: Design, network: Network, circuit: Circuit) -> tuple[Lead, ...]:
    """Return the leads of every battery, shortest way first, in order of battery and fuse.

    Every contact is taken as one that can be closed.

    Args:
        design: the design.
        network: from `connect`.
        circuit: from `build`.
    """
    near: dict[str, list[tuple[str, str]]] = {}
    at_fuse: dict[str, list[str]] = {}
    for e in circuit.elements:
        ends = (circuit.at(e.a), circuit.at(e.b))
        if e.part == "fuse":
            for node in ends:
                at_fuse.setdefault(node, []).append(e.id)
        elif e.part in _METAL and e.ohm < _LOW_OHM:
            name = e.id if e.part == "wire" else ""
            near.setdefault(ends[0], []).append((ends[1], name))
            near.setdefault(ends[1], []).append((ends[0], name))
    sheathed = _sheathed(design, network)
    found = []
    for e in circuit.elements:
        device = design.devices.get(e.id.partition(".")[0])
        if e.law == "source" and device is not None and device.kind == "battery":
            ways = _ways(design, near, circuit.at(e.a), circuit.at(circuit.zero))
            reached = {fuse: way for node, way in ways.items() for fuse in at_fuse.get(node, ())}
            found += [_lead(design, device.id, f, way, sheathed) for f, way in reached.items()]
    return tuple(found)


def _lead(
    design: Design, battery: str, fuse: str, way: tuple[str, ...], sheathed: frozenset[str]
) -> Lead:
    wires = tuple(name for name in way if not is_starter_cable(design, design.wires[name]))
    lengths = {name: design.wires[name].length_mm for name in wires}
    all_sheathed = bool(wires) and all(name in sheathed for name in wires)
    sheathed_case = "sheathed at the battery" if len(way) == 1 else "sheathed"
    case = sheathed_case if all_sheathed else "bare"
    cases = {row["case"]: row for row in rows("fuse_distance")}
    row = cases[case]
    return Lead(
        battery,
        fuse,
        wires,
        sum(length for length in lengths.values() if length is not None),
        tuple(name for name, length in lengths.items() if length is None),
        float(row["limit_mm"]),
        f"ABYC E-11, boats: {row['words']}, {row['status']}",
        max(float(row["limit_mm"]) for row in cases.values()),
    )


def is_starter_cable(design: Design, wire: Wire) -> bool:
    """A starter cable needs no fuse where the motor is declared: `use: starter`."""
    devices = design.devices
    return any(e.owner in devices and devices[e.owner].use == "starter" for e in wire.ends)


def _sheathed(design: Design, network: Network) -> frozenset[str]:
    """Return the wires in a cable, and those covered on every stretch of their route."""
    cores = (core for group in design.groups.values() for core in group.multicore)
    covered = (
        wire
        for wire, ride in rides(design, network).items()
        if ride.legs and all(design.route[leg].covering for leg in ride.legs)
    )
    return frozenset((*cores, *covered))


def _ways(
    design: Design, near: Mapping[str, list[tuple[str, str]]], start: str, zero: str
) -> Mapping[str, tuple[str, ...]]:
    """Return node -> wires on the shortest way to it; unknown lengths and starters count 0."""
    done: dict[str, tuple[str, ...]] = {}
    heap: list[tuple[float, str, tuple[str, ...]]] = [(0.0, start, ())]
    while heap:
        far, node, way = heappop(heap)
        if node in done or node == zero:
            continue
        done[node] = way
        for other, name in near.get(node, ()):
            if other not in done:
                wire = design.wires.get(name)
                counts = wire is not None and not is_starter_cable(design, wire)
                length = (wire.length_mm or 0.0) if wire is not None and counts else 0.0
                heappush(heap, (far + length, other, (*way, name) if wire else way))
    return done
