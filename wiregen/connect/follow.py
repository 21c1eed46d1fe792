"""Ways through a network: towards supply, along a circuit."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable, Iterator

from wiregen.connect.halves import split_node
from wiregen.connect.network import Network
from wiregen.model import in_order


def protecting_fuses(network: Network, node: str) -> tuple[str, ...]:
    """Return the nearest fuses between a node and its supply.

    Args:
        network: from `connect`.
        node: any pin or terminal. On the earth side of a load, or between a load and its switch
            in the earth lead, the fuses of that load are returned.

    Returns:
        Fuse ids in natural order; empty when the way to the source has no fuse or no source is
        known.
    """
    net = network.net_of(node)
    if net is None:
        return ()
    if net.kind != "earth":
        found = _fuses_above(network, net.index)
        if found:
            return tuple(in_order(found))
    fuses: dict[str, None] = {}
    for other in _across_loads(network, node):
        if network.nets[other].kind != "earth":
            fuses.update(dict.fromkeys(_fuses_above(network, other)))
    return tuple(in_order(fuses))


def _fuses_above(network: Network, start: int) -> list[str]:
    """Search from a net through contacts; each way ends at a fuse, a source or earth."""
    found: dict[str, None] = {}
    seen = {start}
    queue = deque([start])
    while queue:
        net = network.nets[queue.popleft()]
        feeding = list(_fuses_at(network, net.nodes, "out"))
        found.update(dict.fromkeys(feeding))
        if feeding or any(node in network.sources for node in net.nodes):
            continue
        for link, node in network.links_on(net.nodes):
            for other in link.nodes if link.kind == "contact" else ():
                index = network.net_index[other]
                if other != node and index not in seen and network.nets[index].kind != "earth":
                    seen.add(index)
                    queue.append(index)
    return list(found)


def _fuses_at(network: Network, nodes: Iterable[str], side: str) -> Iterator[str]:
    for link, node in network.links_on(nodes):
        if link.kind == "fuse" and node == f"{link.id}:{side}":
            yield link.id


def _across_loads(network: Network, node: str) -> list[int]:
    """Return the nets beyond every load met from a node, no earth and no bus bar passed."""
    others: dict[int, None] = {}
    for here in local_nodes(network, node, network.bus_bars):
        for link, _ in network.links_on((here,)):
            if link.kind in ("load", "diode"):
                others.update(dict.fromkeys(network.net_index[n] for n in link.nodes if n != here))
    here_net = network.net_index[node]
    return [index for index in others if index != here_net]


def local_nodes(network: Network, node: str, bars: Collection[str] = ()) -> list[str]:
    """Return the nodes joined to a node by metal without passing through an earth point.

    Args:
        network: from `connect`.
        node: where to begin.
        bars: ids of bus bars that are not passed either.

    Returns:
        The nodes. The earth points and bars met are in the list; what hangs on them beyond is not.
    """
    seen = {node: None}
    queue = deque([node])
    while queue:
        here = queue.popleft()
        if here != node and (here in network.earth_points or split_node(here)[0] in bars):
            continue
        for joint in network.joints.get(here, ()):
            if joint.node not in seen:
                seen[joint.node] = None
                queue.append(joint.node)
    return list(seen)


def circuit_wires(network: Network, name: str) -> tuple[str, ...]:
    """Return the wires of a named circuit.

    The nets that carry the name are taken whole, and what they feed through fuses and contacts as
    well. Towards supply only the wires on the way are taken: a battery feeds more than one circuit.
    Loads and earths end the way.

    Args:
        network: from `connect`.
        name: circuit name.

    Returns:
        Wire ids in natural order; empty for an unknown name.
    """
    own = list(network.circuits.get(name, ()))
    depth = _depths(network)
    wires: dict[str, None] = {}
    for index in _below(network, own, depth):
        wires.update(dict.fromkeys(network.nets[index].wires))
    wires.update(dict.fromkeys(_wires_above(network, own, depth)))
    return tuple(in_order(wires))


def _crossings(
    network: Network, depth: dict[int, int], nodes: Iterable[str]
) -> Iterator[tuple[str, str, int]]:
    """Yield (node, other node, way) for every fuse and contact at these nodes.

    The way is -1 towards supply, 1 away from it, 0 where neither source nor fuse tells.
    """
    for link, node in network.links_on(nodes):
        for other in link.nodes if link.kind in ("fuse", "contact") else ():
            here, there = network.net_index[node], network.net_index[other]
            if here == there or network.nets[there].kind == "earth":
                continue
            if here in depth and there in depth and depth[here] != depth[there]:
                way = 1 if depth[there] > depth[here] else -1
            elif link.kind == "fuse":
                way = 1 if node == link.nodes[0] else -1
            else:
                way = 0
            yield node, other, way


def _depths(network: Network) -> dict[int, int]:
    """Return net -> fuses and contacts between it and the nearest source; unfed nets are absent."""
    depth = {network.net_index[node]: 0 for node in network.sources}
    queue = deque(depth)
    while queue:
        index = queue.popleft()
        for _, other, _ in _crossings(network, {}, network.nets[index].nodes):
            target = network.net_index[other]
            if target not in depth:
                depth[target] = depth[index] + 1
                queue.append(target)
    return depth


def _below(network: Network, start: list[int], depth: dict[int, int]) -> list[int]:
    """Return these nets and the nets they feed, without going back towards supply."""
    seen = dict.fromkeys(start)
    queue = deque(start)
    while queue:
        net = network.nets[queue.popleft()]
        if net.kind == "earth":
            continue
        for _, other, way in _crossings(network, depth, net.nodes):
            target = network.net_index[other]
            if way >= 0 and target not in seen:
                seen[target] = None
                queue.append(target)
    return list(seen)


def _wires_above(network: Network, own: list[int], depth: dict[int, int]) -> Iterator[str]:
    """Yield the wires on the ways from these nets up to the sources."""
    queue = deque(_up(network, own, depth))
    seen = set(queue)
    while queue:
        entry = queue.popleft()
        net = network.nets[network.net_index[entry]]
        exits = [node for node in net.nodes if node in network.sources]
        for node, other, way in _crossings(network, depth, net.nodes if not exits else ()):
            if way <= 0 and node != entry:
                exits.append(node)
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
        yield from _wires_between(network, entry, exits) if exits else net.wires


def _up(network: Network, nets: Iterable[int], depth: dict[int, int]) -> Iterator[str]:
    for index in nets:
        if network.nets[index].kind != "earth":
            for _, other, way in _crossings(network, depth, network.nets[index].nodes):
                if way < 0:
                    yield other


def _wires_between(network: Network, entry: str, exits: Iterable[str]) -> Iterator[str]:
    """Yield the wires on the shortest metal way from a node to each of the others."""
    came: dict[str, tuple[str, str]] = {entry: ("", "")}
    queue = deque([entry])
    while queue:
        here = queue.popleft()
        for joint in network.joints.get(here, ()):
            if joint.node not in came:
                came[joint.node] = (here, joint.wire)
                queue.append(joint.node)
    for node in exits:
        step = node
        while step:
            step, wire = came.get(step, ("", ""))
            if wire:
                yield wire
