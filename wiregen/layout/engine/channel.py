"""Routing in one channel: every wire that changes its height gets an upright run on a track."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from wiregen.layout.engine.graph import Side

GAP = 2.0  # least distance between parallel runs of different wires, mm
NEAR = GAP - 1e-6  # runs closer than this must not pass each other


@dataclass(frozen=True, slots=True)
class Hop:
    """A wire's way through a channel.

    Attributes:
        side_a: edge of the channel where it begins.
        y_a: height there, mm.
        side_b: edge of the channel where it ends.
        y_b: height there, mm.
        kept: x of its upright runs in an earlier layout, mm; empty if there is none.
    """

    side_a: Side
    y_a: float
    side_b: Side
    y_b: float
    kept: tuple[float, ...] = ()


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


@dataclass(frozen=True, slots=True)
class Tracks:
    """Routes of a channel.

    Attributes:
        count: tracks used.
        runs: per hop the upright runs from end `a` to end `b` as (track, y from, y to).
    """

    count: int
    runs: tuple[tuple[tuple[int, float, float], ...], ...]


def route(hops: Sequence[Hop], between: tuple[float, float] = (0.0, 0.0)) -> Tracks:
    """Return tracks for the hops of one channel: no overlaps, few crossings, few tracks.

    Ends at the same edge must be at least `GAP` apart. If some hops have been laid before, their
    runs keep their sequence and every run has its own track.

    Args:
        hops: of the channel.
        between: x between which new runs find room beside those laid before, mm.
    """
    runs = [
        Run(number, hop.side_a, hop.y_a, hop.side_b, hop.y_b)
        for number, hop in enumerate(hops)
        if hop.side_a == hop.side_b or hop.y_a != hop.y_b
    ]
    taken = sorted({y for hop in hops for y in (hop.y_a, hop.y_b)})
    runs, hard = _untangle(runs, taken)
    soft = _preferences(runs)
    kept = _kept(runs, hops)
    order = _sequence(runs, hard, soft, kept)
    for new in [new for new in order if new not in kept] if kept else ():
        shifts = _shifts(new, order, hard, soft)
        order.remove(new)
        tight = _tight(new, order, runs, kept, between)
        order.insert(min(shifts, key=lambda at: (tight[at], shifts[at], at)), new)
    tracks = _first_fit(runs, order, hard, soft) if not kept else _ranks(order)
    found: list[list[tuple[int, float, float]]] = [[] for _ in hops]
    for run, track in zip(runs, tracks, strict=True):
        found[run.hop].append((track, run.y_a, run.y_b))
    return Tracks(max(tracks, default=-1) + 1, tuple(tuple(parts) for parts in found))


def _kept(runs: Sequence[Run], hops: Sequence[Hop]) -> dict[int, float]:
    """Return the x of the runs that have been laid before, by number, mm."""
    kept: dict[int, float] = {}
    parts: list[list[int]] = [[] for _ in hops]
    for number, run in enumerate(runs):
        parts[run.hop].append(number)
    for numbers, hop in zip(parts, hops, strict=True):
        if len(numbers) == len(hop.kept):
            kept.update(zip(numbers, hop.kept, strict=True))
    return kept


def _ranks(order: Sequence[int]) -> list[int]:
    """Return for every run its place in the order."""
    ranks = [0] * len(order)
    for place, run in enumerate(order):
        ranks[run] = place
    return ranks


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


def _untangle(runs: list[Run], taken: list[float]) -> tuple[list[Run], list[set[int]]]:
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


def _preferences(runs: Sequence[Run]) -> list[dict[int, int]]:
    """Return per run the runs better placed right of it, with the crossings that saves."""
    prefer: list[dict[int, int]] = [{} for _ in runs]
    order = sorted(range(len(runs)), key=lambda i: (runs[i].top, i))
    facts = [(run.top, run.bottom, run.ends("W"), run.ends("E"), run.hop) for run in runs]
    open_now: list[int] = []
    for i in order:
        top, bottom, west, east, hop = facts[i]
        open_now = [j for j in open_now if facts[j][1] > top]
        for j in open_now:
            top_j, bottom_j, west_j, east_j, hop_j = facts[j]
            if hop == hop_j:
                continue
            i_first = sum(top_j < y < bottom_j for y in east) + sum(
                top < y < bottom for y in west_j
            )
            j_first = sum(top < y < bottom for y in east_j) + sum(
                top_j < y < bottom_j for y in west
            )
            if i_first < j_first:
                prefer[i][j] = j_first - i_first
            elif j_first < i_first:
                prefer[j][i] = i_first - j_first
        open_now.append(i)
    return prefer


def _sequence(
    runs: Sequence[Run],
    hard: Sequence[set[int]],
    soft: Sequence[dict[int, int]],
    kept: Mapping[int, float],
) -> list[int]:
    """Return the runs from left to right: musts kept, preferences as far as they go.

    Runs with a kept x stay in the sequence of these.
    """
    waits = [0] * len(runs)
    regret = [0] * len(runs)
    for group in hard:
        for other in group:
            waits[other] += 1
    for wishes in soft:
        for other, weight in wishes.items():
            regret[other] += weight
    left = list(range(len(runs)))
    order = []
    while left:
        ready = (i for i in left if not waits[i])
        pick = min(ready, key=lambda i: (kept.get(i, math.inf), regret[i], i))
        left.remove(pick)
        order.append(pick)
        for other in hard[pick]:
            waits[other] -= 1
        for other, weight in soft[pick].items():
            regret[other] -= weight
    if not kept:
        _improve(order, hard, soft)
    return order


def _shifts(
    run: int, order: Sequence[int], hard: Sequence[set[int]], soft: Sequence[dict[int, int]]
) -> dict[int, int]:
    """Return the places a run may move to, with the crossings this adds."""
    start = order.index(run)
    found = {start: 0}
    total = 0
    for at in range(start + 1, len(order)):
        other = order[at]
        if other in hard[run]:
            break
        total += soft[run].get(other, 0) - soft[other].get(run, 0)
        found[at] = total
    total = 0
    for at in range(start - 1, -1, -1):
        other = order[at]
        if run in hard[other]:
            break
        total += soft[other].get(run, 0) - soft[run].get(other, 0)
        found[at] = total
    return found


def _improve(order: list[int], hard: Sequence[set[int]], soft: Sequence[dict[int, int]]) -> None:
    """Move single runs to where more preferences hold, as far as the musts allow."""
    for _ in range(6):
        moved = False
        for run in list(order):
            shifts = _shifts(run, order, hard, soft)
            least = min(shifts.values())
            if least < 0:
                order.remove(run)
                order.insert(min(at for at, total in shifts.items() if total == least), run)
                moved = True
        if not moved:
            return


def _tight(
    run: int,
    others: Sequence[int],
    runs: Sequence[Run],
    kept: Mapping[int, float],
    between: tuple[float, float],
) -> list[bool]:
    """Return for every place among the others whether a run has no room there."""
    own = runs[run]
    lefts, rights = [between[0]], [between[1]]
    beside = [
        kept[other]
        if other in kept
        and runs[other].top < own.bottom + NEAR
        and own.top < runs[other].bottom + NEAR
        else None
        for other in others
    ]
    for x in beside:
        lefts.append(lefts[-1] if x is None else max(x, lefts[-1]))
    for x in reversed(beside):
        rights.append(rights[-1] if x is None else min(x, rights[-1]))
    return [right - left < 3 * GAP for left, right in zip(lefts, reversed(rights), strict=True)]


def _first_fit(
    runs: Sequence[Run],
    order: Sequence[int],
    hard: Sequence[set[int]],
    soft: Sequence[dict[int, int]],
) -> list[int]:
    """Return for every run the leftmost track that is free and right of what stands before it."""
    least = [0] * len(runs)
    track = [-1] * len(runs)
    spans: list[list[tuple[float, float]]] = []
    for i in order:
        run = runs[i]
        at = least[i]
        while at < len(spans) and any(
            top < run.bottom + NEAR and run.top < bottom + NEAR for top, bottom in spans[at]
        ):
            at += 1
        if at == len(spans):
            spans.append([])
        spans[at].append((run.top, run.bottom))
        track[i] = at
        for other in (*hard[i], *soft[i]):
            if track[other] < 0:
                least[other] = max(least[other], at + 1)
    return track
