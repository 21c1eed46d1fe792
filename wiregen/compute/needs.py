"""Pins that must be live or dead in a state, against what the network does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wiregen.compute.states import Point
from wiregen.compute.study import Study
from wiregen.model import Pin, Plug

LIVE_SHARE = 0.5
"""A pin is live from half of its nominal voltage up."""
DEAD_V = 0.3
"""A pin is dead below this voltage."""


@dataclass(frozen=True, slots=True)
class Need:
    """One pin in one state.

    Attributes:
        node: of the pin.
        carries: its words.
        state: name.
        wanted: `live`, `dead`, or empty when the pin says nothing of this state.
        volts_v: against 0 V; None when it floats.
        met: None when nothing is wanted or the state has no operating point.
        pin: the record.
    """

    node: str
    carries: str
    state: str
    wanted: str
    volts_v: float | None
    met: bool | None
    pin: Pin


def needs(study: Study) -> Iterator[Need]:
    """Yield every pin with needs, in every state of the design."""
    for plug in study.design.plugs.values():
        for pin in plug.pins.values():
            for name, point in study.points.items() if pin.needs else ():
                yield _need(study, plug, pin, name, point)


def _need(study: Study, plug: Plug, pin: Pin, name: str, point: Point) -> Need:
    node = f"{plug.id}:{pin.name}"
    volts = point.volts(node)
    wanted = pin.needs.get(name, "")
    met: bool | None = None
    if wanted and point.found:
        shown = abs(volts or 0.0)
        nominal = pin.volts_v or nominal_v(study) or 0.0
        met = shown >= LIVE_SHARE * nominal if wanted == "live" else shown < DEAD_V
    return Need(node, pin.carries, name, wanted, volts, met, pin)


def nominal_v(study: Study) -> float | None:
    """Return the nominal voltage: declared, or the highest of the sources."""
    declared = study.design.system.volts_v
    if declared is not None:
        return declared
    volts = [e.volts_v for e in study.circuit.elements if e.part == "source"]
    return max(volts, default=None)
