"""The laws of the branches, for many branches at once: current and slope at a voltage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wiregen.compute.defaults import THERMAL_V
from wiregen.compute.elements import Element

Array = NDArray[np.float64]
Indexes = NDArray[np.int64]

_LEAK_S = 1e-9
_DIODE_LEAK_S = 1e-12
_TINY_V = 1e-12
_STEEPEST = 300.0


@dataclass(frozen=True, slots=True)
class Branches:
    """The facts of all branches as arrays, and the places of each law.

    `fixed_g` and `fixed_s` hold conductance in S and offset current in A of the linear laws.
    """

    lamp: Indexes
    current: Indexes
    power: Indexes
    diode: Indexes
    regulated: Indexes
    fixed_g: Array
    fixed_s: Array
    ohm: Array
    volts: Array
    amps: Array
    watts: Array
    least: Array
    exponent: Array
    cold: Array
    saturation: Array
    slope_v: Array
    start: Array


def branches(elements: Sequence[Element]) -> Branches:
    """Return the facts of the elements as arrays, in their order."""

    def places(law: str) -> Indexes:
        return np.array([k for k, e in enumerate(elements) if e.law == law], dtype=np.int64)

    def column(name: str) -> Array:
        return np.array([getattr(e, name) for e in elements], dtype=np.float64)

    ohm, volts = column("ohm"), column("volts_v")
    linear = np.array([e.law in ("resistance", "source") for e in elements], dtype=bool)
    source = np.array([e.law == "source" for e in elements], dtype=bool)
    conductance = np.zeros(len(elements))
    conductance[linear] = 1.0 / ohm[linear]
    diode = places("diode")
    start = np.where(volts > 0, volts, 12.0)
    start[diode] = 0.6
    regulated = places("regulated source")
    start[regulated] = volts[regulated] - 0.1
    return Branches(
        lamp=places("lamp"),
        current=places("constant current"),
        power=places("constant power"),
        diode=diode,
        regulated=regulated,
        fixed_g=conductance,
        fixed_s=np.where(source, -conductance * volts, 0.0),
        ohm=ohm,
        volts=volts,
        amps=column("amps_a"),
        watts=column("watts_w"),
        least=column("min_volts_v"),
        exponent=column("exponent"),
        cold=column("cold"),
        saturation=column("saturation_a"),
        slope_v=column("ideality") * THERMAL_V,
        start=start,
    )


def currents(b: Branches, v: Array) -> tuple[Array, Array]:
    """Return current in A and slope in S of every branch at its voltage.

    Source:
        Lamp: I ~ V^0.55 above its cold resistance. Diode: Shockley. Constant-power and
        constant-current loads turn into resistances below their least voltage.
    """
    i = b.fixed_g * v + b.fixed_s
    d = b.fixed_g.copy()
    k = b.lamp
    if k.size:
        warm = b.ohm[k] * (np.abs(v[k]) / b.volts[k] + _TINY_V) ** b.exponent[k]
        cold = b.ohm[k] / b.cold[k]
        i[k] = v[k] / np.maximum(cold, warm)
        d[k] = np.where(warm > cold, (1 - b.exponent[k]) / warm, 1 / cold)
    k = b.current
    if k.size:
        part = v[k] / b.least[k]
        i[k] = b.amps[k] * np.clip(part, 0, 1) + _LEAK_S * v[k]
        d[k] = np.where((part > 0) & (part < 1), b.amps[k] / b.least[k], 0.0) + _LEAK_S
    k = b.power
    if k.size:
        above = v[k] > b.least[k]
        safe = np.where(above, v[k], 1.0)
        slope = b.watts[k] / b.least[k] ** 2
        i[k] = np.where(above, b.watts[k] / safe, v[k] * slope)
        d[k] = np.where(above, -b.watts[k] / safe**2, slope)
    k = b.diode
    if k.size:
        i[k], d[k] = diode_current(b, v[k])
    k = b.regulated
    if k.size:
        free = (b.volts[k] - v[k]) / b.ohm[k]
        i[k] = -np.clip(free, 0, b.amps[k]) + _LEAK_S * v[k]
        inside = (free > 0) & (free < b.amps[k])
        d[k] = np.where(inside, 1 / b.ohm[k], 0.0) + _LEAK_S
    return i, d


def diode_current(b: Branches, v: Array) -> tuple[Array, Array]:
    """Return current and slope of the diodes at their voltages."""
    k = b.diode
    grown = np.exp(np.minimum(v / b.slope_v[k], _STEEPEST))
    current = b.saturation[k] * (grown - 1) + _DIODE_LEAK_S * v
    return current, b.saturation[k] / b.slope_v[k] * grown + _DIODE_LEAK_S


def secant(b: Branches, v: Array, i: Array) -> tuple[Array, Array]:
    """Return conductance and offset current of every branch so that both stay passive.

    Diodes keep their tangent; see `limited`.
    """
    g, s = b.fixed_g.copy(), b.fixed_s.copy()
    for k in (b.lamp, b.current, b.power):
        if k.size:
            slope = currents(b, np.zeros_like(v))[1][k]
            away = np.abs(v[k]) > 1e-9
            g[k] = np.where(away, i[k] / np.where(away, v[k], 1.0), slope)
    k = b.regulated
    if k.size:
        gap = b.volts[k] - v[k]
        out = np.clip(gap / b.ohm[k], 0, b.amps[k])
        g[k] = np.where(gap > 1e-9, out / np.where(gap > 1e-9, gap, 1.0), 0.0) + _LEAK_S
        s[k] = -g[k] * b.volts[k]
    return g, s


def limited(b: Branches, new: Array, old: Array) -> Array:
    """Return the diode voltages of the next step, held back where the exponential would run away.

    Source:
        The usual limiting of a junction: above the critical voltage a step is taken in the
        logarithm of the current.
    """
    slope = b.slope_v[b.diode]
    critical = slope * np.log(slope / (np.sqrt(2) * b.saturation[b.diode]))
    far = (new > critical) & (np.abs(new - old) > 2 * slope)
    grown = 1 + (new - old) / slope
    upward = np.where(grown > 0, old + slope * np.log(np.maximum(grown, 1e-30)), critical)
    from_below = slope * np.log(np.maximum(new / slope, 1e-30))
    return np.where(far, np.where(old > 0, upward, from_below), new)
