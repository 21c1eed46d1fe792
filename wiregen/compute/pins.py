"""Outputs and inputs of units, as their pins declare them."""

from __future__ import annotations

from wiregen.compute import defaults
from wiregen.compute.elements import METAL_OHM, Element
from wiregen.compute.gather import Gather
from wiregen.connect import Network, node_name
from wiregen.model import Design, Pin, Plug

_TO_EARTH = ("low side", "open collector")


def add_pins(gather: Gather, network: Network, zero: str) -> None:
    """Add the drivers, pull-ups and input resistances of all pins.

    Args:
        gather: takes the branches.
        network: of the design.
        zero: node of 0 V, the return where a unit has no earth pin.
    """
    design = gather.design
    rails = _unit_rails(design, network)
    for plug in design.plugs.values():
        for pin in plug.pins.values():
            node = node_name(plug.id, pin.name)
            if plug.of:
                supply, earth = rails.get(plug.of, ("", ""))
            elif _told_by_mate(design, network, plug, pin):
                continue
            else:
                supply, earth = "", ""
            if pin.drives or pin.role == "output":
                _driver(gather, plug, pin, supply, earth or zero)
            if pin.pull_up_ohm is not None:
                _pull_up(gather, node, (pin.pull_up_ohm, pin.pull_up_v), supply, earth or zero)
            if pin.accepts is not None:
                _input(gather, node, pin, supply, earth or zero)


def _told_by_mate(design: Design, network: Network, plug: Plug, pin: Pin) -> bool:
    """Tell whether the half built into a device records the pin as well; that one counts."""
    mate = design.plugs.get(network.mate(plug.id) or "")
    return mate is not None and bool(mate.of) and pin.name in mate.pins


def _unit_rails(design: Design, network: Network) -> dict[str, tuple[str, str]]:
    """Return unit -> its first supply and its first earth node."""
    supply: dict[str, str] = {}
    earth: dict[str, str] = {}
    for plug in design.plugs.values():
        mate = design.plugs.get(network.mate(plug.id) or "")
        for name in dict.fromkeys([*plug.pins, *(mate.pins if mate else ())]) if plug.of else ():
            pins = (plug.pins.get(name), mate.pins.get(name) if mate else None)
            role = next((pin.role for pin in pins if pin is not None and pin.role), "")
            if role == "supply":
                supply.setdefault(plug.of, node_name(plug.id, name))
            elif role == "earth":
                earth.setdefault(plug.of, node_name(plug.id, name))
    for device in design.devices.values():
        if device.case:
            earth.setdefault(device.id, node_name(device.id, "case"))
    return {unit: (supply.get(unit, ""), earth.get(unit, "")) for unit in {**supply, **earth}}


def _driver(gather: Gather, plug: Plug, pin: Pin, supply: str, earth: str) -> None:
    node = node_name(plug.id, pin.name)
    gather.modes[node] = "off"
    gather.legal[node] = ("on", "off")
    if _told_inside(gather.design, plug, node):
        return
    if not pin.drives:
        gather.lack(node, "drives", "what the output does when it is on")
        return
    ohm = gather.take(
        pin.resistance_ohm, defaults.DRIVER_OHM, node, "output that is on {} ohm (from memory)"
    )
    ohm = max(ohm, METAL_OHM)
    owners = (node, plug.of or plug.id)
    if pin.drives in (*_TO_EARTH, "push-pull"):
        low = pin.drives in _TO_EARTH
        when, name = (("on",), node) if low else (("off",), f"{node} low")
        gather.elements.append(
            Element(name, "driver", "resistance", node, earth, owners, ohm, by=node, when=when)
        )
    if pin.drives in ("high side", "push-pull", "contact"):
        if supply:
            gather.elements.append(
                Element(
                    node, "driver", "resistance", supply, node, owners, ohm, by=node, when=("on",)
                )
            )
        elif not plug.of and gather.nominal_v is not None:
            volts = pin.volts_v if pin.volts_v is not None else gather.nominal_v
            gather.take(None, volts, node, "output of a unit that is not in the file gives {} V")
            gather.elements.append(
                Element(
                    node,
                    "source",
                    "source",
                    node,
                    earth,
                    owners,
                    ohm,
                    volts_v=volts,
                    by=node,
                    when=("on",),
                )
            )
        else:
            gather.lack(node, "a supply pin of its unit", "what the output feeds when it is on")


def _told_inside(design: Design, plug: Plug, node: str) -> bool:
    """Tell whether a part inside the unit already says what this output does."""
    unit = design.devices.get(plug.of)
    parts = unit.inside.values() if unit else ()
    return any(
        end is not None and node_name(end.owner, end.point) == node
        for part in parts
        for end in (part.start, part.end)
    )


def _input(gather: Gather, node: str, pin: Pin, supply: str, earth: str) -> None:
    accepts = pin.accepts
    if accepts is None:
        return
    if accepts.ohms is not None:
        gather.elements.append(
            Element(
                f"{node} input",
                "load",
                "resistance",
                node,
                earth,
                (node,),
                max(accepts.ohms, METAL_OHM),
            )
        )
    if accepts.pull_up_ohm is not None:
        _pull_up(gather, node, (accepts.pull_up_ohm, accepts.pull_up_v), supply, earth)


def _pull_up(
    gather: Gather, node: str, fitted: tuple[float, float | None], supply: str, earth: str
) -> None:
    """A resistor to a voltage of its own, or to the supply of the unit."""
    ohm, volts = fitted
    name = f"{node} pull-up"
    if volts is not None:
        gather.elements.append(
            Element(name, "driver", "source", node, earth, (node,), max(ohm, METAL_OHM), volts)
        )
    elif supply:
        gather.elements.append(
            Element(name, "driver", "resistance", supply, node, (node,), max(ohm, METAL_OHM))
        )
    else:
        gather.lack(node, "volts of the pull-up", "its level")
