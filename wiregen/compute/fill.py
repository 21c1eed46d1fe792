"""Sizes and ratings that suit each other: what a file lacks, or all that can still be chosen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from wiregen.compute.choose import choose_size
from wiregen.compute.sizing import SizedFuse, SizedWire, size_fuses, size_wires, systems_of
from wiregen.compute.study import Study
from wiregen.facts.fuse_curves import ratings
from wiregen.facts.sizes import WireSize
from wiregen.model import Design, in_order

_ROUNDS = 8
"""Every new size moves the currents a little; sizes only grow from round to round."""


@dataclass(frozen=True)
class Filled:
    """What was found.

    Attributes:
        sizes: wire -> the size it gets.
        ratings: fuse -> the rating it gets.
        left: (id, why) of what stays without, or stays as it is.
        good: with these, every wire and fuse does what it has to.
    """

    sizes: Mapping[str, WireSize]
    ratings: Mapping[str, float]
    left: tuple[tuple[str, str], ...]
    good: bool


def fill(study: Study, every: bool) -> Filled:
    """Return sizes for the wires and ratings for the fuses that have none.

    Args:
        study: of the design.
        every: choose anew for those that have one as well.

    Notes:
        A wire of a loom that exists is a fact to be measured: it is left as it is.
    """
    design = study.design
    wires = [w for w in design.wires.values() if w.size is None or every]
    rated = [f for f in design.fuses.values() if f.rating_a is not None and every]
    fuses = [f.id for f in design.fuses.values() if f.rating_a is None]
    fuses += [f.id for f in rated if ratings(f.style)]
    left = [(w.id, "exists already: measure it") for w in wires if design.status_of(w) != "new"]
    left += [(f.id, "no ratings of its style are known") for f in rated if f.id not in fuses]
    free = {w.id for w in wires if design.status_of(w) == "new"}
    while True:
        found = _choose(study, free, fuses)
        left += [(name, why) for name, why in found.left if name in free]
        if free == set(found.sizes):
            break
        free = set(found.sizes)
    left += [(name, why) for name, why in found.left if name in fuses]
    sizes, chosen = dict(found.sizes), dict(found.ratings)
    good = _settle(study, sizes, chosen)
    return Filled(sizes, chosen, tuple(left), good)


def _choose(study: Study, free: set[str], fuses: list[str]) -> Filled:
    """Return sizes for the free wires and ratings for the fuses, each judged by itself."""
    design = study.design
    bare = Study(_with(design, dict.fromkeys(free), dict.fromkeys(fuses)), study.network)
    rated = [one for one in size_fuses(bare) if one.fuse.id in fuses]
    sized = {one.wire.id: one for one in size_wires(bare, size_fuses(bare))}
    systems = systems_of(design)
    sizes, chosen = dict[str, WireSize](), dict[str, float]()
    left = []
    for name in in_order(free):
        why, size = _chosen(sized.get(name), systems[name])
        if size is None:
            left.append((name, why))
        else:
            sizes[name] = size
    for one in rated:
        rating = _rating(one)
        if rating is None:
            left.append((one.fuse.id, _unrated(one)))
        else:
            chosen[one.fuse.id] = rating
    return Filled(sizes, chosen, tuple(left), good=False)


def _settle(study: Study, sizes: dict[str, WireSize], chosen: dict[str, float]) -> bool:
    """Let sizes and ratings grow until all of them do; tell whether that was reached."""
    for _ in range(_ROUNDS):
        now = Study(_with(study.design, sizes, chosen), study.network)
        fuses = size_fuses(now)
        wires = size_wires(now, fuses)
        grown = False
        for fuse in fuses:
            rating = _rating(fuse)
            if fuse.wrong and fuse.fuse.id in chosen and rating:
                chosen[fuse.fuse.id], grown = rating, True
        for one in wires:
            size = one.choice.size if one.choice else None
            if one.wrong and one.wire.id in sizes and size is not None:
                grown = grown or size.area_mm2 > sizes[one.wire.id].area_mm2
                sizes[one.wire.id] = max(size, sizes[one.wire.id], key=lambda s: s.area_mm2)
        if not grown:
            return not any(f.wrong for f in fuses) and not any(w.wrong for w in wires)
    return False


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
        return "carries nothing in any state", None
    if one.choice.size is None and one.wrong and not one.choice.failed:
        return one.wrong, None
    choice = choose_size(one.task, system)
    if choice.size is None:
        return f"no size will do: {choice.failed[-1][1]}", None
    return "", choice.size


def _rating(one: SizedFuse) -> float | None:
    return one.rating.rating_a if one.rating is not None else None


def _unrated(one: SizedFuse) -> str:
    return one.rating.words if one.rating is not None else "carries nothing in any state"
