"""Everything computed of one design, each part when it is first asked for."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from wiregen.compute.bundles import Bundle, bundles_of
from wiregen.compute.faults import STRONG, WEAK, short_currents
from wiregen.compute.fuse_lead import Lead, fuse_leads
from wiregen.compute.guard import Guards, find_guards
from wiregen.compute.network import Circuit, build
from wiregen.compute.sneak import BackFeed, back_feeds
from wiregen.compute.states import Point, modes_of, settle
from wiregen.compute.way import Meeting, Way, find_way, meetings
from wiregen.connect import Network
from wiregen.model import Design

_STARTER_SHARE = 0.5


class Study:
    """The operating states of a design and what follows from them.

    Args:
        design: the design, reduced to one variant.
        network: from `connect`.
    """

    def __init__(self, design: Design, network: Network) -> None:
        self.design = design
        self.network = network
        self._ways: dict[tuple[str, str], Way | None] = {}

    @cached_property
    def circuit(self) -> Circuit:
        """The branches."""
        return build(self.design, self.network)

    @cached_property
    def points(self) -> Mapping[str, Point]:
        """State -> what the network does, relays at rest before."""
        found = {}
        for state in self.design.states.values():
            modes, lost = modes_of(self.circuit, state)
            found[state.name] = settle(self.circuit, state.name, modes, lost)
        return found

    @cached_property
    def latched(self) -> Mapping[str, Point]:
        """State -> what it does if every relay was in before, where that makes a difference."""
        found = {}
        for name, point in self.points.items() if self.circuit.pulls else ():
            modes, lost = modes_of(self.circuit, self.design.states[name])
            other = settle(self.circuit, name, modes, lost, latched=True)
            if other.found and point.found and other.pulled != point.pulled:
                found[name] = other
        return found

    @cached_property
    def meetings(self) -> Mapping[str, Meeting]:
        """State -> node -> branches that carry current there."""
        return {name: meetings(point) for name, point in self.points.items() if point.found}

    @cached_property
    def guards(self) -> Guards:
        """Which fuse protects which wire and load."""
        return find_guards(self.circuit)

    @cached_property
    def leads(self) -> tuple[Lead, ...]:
        """The wires between each battery and the first fuses."""
        return fuse_leads(self.design, self.network, self.circuit)

    @cached_property
    def bundles(self) -> Mapping[str, Bundle]:
        """Wire -> the wires it lies together with."""
        points = [point for point in self.points.values() if point.found]
        return bundles_of(self.design, self.network, points)

    @cached_property
    def back_feeds(self) -> tuple[BackFeed, ...]:
        """Circuits alive behind an open switch, in every state, relays at rest or in before."""
        points = [*self.points.values(), *self.latched.values()]
        return tuple(found for point in points if point.found for found in back_feeds(point))

    @cached_property
    def strong_shorts(self) -> Mapping[str, float]:
        """Node -> most that a short to earth draws there, in A."""
        return short_currents(self.circuit, STRONG)

    @cached_property
    def weak_shorts(self) -> Mapping[str, float]:
        """Node -> least that a short to earth draws there, in A."""
        return short_currents(self.circuit, WEAK)

    def way(self, state: str, load: str) -> Way | None:
        """Return the way of a load's current in a state; None when it carries none."""
        key = (state, load)
        if key not in self._ways:
            point = self.points[state]
            if point.found and abs(point.amps(load)) >= 1e-6:
                element = self.circuit.elements[self.circuit.place[load]]
                self._ways[key] = find_way(point, element, self.meetings[state])
            else:
                self._ways[key] = None
        return self._ways[key]

    @cached_property
    def started(self) -> Mapping[str, float]:
        """State -> current of its starters, in A."""
        starters = [d.id for d in self.design.devices.values() if d.use == "starter"]
        return {
            name: sum(abs(point.amps(one)) for one in starters)
            for name, point in self.points.items()
        }

    def steady(self, name: str) -> tuple[float, str]:
        """Return the largest current of a branch in A, and its state.

        States in which most of it is a starter's, which turns for seconds, do not count.
        """
        hits = [
            (abs(point.amps(name)), state)
            for state, point in self.points.items()
            if point.found and not self.started[state] > _STARTER_SHARE * abs(point.amps(name)) > 0
        ]
        return max(hits, key=lambda hit: hit[0], default=(0.0, ""))
