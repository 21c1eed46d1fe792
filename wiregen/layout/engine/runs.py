"""Upright runs of one channel: which must lie left of which, and doglegs to break circles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from wiregen.layout.engine.graph import Side

GAP = 2.0  # least distance between parallel runs of different wires, mm
NEAR = GAP - 1e-6  # runs closer than this must not pass each other


@dataclass(frozen=True, slots=True)
class Run:
    """An upright run; its ends go on to the left (`W`) or right (`E`)."""

    hop: int
    side_a: Side
    y_a: float
    side_b: Side
    y_b: float

    @property
    def top(self) -> float:
        """Upper end, mm."""
        return min(self.y_a, self.y_b)

    @property
    def bottom(self) -> float:
        """Lower end, mm."""
        return max(self.y_a, self.y_b)

    def ends(self, side: Side) -> list[float]:
        """Return the heights of the ends that go on to `side`."""
        return [y for s, y in ((self.side_a, self.y_a), (self.side_b, self.y_b)) if s == side]


def untangle(runs: list[Run], taken: list[float]) -> tuple[list[Run], list[set[int]]]:
    """Break every circle of musts by a dogleg at a free height; return runs and their musts."""
    while True:
        hard = _must(runs)
        stuck = _circle(hard)
        pick = next((i for i in stuck if runs[i].side_a != runs[i].side_b), None)
        if pick is None:
            return runs, hard
        run = runs[pick]
        middle = _free_height(taken, run.y_a, run.y_b)
        taken = sorted([*taken, middle])
        runs = [
            *runs[:pick],
            Run(run.hop, run.side_a, run.y_a, run.side_b, middle),
            Run(run.hop, run.side_a, middle, run.side_b, run.y_b),
            *runs[pick + 1 :],
        ]


def _must(runs: Sequence[Run]) -> list[set[int]]:
    """Return per run the runs that must lie right of it.

    A run with a left-going end stands left of every run with a right-going end at that height;
    otherwise the two level runs would lie on each other.
    """
    lefts = sorted((y, i) for i, run in enumerate(runs) for y in run.ends("W"))
    rights = sorted((y, i) for i, run in enumerate(runs) for y in run.ends("E"))
    after: list[set[int]] = [set() for _ in runs]
    start = 0
    for y, run in lefts:
        while start < len(rights) and rights[start][0] <= y - NEAR:
            start += 1
        at = start
        while at < len(rights) and rights[at][0] < y + NEAR:
            if runs[rights[at][1]].hop != runs[run].hop:
                after[run].add(rights[at][1])
            at += 1
    for first, second in _parts(runs):
        after[first].add(second)
    return after


def _parts(runs: Sequence[Run]) -> list[tuple[int, int]]:
    """Return the pairs of runs that are neighbouring parts of one hop, left part first."""
    return [
        (i, i + 1) if run.side_a == "W" else (i + 1, i)
        for i, run in enumerate(runs[:-1])
        if run.hop == runs[i + 1].hop
    ]


def _circle(after: Sequence[set[int]]) -> list[int]:
    """Return the runs that wait for themselves: left over when ends of chains are taken away."""
    before: list[set[int]] = [set() for _ in after]
    for i, group in enumerate(after):
        for other in group:
            before[other].add(i)
    done: set[int] = set()
    for into, out in ((before, after), (after, before)):
        waits = [len(group - done) for group in into]
        ready = [i for i, count in enumerate(waits) if not count and i not in done]
        while ready:
            pick = ready.pop()
            done.add(pick)
            for other in out[pick]:
                waits[other] -= 1
                if not waits[other] and other not in done:
                    ready.append(other)
    return [i for i in range(len(after)) if i not in done]


def _free_height(taken: Sequence[float], y_a: float, y_b: float) -> float:
    """Return a height at least `GAP` from all that is taken, for the shortest detour."""
    spots = [taken[0] - GAP, taken[-1] + GAP]
    for upper, lower in pairwise(taken):
        if lower - upper >= 2 * GAP:
            spots.append((upper + lower) / 2)
    return min(spots, key=lambda y: (abs(y - y_a) + abs(y - y_b), y))
