"""Routing in one channel: every wire that changes its height gets an upright run on a track."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from wiregen.layout.engine.graph import Side
from wiregen.layout.engine.runs import NEAR, Run, untangle
from wiregen.layout.engine.sequence import Room, preferences, sequence, shifts_of, tight_places


@dataclass(frozen=True, slots=True)
class Hop:
    """A wire's way through a channel.

    Attributes:
        side_a: edge of the channel where it begins.
        y_a: height there, mm.
        side_b: edge of the channel where it ends.
        y_b: height there, mm.
        kept: its way in an earlier layout: x of its upright runs, the height of the level stretch
            between two of them, mm; empty if there is none.
    """

    side_a: Side
    y_a: float
    side_b: Side
    y_b: float
    kept: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Tracks:
    """Routes of a channel.

    Attributes:
        runs: per hop the upright runs from end `a` to end `b` as (track, y from, y to).
    """

    runs: tuple[tuple[tuple[int, float, float], ...], ...]


def route(hops: Sequence[Hop], room: Room) -> Tracks:
    """Return tracks for the hops of one channel: no overlaps, few crossings, few tracks.

    Ends at the same edge must be at least `GAP` apart. If some hops have been laid before, their
    runs keep their sequence and every run has its own track.

    Args:
        hops: of the channel.
        room: where new runs find a place beside those laid before.
    """
    taken = sorted({y for hop in hops for y in (hop.y_a, hop.y_b)})
    runs = [
        run
        for number, hop in enumerate(hops)
        if hop.side_a == hop.side_b or hop.y_a != hop.y_b
        for run in _runs(number, hop, taken)
    ]
    taken = sorted({*taken, *(run.y_b for run in runs)})
    runs, hard = untangle(runs, taken)
    soft = preferences(runs)
    kept = _kept(runs, hops)
    order = sequence(runs, hard, soft, kept)
    for new in [new for new in order if new not in kept] if kept else ():
        shifts = shifts_of(new, order, hard, soft)
        order.remove(new)
        tight = tight_places(new, order, runs, kept, room)
        order.insert(min(shifts, key=lambda at: (tight[at], shifts[at], at)), new)
    tracks = _first_fit(runs, order, hard, soft) if not kept else _ranks(order)
    found: list[list[tuple[int, float, float]]] = [[] for _ in hops]
    for run, track in zip(runs, tracks, strict=True):
        found[run.hop].append((track, run.y_a, run.y_b))
    return Tracks(tuple(tuple(parts) for parts in found))


def _runs(number: int, hop: Hop, taken: Sequence[float]) -> list[Run]:
    """Return the upright runs of a hop: one, or those of its earlier dogleg where that is free."""
    levels = hop.kept[1::2]
    if hop.side_a == hop.side_b or not all(_is_free(y, taken) for y in levels):
        levels = ()
    heights = (hop.y_a, *levels, hop.y_b)
    return [Run(number, hop.side_a, a, hop.side_b, b) for a, b in pairwise(heights)]


def _is_free(y: float, taken: Sequence[float]) -> bool:
    at = bisect_left(taken, y)
    return all(abs(other - y) >= NEAR for other in taken[max(0, at - 1) : at + 1])


def _kept(runs: Sequence[Run], hops: Sequence[Hop]) -> dict[int, float]:
    """Return the x of the runs that have been laid before, by number, mm."""
    kept: dict[int, float] = {}
    parts: list[list[int]] = [[] for _ in hops]
    for number, run in enumerate(runs):
        parts[run.hop].append(number)
    for numbers, hop in zip(parts, hops, strict=True):
        if len(numbers) == len(hop.kept[::2]):
            kept.update(zip(numbers, hop.kept[::2], strict=True))
    return kept


def _ranks(order: Sequence[int]) -> list[int]:
    """Return for every run its place in the order."""
    ranks = [0] * len(order)
    for place, run in enumerate(order):
        ranks[run] = place
    return ranks


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
