"""Tall columns: boxes are moved to other layers, or given new ones, where a layer gets too tall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wiregen.layout.engine.ranks import Arc, Ranks, packed


@dataclass(slots=True)
class Loads:
    """About how tall the layers are.

    Attributes:
        layer: of every box; changed by moves.
        rules: what the layers have to respect.
        arcs: per box the arcs that end there.
        heights: of every box with the distance to the next, mm.
        lane: height taken by a wire that passes a layer, mm.
        limit: height not to be passed, mm.
        load: of every layer, mm.
    """

    layer: list[int]
    rules: Ranks
    arcs: list[list[Arc]]
    heights: Sequence[float]
    lane: float
    limit: float
    load: list[float]

    def over(self, change: dict[int, float]) -> float:
        """Return how much more the layers pass the limit after a change, mm."""
        total = 0.0
        for number, by in change.items():
            now = self.load[number] - self.limit
            total += max(0.0, now + by) - max(0.0, now)
        return total

    def change(self, box: int, goal: int) -> dict[int, float]:
        """Return how much each layer grows when a box moves to another, mm."""
        change = {self.layer[box]: -self.heights[box], goal: self.heights[box]}
        for arc in self.arcs[box]:
            far = self.layer[arc.head if arc.tail == box else arc.tail]
            for near, sign in ((self.layer[box], -1), (goal, 1)):
                for number in range(min(near, far) + 1, max(near, far)):
                    change[number] = change.get(number, 0.0) + sign * self.lane
        return change


def loads(
    layer: Sequence[int], rules: Ranks, heights: Sequence[float], lane: float, limit: float
) -> Loads:
    """Return the loads of layers as they are."""
    load = [0.0] * (max(layer) + 1)
    for box, number in enumerate(layer):
        load[number] += heights[box]
    ends: list[list[Arc]] = [[] for _ in layer]
    for arc in rules.arcs:
        low, high = sorted((layer[arc.tail], layer[arc.head]))
        for number in range(low + 1, high):
            load[number] += lane
        if arc.tail != arc.head:
            ends[arc.tail].append(arc)
            ends[arc.head].append(arc)
    return Loads(list(layer), rules, ends, heights, lane, limit, load)


def relieve(state: Loads) -> list[int]:
    """Return layers in which boxes have moved out of those taller than the limit."""
    for _ in state.layer:
        worst = max(range(len(state.load)), key=lambda number: state.load[number])
        if state.load[worst] <= state.limit:
            break
        moves = [
            (state.over(state.change(box, goal)), box, goal)
            for box in state.rules.order
            if state.layer[box] == worst
            for goal in state.rules.freedom(state.layer, box)
            if goal != worst
        ]
        least, box, goal = min(moves, default=(0.0, 0, 0))
        if least >= 0:
            break
        for number, by in state.change(box, goal).items():
            state.load[number] += by
        state.layer[box] = goal
    return packed(state.layer)


def spread(state: Loads, most: int) -> list[int]:
    """Return layers with up to `most` new ones beside those that stay taller than the limit."""
    layer = relieve(state)
    for _ in range(most):
        state = loads(layer, state.rules, state.heights, state.lane, state.limit)
        tallest = max(state.load)
        if tallest <= state.limit:
            break
        worst = state.load.index(tallest)
        wider = [at + (at > worst) for at in layer]
        if worst == max(layer):
            wider = _reach(wider, state)
        other = relieve(loads(wider, state.rules, state.heights, state.lane, state.limit))
        after = loads(other, state.rules, state.heights, state.lane, state.limit)
        if max(after.load) > 0.95 * tallest:
            break
        layer = other
    return layer


def _reach(layer: list[int], state: Loads) -> list[int]:
    """Move the last box of the last layer to a new one, so that others may follow."""
    last = max(layer)
    box = next(box for box in reversed(state.rules.order) if layer[box] == last)
    return [at + (index == box) for index, at in enumerate(layer)]
