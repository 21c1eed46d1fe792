"""A loom as it may have been built, and how well that agrees with what a meter showed."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.compute.gather import grouped
from wiregen.publish.proving.checks import Check

_WEIGHTS = {"continuity": 4, "isolation": 1}
"""A reading of a wire says more than one of isolation, made to all else at once."""


@dataclass(frozen=True, slots=True)
class Built:
    """Wires as they were built.

    Attributes:
        ends: wire -> the nodes it ends at; a wire that is broken has none.
        bridges: nodes that touch and should not.
    """

    ends: Mapping[str, tuple[str, str]]
    bridges: tuple[tuple[str, str], ...] = ()

    def moved(self, places: Mapping[str, str]) -> Built:
        """Return the loom with the contacts of some nodes in the places of others."""
        ends = {
            wire: (places.get(one, one), places.get(two, two))
            for wire, (one, two) in self.ends.items()
        }
        return replace(self, ends=ends)

    def without(self, wires: Collection[str]) -> Built:
        """Return the loom with some wires broken."""
        return replace(self, ends={w: ends for w, ends in self.ends.items() if w not in wires})

    def spliced(self, wire: str, splice: str, other: str) -> Built:
        """Return the loom with a wire crimped into another splice."""
        one, two = (other if node == splice else node for node in self.ends[wire])
        return replace(self, ends={**self.ends, wire: (one, two)})

    def bridged(self, one: str, two: str) -> Built:
        """Return the loom with two nodes touching."""
        return replace(self, bridges=(*self.bridges, (one, two)))

    @property
    def groups(self) -> Mapping[str, str]:
        """Node -> the node that stands for all it is joined to."""
        return grouped([*self.ends.values(), *self.bridges])


@dataclass(frozen=True, slots=True)
class Seen:
    """What one test showed.

    Attributes:
        check: the test, of continuity or of isolation.
        joined: whether it read as joined; of isolation, as joined to something strange.
        found: where the wire was found, or what the strange thing is; empty when not said.
    """

    check: Check
    joined: bool
    found: str = ""


class Readings:
    """All that was seen, to be held against a loom.

    Args:
        seen: what was seen.
        drawn: node -> group, as drawn.
        plugs: ids of the plugs: their cavities can be probed.
    """

    def __init__(
        self, seen: Sequence[Seen], drawn: Mapping[str, str], plugs: Collection[str]
    ) -> None:
        self.seen = seen
        self._drawn = drawn
        self._plugs = plugs

    def misfits(self, built: Built) -> tuple[Seen, ...]:
        """Return what would have been seen otherwise if the loom were built like this."""
        groups = built.groups
        members: dict[str, list[str]] = {}
        for node, group in groups.items():
            members.setdefault(group, []).append(node)
        return tuple(one for one in self.seen if not self._fits(one, groups, members))

    def weight(self, built: Built) -> int:
        """Return how much speaks against a loom."""
        return weight_of(self.misfits(built))

    def _fits(
        self, one: Seen, groups: Mapping[str, str], members: Mapping[str, Sequence[str]]
    ) -> bool:
        start, end = one.check.start, one.check.end
        mine = groups.get(start, start)
        theirs = groups.get(end, end)
        if one.found and groups.get(one.found, one.found) not in (mine, theirs):
            return False
        if one.check.kind == "continuity":
            return (mine == theirs) == one.joined
        strange = [
            node
            for node in members.get(mine, ())
            if self._drawn.get(node) != self._drawn.get(start)
        ]
        if one.joined:
            return bool(strange)
        return not any(node in self._drawn and self._is_cavity(node) for node in strange)

    def _is_cavity(self, node: str) -> bool:
        return node.partition(":")[0] in self._plugs


def weight_of(misfits: Iterable[Seen]) -> int:
    """Return how much speaks against a loom that these do not fit."""
    return sum(_WEIGHTS[one.check.kind] for one in misfits)
