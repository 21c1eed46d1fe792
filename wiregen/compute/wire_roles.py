"""What each wire is in one operating state: live, off, earth or floating; how lamps burn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from wiregen.compute.elements import Element
from wiregen.compute.gather import grouped
from wiregen.compute.guard import METAL, poles_of
from wiregen.compute.needs import DEAD_V
from wiregen.compute.states import Point
from wiregen.compute.study import Study

Role = Literal["live", "off", "dead", "earth", "floating", "open"]
ROLES: tuple[Role, ...] = ("live", "off", "dead", "earth", "floating", "open")
Glow = Literal["dark", "glows", "dim", "lit"]

_LOW_OHM = 1.0
_LEAST_A = 1e-4
_GLOW_SHARES: tuple[tuple[float, Glow], ...] = ((0.9, "lit"), (0.5, "dim"), (0.1, "glows"))


@dataclass(frozen=True, slots=True)
class WireRole:
    """One wire in one state.

    Attributes:
        role: `live` has voltage against 0 V; `off` has none but has some in another state; `dead`
            has none in any; `earth` is joined to 0 V; `floating` has no way to it; `open` is
            broken.
        amps_a: from its `from` end to its `to` end; 0 where it carries none.
    """

    role: Role
    amps_a: float


def wire_roles(study: Study, state: str) -> Mapping[str, WireRole]:
    """Return what every wire is in a state; nothing where there is no operating point.

    Args:
        study: of the design.
        state: name of one of its states.
    """
    point = study.points[state]
    if not point.found:
        return {}
    others = [other for other in study.points.values() if other.found and other is not point]
    design, earthed = study.design, _earthed(point)
    found = {}
    for wire in design.wires.values():
        nodes = study.network.ends_of[wire.id]
        if design.status_of(wire) == "removed" or not nodes:
            continue
        role = _role(point, nodes[0], earthed)
        if wire.id in point.lost:
            role = "open"
        elif role == "dead" and any(_is_live(other, nodes[0]) for other in others):
            role = "off"
        amps_a = point.amps(wire.id)
        found[wire.id] = WireRole(role, amps_a if abs(amps_a) >= _LEAST_A else 0.0)
    return found


def glow_of(point: Point, element: Element) -> Glow:
    """Return how a lamp or LED is, by its share of its nominal current.

    Args:
        point: a state with an operating point.
        element: the branch of the lamp.
    """
    nominal = element.amps_a
    if element.law in ("lamp", "resistance") and element.ohm:
        nominal = (element.rated_v or element.volts_v) / element.ohm
    share = abs(point.amps(element.id)) / nominal if nominal else 0.0
    return next((word for least, word in _GLOW_SHARES if share >= least), "dark")


def _role(point: Point, node: str, earthed: frozenset[str]) -> Role:
    if point.circuit.at(node) in earthed:
        return "earth"
    if point.floats(node) or point.is_loose(node):
        return "floating"
    return "live" if _is_live(point, node) else "dead"


def _is_live(point: Point, node: str) -> bool:
    return not point.is_loose(node) and abs(point.volts(node) or 0.0) > DEAD_V


def _earthed(point: Point) -> frozenset[str]:
    """Return the nodes that metal and closed contacts join to 0 V or to the minus of a source."""
    at = point.circuit.at
    joined = [
        (at(e.a), at(e.b))
        for e in point.elements
        if e.part in (*METAL, "fuse") and e.ohm < _LOW_OHM
    ]
    group = grouped(joined)

    def piece(node: str) -> str:
        return group.get(at(node), at(node))

    earth = poles_of(point.circuit, point.elements, piece).earth
    zero = {piece(node) for node in earth}
    nodes = {node for pair in joined for node in pair} | {at(node) for node in earth}
    return frozenset(node for node in nodes if piece(node) in zero)
