"""When something does not work: fuses, switches, plugs and earth of every load, in one line."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from wiregen.connect import Network, split_node
from wiregen.connect.legs import part_words
from wiregen.connect.network import Link
from wiregen.connect.trace import Tracer
from wiregen.connect.ways import Trace, Way
from wiregen.layout.tables import Table, columns
from wiregen.model import Design
from wiregen.publish.tables.cutting import Cutting

_LOADS = (
    "lamp",
    "led",
    "gauge",
    "horn",
    "motor",
    "solenoid",
    "coil",
    "heater",
    "load",
    "socket",
    "relay",
)


def finder_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return each load with what its current passes, from the battery to earth."""
    ways = _Ways(Tracer(network), {})
    rows = tuple(
        _row(design, network, (link, node), (ways.up(node), ways.down(link.nodes[-1])))
        for link in network.links
        if link.kind == "load" and _kind(design, link.id) in _LOADS
        for node in link.nodes[:-1]
    )
    return Table(
        "finder",
        "When something does not work",
        columns("*Load", "Fuses", "Switched by", "Plugs on the way", "Earth", "@Fed by"),
        rows,
        (
            "Look at the fuses first, then read volts at the plugs from left to right, then at "
            "the earth. Two loads that fail together share what stands in both rows.",
        ),
    )


@dataclass(frozen=True, slots=True)
class _Ways:
    """The first way up and down of a node, each node traced once."""

    tracer: Tracer
    traces: dict[str, Trace]

    def up(self, node: str) -> Way | None:
        feeds = self.tracer.feeds(node)
        return next(iter(feeds or self._trace(node).up), None)

    def down(self, node: str) -> Way | None:
        return next(iter(self._trace(node).down), None)

    def _trace(self, node: str) -> Trace:
        if node not in self.traces:
            self.traces[node] = self.tracer.trace(node)
        return self.traces[node]


def _row(
    design: Design,
    network: Network,
    at: tuple[Link, str],
    ways: tuple[Way | None, Way | None],
) -> tuple[str, ...]:
    """Return the row of a load at one of its terminals, its ways to supply and to earth."""
    (link, node), (up, down) = at, ways
    words = part_words(design, link.id)
    if _kind(design, link.id) == "relay":
        words = f"coil of {words}"
    elif len(link.nodes) > 2:
        words = f"{words}, at {split_node(node)[1]}"
    return (
        words,
        _from_source(up, "fuse"),
        _from_source(up, "contact"),
        ", ".join(_plugs(network, [way for way in (up, down) if way is not None])),
        _earth(design, down),
        next(iter(network.wires_at(node)), ""),
    )


def _kind(design: Design, load: str) -> str:
    owner, _, inner = load.partition(".")
    device = design.devices[owner]
    return device.inside.get(inner, device).kind


def _from_source(way: Way | None, kind: str) -> str:
    """Return the fuses or contacts of a way to the supply, the one next to the battery first."""
    hops = reversed(way.hops) if way else ()
    return ", ".join(dict.fromkeys(hop.id for hop in hops if hop.kind == kind))


def _plugs(network: Network, ways: list[Way]) -> list[str]:
    """Return the mated plugs passed, as pairs, from the battery on."""
    found: dict[str, None] = {}
    for way in ways:
        nodes = way.nodes if way.to == "earth" else way.nodes[::-1]
        for here, there in pairwise(nodes):
            owner, other = split_node(here)[0], split_node(there)[0]
            if owner != other and network.mate(owner) == other:
                found[f"{here}/{other}"] = None
    return list(found)


def _earth(design: Design, way: Way | None) -> str:
    """Return the earth point a load returns to, the first on its way; its housing where it is."""
    nodes = way.nodes if way else ()
    return next((split_node(n)[0] for n in nodes if split_node(n)[0] in design.earths), "")
