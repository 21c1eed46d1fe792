"""What a load can get at its terminals, also through other loads in series with it."""

from __future__ import annotations

from wiregen.check.rule import Scene
from wiregen.connect import Link


def lacking(scene: Scene, link: Link, islands: dict[int, set[str]]) -> list[str]:
    """Return what a load cannot get: supply at one terminal and earth at another one."""
    feeds = scene.feeds
    nets = dict.fromkeys(scene.network.net_index[node] for node in link.nodes)
    fed = {net for net in nets if net in feeds.supply or net in feeds.open}
    earthed = {net for net in nets if net in feeds.earth or net in feeds.open}
    if not _two(fed, earthed):
        for net in nets:
            in_series = _beyond_loads(scene, net, link, islands.get(net, set()))
            fed |= {net} if "supply" in in_series else set()
            earthed |= {net} if "earth" in in_series else set()
    if _two(fed, earthed):
        return []
    lacking = [word for word, found in (("supply", fed), ("earth", earthed)) if not found]
    return lacking or ["supply" if any(net in feeds.earth for net in earthed) else "earth"]


def _two(fed: set[int], earthed: set[int]) -> bool:
    return bool(fed and earthed and len(fed | earthed) > 1)


def find_islands(scene: Scene) -> dict[int, set[str]]:
    """Return net -> what can be got anywhere among the nets that loads and contacts join to it.

    Earth nets and permanent feeds bound the islands.
    """
    network = scene.network
    found: dict[int, set[str]] = {}
    for first in range(len(network.nets)):
        if first in found or _bounds(scene, first):
            continue
        words: set[str] = set()
        found[first] = words
        queue = [first]
        while queue:
            index = queue.pop()
            words |= _got(scene, index)
            for link, _ in network.links_on(network.nets[index].nodes):
                for target in (network.net_index[n] for n in link.nodes if link.kind != "source"):
                    if _bounds(scene, target):
                        words |= _got(scene, target)
                    elif target not in found:
                        found[target] = words
                        queue.append(target)
    return found


def _bounds(scene: Scene, index: int) -> bool:
    return scene.network.nets[index].kind == "earth" or scene.feeds.is_permanent(index)


def _got(scene: Scene, index: int) -> set[str]:
    feeds = scene.feeds
    found = {"supply"} if index in feeds.supply or index in feeds.open else set()
    return found | ({"earth"} if index in feeds.earth or index in feeds.open else set())


def _beyond_loads(scene: Scene, start: int, own: Link, possible: set[str]) -> set[str]:
    """Return what a net can get through other loads in series: supply, earth, or both if open."""
    network = scene.network
    seen, queue, found = {start}, [start], set[str]()
    while queue and found != possible:
        index = queue.pop()
        found |= _got(scene, index)
        if _bounds(scene, index):
            continue
        for link, node in network.links_on(network.nets[index].nodes):
            if link is own or link.kind == "source":
                continue
            for other in link.nodes:
                target = network.net_index[other]
                if other != node and target not in seen:
                    seen.add(target)
                    queue.append(target)
    return found
