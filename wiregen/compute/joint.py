"""Loads that lose too much, and the sizes of all wires on their ways that would do together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wiregen.compute.drops import Lost, losses
from wiregen.compute.fill import fill, over_limit, worst
from wiregen.compute.sizing import SizedWire
from wiregen.compute.study import Study
from wiregen.facts.sizes import WireSize

COMMAND = "'wiregen size DESIGN --write --all' writes the sizes that do together"


@dataclass(frozen=True)
class Joint:
    """A load that loses too much, and what would help.

    Attributes:
        lost: of the load, in the state in which it loses most beyond its limit.
        sizes: wire -> size of the wires on its way that would change; empty when no sizes do.
        words: what it loses, or what stands in the way when no sizes do.
    """

    lost: Lost
    sizes: Mapping[str, WireSize]
    words: str


def joint_sizes(study: Study, wires: tuple[SizedWire, ...]) -> tuple[Joint, ...]:
    """Return the loads that lose too much, now or with any sizes.

    Args:
        study: of the design.
        wires: from `size_wires`.
    """
    over = over_limit(study)
    if not over and not any(_helpless(one) for one in wires):
        return ()
    filled = fill(study, every=True)
    beyond = {lost.load.id: lost for lost in filled.unmet}
    now = {lost.load.id: lost for lost in worst(over)}
    ways = {(lost.load.id, lost.state): lost for lost in losses(study)}
    found = []
    for name in sorted({*now, *beyond}, key=list(study.circuit.place).index):
        if name in beyond:
            found.append(Joint(beyond[name], {}, filled.words(beyond[name])))
            continue
        lost = ways[name, now[name].state]
        on_way = [s.id for s in lost.way.metal if s.id in filled.sizes]
        sizes = {wire: size for wire in on_way if _other(study, wire, size := filled.sizes[wire])}
        found.append(Joint(lost, sizes, lost.words))
    return tuple(found)


def _helpless(one: SizedWire) -> bool:
    """Tell whether no size of a wire keeps the drop it is judged by."""
    return one.choice is not None and one.choice.size is None and one.budget is not None


def _other(study: Study, wire: str, size: WireSize) -> bool:
    has = study.design.wires[wire].size
    return has is None or has.label != size.label
