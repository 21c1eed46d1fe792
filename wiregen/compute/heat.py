"""How warm a wire gets: an estimate that explains and compares, never a rating.

One wire in still air, or a bundle taken as one cylinder. Against 33 CFR 183.425 at 105 degC the
model gives 6 % more current on average, against DIN VDE 0298-4 2 % less.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from wiregen.facts.conductors import COPPER_PER_KELVIN, at_temperature
from wiregen.facts.sizes import WireSize
from wiregen.facts.tables import rows

OVERLOAD_K = 50.0
"""A wire may get this much hotter than its class for a short time. From memory."""
SHORT_C = 160.0
"""Limit of PVC at a short circuit of up to 5 s. Source: a cable maker's product page."""
_INSULATION_W_PER_MK = 0.19
_EMISSIVITY = 0.9
_STEFAN = 5.67e-8
_BUNDLE_W_PER_MK = 0.20
_PACKING = 0.65
_COPPER_J_PER_M3K = 3.45e6
_INSULATION_J_PER_M3K = 2.0e6
_HOTTEST_C = 1000.0
_WARMEST_C = 250.0


_MEANS_NOTHING_C = 400.0
"""Past this the copper is at the end of any insulation; the model says no more."""


def degrees(copper_c: float) -> str:
    """Return a temperature as an estimate.

    Example:
        >>> degrees(104.6), degrees(897)
        ('about 105 degC', 'over 400 degC')
    """
    if copper_c >= _MEANS_NOTHING_C:
        return f"over {_MEANS_NOTHING_C:.0f} degC"
    return f"about {copper_c:.0f} degC"


@dataclass(frozen=True, slots=True)
class Geometry:
    """Diameters of a wire in mm, and whether they are estimated."""

    conductor_mm: float
    outside_mm: float
    words: str


@dataclass(frozen=True, slots=True)
class Heated:
    """A wire with its surroundings.

    Attributes:
        area_mm2: copper area.
        ohm_per_m: at 20 degC.
        geometry: diameters.
        ambient_c: around it.
        loaded: wires in its bundle that carry the same current.
    """

    area_mm2: float
    ohm_per_m: float
    geometry: Geometry
    ambient_c: float
    loaded: int = 1


def geometry(size: WireSize) -> Geometry:
    """Return the diameters of a thin-wall wire.

    A size that is not in the table gets the wall of the next smaller one round a conductor of
    75 % fill.
    """
    known = _thin_wall()
    if size.area_mm2 in known:
        return known[size.area_mm2]
    conductor = math.sqrt(4 * size.area_mm2 / (math.pi * 0.75))
    smaller = [area for area in known if area <= size.area_mm2] or [min(known)]
    near = known[max(smaller)]
    wall = near.outside_mm - near.conductor_mm
    return Geometry(conductor, conductor + wall, "diameters estimated")


@cache
def _thin_wall() -> dict[float, Geometry]:
    return {
        float(row["area_mm2"]): Geometry(
            float(row["conductor_mm"]), float(row["outside_mm"]), "thin wall"
        )
        for row in rows("thin_wall")
    }


def heated(size: WireSize, mohm_per_m: float, ambient_c: float, loaded: int = 1) -> Heated:
    """Return a wire with its surroundings.

    Args:
        size: of the wire.
        mohm_per_m: milliohm per metre at 20 degC.
        ambient_c: degC around it.
        loaded: wires of its bundle that carry as much.
    """
    return Heated(size.area_mm2, mohm_per_m / 1000, geometry(size), ambient_c, loaded)


def temperature_c(wire: Heated, amps_a: float) -> float:
    """Return the copper temperature a current leads to in the long run, in degC.

    Args:
        wire: with its surroundings.
        amps_a: in each of its loaded wires.

    Returns:
        An estimate; at most 1000 degC.

    Source:
        Free convection of a horizontal cylinder (Churchill and Chu) and radiation.
    """
    low, high = wire.ambient_c, _HOTTEST_C
    outside, sleeve = _outside(wire)
    copper = low
    for _ in range(40):
        surface = (low + high) / 2
        given = _given_off(outside, surface, wire.ambient_c) / wire.loaded
        copper = min(surface + given * sleeve, _HOTTEST_C)
        if _made(wire, amps_a, copper) > given:
            low = surface
        else:
            high = surface
    return copper


@cache
def warm_share(size: WireSize, mohm_per_m: float, ambient_c: float, amps_a: float) -> float:
    """Return the resistance of a wire its own current has warmed over that of a cold one.

    Args:
        size: of the wire, alone in free air.
        mohm_per_m: milliohm per metre at 20 degC.
        ambient_c: around it; a cold one has this temperature.
        amps_a: in the long run.

    Returns:
        1 or more; counted up to 250 degC.
    """
    warm = min(temperature_c(heated(size, mohm_per_m, ambient_c), amps_a), _WARMEST_C)
    return at_temperature(1, warm) / at_temperature(1, min(ambient_c, _WARMEST_C))


