"""What each wire may lose, so that no load on it loses more than the design allows."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

from wiregen.compute.drops import Lost, lasts, losses
from wiregen.compute.metal import joint_ohm
from wiregen.compute.numbers import drop
from wiregen.compute.study import Study

_LEAST_A = 1e-3


@dataclass(frozen=True, slots=True)
class Budget:
    """What a wire may lose.

    Attributes:
        drop_v: of it.
        amps_a: its current then.
        lasts: the current lasts, and warms the wire.
        load: whose drop it is.
        state: in which.
        spent: where the rest of the way already loses all that is allowed, which does most; else
            empty.
    """

    drop_v: float
    amps_a: float
    lasts: bool
    load: str
    state: str
    spent: str = ""

    @property
    def words(self) -> str:
        """Whose drop it is, in which state."""
        return f"{self.load} in state '{self.state}'"


def drop_budgets(
    study: Study, unmet: Container[tuple[str, str]] = frozenset()
) -> dict[str, Budget]:
    """Return wire -> the drop it may take of the tightest way it lies on.

    The rest of the way keeps what it loses now. Wires without a size share what is left by their
    lengths.

    Args:
        study: of the design.
        unmet: (load, state) whose ways do not count, since no sizes keep them within the limit.
    """
    found: dict[str, Budget] = {}
    for lost in losses(study):
        if (lost.load.id, lost.state) in unmet:
            continue
        for wire, budget in way_budgets(study, lost):
            known = found.get(wire)
            if known is None or budget.drop_v / budget.amps_a < known.drop_v / known.amps_a:
                found[wire] = budget
    return found


def way_budgets(study: Study, lost: Lost) -> list[tuple[str, Budget]]:
    """Return the wires of one way that carry current, with what each may lose."""
    wires, point = study.design.wires, study.points[lost.state]
    segments = [s for s in lost.way.metal if s.part == "wire" and s.id in wires]
    unsized = {
        s.id: wires[s.id].length_mm or 0.0
        for s in segments
        if wires[s.id].size is None and wires[s.id].resistance_ohm is None
    }
    left_v = lost.limit_v - lost.way.drop_v
    found = []
    for segment in segments:
        amps_a = abs(point.amps(segment.id))
        if amps_a < _LEAST_A:
            continue
        if segment.id in unsized:
            total = sum(unsized.values())
            allowed = left_v * (unsized[segment.id] / total if total > 0 else 1.0)
        else:
            joints = joint_ohm(study.design, study.network.ends_of[segment.id])
            allowed = left_v + segment.drop_v - amps_a * joints
        spent = _spent(lost, segment.id) if allowed <= 0 else ""
        long = lasts(study, lost.state)
        budget = Budget(allowed, amps_a, long, lost.load.id, lost.state, spent)
        found.append((segment.id, budget))
    return found


def _spent(lost: Lost, wire: str) -> str:
    """Return what the rest of a way loses, and where most of it goes."""
    rest = [s for s in lost.way.metal if s.id != wire]
    most = max(rest, key=lambda s: s.drop_v)
    total = sum(s.drop_v for s in rest)
    return (
        f"{lost.load.id} loses {drop(total)} on the rest of its way in state '{lost.state}', "
        f"{drop(lost.limit_v)} allowed, most of it in {most.id}"
    )
