"""Ways along metal: from a node to the nearest node of a sort, with the wires on the way."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

from wiregen.check.rule import Scene
from wiregen.connect import Joint, Network


@dataclass(frozen=True, slots=True)
class Way:
    """A way along metal.

    Attributes:
        nodes: first to last.
        wires: on the way, in order.
    """

    nodes: tuple[str, ...]
    wires: tuple[str, ...]

    @property
    def end(self) -> str:
        """The last node."""
        return self.nodes[-1]

    @property
    def text(self) -> str:
        """In words: `by W3 and W4`, or `directly` without a wire."""
        return f"by {' and '.join(self.wires)}" if self.wires else "directly"


def shortest(
    network: Network,
    start: str,
    wanted: Callable[[str], bool],
    passable: Callable[[str, Joint], bool] = lambda node, joint: True,
) -> Way | None:
    """Return the shortest way along metal from a node to another one that is wanted.

    Args:
        network: from `connect`.
        start: first node; it is never the wanted one itself.
        wanted: tells whether a node ends the search.
        passable: tells whether a joint may be used from a node.
    """
    came: dict[str, tuple[str, str]] = {start: ("", "")}
    queue = deque([start])
    while queue:
        here = queue.popleft()
        if here != start and wanted(here):
            return _way(came, here)
        for joint in network.joints.get(here, ()):
            if joint.node not in came and passable(here, joint):
                came[joint.node] = (here, joint.wire)
                queue.append(joint.node)
    return None


def _way(came: dict[str, tuple[str, str]], end: str) -> Way:
    nodes, wires, step = [], [], end
    while step:
        nodes.append(step)
        step, wire = came[step]
        if wire:
            wires.append(wire)
    return Way(tuple(reversed(nodes)), tuple(reversed(wires)))


def is_return(network: Network, node: str) -> bool:
    """Tell whether circuits may meet at a node: an earth point, a case, a pole of a source."""
    return node in network.earth_points or node in network.returns or node.endswith(":case")


def within_unit(scene: Scene, node: str, joint: Joint) -> bool:
    """Tell whether a joint lies inside a unit: between two pins of its plugs."""
    plugs = scene.design.plugs
    here = plugs.get(node.partition(":")[0])
    there = plugs.get(joint.node.partition(":")[0])
    return (
        not joint.wire
        and here is not None
        and there is not None
        and bool(here.of)
        and here.of == there.of
    )
