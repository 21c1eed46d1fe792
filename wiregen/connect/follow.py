"""Ways through a network: towards supply, along a circuit."""

from __future__ import annotations

from wiregen.connect.network import Network


def protecting_fuses(network: Network, node: str) -> tuple[str, ...]:
    """Return the nearest fuses between a node and its supply; empty when there is none."""
    raise NotImplementedError


def circuit_wires(network: Network, name: str) -> tuple[str, ...]:
    """Return the wires of a named circuit in natural order."""
    raise NotImplementedError
