"""Fuses, contacts, loads, diodes and sources as branches, from the links of the network."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from wiregen.compute import defaults
from wiregen.compute.elements import METAL_OHM, Assumed, Element, Pull
from wiregen.compute.gather import Gather, nominal_of
from wiregen.compute.loads import load_element
from wiregen.compute.sources import add_source, add_terminal
from wiregen.connect import Link, Network
from wiregen.facts.fuse_curves import cold_resistance
from wiregen.model import Coil, Design, Device


def add_parts(gather: Gather, network: Network) -> None:
    """Add a branch for every link of the network."""
    contacts: dict[str, int] = {}
    loads = {link.id for link in network.links if link.kind == "load"}
    for link in network.links:
        if link.kind == "contact":
            contacts[link.id] = contacts.get(link.id, 0) + 1
    makers: dict[str, Callable[[Gather, Link, Device], None]] = {
        "load": _load,
        "diode": _load,
        "source": add_source,
    }
    for link in network.links:
        if link.kind == "fuse":
            _fuse(gather, link)
        elif link.kind == "contact":
            device = record_of(gather.design, link)
            _contact(gather, link, device, contacts[link.id] == 1)
            if device.kind == "relay" and link.id not in loads:
                needs = "coil, as 'coil: {from: 86, to: 85, ohms: 85}'"
                gather.lack(link.id, needs, "whether it pulls in; counted as at rest")
        else:
            makers[link.kind](gather, link, record_of(gather.design, link))


def record_of(design: Design, link: Link) -> Device:
    """Return the device a link is made from, or the part inside a unit."""
    device = design.devices[link.device]
    return device if link.id == link.device else device.inside[link.id[len(link.device) + 1 :]]


def _fuse(gather: Gather, link: Link) -> None:
    fuse = gather.design.fuses[link.id]
    ohm = fuse.resistance_ohm
    if ohm is None and fuse.rating_a is not None:
        row = cold_resistance(fuse.style, fuse.rating_a)
        ohm = row.ohm if row else None
        if row:
            gather.take(None, row.ohm, fuse.id, f"fuse {{}} ohm cold, by table ({row.status})")
    if ohm is None:
        gather.lack(fuse.id, "resistance", "its voltage drop; counted as 0 ohm")
    gather.elements.append(
        Element(
            fuse.id,
            "fuse",
            "resistance",
            link.nodes[0],
            link.nodes[1],
            (fuse.id,),
            ohm=max(ohm or 0.0, METAL_OHM),
        )
    )


def _contact(gather: Gather, link: Link, device: Device, alone: bool) -> None:
    if len(link.nodes) != 2:
        gather.lack(link.id, "positions, or rest and pulled", "what it joins; counted as open")
        return
    name = link.id
    if not alone or device.kind == "relay":
        name = f"{link.id}:{_point(link.nodes[0])}-{_point(link.nodes[1])}"
    when = link.when
    if device.positions:
        gather.modes[link.id] = next(iter(device.positions))
        gather.legal[link.id] = tuple(device.positions)
    elif device.kind == "relay":
        gather.legal[link.id] = ("at rest", "pulled in")
        if not (device.rest or device.pulled):
            words = "contacts by the terminal numbers of DIN 72552"
            gather.assumed.append(Assumed(link.id, words))
    else:
        gather.closed_in[link.id] = device.closed_in
        gather.modes[link.id] = "closed" if device.kind == "flasher" else "open"
        gather.legal[link.id] = ("closed", "open", "on", "off")
        when = ("closed", "on")
    ohm = device.resistance_ohm
    if ohm is None:
        ohm = gather.take(
            None, defaults.CONTACT_OHM, link.id, "closed contact {} ohm (from memory)"
        )
    gather.elements.append(
        Element(
            name,
            "contact",
            "resistance",
            link.nodes[0],
            link.nodes[1],
            (link.id,),
            ohm=max(ohm, METAL_OHM),
            by=link.id,
            when=when,
        )
    )


def _point(node: str) -> str:
    return node.partition(":")[2]


def _load(gather: Gather, link: Link, device: Device) -> None:
    if device.kind in ("battery", "alternator"):
        add_terminal(gather, link, device)
    elif device.kind == "relay":
        _coil(gather, link, device)
    elif device.use == "starter" and len(link.nodes) == 3:
        _starter(gather, link, device)
    else:
        nodes = _two_nodes(gather, link, device)
        if nodes is not None:
            gather.elements.extend(load_element(gather, link.id, device, *nodes))


def _two_nodes(gather: Gather, link: Link, device: Device) -> tuple[str, str] | None:
    """Return plus and minus node of a load, None with a record when they are not said."""
    if link.id == link.device and device.start is not None and device.end is not None:
        return f"{device.id}:{device.start.point}", f"{device.id}:{device.end.point}"
    if device.kind == "unit" and {device.watts_w, device.amps_a, device.ohms} == {None}:
        if not device.inside:
            gather.lack(link.id, "watts and volts, or parts inside it", "its current")
        return None
    if len(link.nodes) == 2:
        return link.nodes[0], link.nodes[1]
    if len(link.nodes) == 1:
        gather.lack(link.id, "second terminal or case", "its current")
    elif device.kind == "unit":
        gather.lack(link.id, "parts inside it", "which supply pin takes its current")
    else:
        gather.lack(link.id, "from and to, or a part for each pair", "its current")
    return None


def _coil(gather: Gather, link: Link, device: Device) -> None:
    """A relay coil with what is fitted across it, and the voltages it switches at."""
    coil = device.coil
    if coil is None:
        coil = Coil(_point(link.nodes[0]), _point(link.nodes[1]))
        words = f"coil from {coil.start} to {coil.end} by the terminal numbers of DIN 72552"
        gather.assumed.append(Assumed(link.id, words))
    plus, minus = link.nodes
    if coil.plus == coil.end:
        plus, minus = minus, plus
    name = f"{link.id}:{coil.start}-{coil.end}"
    rated = device.volts_v or gather.nominal_v or 12.0
    ohms = _coil_ohms(gather, link.id, coil, rated)
    base = Element(
        name,
        "coil",
        "resistance",
        link.nodes[0],
        link.nodes[1],
        (link.id,),
        ohm=ohms,
        rated_v=rated,
    )
    gather.elements.append(base)
    if coil.suppression == "resistor" and coil.suppression_ohms is not None:
        gather.elements.append(replace(base, id=f"{name} resistor", ohm=coil.suppression_ohms))
    if coil.suppression == "diode" and coil.plus:
        gather.elements.append(
            Element(
                f"{link.id} diode",
                "diode",
                "diode",
                minus,
                plus,
                (link.id,),
                saturation_a=defaults.DIODE_SATURATION_A,
                ideality=defaults.DIODE_IDEALITY,
            )
        )
    elif coil.suppression == "diode":
        gather.lack(link.id, "plus of the coil", "whether its diode is the right way round")
    _pull(gather, link.id, device, (link.nodes[0], link.nodes[1]), rated)


def _coil_ohms(gather: Gather, name: str, coil: Coil, rated_v: float) -> float:
    usual = defaults.COIL_OHM.get(nominal_of(rated_v))
    if usual is not None:
        words = f"coil of {{}} ohm, usual at {nominal_of(rated_v):g} V (relay data sheets)"
        return gather.take(coil.ohms, usual, name, words)
    if coil.ohms is None:
        gather.lack(name, "coil ohms", "its coil current; counted as 1 Mohm")
    return coil.ohms or 1e6


def _pull(gather: Gather, name: str, device: Device, coil: tuple[str, str], rated_v: float) -> None:
    pick = round(defaults.PULLS_IN_SHARE * rated_v, 2)
    drop = round(defaults.DROPS_OUT_SHARE * rated_v, 2)
    pulls_in = gather.take(
        device.pulls_in_v,
        pick,
        name,
        f"pulls in at {{}} V ({defaults.PULLS_IN_SHARE:.0%} of its volts)",
    )
    drops_out = gather.take(
        device.drops_out_v,
        min(drop, pulls_in),
        name,
        f"drops out below {{}} V ({defaults.DROPS_OUT_SHARE:.0%} of its volts)",
    )
    gather.pulls.append(Pull(name, *coil, pulls_in, min(drops_out, pulls_in)))


def _starter(gather: Gather, link: Link, device: Device) -> None:
    """A starter with a solenoid terminal: the motor is on while the solenoid is fed."""
    command = next((n for n in link.nodes if _point(n) in ("50", "50b", "S")), "")
    rest = [n for n in link.nodes if n != command]
    if not command:
        gather.lack(link.id, "terminal 50", "when the starter turns")
        return
    for element in load_element(gather, link.id, device, *rest):
        switched = replace(element, by=f"{link.id} solenoid", when=("pulled in",))
        gather.elements.append(switched)
    solenoid = f"{link.id} solenoid"
    rated = device.volts_v or gather.nominal_v or 12.0
    if device.coil is not None and device.coil.ohms is not None:
        ends = (f"{link.id}:{device.coil.start}", f"{link.id}:{device.coil.end}")
        winding = Element(
            f"{solenoid} coil",
            "coil",
            "resistance",
            *ends,
            (link.id,),
            ohm=device.coil.ohms,
            rated_v=rated,
        )
        gather.elements.append(winding)
    else:
        gather.lack(f"{link.id}:{_point(command)}", "a coil for its solenoid", "solenoid current")
    _pull(gather, solenoid, device, (command, rest[1]), rated)