def seconds_to(
    wire: Heated, amps_a: float, copper_c: float, start_c: float | None = None
) -> float | None:
    """Return the time a current needs to bring the copper to a temperature, in s.

    Args:
        wire: with its surroundings.
        amps_a: current.
        copper_c: the limit.
        start_c: before; None takes the surroundings.

    Returns:
        Time; None when it never gets there. Heat stays in copper and half of the insulation.
    """
    start = wire.ambient_c if start_c is None else start_c
    steps = 24
    width = (copper_c - start) / steps
    if width <= 0:
        return 0.0
    store = _stored(wire)
    time_s = 0.0
    for step in range(steps):
        at = start + (step + 0.5) * width
        gain = _made(wire, amps_a, at) - _lost(wire, at)
        if gain <= 0:
            return None
        time_s += store * width / gain
    return time_s


def reached_c(wire: Heated, amps_a: float, time_s: float | None) -> float:
    """Return the copper temperature a current brings a wire to at most, in degC.

    Args:
        wire: with its surroundings, where it starts.
        amps_a: current.
        time_s: for how long; None for ever.

    Returns:
        The lower of two bounds: no heat leaves the copper, or the current lasts for ever. At most
        1000 degC.

    Source:
        IEC 60949 form, from memory; see `adiabatic_a2s`.
    """
    if time_s is None:
        return temperature_c(wire, amps_a)
    grown = amps_a**2 * time_s / (226 * wire.area_mm2) ** 2
    if grown > 3:
        return temperature_c(wire, amps_a)
    kept = (wire.ambient_c + 234.5) * math.exp(grown) - 234.5
    return kept if kept < wire.ambient_c + 30 else min(kept, temperature_c(wire, amps_a))


def adiabatic_a2s(area_mm2: float, start_c: float, end_c: float) -> float:
    """Return the current squared times time that heats copper when no heat leaves it, in A2s.

    Source:
        IEC 60949 form, from memory: (226 A)^2 ln((T2 + 234.5) / (T1 + 234.5)).

    Example:
        >>> round(adiabatic_a2s(1, 70, 160) ** 0.5)
        115
    """
    return (226 * area_mm2) ** 2 * math.log((end_c + 234.5) / (start_c + 234.5))


def _made(wire: Heated, amps_a: float, copper_c: float) -> float:
    return amps_a**2 * wire.ohm_per_m * (1 + COPPER_PER_KELVIN * (copper_c - 20))


def _stored(wire: Heated) -> float:
    """Return the heat capacity in J per kelvin and metre."""
    form = wire.geometry
    sleeve = math.pi / 4 * (form.outside_mm**2 - form.conductor_mm**2)
    return (_COPPER_J_PER_M3K * wire.area_mm2 + 0.5 * _INSULATION_J_PER_M3K * sleeve) * 1e-6


def _lost(wire: Heated, copper_c: float) -> float:
    """Return the heat one wire gives off at a copper temperature, in W per metre."""
    low, high = wire.ambient_c, copper_c
    outside, sleeve = _outside(wire)
    for _ in range(30):
        surface = (low + high) / 2
        given = _given_off(outside, surface, wire.ambient_c) / wire.loaded
        if copper_c - given * sleeve > surface:
            low = surface
        else:
            high = surface
    return _given_off(outside, (low + high) / 2, wire.ambient_c) / wire.loaded


def _outside(wire: Heated) -> tuple[float, float]:
    """Return the diameter heat leaves by in m, and the resistance to it in K m per W."""
    form = wire.geometry
    sleeve = math.log(form.outside_mm / form.conductor_mm) / (2 * math.pi * _INSULATION_W_PER_MK)
    outside = form.outside_mm / 1000
    if wire.loaded > 1:
        outside *= math.sqrt(wire.loaded / _PACKING)
        sleeve += wire.loaded / (4 * math.pi * _BUNDLE_W_PER_MK)
    return outside, sleeve


def _given_off(diameter_m: float, surface_c: float, ambient_c: float) -> float:
    """Return what a cylinder gives off by convection and radiation, in W per metre."""
    rise = surface_c - ambient_c
    if rise <= 0:
        return 0.0
    film = (surface_c + ambient_c) / 2
    conductivity = 0.0243 + 7.1e-5 * film
    viscosity = 13.3e-6 + 9.0e-8 * film + 1.0e-10 * film**2
    prandtl = 0.71
    rayleigh = 9.81 * rise * diameter_m**3 * prandtl / ((film + 273.15) * viscosity**2)
    shape = (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)
    nusselt = (0.60 + 0.387 * rayleigh ** (1 / 6) / shape) ** 2
    warm, cool = surface_c + 273.15, ambient_c + 273.15
    radiated = _EMISSIVITY * _STEFAN * (warm**2 + cool**2) * (warm + cool)
    per_area = nusselt * conductivity / diameter_m + radiated
    return float(per_area * math.pi * diameter_m * rise)
