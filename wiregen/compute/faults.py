"""What a short to earth draws: at the fuse with everything strong, at the far end with all weak."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from heapq import heappop, heappush

from wiregen.compute.elements import METAL_OHM, Element
from wiregen.compute.guard import METAL
from wiregen.compute.network import Circuit
from wiregen.facts.conductors import COPPER_PER_KELVIN, at_temperature

SHORT_OHM = 0.010
"""Resistance of the short itself in the weak corner. From memory."""
STRONG_VOLTS = 1.14
"""A battery on charge: 14.4 V for 12.6 V."""
WEAK_VOLTS = 0.95
WEAK_SOURCE = 3.0
"""Inner resistance of a cold, half-empty battery over the stated one; it varies 3 to 5 times."""
WEAK_COPPER_C = 105.0
_STRONG_COPPER_C = -20.0


@dataclass(frozen=True, slots=True)
class Corner:
    """How strong source and copper are taken.

    Attributes:
        volts: share of the source's voltage.
        source: share of its inner resistance.
        copper_c: temperature of all wires.
        short_ohm: resistance of the short.
    """

    volts: float
    source: float
    copper_c: float
    short_ohm: float


STRONG = Corner(STRONG_VOLTS, 1.0, _STRONG_COPPER_C, METAL_OHM)
NOMINAL = Corner(1.0, 1.0, 20.0, SHORT_OHM)
WEAK = Corner(WEAK_VOLTS, WEAK_SOURCE, WEAK_COPPER_C, SHORT_OHM)


def short_currents(circuit: Circuit, corner: Corner) -> Mapping[str, float]:
    """Return node -> current of a short to earth there, in A.

    The one source with the least resistance to the node feeds it alone; the current comes back by
    the way of least resistance, through the lower batteries of a string. Several sources together
    give more.

    Wires of unknown size or length and sources of unknown resistance lead nowhere: of what lies
    behind them nothing is said.

    Args:
        circuit: from `build`.
        corner: how strong everything is taken.
    """
    unknown = unknown_to(circuit)
    sources = [
        e
        for e in circuit.elements
        if e.law == "source" and e.part == "source" and not e.by and e.id not in unknown
    ]
    scale = copper_scale(circuit, corner)
    near = _neighbours(circuit, scale, unknown)
    strings: _Near = {node: list(edges) for node, edges in near.items()}
    for source in sources:
        through = source.ohm * corner.source, source.volts_v * corner.volts
        strings.setdefault(circuit.at(source.a), []).append((circuit.at(source.b), *through))
    zero = circuit.at(circuit.zero)
    found: dict[str, float] = {}
    for source in sources:
        plus, minus = circuit.at(source.a), circuit.at(source.b)
        homes = {plus: _reach(plus, near).get(zero), minus: _reach(minus, strings).get(zero)}
        known = {end: home for end, home in homes.items() if home is not None}
        if not known:
            continue
        back = min(known, key=lambda end: known[end])
        home, below = known[back]
        inner = source.ohm * corner.source + home + corner.short_ohm
        volts = source.volts_v * corner.volts + below
        for node, (ohm, _) in _reach(minus if back == plus else plus, near).items():
            found[node] = max(found.get(node, 0.0), volts / (inner + ohm))
    return found


def unknown_to(circuit: Circuit) -> frozenset[str]:
    """Return the wires and sources whose resistance is not known or was taken."""
    lacking = (lack.object for lack in circuit.lacking)
    return frozenset((*lacking, *(taken.object for taken in circuit.assumed)))


def copper_scale(circuit: Circuit, corner: Corner) -> float:
    """Return resistance of copper in a corner over its resistance in the network."""
    ambient = circuit.design.system.ambient_c
    known_c = 20.0 if ambient is None else ambient
    return at_temperature(1, corner.copper_c) / (1 + COPPER_PER_KELVIN * (known_c - 20))


_Near = dict[str, list[tuple[str, float, float]]]


def _neighbours(circuit: Circuit, scale: float, unknown: frozenset[str]) -> _Near:
    """Return node -> what metal joins it to: the node, ohm, and 0 V that lie between them."""
    at = circuit.at
    near: _Near = {}
    for element in circuit.elements:
        if element.part in (*METAL, "fuse") and element.ohm < 1.0:
            if element.part == "wire" and element.id in unknown:
                continue
            ohm = element.ohm * (scale if _is_sized(circuit, element) else 1.0)
            near.setdefault(at(element.a), []).append((at(element.b), ohm, 0.0))
            near.setdefault(at(element.b), []).append((at(element.a), ohm, 0.0))
    return near


def _is_sized(circuit: Circuit, element: Element) -> bool:
    """Tell whether the resistance is copper, which follows temperature."""
    return element.part == "wire" and element.id in circuit.design.wires


def _reach(start: str, near: _Near) -> dict[str, tuple[float, float]]:
    """Return node -> least resistance from a node, and the volts of the batteries on that way."""
    done: dict[str, tuple[float, float]] = {}
    heap = [(0.0, start, 0.0)]
    while heap:
        ohm, node, volts = heappop(heap)
        if node in done:
            continue
        done[node] = ohm, volts
        for other, more, added in near.get(node, ()):
            if other not in done:
                heappush(heap, (ohm + more, other, volts + added))
    return done
