"""The ways of a pin: up to its supplies and down to earth, and the way between two pins."""

from __future__ import annotations

import heapq
from collections import deque
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from wiregen.connect.network import Network

HopKind = Literal["wire", "joint", "fuse", "contact", "load", "diode"]
Target = Literal["supply", "earth", "pin", "load", ""]
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
_MOST_SOURCES = 12


@dataclass(frozen=True, slots=True)
class Hop:
    """One step of a way.

    Attributes:
        node: where the step leads to.
        kind: `wire`; `joint` (mated contacts, bar, stud, case, link inside a unit); or the kind
            of the part that is crossed.
        id: of the wire, fuse or device; empty for a joint.
        when: switch positions in which a contact is closed.
    """

    node: str
    kind: HopKind
    id: str = ""
    when: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Way:
    """A way through a network.

    Attributes:
        start: the pin it begins at.
        hops: its steps.
        to: what it ends at; `load` is the far side of the first load; empty when it leads nowhere.
    """

    start: str
    hops: tuple[Hop, ...]
    to: Target

    @property
    def nodes(self) -> tuple[str, ...]:
        """Every node passed, the start first."""
        return (self.start, *(hop.node for hop in self.hops))

    @property
    def end(self) -> str:
        """The last node."""
        return self.nodes[-1]

    @property
    def loads(self) -> tuple[str, ...]:
        """The loads crossed."""
        return tuple(hop.id for hop in self.hops if hop.kind == "load")


@dataclass(frozen=True, slots=True)
class Trace:
    """All ways of one pin.

    Attributes:
        node: the pin.
        up: ways to supplies: one a fuse or source that feeds it; through each load where it has
            no feed of its own.
        down: ways to earth, likewise.
    """

    node: str
    up: tuple[Way, ...]
    down: tuple[Way, ...]


def to_first_loads(found: Trace) -> Trace:
    """Return a trace whose ways up end behind their first load: what returns at an earth.

    Args:
        found: of a pin on earth; the full ways of a stud name every load with all of its feed.
    """
    ways: dict[tuple[Hop, ...], Way] = {}
    for way in found.up:
        first = next((n for n, hop in enumerate(way.hops) if hop.kind == "load"), None)
        hops = way.hops if first is None else way.hops[: first + 1]
        ways.setdefault(hops, Way(way.start, hops, way.to if first is None else "load"))
    return Trace(found.node, tuple(ways.values()), found.down)


_Maps = dict[str, tuple[int, Hop | None]]
"""Node -> cost to the nearest target and the first step towards it."""


class Tracer:
    """Traces many pins of one network; what does not depend on the pin is found once."""

    def __init__(self, network: Network) -> None:
        self._network = network

    @cached_property
    def _earth_nets(self) -> frozenset[int]:
        return frozenset(net.index for net in self._network.nets if net.kind == "earth")

    @cached_property
    def _live_nets(self) -> frozenset[int]:
        return frozenset(self._network.net_index[pole] for pole in self._network.sources)

    @cached_property
    def _supply(self) -> _Maps:
        return _reach(self._network, self._network.sources, self._earth_nets, up=True)

    @cached_property
    def _earth(self) -> _Maps:
        return _reach(self._network, _earth_ends(self._network), self._live_nets, up=False)

    def trace(self, node: str) -> Trace:
        """Follow a pin up to its supplies and down to earth.

        Args:
            node: any pin, terminal, splice or earth of the design.

        Returns:
            The ways, shortest first; fewest loads count most, then fuses and contacts, then wires.

        Raises:
            KeyError: the design has no such node.
        """
        scene = self._scene(node)
        up = list(_fed(scene)) if _loads(scene.supply, node) == 0 else []
        down = [_followed(node, scene.earth, "earth")] if _loads(scene.earth, node) == 0 else []
        blocked = {passed for way in (*up, *down) for passed in way.nodes[1:]}
        for way in _through_loads(scene, blocked):
            if way.to == "supply" and not (up and not up[0].loads):
                up.append(way)
            elif way.to != "supply" and not (down and not down[0].loads):
                down.append(way)
        up += _other_sources(scene, up)
        return Trace(node, tuple(up), tuple(down))

    def feeds(self, node: str) -> tuple[Way, ...]:
        """Return the ways of a pin to its supplies on which no load lies; see `trace`."""
        supply = self._supply_of(node)
        if _loads(supply, node) > 0:
            return ()
        nets = (self._earth_nets, self._live_nets)
        return tuple(_fed(_Scene(self._network, node, supply, {}, *nets)))

    def _scene(self, node: str) -> _Scene:
        network = self._network
        here = network.net_index[node]
        earth = self._earth
        if here in self._live_nets:
            earth = _reach(network, _earth_ends(network), self._live_nets - {here}, up=False)
        nets = (self._earth_nets, self._live_nets)
        return _Scene(network, node, self._supply_of(node), earth, *nets)

    def _supply_of(self, node: str) -> _Maps:
        """Return the way of every node up; the net of the pin is open even where it is an earth."""
        here = self._network.net_index[node]
        if here not in self._earth_nets:
            return self._supply
        open_nets = self._earth_nets - {here}
        return _reach(self._network, self._network.sources, open_nets, up=True)


