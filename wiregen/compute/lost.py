"""What happens when one earth, fuse, plug or new wire is lost: dead, dim, reversed, or still on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wiregen.compute.elements import Element
from wiregen.compute.states import Point, settle
from wiregen.compute.study import Study

DARK_SHARE = 0.10
FULL_SHARE = 0.90
_LEAST_A = 1e-5
_SAME_SHARE = 0.05


@dataclass(frozen=True, slots=True)
class Effect:
    """What becomes of one load.

    Attributes:
        load: id of its branch, or of a relay.
        word: `dead`, `dim`, `reversed`, `comes on`, `drops out` or `pulls in`.
        volts_v: across it; None for relays.
        share: of its nominal voltage.
    """

    load: str
    word: str
    volts_v: float | None = None
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Loss:
    """One thing lost in one state.

    Attributes:
        kind: `earth`, `fuse`, `plug` or `wire`.
        object: id.
        state: name.
        effects: what becomes of the loads; empty when nothing changes.
        outcome: why there are no effects to tell, empty when there are.
    """

    kind: str
    object: str
    state: str
    effects: tuple[Effect, ...]
    outcome: str = ""


def losses_of(study: Study) -> Iterator[Loss]:
    """Yield what changes for each earth, fuse, plug and new wire lost, in every state.

    Each case is solved anew; what carries nothing in a state changes nothing and is left out.

    Args:
        study: of the design.
    """
    carried = {name: _carried(point) for name, point in study.points.items() if point.found}
    for kind, name in _candidates(study):
        for state, point in study.points.items():
            if not point.found or name not in carried[state]:
                continue
            after = settle(study.circuit, state, point.modes, point.lost | {name}, near=point)
            if not after.found:
                yield Loss(kind, name, state, (), after.outcome)
                continue
            effects = tuple(_effects(point, after))
            if effects:
                yield Loss(kind, name, state, effects)


def _candidates(study: Study) -> Iterator[tuple[str, str]]:
    design = study.design
    yield from (("earth", name) for name in design.earths)
    yield from (("fuse", name) for name in design.fuses)
    halves = {name: study.network.mate(name) for name in design.plugs}
    yield from (
        ("plug", name)
        for name, mate in halves.items()
        if mate and (name < mate or mate not in halves)
    )
    yield from (("wire", w.id) for w in design.wires.values() if design.status_of(w) == "new")


def _carried(point: Point) -> Mapping[str, float]:
    """Return id -> largest current of the branches that go when it is lost."""
    found: dict[str, float] = {}
    for element in point.elements:
        amps = abs(point.amps(element.id))
        if amps > _LEAST_A:
            for owner in element.owners:
                found[owner] = max(found.get(owner, 0.0), amps)
    return found


def _effects(before: Point, after: Point) -> Iterator[Effect]:
    for pull in before.circuit.pulls:
        was, now = pull.id in before.pulled, pull.id in after.pulled
        if was != now:
            yield Effect(pull.id, "pulls in" if now else "drops out")
    for element in before.circuit.elements:
        if element.part == "load" and element.rated_v:
            word = _word(_share(before, element), share := _share(after, element))
            if word:
                yield Effect(element.id, word, share * element.rated_v, share)


def _share(point: Point, element: Element) -> float:
    """Return the voltage across a load over its nominal one; 0 where it carries nothing."""
    if not point.is_present(element) or abs(point.amps(element.id)) < _LEAST_A:
        return 0.0
    return point.across(element) / element.rated_v


def _word(was: float, now: float) -> str:
    """Return what became of a load in a word; empty when nothing to speak of."""
    if abs(now - was) < _SAME_SHARE:
        return ""
    if abs(now) < DARK_SHARE:
        return "dead" if abs(was) >= DARK_SHARE else ""
    if was * now < 0:
        return "reversed"
    if abs(was) < DARK_SHARE:
        return "comes on"
    return "dim" if abs(now) < FULL_SHARE and abs(now) < abs(was) else ""
