"""Expected volts at every node in every state, where the design says enough to compute them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING

from wiregen.connect import Network
from wiregen.model import Design

if TYPE_CHECKING:
    from wiregen.compute.network import Circuit
    from wiregen.compute.states import Point

Volts = Mapping[str, Mapping[str, float]]
"""State -> node -> volts against 0 V; a node that floats is absent."""
Limits = Mapping[str, Mapping[str, tuple[float, float]]]
"""State -> node -> least and highest good reading, V."""

SOURCE_SHARES = (0.95, 1.03)
"""A source gives between these shares of the volts the design says: a battery of 12.6 V between
12.0 V, half empty, and 13.0 V, fresh off charge. From memory."""
INNER_SHARES = (1.5, 0.7)
"""Inner resistance that goes with them, as shares of what the design says. From memory."""
METER_V = 0.2
"""Allowed on both sides for the meter and the contacts passed. From memory."""


@dataclass(frozen=True)
class Expected:
    """What is computed of each state that has an operating point.

    Attributes:
        points: state -> its operating point.
        volts: state -> node -> volts.
        drawn_a: state -> current taken out of the batteries, A.
    """

    points: Mapping[str, Point] = field(default_factory=dict)
    volts: Volts = field(default_factory=dict)
    drawn_a: Mapping[str, float] = field(default_factory=dict)

    @cached_property
    def limits(self) -> Limits:
        """Between which volts a reading is good, sources between weak and strong."""
        if not self.points:
            return {}
        circuit = next(iter(self.points.values())).circuit
        corners = [
            _with_sources(circuit, share, inner)
            for share, inner in zip(SOURCE_SHARES, INNER_SHARES, strict=True)
        ]
        return {name: self._limits(name, corners) for name in self.volts}

    def _limits(self, name: str, corners: list[Circuit]) -> dict[str, tuple[float, float]]:
        from wiregen.compute.states import settle

        point = self.points[name]
        others = [settle(one, name, point.modes, point.lost, near=point) for one in corners]
        found = {}
        for node, volts in self.volts[name].items():
            if not point.is_loose(node):
                at = [volts, *(v for one in others if (v := one.volts(node)) is not None)]
                found[node] = (min(at) - METER_V, max(at) + METER_V)
        return found


def _with_sources(circuit: Circuit, share: float, inner: float) -> Circuit:
    """Return a circuit with all sources weaker or stronger than the design says."""
    elements = tuple(
        replace(one, volts_v=one.volts_v * share, ohm=one.ohm * inner)
        if one.law in ("source", "regulated source")
        else one
        for one in circuit.elements
    )
    return replace(circuit, elements=elements)


def expected(design: Design, network: Network) -> Expected:
    """Return what is computed of a design; nothing where it has no states or no source.

    Args:
        design: the design.
        network: from `connect`.
    """
    if not design.states or not network.sources:
        return Expected()
    from wiregen.compute.study import Study

    batteries = [device.id for device in design.devices.values() if device.kind == "battery"]
    points = {name: p for name, p in Study(design, network).points.items() if p.found}
    return Expected(
        points,
        {name: dict(_volts(point, network)) for name, point in points.items()},
        {name: -sum(point.amps(one) for one in batteries) for name, point in points.items()},
    )


def _volts(point: Point, network: Network) -> Iterator[tuple[str, float]]:
    for node in network.net_index:
        volts = point.volts(node)
        if volts is not None:
            yield node, volts


def state_volts(design: Design, network: Network) -> Volts:
    """Return the volts of each declared state that has an operating point."""
    return expected(design, network).volts
