"""What stays joined when every plug is pulled apart: wires, splices and earth studs."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cached_property

from wiregen.compute.gather import grouped
from wiregen.connect import Network, split_node
from wiregen.connect.screens import Screen, find_screens
from wiregen.model import Design
from wiregen.model.faces import FaceLayout, face_layouts, mirrored

_NEAR = 1.5
"""Cavities up to this many times the smallest distance count as next to each other."""
_MOST_APART = 6


class Groups:
    """The pieces of loom that hang together with all plugs apart and all units unplugged.

    A screen is tested like a wire: from its pin to its free end, a node with the id of its group.
    """

    def __init__(self, design: Design, network: Network) -> None:
        self._design = design
        self._network = network

    @cached_property
    def layouts(self) -> Mapping[str, FaceLayout]:
        """Plug -> its layout, as seen from the mating side."""
        return face_layouts(self._design)

    @cached_property
    def screens(self) -> Mapping[str, Screen]:
        """Group -> its screen, where that is joined to a pin."""
        return {screen.id: screen for screen in find_screens(self._design, self._network)}

    def ends_at(self, node: str) -> tuple[str, ...]:
        """Return the wires that end at a node, then the screens."""
        here = (screen.id for screen in self.screens.values() if screen.node == node)
        return (*self._network.wires_at(node), *here)

    @cached_property
    def wire_ends(self) -> Mapping[str, tuple[str, str]]:
        """Wire or screen that joins two nodes -> these nodes."""
        wires = {
            wire: (ends[0], ends[1])
            for wires in self._network.wires_on.values()
            for wire in wires
            for ends in [self._network.ends_of[wire]]
            if len(ends) == 2 and self._design.wires[wire].fate != "insulated"
        }
        return wires | {name: (screen.node, name) for name, screen in self.screens.items()}

    @cached_property
    def of(self) -> Mapping[str, str]:
        """Node that wires or screens end on -> node that stands for its group."""
        alone = ((node, node) for node in self._network.wires_on)
        return grouped([*alone, *self.wire_ends.values()])

    @cached_property
    def members(self) -> Mapping[str, tuple[str, ...]]:
        """Group -> its nodes, in the order of the network."""
        found: dict[str, list[str]] = {}
        for node, group in self.of.items():
            found.setdefault(group, []).append(node)
        return {group: tuple(nodes) for group, nodes in found.items()}

    def screen_between(self, one: str, other: str) -> Screen | None:
        """Return the screen that one of two nodes belongs to and the other, a wire under it, not.

        That is where a strand of the screen or nicked insulation makes a short.
        """
        mine, theirs = self.of.get(one), self.of.get(other)
        for screen in self.screens.values():
            under = {self.of.get(node) for w in screen.wires for node in self.wire_ends.get(w, ())}
            if {mine, theirs} - under == {self.of[screen.id]}:
                return screen
        return None

    def around(self, node: str) -> tuple[str, ...]:
        """Return the wired cavities a node must be isolated from: neighbours, supplies, earths."""
        owner, point = split_node(node)
        if owner not in self.layouts:
            return ()
        names = [*self._next_to(owner, point), *self._poles(owner)]
        nodes = dict.fromkeys(f"{owner}:{name}" for name in names if name != point)
        mine = self.of.get(node)
        return tuple(n for n in nodes if n in self.of and self.of[n] != mine)[:_MOST_APART]

    def _next_to(self, plug: str, cavity: str) -> list[str]:
        return self._neighbours.get(plug, {}).get(cavity, [])

    @cached_property
    def _neighbours(self) -> Mapping[str, Mapping[str, list[str]]]:
        return {plug: _near(layout) for plug, layout in self.layouts.items()}

    def _poles(self, plug: str) -> list[str]:
        pins = self._design.plugs[plug].pins.values()
        return [pin.name for pin in pins if pin.role in ("supply", "earth")]

    def mirror_of(self, plug: str) -> Mapping[str, str]:
        """Return where each contact of a plug sits if it is loaded as seen from the wrong side."""
        layout = self.layouts[plug]
        swapped = mirrored(layout)
        spots = {_spot(cavity.x, cavity.y): name for name, cavity in layout.cavities.items()}
        found = {}
        for name, cavity in swapped.cavities.items():
            other = spots.get(_spot(cavity.x, cavity.y))
            if other is not None:
                found[name] = other
        return found


def _spot(x: float, y: float) -> tuple[int, int]:
    return round(x * 4), round(y * 4)


def _near(layout: FaceLayout) -> dict[str, list[str]]:
    """Return the cavities next to each cavity."""
    places = [(name, cavity.x, cavity.y) for name, cavity in layout.cavities.items()]
    gaps = {
        (one, two): math.hypot(x - u, y - v)
        for one, x, y in places
        for two, u, v in places
        if one != two
    }
    least = min(gaps.values(), default=0.0)
    found: dict[str, list[str]] = {name: [] for name, _, _ in places}
    for (one, two), gap in gaps.items():
        if gap <= least * _NEAR:
            found[one].append(two)
    return found
