"""The operating point of a network: nodal analysis, secant steps first, then tangents."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wiregen.compute.elements import Element
from wiregen.compute.eliminate import Elimination
from wiregen.compute.laws import Array, Branches, Indexes, branches, currents, limited, secant

_LEAK_S = 1e-9
_SMALL_NODES = 400
_MOST_STEPS = 200
_NEAR_V = 0.5
_STILL_V = 1e-3
_RESIDUAL_A = 1e-7
"""Sum of currents at a node that counts as none; where nothing moves any more ten times as much,
for each ampere of the largest branch."""
_DAMPED_AFTER = 40
_FIRM_S = 1e-4
_FIRM_A = 1e-3

Solver = Callable[[Array, Array], Array]


@dataclass(frozen=True, slots=True)
class System:
    """All branches of a network with their nodes as numbers.

    Attributes:
        nodes: how many nodes there are; the last one is 0 V.
        first: node of each branch.
        second: other node.
    """

    nodes: int
    first: Indexes
    second: Indexes
    branches: Branches


@dataclass(frozen=True, slots=True)
class Answer:
    """What a network does.

    Attributes:
        volts: at each node; 0 V is last. Meaningless where `floating`.
        amps: through each branch, 0 where it is absent.
        floating: nodes without a way to 0 V.
        loose: nodes with no way to 0 V of less than 10 kohm a branch: a meter would pull them.
        found: an operating point was found.
        residual_a: largest sum of currents at a node.
        steps: how many were taken.
    """

    volts: Array
    amps: Array
    floating: NDArray[np.bool_]
    loose: NDArray[np.bool_]
    found: bool
    residual_a: float
    steps: int


def system(elements: Sequence[Element], index: dict[str, int], nodes: int) -> System:
    """Return elements as arrays.

    Args:
        elements: the branches.
        index: node name -> number, 0 V is the last.
        nodes: how many numbers there are.
    """
    return System(
        nodes,
        np.array([index[e.a] for e in elements], dtype=np.int64),
        np.array([index[e.b] for e in elements], dtype=np.int64),
        branches(elements),
    )


def operate(net: System, present: NDArray[np.bool_], start: Array | None = None) -> Answer:
    """Find the operating point of the branches that are present.

    Args:
        net: from `system`.
        present: which branches are there.
        start: node voltages of a similar point, to be quicker.

    Returns:
        The answer; where `found` is False its numbers mean nothing.
    """
    used = np.flatnonzero(present & (net.first != net.second))
    part = _Part(net, used)
    b = net.branches
    v = b.start.copy() if start is None else start[net.first] - start[net.second]
    held = v[b.diode] if start is not None else b.start[b.diode]
    x = np.zeros(net.nodes) if start is None else start
    tangents, fallback, last = start is not None, 0, np.inf
    residual, steps, found = np.inf, 0, False
    for steps in range(1, _MOST_STEPS + 1):
        g, s = _linear(b, v, held, tangents and fallback == 0)
        fresh = part.solve(g, s)
        step = float(np.max(np.abs(fresh - x), initial=0.0))
        if tangents and fallback == 0 and step > 2 * last and step > _STILL_V:
            fallback = 6
        elif fallback:
            fallback -= 1
        damped = not tangents and steps > _DAMPED_AFTER
        x = x + 0.6 * (fresh - x) if damped else fresh
        v = x[net.first] - x[net.second]
        if b.diode.size:
            held = limited(b, v[b.diode], held)
        tangents = tangents or step < _NEAR_V
        last = step
        if step < _STILL_V:
            i = currents(b, v)[0]
            residual = part.residual(i, x)
            scale = max(1.0, float(np.max(np.abs(x), initial=0.0)))
            most = 10 * _RESIDUAL_A * max(1.0, float(np.max(np.abs(i[used]), initial=0.0)))
            if residual < _RESIDUAL_A or (step < 1e-9 * scale and residual < most):
                found = True
                break
    i, slope = currents(b, v)
    amps = np.zeros(len(net.first))
    amps[used] = i[used]
    held_well = used[(slope[used] >= _FIRM_S) | (np.abs(i[used]) >= _FIRM_A)]
    roots = _components(net.nodes, net.first[held_well], net.second[held_well])
    loose = (roots != roots[-1]) & ~part.floating
    return Answer(x, amps, part.floating, loose, found, residual, steps)


def _linear(b: Branches, v: Array, held: Array, tangents: bool) -> tuple[Array, Array]:
    """Return conductance and offset of every branch for the next step."""
    at = v
    if b.diode.size:
        at = v.copy()
        at[b.diode] = held
    i, d = currents(b, at)
    if tangents:
        return d, i - d * at
    g, s = secant(b, at, i)
    k = b.diode
    g[k], s[k] = d[k], i[k] - d[k] * at[k]
    return g, s


class _Part:
    """The equations of the branches in use: their pattern is made once, the values often."""

    def __init__(self, net: System, used: Indexes) -> None:
        self.count = net.nodes - 1
        self.used = used
        self.a, self.b = net.first[used], net.second[used]
        roots = _components(net.nodes, self.a, self.b)
        self.floating = roots != roots[-1]
        self.anchors = np.unique(roots[:-1][self.floating[:-1]])
        rows = np.concatenate([self.a, self.b, self.a, self.b])
        columns = np.concatenate([self.a, self.b, self.b, self.a])
        self.inner = (rows < self.count) & (columns < self.count)
        diagonal = np.arange(self.count)
        self.rows = np.concatenate([rows[self.inner], diagonal])
        self.columns = np.concatenate([columns[self.inner], diagonal])
        self.own = np.full(self.count, _LEAK_S)
        self.own[self.anchors] += 1.0
        self._solver: Solver = self._small() if self.count <= _SMALL_NODES else self._sparse()

    def solve(self, g: Array, s: Array) -> Array:
        """Return the node voltages for branch currents g v + s."""
        values, offset = g[self.used], s[self.used]
        signed = np.concatenate([values, values, -values, -values])[self.inner]
        entries = np.concatenate([signed, self.own])
        right: Array = np.bincount(self.b, offset, self.count + 1).astype(np.float64)
        right -= np.bincount(self.a, offset, self.count + 1)
        return np.append(self._solver(entries, right[: self.count]), 0.0)

    def residual(self, i: Array, x: Array) -> float:
        """Return the largest sum of currents at a node that is not 0 V."""
        amps = i[self.used]
        left = np.bincount(self.a, amps, self.count + 1) - np.bincount(self.b, amps, self.count + 1)
        total = left[: self.count] + self.own * x[: self.count]
        return float(np.max(np.abs(total), initial=0.0))

    def _small(self) -> Solver:
        size, rows, columns = self.count, self.rows.tolist(), self.columns.tolist()
        upper = [k for k, (r, c) in enumerate(zip(rows, columns, strict=True)) if r < c]
        diagonal = np.flatnonzero(self.rows == self.columns)
        elimination = Elimination(size, [(rows[k], columns[k]) for k in upper])

        def solver(entries: Array, right: Array) -> Array:
            values = entries.tolist()
            above = [(rows[k], columns[k], values[k]) for k in upper]
            own = np.bincount(self.rows[diagonal], entries[diagonal], size)
            return np.array(elimination.solve(own.tolist(), above, right.tolist()))

        return solver

    def _sparse(self) -> Solver:
        from scipy.sparse import csc_matrix
        from scipy.sparse.linalg import splu

        size = self.count
        keys, places = np.unique(self.columns * size + self.rows, return_inverse=True)
        pointers = np.searchsorted(keys, np.arange(size + 1) * size)
        inside = keys % size

        def solver(entries: Array, right: Array) -> Array:
            values = np.bincount(places, entries, len(keys))
            matrix = csc_matrix((values, inside, pointers), shape=(size, size))
            factors = splu(
                matrix,
                permc_spec="MMD_AT_PLUS_A",
                diag_pivot_thresh=0.0,
                options={"SymmetricMode": True},
            )
            return np.asarray(factors.solve(right))

        return solver


def _components(nodes: int, a: Indexes, b: Indexes) -> Indexes:
    """Return for each node the number of a node that stands for its connected part."""
    parent = list(range(nodes))

    def root(node: int) -> int:
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    for one, other in zip(a.tolist(), b.tolist(), strict=True):
        first, second = root(one), root(other)
        if first != second:
            parent[first] = second
    return np.array([root(node) for node in range(nodes)], dtype=np.int64)
