"""The cheapest way of every node to the nearest of some targets: few loads, then few parts."""

from __future__ import annotations

import heapq
from collections.abc import Collection, Iterable, Iterator, Mapping

from wiregen.connect.network import Network
from wiregen.connect.ways import Hop, HopKind, Target, Way

_LOAD, _PART, _STEP = 10**12, 10**6, 1
_COST: Mapping[HopKind, int] = {
    "wire": _STEP,
    "joint": _STEP,
    "fuse": _PART,
    "contact": _PART,
    "diode": _PART,
    "load": _LOAD,
}
_NEVER = 10**18

Reach = Mapping[str, tuple[int, Hop | None]]
"""Node -> cost to the nearest target and the first step towards it."""


def steps(network: Network, node: str) -> Iterator[Hop]:
    """Yield every step from a node; a source is no way through."""
    for joint in network.joints.get(node, ()):
        yield Hop(joint.node, "wire" if joint.wire else "joint", joint.wire)
    for link, _ in network.links_on((node,)):
        if link.kind != "source":
            for other in link.nodes:
                if other != node:
                    yield Hop(other, link.kind, link.id, link.when)


def reach(
    network: Network, targets: Iterable[str], avoid: Collection[int], *, up: bool | None
) -> Reach:
    """Find the cheapest way of every node to the nearest target.

    Diodes are passed against their current on the way up, with it on the way down, and either
    way when `up` is None.
    """
    found: dict[str, tuple[int, Hop | None]] = {}
    queue: list[tuple[int, int, str, Hop | None]] = [
        (0, order, target, None) for order, target in enumerate(targets)
    ]
    order = len(queue)
    while queue:
        cost, _, here, hop = heapq.heappop(queue)
        if here in found:
            continue
        found[here] = (cost, hop)
        for step in steps(network, here):
            other = step.node
            if other in found or network.net_index[other] in avoid:
                continue
            if step.kind == "diode" and up is not None and not passes(network, other, here, up):
                continue
            order += 1
            back = Hop(here, step.kind, step.id, step.when)
            heapq.heappush(queue, (cost + _COST[step.kind], order, other, back))
    return found


def passes(network: Network, start: str, end: str, up: bool) -> bool:
    """Tell whether a diode may be passed from start to end."""
    way = (end, start) if up else (start, end)
    links = network.links_on((start,))
    return any(link.kind == "diode" and link.nodes[:2] == way for link, _ in links)


def loads_to(found: Reach, node: str) -> int:
    """Return how many loads lie between a node and its target; very many where none is reached."""
    return found[node][0] // _LOAD if node in found else _NEVER


def parts_to(found: Reach, node: str) -> int:
    """Return how many parts lie on the way, a load for more than all others together."""
    return found[node][0] // _PART if node in found else _NEVER


def followed(start: str, found: Reach, to: Target, before: tuple[Hop, ...] = ()) -> Way:
    """Return the way that begins with some steps and goes on by a map."""
    hops = list(before)
    here = before[-1].node if before else start
    while here in found:
        hop = found[here][1]
        if hop is None:
            return Way(start, tuple(hops), to)
        hops.append(hop)
        here = hop.node
    return Way(start, tuple(hops), "")


def between(network: Network, start: str, end: str) -> Way | None:
    """Return the shortest way from one pin to another; None when nothing joins them.

    Args:
        network: from `connect`.
        start: a node of the design.
        end: a node of the design.
    """
    found = reach(network, (end,), (), up=None)
    return followed(start, found, "pin") if start in found else None
