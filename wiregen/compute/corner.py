"""A solved state again with source and copper in a corner: weak and hot, or strong and cold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from wiregen.compute.elements import Element
from wiregen.compute.faults import WEAK, WEAK_SOURCE, WEAK_VOLTS, Corner
from wiregen.compute.guard import main_sources
from wiregen.compute.states import Point, settle

WEAK_WORDS = (
    f"{100 * WEAK_VOLTS:.0f} % of its volts, {WEAK_SOURCE:g} times its resistance, from memory"
)


def weak_battery(point: Point) -> Point:
    """Return a state as it is on a cold, half-empty battery; the relays find their rest anew.

    Args:
        point: a state with an operating point.
    """
    circuit = point.circuit
    elements = in_corner(circuit.elements, WEAK, 1.0, main_sources(circuit))
    weak = replace(circuit, elements=elements)
    modes: Mapping[str, str] = {
        name: mode for name, mode in point.modes.items() if name not in {p.id for p in weak.pulls}
    }
    return settle(weak, point.name, modes, point.lost)


def in_corner(
    elements: tuple[Element, ...], corner: Corner, copper: float, main: frozenset[str]
) -> tuple[Element, ...]:
    """Return branches with batteries and wires in a corner.

    Args:
        elements: the branches.
        corner: how strong batteries are taken.
        copper: resistance of wires there over their resistance here.
        main: sources that can feed a fault; others stay as they are.
    """
    return tuple(_moved(e, corner, copper, main) for e in elements)


def _moved(e: Element, corner: Corner, copper: float, main: frozenset[str]) -> Element:
    if e.law == "source" and e.id in main:
        return replace(e, volts_v=e.volts_v * corner.volts, ohm=e.ohm * corner.source)
    return replace(e, ohm=e.ohm * copper) if e.part == "wire" else e
