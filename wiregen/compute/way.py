"""The way a load's current takes: from the source through every segment and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wiregen.compute.elements import Element
from wiregen.compute.states import Point

_LEAST_A = 1e-6
_CONSUMERS = ("load", "coil", "diode")
_SHUNT_OHM = 0.005
"""A resistor of no more is a meter shunt (75 mV at 15 A), a part of the way. From memory."""


@dataclass(frozen=True, slots=True)
class Segment:
    """One part on the way and the voltage that is lost in it."""

    id: str
    part: str
    drop_v: float


@dataclass(frozen=True, slots=True)
class Way:
    """The way of a load's current.

    Attributes:
        source: id it comes from; empty when the current goes in a ring.
        feed: segments from the source to the load.
        back: segments from the load to 0 V or to the source.
    """

    source: str
    feed: tuple[Segment, ...]
    back: tuple[Segment, ...]

    @property
    def metal(self) -> tuple[Segment, ...]:
        """Wires, joints, fuses, contacts and outputs on the way."""
        return tuple(s for s in (*self.feed, *self.back) if s.part not in _CONSUMERS)

    @property
    def drop_v(self) -> float:
        """What is lost in metal, fuses and contacts on the way."""
        return sum(s.drop_v for s in self.metal)

    @property
    def in_series(self) -> tuple[str, ...]:
        """Other loads and diodes the current passes."""
        return tuple(s.id for s in (*self.feed, *self.back) if s.part in _CONSUMERS)

    def losing(self) -> tuple[Segment, ...]:
        """Return the segments that lose something, largest first."""
        found = [s for s in self.metal if s.drop_v >= 5e-4]
        return tuple(sorted(found, key=lambda s: -s.drop_v))


Meeting = Mapping[str, list[tuple[Element, float]]]


def meetings(point: Point) -> Meeting:
    """Return node -> branches that carry current there, positive into the node.

    Nodes stand for their whole piece of metal.
    """
    at = point.circuit.at
    found: dict[str, list[tuple[Element, float]]] = {}
    for element in point.elements:
        amps = point.amps(element.id)
        if abs(amps) > _LEAST_A:
            found.setdefault(at(element.b), []).append((element, amps))
            found.setdefault(at(element.a), []).append((element, -amps))
    return found


def find_way(point: Point, load: Element, meeting: Meeting) -> Way:
    """Follow the largest current upstream from a load to its source, and back from it.

    Args:
        point: a state with an operating point.
        load: a branch that carries current.
        meeting: from `meetings`.
    """
    amps = point.amps(load.id)
    inlet, outlet = (load.a, load.b) if amps >= 0 else (load.b, load.a)
    source, feed = _follow(point, inlet, load, meeting, 1)
    _, back = _follow(point, outlet, load, meeting, -1)
    return Way(source, tuple(reversed(feed)), tuple(back))


def _follow(
    point: Point, start: str, load: Element, meeting: Meeting, sign: int
) -> tuple[str, list[Segment]]:
    """Walk against the current (sign 1) or with it (sign -1) until a source or 0 V is met."""
    at = point.circuit.at
    zero = at(point.circuit.zero)
    node, came, segments = at(start), load.id, list[Segment]()
    seen = {node}
    while sign > 0 or node != zero:
        ways = [(e, amps) for e, amps in meeting.get(node, ()) if e.id != came]
        if not ways:
            break
        element, amps = max(ways, key=lambda pair: sign * pair[1])
        if sign * amps <= 0:
            break
        if element.part == "source":
            return element.id, segments
        part = "joint" if is_shunt(point, element) else element.part
        segments.append(Segment(element.id, part, abs(point.across(element))))
        node = at(element.a) if at(element.b) == node else at(element.b)
        if node in seen:
            break
        seen.add(node)
        came = element.id
    return "", segments


def is_shunt(point: Point, element: Element) -> bool:
    """Tell whether a branch is a meter shunt, which is a part of every way through it."""
    device = point.circuit.design.devices.get(element.id)
    return device is not None and device.kind == "resistor" and element.ohm <= _SHUNT_OHM
