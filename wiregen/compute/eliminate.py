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

    def factored(
        self, diagonal: Sequence[float], entries: Iterable[tuple[int, int, float]]
    ) -> Factors:
        """Return a matrix of the pattern ready to be solved for many right sides.

        Args:
            diagonal: of the matrix.
            entries: (row, column, value) above or below the diagonal, each once; those of one
                place are added.

        Raises:
            ZeroDivisionError: the matrix has no solution.
        """
        place = self.place
        rows: list[dict[int, float]] = [dict.fromkeys(others, 0.0) for others in self.after]
        for one, other, value in entries:
            first, second = (one, other) if place[one] < place[other] else (other, one)
            rows[first][second] += value
        pivots = list(diagonal)
        for node in self.order:
            row, pivot = rows[node], pivots[node]
            others = self.after[node]
            for number, one in enumerate(others):
                value = row[one]
                if value == 0.0:
                    continue
                factor = value / pivot
                pivots[one] -= factor * value
                for other in others[number + 1 :]:
                    rows[one][other] -= factor * row[other]
        return Factors(self, pivots, rows)

    def solve(
        self,
        diagonal: Sequence[float],
        entries: Iterable[tuple[int, int, float]],
        right: Sequence[float],
    ) -> list[float]:
        """Return the solution for one right side; see `factored`.

        Example:
            >>> Elimination(2, [(0, 1)]).solve([2.0, 2.0], [(0, 1, -1.0)], [1.0, 0.0])
            [0.6666666666666666, 0.3333333333333333]
        """
        return self.factored(diagonal, entries).solve(right)


class Factors:
    """A symmetric matrix taken apart."""

    def __init__(
        self, pattern: Elimination, pivots: list[float], rows: list[dict[int, float]]
    ) -> None:
        self.pattern = pattern
        self.pivots = pivots
        self.rows = rows

    def solve(self, right: Sequence[float]) -> list[float]:
        """Return the solution for one right side."""
        b = list(right)
        order, after = self.pattern.order, self.pattern.after
        for node in order:
            share = b[node] / self.pivots[node]
            if share:
                row = self.rows[node]
                for one in after[node]:
                    b[one] -= row[one] * share
        for node in reversed(order):
            row = self.rows[node]
            total = b[node]
            for one in after[node]:
                total -= row[one] * b[one]
            b[node] = total / self.pivots[node]
        return b

    def inverse_diagonal(self) -> list[float]:
        """Return the diagonal of the inverse, in a time that grows with the entries kept.

        Source:
            Takahashi, Fagan and Chin 1973: the entries of the inverse at the places of the factor
            follow from each other, last node first.

        Example:
            >>> Elimination(2, [(0, 1)]).factored([2.0, 2.0], [(0, 1, -1.0)]).inverse_diagonal()
            [0.6666666666666666, 0.6666666666666666]
        """
        after, place = self.pattern.after, self.pattern.place
        own = [0.0] * self.pattern.size
        beside: list[dict[int, float]] = [{} for _ in own]
        for node in reversed(self.pattern.order):
            row, pivot, others = self.rows[node], self.pivots[node], after[node]
            for one in others:
                total = own[one] * row[one]
                for other in others:
                    if other != one:
                        first, second = (one, other) if place[one] < place[other] else (other, one)
                        total += beside[first][second] * row[other]
                beside[node][one] = -total / pivot
            own[node] = (1 - sum(row[one] * beside[node][one] for one in others)) / pivot
        return own
