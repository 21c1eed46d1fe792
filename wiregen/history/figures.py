"""Currents, voltage drops and fuse loads that a change alters, in every operating state."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from wiregen.check.variants import in_variant
from wiregen.compute.elements import Element
from wiregen.compute.states import Point
from wiregen.compute.study import Study
from wiregen.connect import Network, connect
from wiregen.history.objects import Renamer, Renames
from wiregen.model import Design, in_order

LEAST_A = 0.02
LEAST_SHARE = 0.05
"""A current counts as another when it differs by both."""
LEAST_DROP_V = 0.02
LEAST_FUSE_SHARE = 0.02
"""Of the fuse's rating."""
_CURRENT = 1e-4

Sort = Literal["current", "drop", "fuse"]
UNITS: Mapping[Sort, str] = {"current": "A", "drop": "V", "fuse": "of its rating"}


@dataclass(frozen=True, slots=True)
class Figure:
    """One number that is another now, in the state in which it differs most.

    Attributes:
        sort: `current` in A, `drop` on the way of a load's current in V, `fuse`: current as a
            share of its rating.
        id: of the branch, as the new design calls it.
        title: of the device.
        state: name of the operating state.
        variant: of the design; empty where it has none.
        before: in the old design.
        after: in the new one.
    """

    sort: Sort
    id: str
    title: str
    state: str
    variant: str
    before: float
    after: float

    @property
    def size(self) -> float:
        """How much it differs, in its own unit."""
        return abs(self.after - self.before)


@dataclass(frozen=True, slots=True)
class Figures:
    """What was compared.

    Attributes:
        rows: numbers that differ by more than the thresholds of this module.
        skipped: states of both designs in which one of them has no operating point.
    """

    rows: tuple[Figure, ...] = ()
    skipped: tuple[str, ...] = ()


NO_FIGURES = Figures()


def compare_figures(
    old: tuple[Design, Network], new: tuple[Design, Network], pairs: Renames, renamer: Renamer
) -> Figures:
    """Compare what flows in two designs, state by state.

    Args:
        old: the old design with its network.
        new: the new design with its network.
        pairs: object of the old design -> the same object of the new one.
        renamer: of the old design.
    """
    worst: dict[tuple[str, Sort, str], Figure] = {}
    skipped: dict[str, None] = {}
    for variant in _variants(old[0], new[0], pairs):
        before, after = _study(*old, variant[0]), _study(*new, variant[1])
        for name, point in before.points.items():
            there = after.points.get(pairs.get(("states", name), ("states", name))[1])
            if there is None:
                continue
            if not (point.found and there.found):
                skipped[there.name] = None
                continue
            for figure in _state(before, after, (point, there), variant[1], renamer):
                key = (figure.variant, figure.sort, figure.id)
                if key not in worst or figure.size > worst[key].size:
                    worst[key] = figure
    ids = {name: place for place, name in enumerate(in_order({key[2] for key in worst}))}
    rows = sorted(worst.values(), key=lambda f: (f.variant, ids[f.id], f.sort))
    return Figures(tuple(rows), tuple(skipped))


def _variants(old: Design, new: Design, pairs: Renames) -> tuple[tuple[str, str], ...]:
    """Return the variants that both designs have, by their old and new names."""
    if not old.variants or not new.variants:
        return (("", ""),) if not old.variants and not new.variants else ()
    names = {name: pairs.get(("variants", name), ("variants", name))[1] for name in old.variants}
    return tuple((one, other) for one, other in names.items() if other in new.variants)


def _study(design: Design, network: Network, variant: str) -> Study:
    if not variant:
        return Study(design, network)
    part = in_variant(design, variant)
    return Study(part, connect(part))


def _state(
    before: Study, after: Study, points: tuple[Point, Point], variant: str, renamer: Renamer
) -> Iterator[Figure]:
    """Yield what differs in one state."""
    old, new = points
    there = {element.id: element for element in new.circuit.elements}
    for element in old.circuit.elements:
        other = there.get(renamer.name(element.id))
        if other is None or element.part not in ("load", "coil", "fuse"):
            continue
        title = _title(after.design, other.id)
        for sort, one, two in _numbers(before, after, points, element, other):
            if _counts(sort, one, two):
                yield Figure(sort, other.id, title, new.name, variant, one, two)


def _numbers(
    before: Study, after: Study, points: tuple[Point, Point], old: Element, new: Element
) -> Iterator[tuple[Sort, float, float]]:
    """Yield what there is to compare of one branch."""
    amps = abs(points[0].amps(old.id)), abs(points[1].amps(new.id))
    if new.part == "fuse":
        ratings = _rating(before.design, old.id), _rating(after.design, new.id)
        if ratings[0] and ratings[1]:
            yield "fuse", amps[0] / ratings[0], amps[1] / ratings[1]
        return
    yield "current", *amps
    if min(amps) >= _CURRENT:
        ways = before.way(points[0].name, old.id), after.way(points[1].name, new.id)
        if ways[0] is not None and ways[1] is not None:
            yield "drop", ways[0].drop_v, ways[1].drop_v


def _counts(sort: Sort, before: float, after: float) -> bool:
    size = abs(after - before)
    if sort == "current":
        return size >= LEAST_A and size >= LEAST_SHARE * max(before, after)
    return size >= (LEAST_DROP_V if sort == "drop" else LEAST_FUSE_SHARE)


def _rating(design: Design, name: str) -> float:
    fuse = design.fuses.get(name)
    return (fuse.rating_a or 0.0) if fuse is not None else 0.0


def _title(design: Design, name: str) -> str:
    owner, _, part = name.partition(":")[0].partition(".")
    device = design.devices.get(owner)
    if device is None:
        fuse = design.fuses.get(owner)
        return fuse.title if fuse is not None else ""
    inner = device.inside.get(part)
    return inner.title if inner is not None else device.title
