"""Sizes for every wire and ratings for every fuse of a design."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import dataclass, replace

from wiregen.compute.budgets import Budget, drop_budgets
from wiregen.compute.choose import (
    MARGIN,
    Choice,
    Rating,
    Task,
    choose_rating,
    choose_size,
    why_not,
)
from wiregen.compute.numbers import amps
from wiregen.compute.rating import NEEDS_INSULATION, chosen, insulation_of, loaded_of
from wiregen.compute.study import Study
from wiregen.facts.fuse_curves import continuous_load
from wiregen.model import Design, Fuse, Wire

_LEAST_A = 1e-3


@dataclass(frozen=True)
class SizedWire:
    """What was found for a wire.

    Attributes:
        wire: the record.
        task: what it has to do.
        state: in which its current is largest.
        budget: what it may lose; None when the design allows any.
        choice: the smallest size; None when there is nothing to size it by.
        wrong: why the size the design has will not do; empty when it does, or has none.
        missing: facts that are missing, with what they would add.
        remark: what limits the use of the choice; empty when nothing does.
        together: the bundle that was counted; empty for a wire alone, or not on the route.
    """

    wire: Wire
    task: Task
    state: str
    budget: Budget | None
    choice: Choice | None
    wrong: str
    missing: tuple[str, ...]
    remark: str = ""
    together: str = ""


@dataclass(frozen=True)
class SizedFuse:
    """What was found for a fuse.

    Attributes:
        fuse: the record.
        amps_a: largest lasting current.
        state: in which.
        rating: the smallest rating; None when no current is known.
        wrong: why the rating the design has will not do.
    """

    fuse: Fuse
    amps_a: float
    state: str
    rating: Rating | None
    wrong: str


def size_fuses(study: Study) -> tuple[SizedFuse, ...]:
    """Return the smallest rating for every fuse, by its load."""
    found = []
    ambient = study.design.system.ambient_c
    for fuse in study.design.fuses.values():
        amps_a, state = study.steady(fuse.id)
        if amps_a < _LEAST_A:
            found.append(SizedFuse(fuse, 0.0, "", None, ""))
            continue
        rating = choose_rating(fuse.style or "blade", amps_a, ambient)
        wrong = ""
        if fuse.rating_a is not None:
            allowed = continuous_load(fuse.style or "blade", fuse.rating_a, ambient)
            if amps_a > allowed.amps_a * MARGIN:
                wrong = f"for long {amps(allowed.amps_a)} ({allowed.words})"
        found.append(SizedFuse(fuse, amps_a, state, rating, wrong))
    return tuple(found)


def size_wires(
    study: Study,
    fuses: tuple[SizedFuse, ...],
    unmet: Container[tuple[str, str]] = frozenset(),
) -> tuple[SizedWire, ...]:
    """Return the smallest size for every wire that joins something.

    Args:
        study: of the design.
        fuses: from `size_fuses`; a fuse without a rating counts with its smallest one.
        unmet: (load, state) whose drop does not count, since no sizes keep it within the limit.
    """
    budgets = drop_budgets(study, unmet)
    ratings = {
        s.fuse.id: (s.fuse.style or "blade", rating)
        for s in fuses
        if (rating := s.fuse.rating_a or (s.rating.rating_a if s.rating else None)) is not None
    }
    systems = systems_of(study.design)
    present = {e.id for e in study.circuit.elements if e.part == "wire"}
    return tuple(
        _sized(study, wire, budgets.get(wire.id), ratings, systems[wire.id])
        for wire in study.design.wires.values()
        if wire.id in present
    )


def _sized(
    study: Study,
    wire: Wire,
    budget: Budget | None,
    ratings: Mapping[str, tuple[str, float]],
    system: str,
) -> SizedWire:
    design = study.design
    amps_a, state = study.steady(wire.id)
    insulation = insulation_of(design, wire)
    guards = [ratings[f] for f in study.guards.of_wire.get(wire.id, ()) if f in ratings]
    bundle = study.bundles.get(wire.id)
    task = Task(
        amps_a=amps_a,
        length_mm=wire.length_mm,
        drop_v=budget.drop_v if budget else None,
        drop_amps_a=budget.amps_a if budget else amps_a,
        lasts=budget.lasts if budget else True,
        insulation_c=insulation.highest_c if insulation else None,
        ambient_c=design.system.ambient_c,
        fuse=max(guards, key=lambda pair: pair[1], default=None),
        loaded=loaded_of(study, wire),
        sheathed=bundle is not None and bundle.cable,
        conductor=chosen(design, "conductor")[0],
        scheme=chosen(design, "ampacity")[0],
        bundle=chosen(design, "bundle")[0],
    )
    together = bundle.words if bundle is not None else ""
    unrated = [f for f in study.guards.of_wire.get(wire.id, ()) if f not in ratings]
    missing = [f"rating of {' and '.join(unrated)}: whether it protects it"] if unrated else []
    if insulation is None:
        missing.append(f"{NEEDS_INSULATION}: what it may carry, and its fuse")
    if wire.length_mm is None:
        missing.append("length: its voltage drop")
    judged = task.insulation_c is not None and (amps_a >= _LEAST_A or task.fuse is not None)
    judged = judged or (task.drop_v is not None and wire.length_mm is not None)
    if not judged:
        return SizedWire(wire, task, state, budget, None, "", tuple(missing), together=together)
    if budget is not None and budget.spent and wire.length_mm is not None:
        wrong = f"drop, whatever its size: {budget.spent}"
        nothing = Choice(None, (), "")
        return SizedWire(wire, task, state, budget, nothing, wrong, tuple(missing))
    given = task if wire.resistance_ohm is None else replace(task, drop_v=None)
    wrong = why_not(given, wire.size) if wire.size is not None else ""
    choice = choose_size(task, system)
    remark = _remark(study, wire)
    return SizedWire(wire, task, state, budget, choice, wrong, tuple(missing), remark, together)


def systems_of(design: Design) -> Mapping[str, str]:
    """Return wire -> the system it is sized in, `mm2` or `AWG`: its own, else that of its loom."""
    of_loom: dict[str, set[str]] = {}
    for wire in design.wires.values():
        if wire.size is not None:
            of_loom.setdefault(wire.loom, set()).add(wire.size.system)
    own = {
        w.id: {w.size.system} if w.size is not None else of_loom.get(w.loom, {"mm2"})
        for w in design.wires.values()
    }
    return {name: "mm2" if "mm2" in systems else "AWG" for name, systems in own.items()}


def _remark(study: Study, wire: Wire) -> str:
    """Return why a wire that no fuse protects should not be as small as its load allows."""
    sources = study.guards.unfused.get(wire.id, ())
    ends = set(study.network.ends_of[wire.id])
    remark = ""
    if sources:
        remark = (
            f"no fuse between {' and '.join(sources)} and this wire: sized by load and drop alone"
        )
    elif ends & set(study.network.returns) and study.guards.unfused:
        remark = (
            "a short ahead of the fuses comes back through it: its size does not allow for that"
        )
    return "; ".join(words for words in (remark, _starting(study, wire)) if words)


def _starting(study: Study, wire: Wire) -> str:
    """Return what a starter draws through a wire for seconds, where that is more than lasts."""
    peaks = [(abs(p.amps(wire.id)), p.name) for p in study.points.values() if p.found]
    peak, state = max(peaks, default=(0.0, ""))
    if not study.started.get(state) or peak <= max(study.steady(wire.id)[0], _LEAST_A):
        return ""
    return f"{amps(peak)} in state '{state}' do not last: their heat is not judged"
