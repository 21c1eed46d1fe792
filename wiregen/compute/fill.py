"""Sizes and ratings that suit each other: what a file lacks, or all that can still be chosen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from wiregen.compute.budgets import way_budgets
from wiregen.compute.choose import MARGIN, choose_size
from wiregen.compute.drops import Lost, losses
from wiregen.compute.numbers import drop
from wiregen.compute.sizing import SizedFuse, SizedWire, size_fuses, size_wires, systems_of
from wiregen.compute.study import Study
from wiregen.facts.fuse_curves import ratings
from wiregen.facts.sizes import WireSize
from wiregen.model import Design, in_order

_ROUNDS = 8
"""Every new size moves the currents a little; sizes only grow from round to round."""
_FAR = 4.0
"""Times the area that current and fuse ask for: more of it is no cure for a poor contact."""
_IDLE = "carries nothing in any state"


@dataclass(frozen=True)
class Filled:
    """What was found.

    Attributes:
        sizes: wire -> the size it gets.
        ratings: fuse -> the rating it gets.
        left: (id, why) of what stays without, or stays as it is.
        unmet: of each load that still loses more than allowed, the state in which it is most.
        good: with these, every wire and fuse does what it has to.
    """

    sizes: Mapping[str, WireSize]
    ratings: Mapping[str, float]
    left: tuple[tuple[str, str], ...]
    unmet: tuple[Lost, ...]
    good: bool

    def words(self, lost: Lost) -> str:
        """Return what an unmet load loses, and how much of it in parts that get no size."""
        kept = [s for s in lost.way.losing() if s.id not in self.sizes]
        said = f"sizes do not cure the drop of {lost.load.id}: for current and fuse {lost.words}"
        if not kept:
            return said
        parts = ", ".join(f"{s.id} ({drop(s.drop_v)})" for s in kept[:3])
        total = drop(sum(s.drop_v for s in kept))
        return f"{said}; {total} of it in what no size here changes: {parts}"


def fill(study: Study, every: bool) -> Filled:
    """Return sizes for the wires and ratings for the fuses that have none.

    Args:
        study: of the design.
        every: choose anew for those that have one as well.

    Notes:
        A wire of a loom that exists is a fact to be measured: it is left as it is. A drop that no
        sizes keep within its limit makes no wire larger: they get what current and fuse ask for.
    """
    design = study.design
    wires = [w for w in design.wires.values() if w.size is None or every]
    rated = [f for f in design.fuses.values() if f.rating_a is not None and every]
    fuses = [f.id for f in design.fuses.values() if f.rating_a is None]
    loaded = {one.fuse.id for one in size_fuses(study) if one.rating is not None}
    fuses += [f.id for f in rated if ratings(f.style) and f.id in loaded]
    left = [(w.id, "exists already: measure it") for w in wires if design.status_of(w) != "new"]
    left += [
        (f.id, _IDLE if f.id not in loaded else "no ratings of its style are known")
        for f in rated
        if f.id not in fuses
    ]
    free = {w.id for w in wires if design.status_of(w) == "new"}
    unmet: set[_Drop] = set()
    while True:
        sizes, chosen, without = _choose(study, free, fuses, unmet)
        now, good = _settle(study, sizes, chosen, unmet)
        fresh = {_key(lost) for lost in over_limit(now)} - unmet
        if not fresh:
            break
        unmet |= fresh
    over = over_limit(now)
    return Filled(sizes, chosen, (*left, *without), worst(over), good and not over)


_Drop = tuple[str, str]
"""A load and the state in which its drop is judged."""


def _key(lost: Lost) -> _Drop:
    return lost.load.id, lost.state


def over_limit(study: Study) -> list[Lost]:
    """Return what loses more than the design allows."""
    return [lost for lost in losses(study) if lost.way.drop_v > lost.limit_v * MARGIN]


def _larger(one: WireSize, other: WireSize) -> WireSize:
    return max(other, one, key=lambda size: size.area_mm2)


_Without = list[tuple[str, str]]
"""(id, why) of what gets nothing."""


def _choose(
    study: Study, free: set[str], fuses: list[str], unmet: set[_Drop]
) -> tuple[dict[str, WireSize], dict[str, float], _Without]:
    """Return sizes for the free wires and ratings for the fuses, each judged by itself.

    The loads and states whose drop asks for more than the largest size are added to `unmet`.
    """
    design = study.design
    systems = systems_of(design)
    without: _Without = []
    while True:
        bare = Study(_with(design, dict.fromkeys(free), dict.fromkeys(fuses)), study.network)
        rated = size_fuses(bare)
        unmet |= _out_of_reach(bare, rated, free, systems)
        sized = {one.wire.id: one for one in size_wires(bare, rated, unmet)}
        found = {name: _chosen(sized.get(name), systems[name]) for name in in_order(free)}
        without += [(name, why) for name, (why, size) in found.items() if size is None]
        sizes = {name: size for name, (_, size) in found.items() if size is not None}
        if free == set(sizes):
            break
        free = set(sizes)
    rated = tuple(one for one in rated if one.fuse.id in fuses)
    chosen = {one.fuse.id: rating for one in rated if (rating := _rating(one)) is not None}
    without += [(one.fuse.id, _unrated(one)) for one in rated if _rating(one) is None]
    return sizes, chosen, without


def _out_of_reach(
    bare: Study, rated: tuple[SizedFuse, ...], free: set[str], systems: Mapping[str, str]
) -> set[_Drop]:
    """Return the drops that sizes do not cure.

    Either the share of a wire asks for more than the largest size; or most of what is allowed is
    lost where no size helps, and a wire would be far larger than current and fuse ask for.

    Args:
        bare: study of the design in which the free wires have no size and lose nothing.
        rated: its fuses.
        free: wires to choose sizes for.
        systems: wire -> system it is sized in.
    """
    sized = {one.wire.id: one for one in size_wires(bare, rated)}
    plain: dict[str, WireSize | None] = {}
    found = set[_Drop]()
    for lost in losses(bare):
        for name, budget in way_budgets(bare, lost):
            if name not in free or name not in sized:
                continue
            task, system = sized[name].task, systems[name]
            if name not in plain:
                plain[name] = choose_size(replace(task, drop_v=None), system).size
            shares = replace(
                task,
                drop_v=budget.drop_v,
                drop_amps_a=budget.amps_a,
                lasts=budget.lasts,
                insulation_c=None,
            )
            size = None if budget.spent else choose_size(shares, system).size
            least = plain[name]
            if least is None:
                continue
            far = size is None or size.area_mm2 > _FAR * least.area_mm2
            if size is None or (far and lost.way.drop_v > lost.limit_v / 2):
                found.add(_key(lost))
                break
    return found


def worst(over: list[Lost]) -> tuple[Lost, ...]:
    """Return of each load the state in which it loses most beyond its limit."""
    worst: dict[str, Lost] = {}
    for lost in over:
        known = worst.get(lost.load.id)
        if known is None or _beyond(lost) > _beyond(known):
            worst[lost.load.id] = lost
    return tuple(worst[name] for name in in_order(worst))


def _beyond(lost: Lost) -> float:
    return lost.way.drop_v - lost.limit_v


def _settle(
    study: Study,
    sizes: dict[str, WireSize],
    chosen: dict[str, float],
    unmet: set[_Drop],
) -> tuple[Study, bool]:
    """Let sizes and ratings grow until all of them do; return the outcome, and if all do."""
    for _ in range(_ROUNDS):
        now = Study(_with(study.design, sizes, chosen), study.network)
        fuses = size_fuses(now)
        wires = size_wires(now, fuses, unmet)
        grown = False
        for fuse in fuses:
            rating = _rating(fuse)
            if fuse.wrong and fuse.fuse.id in chosen and rating:
                chosen[fuse.fuse.id], grown = rating, True
        for one in wires:
            size = one.choice.size if one.choice else None
            if one.wrong and one.wire.id in sizes and size is not None:
                grown = grown or size.area_mm2 > sizes[one.wire.id].area_mm2
                sizes[one.wire.id] = _larger(sizes[one.wire.id], size)
        if not grown:
            return now, not any(f.wrong for f in fuses) and not any(w.wrong for w in wires)
    return Study(_with(study.design, sizes, chosen), study.network), False


def _with(
    design: Design, sizes: Mapping[str, WireSize | None], chosen: Mapping[str, float | None]
) -> Design:
    wires = {
        w.id: replace(w, size=sizes[w.id]) if w.id in sizes else w for w in design.wires.values()
    }
    fuses = {
        f.id: replace(f, rating_a=chosen[f.id]) if f.id in chosen else f
        for f in design.fuses.values()
    }
    return replace(design, wires=wires, fuses=fuses)


def _chosen(one: SizedWire | None, system: str) -> tuple[str, WireSize | None]:
    """Return why a wire gets no size, and its size."""
    if one is None:
        return "joins nothing", None
    if one.missing:
        return f"needs {'; '.join(one.missing)}", None
    if one.choice is None:
        return _IDLE, None
    choice = choose_size(one.task, system)
    if choice.size is None:
        return f"no size will do: {choice.failed[-1][1]}", None
    return "", choice.size


def _rating(one: SizedFuse) -> float | None:
    return one.rating.rating_a if one.rating is not None else None


def _unrated(one: SizedFuse) -> str:
    return one.rating.words if one.rating is not None else _IDLE
