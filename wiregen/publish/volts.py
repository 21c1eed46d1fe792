"""Expected volts at every node in every state, where the design says enough to compute them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wiregen.connect import Network
from wiregen.model import Design

Volts = Mapping[str, Mapping[str, float]]
"""State -> node -> volts against 0 V; a node that floats is absent."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What is computed of each state that has an operating point.

    Attributes:
        volts: state -> node -> volts.
        drawn_a: state -> current taken out of the batteries, A.
    """

    volts: Volts = field(default_factory=dict)
    drawn_a: Mapping[str, float] = field(default_factory=dict)


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
    volts: dict[str, dict[str, float]] = {}
    drawn: dict[str, float] = {}
    for name, point in Study(design, network).points.items():
        if point.found:
            at = ((node, point.volts(node)) for node in network.net_index)
            volts[name] = {node: value for node, value in at if value is not None}
            drawn[name] = -sum(point.amps(battery) for battery in batteries)
    return Expected(volts, drawn)


def state_volts(design: Design, network: Network) -> Volts:
    """Return the volts of each declared state that has an operating point."""
    return expected(design, network).volts
