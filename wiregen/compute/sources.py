"""Batteries, alternators with their lamp terminal, and outputs of units as branches."""

from __future__ import annotations

from wiregen.compute import defaults
from wiregen.compute.elements import METAL_OHM, Element
from wiregen.compute.gather import Gather
from wiregen.connect import Link
from wiregen.model import Device


def add_source(gather: Gather, link: Link, device: Device) -> None:
    """Add a battery, or an alternator that gives current while it is running."""
    if len(link.nodes) != 2:
        gather.lack(link.id, "minus terminal or case", "everything it feeds")
        return
    if device.kind == "battery":
        _battery(gather, link, device)
    else:
        _alternator(gather, link, device)


def _battery(gather: Gather, link: Link, device: Device) -> None:
    volts = device.volts_v
    if volts is None:
        volts = gather.nominal_v
        if volts is None:
            gather.lack(link.id, "volts", "everything it feeds")
            return
        gather.take(None, volts, link.id, "battery of {} V")
    ohm = gather.take(
        device.resistance_ohm, defaults.BATTERY_OHM, link.id, "battery {} ohm inside (from memory)"
    )
    gather.elements.append(
        Element(
            link.id,
            "source",
            "source",
            link.nodes[0],
            link.nodes[1],
            tuple(dict.fromkeys((link.id, device.id))),
            ohm=max(ohm, METAL_OHM),
            volts_v=volts,
        )
    )


def _alternator(gather: Gather, link: Link, device: Device) -> None:
    volts = device.volts_v
    if volts is None and gather.nominal_v is not None:
        share = round(defaults.ALTERNATOR_SHARE * gather.nominal_v, 2)
        volts = gather.take(None, share, link.id, "charges with {} V (from memory)")
    gather.modes[link.id] = "at rest"
    gather.legal[link.id] = ("running", "at rest")
    if volts is None:
        gather.lack(link.id, "volts", "what it charges")
        return
    ohm = gather.take(
        device.resistance_ohm,
        defaults.ALTERNATOR_OHM,
        link.id,
        "alternator {} ohm inside (from memory)",
    )
    limit = device.amps_a
    if limit is None:
        gather.lack(link.id, "amps", "its current limit; counted as 1000 A")
    gather.elements.append(
        Element(
            link.id,
            "source",
            "regulated source",
            link.nodes[0],
            link.nodes[1],
            (link.id,),
            ohm=max(ohm, METAL_OHM),
            volts_v=volts,
            amps_a=limit or 1000.0,
            by=link.id,
            when=("running",),
        )
    )


def add_terminal(gather: Gather, link: Link, device: Device) -> None:
    """Add the lamp terminal of an alternator: a source while it runs, a sink while it does not."""
    terminal = device.lamp_terminal
    if terminal is None or len(link.nodes) != 2 or link.nodes[0] != f"{device.id}:{terminal.at}":
        if device.kind == "battery":
            gather.lack(link.nodes[0], "a battery for each part of the string", "its voltage")
        return
    name = link.nodes[0]
    volts = terminal.volts_v if terminal.volts_v is not None else device.volts_v
    ohm = gather.take(
        terminal.resistance_ohm,
        defaults.LAMP_TERMINAL_OHM,
        name,
        "lamp terminal {} ohm inside (from memory)",
    )
    if volts is None:
        gather.lack(name, "volts of the lamp terminal", "what it feeds while running")
    else:
        gather.elements.append(
            Element(
                name,
                "source",
                "source",
                link.nodes[0],
                link.nodes[1],
                (device.id,),
                ohm=max(ohm, METAL_OHM),
                volts_v=volts,
                by=device.id,
                when=("running",),
            )
        )
    if terminal.at_rest_ohm is None:
        gather.lack(name, "at_rest of the lamp terminal", "the charge lamp before the start")
        return
    gather.elements.append(
        Element(
            f"{name} at rest",
            "load",
            "resistance",
            link.nodes[0],
            link.nodes[1],
            (device.id,),
            ohm=max(terminal.at_rest_ohm, METAL_OHM),
            by=device.id,
            when=("at rest",),
        )
    )
