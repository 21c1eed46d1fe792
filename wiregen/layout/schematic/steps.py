"""How far every net lies from the supply, in parts that the current passes."""

from __future__ import annotations

import heapq

from wiregen.connect import Network, split_node
from wiregen.model import Design

EARTH_STEPS = 1000
"""The earth side lies behind everything."""
_GENERATOR_STEPS = 10
_LOAD_STEPS = 20
"""A net behind a load lies behind all that is reached through fuses and contacts alone."""


def find_steps(design: Design, network: Network) -> dict[str, int]:
    """Return node -> how many fuses and contacts lie between the supply and it.

    Batteries supply; an alternator feeds what they do, and is a supply where there are none.
    Nodes that no supply reaches have none; those of the earth side have `EARTH_STEPS`.
    """
    index = network.net_index
    earth = {net.index for net in network.nets if net.kind == "earth"}
    steps: dict[int, int] = {}
    todo = [
        (_from(design, node), index[node]) for node in network.sources if index[node] not in earth
    ]
    heapq.heapify(todo)
    while todo:
        far, net = heapq.heappop(todo)
        if net in steps:
            continue
        steps[net] = far
        for link, _ in network.links_on(network.nets[net].nodes):
            if link.kind == "source":
                continue
            further = far + (1 if link.kind in ("fuse", "contact") else _LOAD_STEPS)
            for other in (index[node] for node in link.nodes if node in index):
                if other not in earth and other not in steps:
                    heapq.heappush(todo, (further, other))
    steps |= dict.fromkeys(sorted(earth), EARTH_STEPS)
    return {node: steps[net] for node, net in index.items() if net in steps}


def _from(design: Design, node: str) -> int:
    """Return the steps at the live pole of a source."""
    device = design.devices.get(split_node(node)[0])
    return 0 if device is not None and device.kind == "battery" else _GENERATOR_STEPS