def trace(network: Network, node: str) -> Trace:
    """Follow one pin up to its supplies and down to earth; see `Tracer.trace`."""
    return Tracer(network).trace(node)


def between(network: Network, start: str, end: str) -> Way | None:
    """Return the shortest way from one pin to another; None when nothing joins them.

    Args:
        network: from `connect`.
        start: a node of the design.
        end: a node of the design.
    """
    found = _reach(network, (end,), (), up=None)
    return _followed(start, found, "pin") if start in found else None


@dataclass(frozen=True, slots=True)
class _Scene:
    network: Network
    node: str
    supply: _Maps
    earth: _Maps
    earth_nets: Collection[int]
    live_nets: Collection[int]

    def height(self, node: str) -> float:
        """1 at a supply, 0 at earth, between them on a net that lies between loads."""
        above, below = _loads(self.supply, node), _loads(self.earth, node)
        return below / (above + below) if above + below else 0.5


def _earth_ends(network: Network) -> list[str]:
    """Return what a way to earth ends at: battery poles, and earths without any."""
    poles = [pole for pole in network.returns if pole in network.net_index]
    ends = [pole for pole in poles if not pole.endswith(":case")] or poles
    held = {network.net_index[pole] for pole in ends}
    points = [point for point in sorted(network.earth_points) if point in network.net_index]
    return ends + [point for point in points if network.net_index[point] not in held]


def steps(network: Network, node: str) -> Iterator[Hop]:
    """Yield every step from a node; a source is no way through."""
    for joint in network.joints.get(node, ()):
        yield Hop(joint.node, "wire" if joint.wire else "joint", joint.wire)
    for place in network.links_at.get(node, ()):
        link = network.links[place]
        if link.kind != "source":
            for other in link.nodes:
                if other != node:
                    yield Hop(other, link.kind, link.id, link.when)


def _reach(
    network: Network, targets: Iterable[str], avoid: Collection[int], *, up: bool | None
) -> _Maps:
    """Find the cheapest way of every node to the nearest target.

    Diodes are passed against their current on the way up, with it on the way down, and either
    way when `up` is None.
    """
    found: _Maps = {}
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
            if step.kind == "diode" and up is not None and not _passes(network, other, here, up):
                continue
            order += 1
            back = Hop(here, step.kind, step.id, step.when)
            heapq.heappush(queue, (cost + _COST[step.kind], order, other, back))
    return found


def _passes(network: Network, start: str, end: str, up: bool) -> bool:
    """Tell whether a diode may be passed from start to end."""
    way = (end, start) if up else (start, end)
    return any(
        link.kind == "diode" and link.nodes[:2] == way
        for link in (network.links[place] for place in network.links_at.get(start, ()))
    )


def _loads(found: _Maps, node: str) -> int:
    return found[node][0] // _LOAD if node in found else _NEVER


def _parts(found: _Maps, node: str) -> int:
    return found[node][0] // _PART if node in found else _NEVER


def _followed(start: str, found: _Maps, to: Target, before: tuple[Hop, ...] = ()) -> Way:
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


