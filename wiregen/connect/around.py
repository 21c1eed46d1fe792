"""What lies around one pin: the fuses that feed it, and the loads that hang on it."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass

from wiregen.connect.network import Network
from wiregen.connect.reach import Reach, followed, loads_to, parts_to, passes, reach, steps
from wiregen.connect.ways import Hop, Target, Way

_MOST_SOURCES = 12


@dataclass(frozen=True, slots=True)
class Scene:
    """A pin with what is known of its network.

    Attributes:
        network: from `connect`.
        node: the pin.
        supply: the way of every node to a supply.
        earth: the way of every node to earth.
        earth_nets: nets that are earth.
        live_nets: nets of the sources.
    """

    network: Network
    node: str
    supply: Reach
    earth: Reach
    earth_nets: Collection[int]
    live_nets: Collection[int]

    def height(self, node: str) -> float:
        """1 at a supply, 0 at earth, between them on a net that lies between loads."""
        above, below = loads_to(self.supply, node), loads_to(self.earth, node)
        return below / (above + below) if above + below else 0.5


def fed(scene: Scene) -> list[Way]:
    """Return one way for each fuse or source that feeds the pin without a load between."""
    network = scene.network
    poles = frozenset(network.sources)
    ways: list[Way] = []

    def ends(here: str) -> bool:
        return here in network.earth_points or here in poles

    def crosses(here: str, step: Hop) -> bool:
        if step.kind == "contact":
            return network.net_index[step.node] not in scene.earth_nets
        return step.kind == "diode" and passes(network, here, step.node, up=True)

    for here, hops in _around(scene, ends, crosses):
        if here in poles:
            if network.net_index[here] == network.net_index[scene.node] or not ways:
                ways.append(Way(scene.node, hops, "supply"))
            continue
        for step in steps(network, here):
            if step.kind == "fuse" and here == f"{step.id}:out":
                ways.append(followed(scene.node, scene.supply, "supply", (*hops, step)))
    direct = followed(scene.node, scene.supply, "supply")
    ways = [way for way in ways if len(set(way.nodes)) == len(way.nodes)] or [direct]
    return sorted(ways, key=lambda way: way.nodes != direct.nodes)


def _around(
    scene: Scene,
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


def through_loads(scene: Scene, blocked: Collection[str]) -> Iterator[Way]:
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


def _beyond(scene: Scene, hops: tuple[Hop, ...]) -> Way | None:
    """Return the way on from the far side of a load: up or down, whichever is nearer there.

    None when the load only bridges to something that lies no nearer to either.
    """
    here, there = scene.node, hops[-1].node
    rise = scene.height(there) - scene.height(here)
    if rise == 0:
        rise = loads_to(scene.supply, here) - loads_to(scene.supply, there)
        rise -= loads_to(scene.earth, here) - loads_to(scene.earth, there)
    if rise == 0:
        return None
    to: Target = "supply" if rise > 0 else "earth"
    way = followed(here, scene.supply if rise > 0 else scene.earth, to, hops)
    if not way.to or len(set(way.nodes)) < len(way.nodes):
        return Way(here, hops, "")
    return way


def _hanging(scene: Scene, blocked: Collection[str]) -> dict[str, tuple[Hop, ...]]:
    """Return what hangs on the pin: metal, and what is behind fuses and contacts."""
    network = scene.network

    def crosses(here: str, step: Hop) -> bool:
        """Tell whether a part leads away from the feed or the earth of the pin."""
        index = network.net_index[step.node]
        if step.kind == "load" or index in scene.earth_nets or index in scene.live_nets:
            return False
        if step.kind == "fuse" and here == f"{step.id}:out":
            return False
        if step.kind == "diode" and not passes(network, here, step.node, up=False):
            return False
        for found in (scene.supply, scene.earth):
            if loads_to(found, scene.node) == 0:
                return parts_to(found, step.node) > parts_to(found, here)
        return True

    def ends(here: str) -> bool:
        return here in network.earth_points

    return dict(_around(scene, ends, crosses, blocked))


def other_sources(scene: Scene, ways: Iterable[Way]) -> list[Way]:
    """Return a way to every source that no way has reached, where no load lies between."""
    reached = {node for way in ways for node in way.nodes}
    others = [pole for pole in scene.network.sources if pole not in reached]
    avoid = set(scene.earth_nets) - {scene.network.net_index[scene.node]}
    more = []
    for pole in others[:_MOST_SOURCES]:
        found = reach(scene.network, (pole,), avoid, up=True)
        if loads_to(found, scene.node) == 0:
            more.append(followed(scene.node, found, "supply"))
    return more
