"""The sequence of upright runs in a channel: musts kept, few crossings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wiregen.layout.engine.runs import NEAR, Run


@dataclass(frozen=True, slots=True)
class Room:
    """The x between which new runs may stand beside kept ones, and the track distance, mm."""

    left: float
    right: float
    track: float


def preferences(runs: Sequence[Run]) -> list[dict[int, int]]:
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


def sequence(
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


def _improve(order: list[int], hard: Sequence[set[int]], soft: Sequence[dict[int, int]]) -> None:
    """Move single runs to where more preferences hold, as far as the musts allow."""
    involved = {run for run, wishes in enumerate(soft) if wishes}
    involved.update(run for wishes in soft for run in wishes)
    for _ in range(6):
        moved = False
        for run in [run for run in order if run in involved]:
            shifts = shifts_of(run, order, hard, soft)
            least = min(shifts.values())
            if least < 0:
                order.remove(run)
                order.insert(min(at for at, total in shifts.items() if total == least), run)
                moved = True
        if not moved:
            return


def shifts_of(
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


def tight_places(
    run: int,
    others: Sequence[int],
    runs: Sequence[Run],
    kept: Mapping[int, float],
    room: Room,
) -> list[bool]:
    """Return for every place among the others whether a run has no room there."""
    own = runs[run]
    lefts, rights = [room.left], [room.right]
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
    least = 2 * room.track - 1e-6
    return [right - left < least for left, right in zip(lefts, reversed(rights), strict=True)]