def _fed(scene: _Scene) -> list[Way]:
    """Return one way for each fuse or source that feeds the pin without a load between."""
    network = scene.network
    poles = frozenset(network.sources)
    ways: list[Way] = []

    def ends(here: str) -> bool:
        return here in network.earth_points or here in poles

    def crosses(here: str, step: Hop) -> bool:
        if step.kind == "contact":
            return network.net_index[step.node] not in scene.earth_nets
        return step.kind == "diode" and _passes(network, here, step.node, up=True)

    for here, hops in _around(scene, ends, crosses):
        if here in poles:
            if network.net_index[here] == network.net_index[scene.node] or not ways:
                ways.append(Way(scene.node, hops, "supply"))
            continue
        for step in steps(network, here):
            if step.kind == "fuse" and here == f"{step.id}:out":
                ways.append(_followed(scene.node, scene.supply, "supply", (*hops, step)))
    direct = _followed(scene.node, scene.supply, "supply")
    ways = [way for way in ways if len(set(way.nodes)) == len(way.nodes)] or [direct]
    return sorted(ways, key=lambda way: way.nodes != direct.nodes)


def _around(
    scene: _Scene,
    ends: Callable[[str], bool],
    crosses: Callable[[str, Hop], bool],
    blocked: Collection[str] = (),
) -> Iterator[tuple[str, tuple[Hop, ...]]]:
    """Yield the nodes around the pin with the steps that lead to each, nearest first.

    Metal is always followed, but not beyond nodes that end it; `crosses` decides of parts.
    """
    came: dict[str, tuple[Hop, ...]] = {scene.node: ()}
    queue = deque([scene.node])
    while queue:
        here = queue.popleft()
        yield here, came[here]
        if ends(here) and here != scene.node:
            continue
        for step in steps(scene.network, here):
            if step.node in came or step.node in blocked:
                continue
            if step.kind in ("wire", "joint") or crosses(here, step):
                came[step.node] = (*came[here], step)
                queue.append(step.node)


def _through_loads(scene: _Scene, blocked: Collection[str]) -> Iterator[Way]:
    """Yield a way through every load that hangs on the pin, away from its feed and its earth."""
    nodes = _hanging(scene, blocked)
    seen: set[tuple[str, str]] = set()
    for here, hops in nodes.items():
        for step in steps(scene.network, here):
            if step.kind != "load" or step.node in nodes or step.node in blocked:
                continue
            if (step.id, step.node) not in seen:
                seen.add((step.id, step.node))
                way = _beyond(scene, (*hops, step))
                if way is not None:
                    yield way


def _beyond(scene: _Scene, hops: tuple[Hop, ...]) -> Way | None:
    """Return the way on from the far side of a load: up or down, whichever is nearer there.

    None when the load only bridges to something that lies no nearer to either.
    """
    here, there = scene.node, hops[-1].node
    rise = scene.height(there) - scene.height(here)
    if rise == 0:
        rise = _loads(scene.supply, here) - _loads(scene.supply, there)
        rise -= _loads(scene.earth, here) - _loads(scene.earth, there)
    if rise == 0:
        return None
    to: Target = "supply" if rise > 0 else "earth"
    way = _followed(here, scene.supply if rise > 0 else scene.earth, to, hops)
    if not way.to or len(set(way.nodes)) < len(way.nodes):
        return Way(here, hops, "")
    return way


def _hanging(scene: _Scene, blocked: Collection[str]) -> dict[str, tuple[Hop, ...]]:
    """Return what hangs on the pin: metal, and what is behind fuses and contacts."""
    network = scene.network

    def crosses(here: str, step: Hop) -> bool:
        """Tell whether a part leads away from the feed or the earth of the pin."""
        index = network.net_index[step.node]
        if step.kind == "load" or index in scene.earth_nets or index in scene.live_nets:
            return False
        if step.kind == "fuse" and here == f"{step.id}:out":
            return False
        if step.kind == "diode" and not _passes(network, here, step.node, up=False):
            return False
        for found in (scene.supply, scene.earth):
            if _loads(found, scene.node) == 0:
                return _parts(found, step.node) > _parts(found, here)
        return True

    def ends(here: str) -> bool:
        return here in network.earth_points

    return dict(_around(scene, ends, crosses, blocked))


def _other_sources(scene: _Scene, ways: Iterable[Way]) -> list[Way]:
    """Return a way to every source that no way has reached, where no load lies between."""
    reached = {node for way in ways for node in way.nodes}
    others = [pole for pole in scene.network.sources if pole not in reached]
    avoid = set(scene.earth_nets) - {scene.network.net_index[scene.node]}
    more = []
    for pole in others[:_MOST_SOURCES]:
        found = _reach(scene.network, (pole,), avoid, up=True)
        if _loads(found, scene.node) == 0:
            more.append(_followed(scene.node, found, "supply"))
    return more
