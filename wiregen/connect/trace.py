"""The ways of a pin: up to its supplies and down to earth."""

from __future__ import annotations

from functools import cached_property

from wiregen.connect.around import Scene, fed, other_sources, through_loads
from wiregen.connect.network import Network
from wiregen.connect.reach import Reach, followed, loads_to, reach
from wiregen.connect.ways import Trace, Way


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
    def _supply(self) -> Reach:
        return reach(self._network, self._network.sources, self._earth_nets, up=True)

    @cached_property
    def _earth(self) -> Reach:
        return reach(self._network, _earth_ends(self._network), self._live_nets, up=False)

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
        up = list(fed(scene)) if loads_to(scene.supply, node) == 0 else []
        down = [followed(node, scene.earth, "earth")] if loads_to(scene.earth, node) == 0 else []
        blocked = {passed for way in (*up, *down) for passed in way.nodes[1:]}
        for way in through_loads(scene, blocked):
            if way.to == "supply" and not (up and not up[0].loads):
                up.append(way)
            elif way.to != "supply" and not (down and not down[0].loads):
                down.append(way)
        up += other_sources(scene, up)
        return Trace(node, tuple(up), tuple(down))

    def feeds(self, node: str) -> tuple[Way, ...]:
        """Return the ways of a pin to its supplies on which no load lies; see `trace`."""
        supply = self._supply_of(node)
        if loads_to(supply, node) > 0:
            return ()
        nets = (self._earth_nets, self._live_nets)
        return tuple(fed(Scene(self._network, node, supply, {}, *nets)))

    def _scene(self, node: str) -> Scene:
        network = self._network
        here = network.net_index[node]
        earth = self._earth
        if here in self._live_nets:
            earth = reach(network, _earth_ends(network), self._live_nets - {here}, up=False)
        nets = (self._earth_nets, self._live_nets)
        return Scene(network, node, self._supply_of(node), earth, *nets)

    def _supply_of(self, node: str) -> Reach:
        """Return the way of every node up; the net of the pin is open even where it is an earth."""
        here = self._network.net_index[node]
        if here not in self._earth_nets:
            return self._supply
        open_nets = self._earth_nets - {here}
        return reach(self._network, self._network.sources, open_nets, up=True)


def trace(network: Network, node: str) -> Trace:
    """Follow one pin up to its supplies and down to earth; see `Tracer.trace`."""
    return Tracer(network).trace(node)


def _earth_ends(network: Network) -> list[str]:
    """Return what a way to earth ends at: battery poles, and earths without any."""
    poles = [pole for pole in network.returns if pole in network.net_index]
    ends = [pole for pole in poles if not pole.endswith(":case")] or poles
    held = {network.net_index[pole] for pole in ends}
    points = [point for point in sorted(network.earth_points) if point in network.net_index]
    return ends + [point for point in points if network.net_index[point] not in held]
