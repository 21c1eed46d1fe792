"""What a short to earth draws at every node at once: batteries, metal and fuses, loads left out.

One factorisation and the diagonal of the inverse give the current at each node; a search for the
edges nothing runs beside says which fuse then carries all of it. Both grow with the number of
branches.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush

from wiregen.compute.elements import METAL_OHM, Element
from wiregen.compute.eliminate import Elimination, Factors
from wiregen.compute.faults import Corner, copper_scale, unknown_to
from wiregen.compute.guard import METAL, main_sources
from wiregen.compute.states import Point

_LEAK_S = 1e-9
_LOW_OHM = 1.0
_LEAST_SHARE = 0.05
"""A fuse that carries less than this of a short plays no part in it."""


@dataclass(frozen=True, slots=True)
class Edge:
    """One branch a short can draw its current through."""

    element: Element
    a: int
    b: int
    ohm: float


class ShortNet:
    """The network of a state as a short sees it.

    Args:
        point: a state with an operating point; its contacts stay as they lie.
        corner: how strong source and copper are taken.
    """

    def __init__(self, point: Point, corner: Corner) -> None:
        self.point = point
        self.corner = corner
        circuit = point.circuit
        self.zero = circuit.index[circuit.zero]
        self.edges = _edges(point, corner)
        self.near: dict[int, list[int]] = {}
        for number, edge in enumerate(self.edges):
            self.near.setdefault(edge.a, []).append(number)
            self.near.setdefault(edge.b, []).append(number)

    def amps(self, node: str) -> float | None:
        """Return the current of a short to earth at a node; None where no battery reaches it."""
        index = self.point.circuit.index.get(node)
        if index is None or index == self.zero or index not in self._way:
            return None
        volts = self._volts[index]
        if abs(volts) < self._least_v:
            return None
        return abs(volts) / (self._inner[index] + self.corner.short_ohm)

    def fuses(self, node: str) -> tuple[tuple[str, float], ...]:
        """Return the fuses that carry a short at a node, with their current, nearest last."""
        total = self.amps(node)
        if total is None:
            return ()
        index = self.point.circuit.index[node]
        found: dict[str, float] = {}
        for number in self._path(index):
            if self.edges[number].element.part == "fuse" and number in self._alone:
                found[self.edges[number].element.id] = total
        for number, change in self._shared.items():
            share = abs(change[index]) / self.edges[number].ohm
            if share > _LEAST_SHARE:
                found[self.edges[number].element.id] = share * total
        return tuple(found.items())

    def thinnest(self, node: str, area_mm2: Mapping[str, float]) -> str:
        """Return the wire of least copper on the way to a node; empty when none has a size."""
        index = self.point.circuit.index[node]
        known = self._thinnest
        climb: list[int] = []
        while index not in known and index in self._way and index != self.zero:
            climb.append(index)
            index = self._up(index)
        best = known.get(index, "")
        for one in reversed(climb):
            name = self.edges[self._way[one]].element.id
            if name in area_mm2 and (not best or area_mm2[name] < area_mm2[best]):
                best = name
            known[one] = best
        return best

    @cached_property
    def _thinnest(self) -> dict[int, str]:
        return {}

    @cached_property
    def _factors(self) -> Factors:
        size = self.zero
        own = [_LEAK_S] * size
        entries = []
        for edge in self.edges:
            conductance = 1.0 / edge.ohm
            for end in (edge.a, edge.b):
                if end != self.zero:
                    own[end] += conductance
            if self.zero not in (edge.a, edge.b):
                entries.append((edge.a, edge.b, -conductance))
        pattern = Elimination(size, [(a, b) for a, b, _ in entries])
        return pattern.factored(own, entries)

    @cached_property
    def _inner(self) -> Sequence[float]:
        """Resistance of the network seen from each node, in ohm."""
        return self._factors.inverse_diagonal()

    @cached_property
    def _volts(self) -> Sequence[float]:
        right = [0.0] * self.zero
        for edge in self.edges:
            if edge.element.law == "source":
                drive = edge.element.volts_v * self.corner.volts / edge.ohm
                if edge.a != self.zero:
                    right[edge.a] += drive
                if edge.b != self.zero:
                    right[edge.b] -= drive
        return self._factors.solve(right)

    @cached_property
    def _least_v(self) -> float:
        volts = [e.element.volts_v for e in self.edges if e.element.law == "source"]
        return 0.05 * max(volts, default=1.0)

    @cached_property
    def _way(self) -> Mapping[int, int]:
        """Node -> the edge by which the way of least resistance from 0 V reaches it."""
        found: dict[int, int] = {}
        done: set[int] = set()
        heap: list[tuple[float, int, int]] = [(0.0, self.zero, -1)]
        while heap:
            ohm, node, by = heappop(heap)
            if node in done:
                continue
            done.add(node)
            found[node] = by
            for number in self.near.get(node, ()):
                edge = self.edges[number]
                other = edge.b if edge.a == node else edge.a
                if other not in done:
                    heappush(heap, (ohm + edge.ohm, other, number))
        return found

    def _up(self, node: int) -> int:
        edge = self.edges[self._way[node]]
        return edge.b if edge.a == node else edge.a

    def _path(self, node: int) -> list[int]:
        """Return the edges from 0 V to a node."""
        path = []
        while node != self.zero:
            path.append(self._way[node])
            node = self._up(node)
        return path[::-1]

    @cached_property
    def _alone(self) -> frozenset[int]:
        """Edges nothing runs beside: whatever passes them passes them whole."""
        return frozenset(_bridges(self.zero, self.near, self.edges))

    @cached_property
    def _shared(self) -> Mapping[int, Sequence[float]]:
        """Fuse that others run beside -> volts across it for each ampere drawn at a node."""
        found = {}
        for number, edge in enumerate(self.edges):
            if edge.element.part != "fuse" or number in self._alone or edge.a not in self._way:
                continue
            right = [0.0] * self.zero
            if edge.a != self.zero:
                right[edge.a] += 1.0
            if edge.b != self.zero:
                right[edge.b] -= 1.0
            found[number] = self._factors.solve(right)
        return found


def _edges(point: Point, corner: Corner) -> tuple[Edge, ...]:
    """Return the branches that are there; none of unknown resistance but the source's."""
    circuit = point.circuit
    unknown, scale = unknown_to(circuit), copper_scale(circuit, corner)
    main = main_sources(circuit)
    found = []
    for element in point.elements:
        ohm = element.ohm
        if element.law == "source" and element.part == "source":
            if element.id not in main or element.id in unknown:
                continue
            ohm *= corner.source
        elif element.part not in (*METAL, "fuse") or ohm >= _LOW_OHM:
            continue
        elif element.part == "wire":
            if element.id in unknown:
                continue
            ohm *= scale
        a, b = circuit.index[element.a], circuit.index[element.b]
        if a != b:
            found.append(Edge(element, a, b, max(ohm, METAL_OHM)))
    return tuple(found)


def _bridges(start: int, near: Mapping[int, Sequence[int]], edges: Sequence[Edge]) -> list[int]:
    """Return the edges that part the network where they are taken out.

    Source:
        Tarjan 1974: an edge down to a node from whose branch no edge leads back up.
    """
    seen = {start: 0}
    low = {start: 0}
    found: list[int] = []
    stack = [(start, -1, iter(near.get(start, ())))]
    while stack:
        node, by, rest = stack[-1]
        for number in rest:
            if number == by:
                continue
            edge = edges[number]
            other = edge.b if edge.a == node else edge.a
            if other in seen:
                low[node] = min(low[node], seen[other])
                continue
            seen[other] = low[other] = len(seen)
            stack.append((other, number, iter(near.get(other, ()))))
            break
        else:
            stack.pop()
            if stack:
                above = stack[-1][0]
                low[above] = min(low[above], low[node])
                if low[node] > seen[above]:
                    found.append(by)
    return found
