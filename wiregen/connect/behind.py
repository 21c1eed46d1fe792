"""Everything behind a fuse, and the order of unplugging that finds a short with fewest steps."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from wiregen.connect.halves import split_node
from wiregen.connect.network import Network
from wiregen.connect.reach import steps
from wiregen.connect.ways import Hop
from wiregen.model import in_order


@dataclass(frozen=True, slots=True)
class Part:
    """A load, or a pin of a unit, that a fuse feeds.

    Attributes:
        id: of the load (`A1.P4` inside a unit); the pin for a unit without a load there.
        node: where the feed reaches it.
        watched: False where it has nothing but a feed and an earth, so that no unit and no lamp
            tells of its failing.
    """

    id: str
    node: str
    watched: bool


@dataclass(frozen=True, slots=True)
class Unplug:
    """One step of the search for a short.

    Attributes:
        point: plugs to pull apart (`X5/X6`), switch to open, fuse or relay to take out; empty
            where nothing is left to part and the suspects have to be looked at.
        suspects: wires and parts that may still hold the short.
        gone: number of the step to go to when the short is gone; 0 for none.
        still: number of the step to go to when it is still there.
    """

    point: str
    suspects: tuple[str, ...]
    gone: int = 0
    still: int = 0


@dataclass(frozen=True, slots=True)
class Behind:
    """What hangs on a fuse.

    Attributes:
        fuse: its id.
        wires: on the way from the fuse to the loads, nearest first.
        pins: cavities passed, nearest first.
        fuses: further fuses behind it.
        parts: what it feeds, nearest first.
    """

    fuse: str
    wires: tuple[str, ...]
    pins: tuple[str, ...]
    fuses: tuple[str, ...]
    parts: tuple[Part, ...]


def behind_fuse(network: Network, fuse: str) -> Behind:
    """Return what hangs on a fuse.

    Args:
        network: from `connect`.
        fuse: id of a fuse of the design.
    """
    closed, earth_nets = _closed(network, fuse)
    start = f"{fuse}:out"
    reached = list(_walk(network, start, fuse, closed, ""))
    wires = (hop.id for _, hop in reached if hop.kind == "wire")
    nodes = [start, *(hop.node for _, hop in reached)]
    return Behind(
        fuse,
        tuple(dict.fromkeys(wires)),
        tuple(node for node in nodes if network.halves.mates.get(split_node(node)[0])),
        tuple(dict.fromkeys(hop.id for _, hop in reached if hop.kind == "fuse")),
        tuple(_parts(network, nodes, earth_nets)),
    )


def unplug_order(network: Network, found: Behind) -> tuple[Unplug, ...]:
    """Return the search for a short behind a fuse; step n is entry n - 1.

    Each step parts the wires and loads that may still hold the short as evenly as can be.

    Args:
        network: from `connect`.
        found: from `behind_fuse`.
    """
    closed, earth_nets = _closed(network, found.fuse)
    start = f"{found.fuse}:out"
    suspects = frozenset([*found.wires, *(part.id for part in found.parts)])
    reached = _walk(network, start, found.fuse, closed, "")
    points = dict.fromkeys(_point(network, here, hop) for here, hop in reached)
    away: dict[str, frozenset[str]] = {}
    for point in points:
        if point:
            kept = list(_walk(network, start, found.fuse, closed, point))
            left = [start, *(hop.node for _, hop in kept)]
            ids = [hop.id for _, hop in kept if hop.kind == "wire"]
            ids += [part.id for part in _parts(network, left, earth_nets)]
            away[point] = suspects - frozenset(ids)
    order: list[Unplug] = []
    _halve(suspects, away, order)
    return tuple(order)


def _closed(network: Network, fuse: str) -> tuple[frozenset[int], frozenset[int]]:
    """Return the nets a search behind a fuse does not enter, and those of them that are earths."""
    earth_nets = frozenset(net.index for net in network.nets if net.kind == "earth")
    live_nets = frozenset(network.net_index[pole] for pole in network.sources)
    return (earth_nets | live_nets) - {network.net_index[f"{fuse}:out"]}, earth_nets


def _walk(
    network: Network, start: str, fuse: str, closed: Collection[int], parted: str
) -> Iterator[tuple[str, Hop]]:
    """Yield every step away from the fuse with the node it is made from, nearest first."""
    seen = {start}
    wires: set[str] = set()
    queue = deque([start])
    while queue:
        here = queue.popleft()
        for hop in steps(network, here):
            if hop.kind == "load" or (hop.kind == "fuse" and here == f"{hop.id}:out"):
                continue
            if network.net_index[hop.node] in closed or hop.id == fuse:
                continue
            if parted and _point(network, here, hop) == parted:
                continue
            if hop.node in seen:
                if hop.kind == "wire" and hop.id not in wires:
                    wires.add(hop.id)
                    yield here, hop
                continue
            seen.add(hop.node)
            wires.add(hop.id)
            queue.append(hop.node)
            yield here, hop


def _point(network: Network, start: str, hop: Hop) -> str:
    """Return what parts a step: a pair of plugs, a switch or relay, a fuse; empty for a wire."""
    if hop.kind in ("contact", "fuse"):
        return hop.id
    owner, other = split_node(start)[0], split_node(hop.node)[0]
    if hop.kind == "joint" and network.mate(owner) == other:
        return "/".join(in_order((owner, other)))
    return ""


def _parts(network: Network, nodes: Collection[str], earth_nets: Collection[int]) -> Iterator[Part]:
    """Yield the loads at some nodes, and the pins of units where no load is known."""
    seen: set[str] = set()
    for node in nodes:
        loads = [link for link, _ in network.links_on((node,)) if link.kind == "load"]
        for link in loads:
            if link.id not in seen:
                seen.add(link.id)
                yield Part(link.id, node, not _is_plain(network, node, link.nodes, earth_nets))
        if split_node(node)[0] in network.halves.built_in and not loads:
            yield Part(node, node, watched=True)


def _is_plain(
    network: Network, node: str, terminals: Collection[str], earth_nets: Collection[int]
) -> bool:
    """Tell whether a load, with the plug it has of its own, has one feed and earths, no more."""
    plugs = {split_node(n)[0] for n in terminals} & network.halves.built_in
    used = [n for n in terminals if network.joints.get(n)]
    if plugs:
        used = [n for n in network.joints if split_node(n)[0] in plugs]
    nets = {network.net_index[n] for n in used} - {network.net_index[node]}
    return len(nets) == 1 and nets <= set(earth_nets)


def _halve(
    suspects: frozenset[str], away: Mapping[str, frozenset[str]], order: list[Unplug]
) -> int:
    """Add the step that parts the suspects most evenly, then those for either half."""
    best, most = "", 0
    for point, gone in away.items():
        even = min(len(suspects & gone), len(suspects - gone))
        if even > most:
            best, most = point, even
    number = len(order) + 1
    order.append(Unplug(best, tuple(in_order(suspects))))
    if best:
        if_gone = _halve(suspects & away[best], away, order)
        if_still = _halve(suspects - away[best], away, order)
        order[number - 1] = Unplug(best, tuple(in_order(suspects)), if_gone, if_still)
    return number
