"""Make the network of a design."""

from __future__ import annotations

from wiregen.connect.network import Network
from wiregen.model import Design


def connect(design: Design) -> Network:
    """Join pins, wires, splices, mated plugs, bars, earths and inner links to nets."""
    raise NotImplementedError
