"""Ways through a network as records: from a pin to its supplies, to earth, or to another pin."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

HopKind = Literal["wire", "joint", "fuse", "contact", "load", "diode"]
Target = Literal["supply", "earth", "pin", "load", ""]


@dataclass(frozen=True, slots=True)
class Hop:
    """One step of a way.

    Attributes:
        node: where the step leads to.
        kind: `wire`; `joint` (mated contacts, bar, stud, case, link inside a unit); or the kind
            of the part that is crossed.
        id: of the wire, fuse or device; empty for a joint.
        when: switch positions in which a contact is closed.
    """

    node: str
    kind: HopKind
    id: str = ""
    when: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Way:
    """A way through a network.

    Attributes:
        start: the pin it begins at.
        hops: its steps.
        to: what it ends at; `load` is the far side of the first load; empty when it leads nowhere.
    """

    start: str
    hops: tuple[Hop, ...]
    to: Target

    @property
    def nodes(self) -> tuple[str, ...]:
        """Every node passed, the start first."""
        return (self.start, *(hop.node for hop in self.hops))

    @property
    def end(self) -> str:
        """The last node."""
        return self.nodes[-1]

    @property
    def loads(self) -> tuple[str, ...]:
        """The loads crossed."""
        return tuple(hop.id for hop in self.hops if hop.kind == "load")


@dataclass(frozen=True, slots=True)
class Trace:
    """All ways of one pin.

    Attributes:
        node: the pin.
        up: ways to supplies: one a fuse or source that feeds it; through each load where it has
            no feed of its own.
        down: ways to earth, likewise.
    """

    node: str
    up: tuple[Way, ...]
    down: tuple[Way, ...]


def to_first_loads(found: Trace) -> Trace:
    """Return a trace whose ways up end behind their first load: what returns at an earth.

    Args:
        found: of a pin on earth; the full ways of a stud name every load with all of its feed.
    """
    ways: dict[tuple[Hop, ...], Way] = {}
    for way in found.up:
        first = next((n for n, hop in enumerate(way.hops) if hop.kind == "load"), None)
        hops = way.hops if first is None else way.hops[: first + 1]
        ways.setdefault(hops, Way(way.start, hops, way.to if first is None else "load"))
    return Trace(found.node, tuple(ways.values()), found.down)
