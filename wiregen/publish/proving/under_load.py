"""Wires that an ohmmeter cannot judge: what it does not see already loses too much in use."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from wiregen.connect.legs import wire_ohm
from wiregen.model import Design
from wiregen.publish.proving.checks import METER_OHM

if TYPE_CHECKING:
    from wiregen.compute.states import Point

CANNOT = "an ohmmeter cannot judge it"
_OTHER_SHARE = 0.10
"""Of the nominal voltage, where the design sets no limit. Source: the wider limit of ISO 10133 and
ABYC E-11."""


def under_load(
    design: Design, points: Mapping[str, Point], wire: str, passed: Iterable[str]
) -> str:
    """Return the drop to measure for a wire whose good reading says too little, else nothing.

    Args:
        design: the design.
        points: state -> its operating point.
        wire: that is tested.
        passed: the wires between the probes.

    Notes:
        The limit of the reading is that of the meter; at the current of the wire the same ohms
        may lose more than the most the design allows.
    """
    from wiregen.compute.numbers import amps, small_volts

    most = max(points.values(), key=lambda point: abs(point.amps(wire)), default=None)
    allowed_v = _allowed_v(design)
    if most is None or allowed_v is None:
        return ""
    if METER_OHM * abs(most.amps(wire)) <= allowed_v:
        return ""
    ohms = {name: wire_ohm(design, design.wires[name]) for name in passed}
    known = [abs(most.amps(name)) * ohm for name, ohm in ohms.items() if ohm is not None]
    drop = f", about {small_volts(sum(known))} end to end" if len(known) == len(ohms) else ""
    where = f"at {amps(abs(most.amps(wire)))} (state '{most.name}')"
    return f"{CANNOT}: measure its drop {where}{drop}"


def _allowed_v(design: Design) -> float | None:
    """Return the largest drop a design allows anywhere; None without a nominal voltage."""
    nominal_v = design.system.volts_v
    if nominal_v is None:
        return None
    limits = [
        drop.volts_v if drop.volts_v is not None else (drop.percent or 0.0) / 100 * nominal_v
        for drop in design.system.drop.values()
    ]
    return max(limits, default=_OTHER_SHARE * nominal_v)
