"""Operating states: which branches are there, what the relays do, and what then flows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from wiregen.compute.elements import Element, Pull
from wiregen.compute.network import Circuit
from wiregen.model import State

if TYPE_CHECKING:
    from wiregen.compute.laws import Array
    from wiregen.compute.solve import Answer

Outcome = Literal["", "no operating point", "no stable state", "no source", "no reference"]
LOST = ("open", "lost", "removed", "parted", "blown", "broken")
WHOLE = ("sound", "whole", "fitted")
_ROUNDS = 40


@dataclass(frozen=True)
class Point:
    """What the network does in one state.

    Attributes:
        circuit: what was solved.
        name: of the state.
        modes: id -> position, `running`, `pulled in` ... of everything that decides a branch.
        lost: ids that are open.
        pulled: relays that are in.
        outcome: empty when an operating point was found; else what stood in the way.
        chattering: relays that find no rest.
    """

    circuit: Circuit
    name: str
    modes: Mapping[str, str]
    lost: frozenset[str]
    pulled: tuple[str, ...]
    outcome: Outcome = ""
    chattering: tuple[str, ...] = ()
    answer: Answer | None = field(default=None, repr=False)
    present: Sequence[bool] = field(default=(), repr=False)

    @property
    def found(self) -> bool:
        """An operating point was found; without one there are no numbers."""
        return not self.outcome and self.answer is not None

    def volts(self, node: str) -> float | None:
        """Return the voltage of a node against 0 V; None when it floats or nothing was found."""
        if not self.found or self.answer is None:
            return None
        index = self.circuit.index.get(node)
        if index is None or self.answer.floating[index]:
            return None
        return float(self.answer.volts[index])

    def across(self, element: Element) -> float:
        """Return the voltage from `a` to `b` of a branch."""
        index = self.circuit.index
        if self.answer is None:
            return 0.0
        volts = self.answer.volts
        return float(volts[index[element.a]] - volts[index[element.b]])

    def amps(self, name: str) -> float:
        """Return the current through a branch; 0 where it is not there."""
        place = self.circuit.place.get(name)
        if place is None or not self.found or self.answer is None:
            return 0.0
        return float(self.answer.amps[place])

    def is_present(self, element: Element) -> bool:
        """Tell whether a branch is there in this state."""
        return bool(self.present[self.circuit.place[element.id]]) if len(self.present) else False

    def floats(self, node: str) -> bool:
        """Tell whether a node has no way to 0 V."""
        index = self.circuit.index.get(node)
        return index is None or self.answer is None or bool(self.answer.floating[index])

    def is_loose(self, node: str) -> bool:
        """Tell whether only leakage, through more than 10 kohm, holds a node at its voltage."""
        index = self.circuit.index.get(node)
        return index is not None and self.answer is not None and bool(self.answer.loose[index])

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        """The branches that are there."""
        return tuple(
            e for e, there in zip(self.circuit.elements, self.present, strict=False) if there
        )

    @cached_property
    def starved(self) -> tuple[str, ...]:
        """Loads of constant power that get less than their least voltage: not supplied."""
        return tuple(
            e.id
            for e in self.elements
            if e.law == "constant power" and 0.3 < self.across(e) < e.min_volts_v
        )


def modes_of(circuit: Circuit, state: State) -> tuple[dict[str, str], frozenset[str]]:
    """Return the mode of everything that decides a branch, and what is open, in a state."""
    modes = dict(circuit.modes)
    lost: set[str] = set()
    names = _aliases(circuit)
    for written, value in state.settings.items():
        for name in names.get(written, (written,)):
            if value in circuit.legal.get(name, ()):
                modes[name] = value
            elif value in LOST:
                lost.add(name)
    for name, states in circuit.closed_in.items():
        if state.name in states and name not in state.settings:
            modes[name] = "closed"
    return modes, frozenset(lost)


def not_understood(circuit: Circuit, state: State) -> tuple[tuple[str, str], ...]:
    """Return the settings of a state that change nothing: the object and what is said of it."""
    names = _aliases(circuit)
    found = []
    for written, value in state.settings.items():
        legal = [word for name in names.get(written, (written,)) for word in _legal(circuit, name)]
        if value not in (*legal, *LOST, *WHOLE):
            found.append((written, value))
    return tuple(found)


def _legal(circuit: Circuit, name: str) -> tuple[str, ...]:
    return circuit.legal.get(name, ())


def _aliases(circuit: Circuit) -> dict[str, tuple[str, ...]]:
    """Return what a state may write for what decides a branch: the pin of the other half, a part
    by its own id."""
    found: dict[str, list[str]] = {}
    for name in (*circuit.legal, *(e.id for e in circuit.elements)):
        owner, _, point = name.partition(":")
        other = circuit.network.mate(owner)
        if other is not None and point:
            found.setdefault(f"{other}:{point}", []).append(name)
        if "." in owner and owner.partition(".")[0] in circuit.design.devices:
            found.setdefault(owner.partition(".")[2], []).append(owner)
    return {name: tuple(dict.fromkeys([name, *others])) for name, others in found.items()}


def settle(
    circuit: Circuit,
    name: str,
    modes: Mapping[str, str],
    lost: frozenset[str],
    *,
    latched: bool = False,
    near: Point | None = None,
) -> Point:
    """Let the relays find their rest.

    Args:
        circuit: from `build`.
        name: of the state, for the record.
        modes: of switches, alternators, motors and outputs.
        lost: ids that are open.
        latched: start with every relay pulled in.
        near: a similar point, to start from.
    """
    pulled = frozenset(p.id for p in circuit.pulls) if latched else frozenset[str]()
    if near is not None:
        pulled = frozenset(near.pulled)
    if not circuit.zero:
        return Point(circuit, name, modes, lost, (), "no reference")
    seen: list[frozenset[str]] = []
    bare = point = Point(circuit, name, modes, lost, ())
    start = near.answer.volts if near is not None and near.answer is not None else None
    for _ in range(_ROUNDS):
        point = _solved(bare, pulled, start)
        if not point.found:
            return point
        after = frozenset(p.id for p in circuit.pulls if _is_in(p, point, p.id in pulled))
        if after == pulled:
            return point
        if after in seen:
            loop = seen[seen.index(after) :]
            moving = frozenset[str].union(*loop, pulled) - frozenset[str].intersection(
                *loop, pulled
            )
            restless = tuple(p.id for p in circuit.pulls if p.id in moving)
            return Point(circuit, name, modes, lost, (), "no stable state", restless)
        seen.append(pulled)
        pulled = after
    return Point(circuit, name, modes, lost, (), "no stable state")


def _is_in(pull: Pull, point: Point, was_in: bool) -> bool:
    """Tell whether a relay is in, with the hysteresis of its coil."""
    if pull.id in point.lost or point.floats(pull.a) or point.floats(pull.b):
        return False
    first, second = point.volts(pull.a) or 0.0, point.volts(pull.b) or 0.0
    return abs(first - second) >= (pull.drops_out_v if was_in else pull.pulls_in_v)


def _solved(bare: Point, pulled: frozenset[str], start: Array | None) -> Point:
    """Return a point with the branches these relays leave."""
    import numpy as np

    from wiregen.compute.solve import operate

    circuit, lost = bare.circuit, bare.lost
    every = dict(bare.modes)
    for pull in circuit.pulls:
        every[pull.id] = "pulled in" if pull.id in pulled else "at rest"
    present = np.array(
        [
            (not e.by or every.get(e.by, "at rest") in e.when)
            and not (lost and any(owner in lost for owner in e.owners))
            for e in circuit.elements
        ],
        dtype=bool,
    )
    answer = operate(circuit.system, present, start)
    if not answer.found and start is not None:
        answer = operate(circuit.system, present)
    outcome: Outcome = "" if answer.found else "no operating point"
    names = tuple(p.id for p in circuit.pulls if p.id in pulled)
    return Point(circuit, bare.name, every, lost, names, outcome, (), answer, present.tolist())
