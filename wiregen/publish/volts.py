"""Expected volts at every node in every state, where the design says enough to compute them."""

from __future__ import annotations

from collections.abc import Mapping

from wiregen.connect import Network
from wiregen.model import Design

Volts = Mapping[str, Mapping[str, float]]
"""State -> node -> volts against 0 V; a node that floats is absent."""


def state_volts(design: Design, network: Network) -> Volts:
    """Return the volts of each declared state that has an operating point.

    Args:
        design: the design.
        network: from `connect`.
    """
    if not design.states or not network.sources:
        return {}
    from wiregen.compute.study import Study

    found: dict[str, dict[str, float]] = {}
    for name, point in Study(design, network).points.items():
        if point.found:
            volts = ((node, point.volts(node)) for node in network.net_index)
            found[name] = {node: value for node, value in volts if value is not None}
    return found
