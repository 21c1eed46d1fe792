"""Collecting branches while a network is built: what is there, what was taken, what is missing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wiregen.compute.elements import Assumed, Element, Lacking, Pull
from wiregen.model import Design


@dataclass(slots=True)
class Gather:
    """Filled by `metal`, `parts` and `pins`, read by `build`.

    Attributes:
        modes: id -> the mode it has when a state does not say; an empty text is `not said`.
        legal: id -> modes a state may give it.
        closed_in: id of a switch inside a unit -> states it is closed in.
    """

    design: Design
    elements: list[Element] = field(default_factory=list)
    pulls: list[Pull] = field(default_factory=list)
    merged: list[tuple[str, str]] = field(default_factory=list)
    assumed: list[Assumed] = field(default_factory=list)
    lacking: list[Lacking] = field(default_factory=list)
    modes: dict[str, str] = field(default_factory=dict)
    legal: dict[str, tuple[str, ...]] = field(default_factory=dict)
    closed_in: dict[str, tuple[str, ...]] = field(default_factory=dict)
    same: dict[str, str] = field(default_factory=dict)

    def take(self, value: float | None, default: float, name: str, words: str) -> float:
        """Return a value, or the default with a record of it; `{}` in the words is the default."""
        if value is not None:
            return value
        self.assumed.append(Assumed(name, words.format(f"{default:g}")))
        return default

    def lack(self, name: str, needs: str, unlocks: str) -> None:
        """Record a missing fact."""
        self.lacking.append(Lacking(name, needs, unlocks))

    @property
    def nominal_v(self) -> float | None:
        """Nominal voltage of the design: as declared, or of the one kind of battery it has."""
        if self.design.system.volts_v is not None:
            return self.design.system.volts_v
        batteries = {d.volts_v for d in self.design.devices.values() if d.kind == "battery"}
        volts = batteries.pop() if len(batteries) == 1 else None
        return None if volts is None else nominal_of(volts)


def nominal_of(volts_v: float) -> float:
    """Return the nominal voltage of a source: 12 for 12.6, 24 for 25.2, else as it stands.

    Example:
        >>> nominal_of(12.6), nominal_of(25.2), nominal_of(9)
        (12.0, 24.0, 9)
    """
    for nominal in (6.0, 12.0, 24.0, 36.0, 48.0):
        if 0.98 * nominal <= volts_v <= 1.22 * nominal:
            return nominal
    return volts_v


def grouped(pairs: list[tuple[str, str]]) -> Mapping[str, str]:
    """Return node -> the node that stands for everything merged with it."""
    parent: dict[str, str] = {}

    def root(node: str) -> str:
        above = parent[node]
        while above != node:
            parent[node] = parent[above]
            node = above
            above = parent[node]
        return node

    for one, other in pairs:
        first = root(one) if one in parent else parent.setdefault(one, one)
        second = root(other) if other in parent else parent.setdefault(other, other)
        if first != second:
            parent[second] = first
    return {node: root(node) for node in parent}
