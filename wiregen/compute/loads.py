"""A load as a branch: lamp, LED, resistance, constant current or constant power, diode."""

from __future__ import annotations

import math
from dataclasses import replace

from wiregen.compute import defaults
from wiregen.compute.elements import METAL_OHM, Assumed, Element
from wiregen.compute.gather import Gather
from wiregen.model import Device

_UNRATED = ("resistor", "sender", "sensor", "gauge", "terminator", "capacitor")
"""Kinds that are meant to work at any voltage."""
_LAMP_WORDS = "lamp current follows V^0.55, 12 times as much when cold (from memory)"


def load_element(gather: Gather, name: str, device: Device, plus: str, minus: str) -> list[Element]:
    """Return the branches of a load between two nodes; none when its size is not given.

    Args:
        gather: takes defaults and missing facts.
        name: id of the branch.
        device: the record.
        plus: node current enters at.
        minus: node it leaves at.
    """
    if device.kind == "diode" or (device.kind == "led" and _is_bare(device)):
        return [_diode(gather, name, device, plus, minus)]
    found = (
        _motor(gather, name, device, plus, minus)
        if device.coasts is not None
        else _plain(gather, name, device, plus, minus)
    )
    if not found and device.kind not in ("capacitor", "socket"):
        gather.lack(name, "watts or amps with volts, or ohms", "its current")
    return found


def _is_bare(device: Device) -> bool:
    """An LED of which only its forward drop is known."""
    return device.amps_a is None and device.watts_w is None


def _plain(gather: Gather, name: str, device: Device, plus: str, minus: str) -> list[Element]:
    volts = device.volts_v if device.volts_v is not None else gather.nominal_v
    rated = 0.0 if device.kind in _UNRATED else volts or 0.0
    amps, watts = _amps_and_watts(device, volts)
    ends = (plus, minus, _owners(name, device))
    one_way = device.polarity
    if device.kind in ("sender", "sensor") and (
        device.empty_ohm is not None or device.full_ohm is not None
    ):
        return _sender(gather, name, device, plus, minus)
    if device.kind == "lamp" and watts and volts:
        if device.volts_v is None:
            gather.take(None, volts, name, "lamp watts taken to hold at {} V")
        if device.exponent is None or device.cold is None:
            gather.assumed.append(Assumed(name, _LAMP_WORDS))
        return [
            Element(
                name,
                "load",
                "lamp",
                *ends,
                ohm=volts**2 / watts,
                volts_v=volts,
                exponent=_or(device.exponent, defaults.LAMP_EXPONENT),
                cold=_or(device.cold, defaults.LAMP_COLD),
                one_way=one_way,
                rated_v=rated,
            )
        ]
    constant = device.kind == "led" or device.min_volts_v is not None
    if constant and volts and (amps or watts):
        least = device.min_volts_v
        if least is None:
            share = round(defaults.LEAST_SHARE * volts, 2)
            least = gather.take(None, share, name, "gives way below {} V (from memory)")
        power = device.watts_w is not None and device.kind != "led"
        return [
            Element(
                name,
                "load",
                "constant power" if power else "constant current",
                *ends,
                watts_w=watts or 0.0,
                amps_a=amps or 0.0,
                min_volts_v=least,
                volts_v=volts,
                one_way=True,
                rated_v=rated,
            )
        ]
    ohms = device.ohms
    if ohms is None and volts and amps:
        ohms = volts / amps
        if device.volts_v is None:
            gather.take(None, volts, name, "its current taken to hold at {} V")
    if ohms is None:
        return []
    ohm = max(ohms, METAL_OHM)
    return [Element(name, "load", "resistance", *ends, ohm=ohm, one_way=one_way, rated_v=rated)]


def _owners(name: str, device: Device) -> tuple[str, ...]:
    """Ids that take the load out when a state says they are open."""
    return tuple(dict.fromkeys((name, device.id)))


def _amps_and_watts(device: Device, volts: float | None) -> tuple[float | None, float | None]:
    amps, watts = device.amps_a, device.watts_w
    if volts:
        if amps is None and watts is not None:
            amps = watts / volts
        elif watts is None and amps is not None:
            watts = amps * volts
        elif device.ohms and device.kind == "lamp" and watts is None:
            watts, amps = volts**2 / device.ohms, volts / device.ohms
    return amps, watts


def _or(value: float | None, default: float) -> float:
    return default if value is None else value


def _sender(gather: Gather, name: str, device: Device, plus: str, minus: str) -> list[Element]:
    """A sender half way, or at the end a state names: `empty` or `full`."""
    ends = {"empty": device.empty_ohm, "full": device.full_ohm}
    known = {mode: ohm for mode, ohm in ends.items() if ohm is not None}
    middle = sum(known.values()) / len(known)
    gather.take(None, middle, name, "sender half way, {} ohm, where a state does not say")
    gather.modes[name] = "half way"
    gather.legal[name] = ("half way", *known)
    return [
        Element(
            name if mode == "half way" else f"{name} {mode}",
            "load",
            "resistance",
            plus,
            minus,
            _owners(name, device),
            ohm=max(ohm, METAL_OHM),
            by=name,
            when=(mode,),
        )
        for mode, ohm in {"half way": middle, **known}.items()
    ]


def _diode(gather: Gather, name: str, device: Device, plus: str, minus: str) -> Element:
    ideality = _or(device.ideality, defaults.DIODE_IDEALITY)
    saturation = device.saturation_a
    forward = device.forward
    if saturation is None and forward is not None and forward.volts_v and forward.at_a:
        ideality = _or(forward.ideality, defaults.DIODE_IDEALITY)
        saturation = forward.at_a / (
            math.exp(forward.volts_v / (ideality * defaults.THERMAL_V)) - 1
        )
    if saturation is None:
        saturation = gather.take(
            None,
            defaults.DIODE_SATURATION_A,
            name,
            "diode of 0.97 V at 1 A (from memory), saturation {} A",
        )
    return Element(
        name,
        "diode",
        "diode",
        plus,
        minus,
        _owners(name, device),
        saturation_a=saturation,
        ideality=ideality,
    )


def _motor(gather: Gather, name: str, device: Device, plus: str, minus: str) -> list[Element]:
    """A motor that may coast: a load while it is driven, a source while something turns it."""
    coasts = device.coasts
    assert coasts is not None
    driven = _plain(gather, name, device, plus, minus)
    gather.modes[name] = "driven"
    gather.legal[name] = ("driven", "coasting", "open")
    inner = coasts.ohms
    if inner is None:
        volts = device.volts_v or gather.nominal_v
        inner = volts / device.amps_a if volts and device.amps_a else None
    result = [replace(e, by=name, when=("driven",)) for e in driven]
    if inner is None:
        gather.lack(name, "ohms under coasts", "what it gives while it coasts")
        return result
    coasting = Element(
        f"{name} coasting",
        "source",
        "source",
        plus,
        minus,
        _owners(name, device),
        ohm=max(inner, METAL_OHM),
        volts_v=coasts.volts_v,
        by=name,
        when=("coasting",),
    )
    return [*result, coasting]
