"""Fuses and wires in a state: current, share of what they may carry, temperature."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.compute.drops import lasts
from wiregen.compute.heat import temperature_c
from wiregen.compute.numbers import amps, percent
from wiregen.compute.rating import heated_wire, rated
from wiregen.compute.states import Point
from wiregen.compute.study import Study
from wiregen.model import Wire

_MODEL_ERROR = 0.10
"""The heat model is within about this share of the current of the published tables."""
_LEAST_A = 0.05
_COOL_K = 2.0


def fuse_lines(study: Study, point: Point) -> Iterator[str]:
    """Yield the fuses that carry current: amps and share of the rating."""
    busy = [f for f in study.design.fuses.values() if abs(point.amps(f.id)) >= _LEAST_A]
    if not busy:
        return
    yield "  fuses"
    for fuse in busy:
        rating = fuse.rating_a
        words = f"{rating:g} A {fuse.style}".strip() if rating else "rating not given"
        current = abs(point.amps(fuse.id))
        share = percent(current, rating or 0.0)
        yield f"    {fuse.id} {words}: {amps(current)}, {share} of its rating"


def wire_lines(study: Study, point: Point) -> Iterator[str]:
    """Yield the wires that carry current: amps, share of the table, estimated temperature."""
    busy = [w for w in study.design.wires.values() if abs(point.amps(w.id)) >= _LEAST_A]
    if not busy:
        return
    yield "  wires"
    cool = []
    for wire in busy:
        current = abs(point.amps(wire.id))
        heat = heated_wire(study, wire)
        warm = temperature_c(heat, current) if heat is not None else None
        if heat is not None and warm is not None and warm - heat.ambient_c < _COOL_K:
            cool.append(f"{wire.id} {amps(current)}{_share(study, wire, current)}")
            continue
        size = f" {wire.size.label}" if wire.size else ""
        parts = [f"{wire.id}{size}: {amps(current)}"]
        found = rated(study, wire)
        if found.ampacity is not None:
            table = found.ampacity
            share = percent(current, table.amps_a)
            memory = ", from memory" if table.status == "from memory" else ""
            parts.append(f"{share} of {table.amps_a:.3g} A ({table.table}: {table.row}{memory})")
        if heat is not None and warm is not None:
            low, high = (
                temperature_c(heat, current * share)
                for share in (1 - _MODEL_ERROR, 1 + _MODEL_ERROR)
            )
            lasting = "" if lasts(study, point.name) else " if it lasted"
            parts.append(f"about {warm:.0f} ({low:.0f}..{high:.0f}) degC{lasting}")
        yield f"    {', '.join(parts)}"
    if cool:
        yield f"    within {_COOL_K:g} K of their surroundings: {', '.join(cool)}"


def _share(study: Study, wire: Wire, current_a: float) -> str:
    """Return ` (5 %)` of what a wire may carry; empty where that is not known."""
    found = rated(study, wire).ampacity
    return f" ({percent(current_a, found.amps_a)})" if found is not None else ""
