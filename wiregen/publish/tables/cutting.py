"""Lengths to cut: given or along the route, with an allowance at both ends, on a shop step."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from wiregen.connect import Network, split_node
from wiregen.connect.legs import size_words
from wiregen.connect.route import Ride, rides
from wiregen.layout.tables import Table, columns
from wiregen.model import Design, Wire
from wiregen.publish.tables.grouped import group_words

WASTE = 0.10
"""Share of wire bought on top of what is cut. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Cutting:
    """How wires are cut.

    Attributes:
        allowance_mm: added at each end, for two more terminations. The rule "two re-terminations
            at each end" is FAA AC 43.13-1B p. 11-52; 50 mm for them is common practice, no source.
        step_mm: cut lengths are rounded up to a multiple of this.
    """

    allowance_mm: float = 50.0
    step_mm: float = 10.0

    @property
    def words(self) -> str:
        """The rule in one sentence."""
        return (
            f"Cut length = length from pin to pin + {self.allowance_mm:g} mm at each end, "
            f"rounded up to {self.step_mm:g} mm."
        )


@dataclass(frozen=True, slots=True)
class Cut:
    """A length to cut.

    Attributes:
        length_mm: from pin to pin.
        cut_mm: with allowance, on the step.
        origin: `given` or `route`.
    """

    length_mm: float
    cut_mm: float
    origin: str


def is_built(design: Design, wire: Wire) -> bool:
    """Tell whether a wire is to be made: new, and not taken out again."""
    return design.status_of(wire) == "new"


def insulation_of(design: Design, wire: Wire) -> str:
    """Return the type of a wire: its own or its loom's insulation; empty when not said."""
    loom = design.looms.get(wire.loom)
    return wire.insulation or (loom.insulation if loom else "")


def cut_of(wire: Wire, along: Mapping[str, Ride], cutting: Cutting) -> Cut | None:
    """Return the length to cut for a wire.

    Args:
        wire: of the design. A given length goes before the route.
        along: the ways along the route, from `rides`.
        cutting: allowance and step.

    Returns:
        The length, None where neither a length nor a route is known.
    """
    length, origin = wire.length_mm, "given"
    if length is None:
        ride = along.get(wire.id)
        length, origin = ride.length_mm if ride else None, "route"
    if length is None:
        return None
    whole = length + 2 * cutting.allowance_mm
    return Cut(length, math.ceil(round(whole / cutting.step_mm, 9)) * cutting.step_mm, origin)


def cut_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return every piece to cut, alike wires together, the longest first."""
    pieces = []
    along = rides(design, network)
    groups = group_words(design, network)
    for wire in design.wires.values():
        if not is_built(design, wire):
            continue
        cut = cut_of(wire, along, cutting)
        kind = _kind(design, wire)
        ends = [split_node(node)[0] for node in network.written[wire.id]]
        cells = (
            *kind,
            f"{cut.cut_mm:g}" if cut else "",
            wire.id,
            f"{cut.length_mm:g}" if cut else "not given",
            cut.origin if cut else "",
            " to ".join(ends),
            groups.get(wire.id, ""),
        )
        pieces.append((_order(design, wire), -(cut.cut_mm if cut else 0.0), cells))
    pieces.sort(key=lambda piece: piece[:2])
    return Table(
        "cut",
        "Cut list",
        columns(
            "Type",
            "~Colour",
            "Size",
            "#Cut mm",
            "@Wire",
            "#Pin to pin mm",
            "Length",
            "Ends",
            "Groups",
            "_Done",
        ),
        tuple((*cells, "") for _, _, cells in pieces),
        (cutting.words,),
    )


def reel_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return the wire to buy: metres by type, colour and size."""
    total: dict[tuple[str, ...], list[float]] = {}
    without: dict[tuple[str, ...], int] = defaultdict(int)
    built = [wire for wire in design.wires.values() if is_built(design, wire)]
    along = rides(design, network)
    for wire in sorted(built, key=lambda wire: _order(design, wire)):
        kind = _kind(design, wire)
        cuts = total.setdefault(kind, [])
        cut = cut_of(wire, along, cutting)
        if cut:
            cuts.append(cut.cut_mm)
        else:
            without[kind] += 1
    rows = tuple(
        (
            *kind,
            str(len(cuts) + without[kind]),
            f"{sum(cuts) / 1000:.2f}",
            f"{math.ceil(round(sum(cuts) * (1 + WASTE) / 100, 6)) / 10:.1f}",
            f"{without[kind]} without length" if without[kind] else "",
        )
        for kind, cuts in total.items()
    )
    return Table(
        "reels",
        "Wire to buy",
        columns("Type", "~Colour", "Size", "#Pieces", "#Cut m", "#Buy m", "Missing"),
        rows,
        (f"{cutting.words} To buy: {WASTE:.0%} more, rounded up to 0.1 m.",),
    )


def _kind(design: Design, wire: Wire) -> tuple[str, str, str]:
    colour = wire.colour.iec if wire.colour else ""
    return insulation_of(design, wire), colour, size_words(wire.size)


def _order(design: Design, wire: Wire) -> tuple[object, ...]:
    area = wire.size.area_mm2 if wire.size else 0.0
    kind = _kind(design, wire)
    return (kind[0], area, kind[2], kind[1])
