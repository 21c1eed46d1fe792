"""Wires, mated contacts, splices and earth points as resistances."""

from __future__ import annotations

from collections.abc import Iterable

from wiregen.compute.defaults import COPPER_C
from wiregen.compute.elements import METAL_OHM, Element
from wiregen.compute.gather import Gather
from wiregen.connect import Network
from wiregen.connect.joints import fixed_joints, mated_joints, points_used, wire_joints
from wiregen.facts.conductors import ConductorError, at_temperature, resistance
from wiregen.model import Design, Wire


def body_node(kind: str) -> str:
    """Return the node of the metal that earth points of one kind are bolted to."""
    return f"{kind} metal"


def add_metal(gather: Gather, network: Network) -> None:
    """Add everything that is metal: wires with their resistance, the rest as joints."""
    design = gather.design
    points = points_used(network.wires_on)
    used = points_used((*network.wires_on, *network.own_pins))
    for first, second, _ in fixed_joints(design, used, network.own_pins):
        if first not in design.earths or second not in design.earths:
            gather.merged.append((first, second))
    _add_wires(gather, network)
    for first, second, _ in mated_joints(design, network.halves, points):
        owners = (first.partition(":")[0], second.partition(":")[0])
        ohm = _contact_ohm(design, first) + _contact_ohm(design, second)
        joint = max(ohm, METAL_OHM)
        name = f"{first} = {second}"
        gather.elements.append(
            Element(name, "joint", "resistance", first, second, owners, ohm=joint)
        )
    for earth in design.earths.values():
        ohm = max(earth.resistance_ohm or 0.0, METAL_OHM)
        body = body_node(earth.kind)
        gather.elements.append(
            Element(earth.id, "joint", "resistance", earth.id, body, (earth.id,), ohm=ohm)
        )


def _add_wires(gather: Gather, network: Network) -> None:
    design = gather.design
    unknown = False
    for first, second, name in wire_joints(design, network.ends_of):
        wire = design.wires[name]
        ohm = wire_ohm(design, wire, gather)
        unknown = unknown or wire.resistance_ohm is None
        ohm += joint_ohm(design, (first, second))
        gather.elements.append(
            Element(
                name,
                "wire",
                "resistance",
                first,
                second,
                (name,),
                ohm=max(ohm, METAL_OHM),
            )
        )
    if unknown and design.system.ambient_c is None:
        gather.take(None, COPPER_C, "system", "copper at {} degC, ambient not given")


def wire_ohm(design: Design, wire: Wire, gather: Gather) -> float:
    """Return the resistance of a wire in ohm; 0 with a record of what is missing."""
    if wire.resistance_ohm is not None:
        return wire.resistance_ohm
    needs = [
        word for word, fact in (("size", wire.size), ("length", wire.length_mm)) if fact is None
    ]
    if needs or wire.size is None or wire.length_mm is None:
        gather.lack(wire.id, " and ".join(needs), "its voltage drop; counted as 0 ohm")
        return 0.0
    table = design.system.tables.get("conductor", "iec-60228-5")
    try:
        found = resistance(wire.size, table)
    except ConductorError as error:
        gather.lack(wire.id, f"resistance ({error})", "its voltage drop; counted as 0 ohm")
        return 0.0
    ambient = design.system.ambient_c
    copper_c = COPPER_C if ambient is None else ambient
    at_20 = found.mohm_per_m / 1000 * wire.length_mm / 1000
    return at_temperature(at_20, copper_c)


def joint_ohm(design: Design, ends: Iterable[str]) -> float:
    """Return what the splices at a wire's ends add to it, in ohm.

    Each wire at a splice takes half of the joint, so that any way through has all of it.
    """
    splices = (design.splices.get(node) for node in ends)
    return sum((splice.resistance_ohm or 0.0) / 2 for splice in splices if splice)


def _contact_ohm(design: Design, node: str) -> float:
    """Return the resistance of the contact record of a cavity, once for the mated pair."""
    owner, _, point = node.partition(":")
    plug = design.plugs[owner]
    pin = plug.pins.get(point)
    name = (pin.contact if pin else "") or (
        plug.face.cavity.get(point, plug.face.cavity.get("default", "")) if plug.face else ""
    )
    record = design.contacts.get(name or plug.contact)
    return (record.resistance_ohm or 0.0) / 2 if record else 0.0
