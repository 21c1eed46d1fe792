"""Which pins, wires, splices and plugs hang together: nets joined by metal, links between them."""

from wiregen.connect.build import connect
from wiregen.connect.halves import Halves, find_halves, node_name, node_of, split_node
from wiregen.connect.network import CircuitUse, FarEnd, Joint, Link, Net, Network

__all__ = [
    "CircuitUse",
    "FarEnd",
    "Halves",
    "Joint",
    "Link",
    "Net",
    "Network",
    "connect",
    "find_halves",
    "node_name",
    "node_of",
    "split_node",
]
