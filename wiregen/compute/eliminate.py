"""Solving the equations of a small loom: symmetric elimination along its tree.

A loom of a few hundred nodes is solved faster like this than a library for large systems loads.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence


class Elimination:
    """The order of elimination for one pattern, and the solution for many values.

    The matrix is symmetric; a node with few neighbours goes first, which for a loom leaves hardly
    any fill.
    """

    def __init__(self, size: int, pairs: Iterable[tuple[int, int]]) -> None:
        near: list[set[int]] = [set() for _ in range(size)]
        for one, other in pairs:
            if one != other:
                near[one].add(other)
                near[other].add(one)
        self.size = size
        self.order: list[int] = []
        self.after: list[list[int]] = [[] for _ in range(size)]
        self._arrange(near)

    def _arrange(self, near: list[set[int]]) -> None:
        from heapq import heapify, heappop, heappush

        place = [-1] * self.size
        heap = [(len(others), node) for node, others in enumerate(near)]
        heapify(heap)
        while heap:
            degree, node = heappop(heap)
            if place[node] >= 0 or degree != len(near[node]):
                continue
            place[node] = len(self.order)
            self.order.append(node)
            others = sorted(near[node])
            self.after[node] = others
            for one in others:
                near[one].discard(node)
                near[one].update(others)
                near[one].discard(one)
                heappush(heap, (len(near[one]), one))
        for others in self.after:
            others.sort(key=place.__getitem__)
        self.place = place

    def solve(
        self,
        diagonal: Sequence[float],
        entries: Iterable[tuple[int, int, float]],
        right: Sequence[float],
    ) -> list[float]:
        """Return the solution.

        Args:
            diagonal: of the matrix.
            entries: (row, column, value) above or below the diagonal, each once; those of one
                place are added.
            right: right side.

        Raises:
            ZeroDivisionError: the matrix has no solution.

        Example:
            >>> Elimination(2, [(0, 1)]).solve([2.0, 2.0], [(0, 1, -1.0)], [1.0, 0.0])
            [0.6666666666666666, 0.3333333333333333]
        """
        place = self.place
        rows: list[dict[int, float]] = [dict.fromkeys(others, 0.0) for others in self.after]
        for one, other, value in entries:
            first, second = (one, other) if place[one] < place[other] else (other, one)
            rows[first][second] += value
        pivots, b = list(diagonal), list(right)
        for node in self.order:
            row, pivot = rows[node], pivots[node]
            others = self.after[node]
            for number, one in enumerate(others):
                value = row[one]
                if value == 0.0:
                    continue
                factor = value / pivot
                pivots[one] -= factor * value
                b[one] -= factor * b[node]
                for other in others[number + 1 :]:
                    rows[one][other] -= factor * row[other]
        for node in reversed(self.order):
            row = rows[node]
            total = b[node]
            for one in self.after[node]:
                total -= row[one] * b[one]
            b[node] = total / pivots[node]
        return b
