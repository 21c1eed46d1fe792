"""Ends: every wire leads on, every pin that is needed has a wire."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from wiregen.check.known import cavities_of, mate_of, pin_at, terminals, title
from wiregen.check.rule import Found, Rule, Scene
from wiregen.connect import node_of
from wiregen.model import Device, Pin, Plug


def dead_end(scene: Scene) -> Iterator[Found]:
    """A wire leads to a splice, a bar or a cavity from which nothing leads on."""
    for wire in scene.design.wires.values():
        nodes = scene.network.ends_of[wire.id]
        if len(nodes) < 2 or wire.fate or scene.design.status_of(wire) == "removed":
            continue
        for end, node in zip(wire.ends, nodes, strict=True):
            reason = _dead(scene, node, wire.id)
            if reason:
                yield Found(f"{wire.id} ends at {node}, {reason}", end.span, (wire.id, node))


def _dead(scene: Scene, node: str, wire: str) -> str:
    """Return why nothing leads on from a node, empty when something does."""
    network, design = scene.network, scene.design
    owner, _, point = node.partition(":")
    if owner in design.splices:
        alone = all(joint.wire == wire for joint in network.joints.get(node, ()))
        return "a splice with no other wire" if alone else ""
    device = design.devices.get(owner)
    if device is not None and device.kind == "bus bar":
        return "" if len(_bar_wires(scene, owner)) > 1 else "a bus bar with no other wire"
    plug = design.plugs.get(owner)
    mate = mate_of(design, network, owner) if plug is not None and not plug.of else None
    if plug is None or point not in cavities_of(scene, owner):
        return ""
    if mate is None or len(network.wires_on.get(node, ())) > 1:
        return ""
    known = mate.pins.get(point)
    if known is not None or not mate.pins or network.wires_at(f"{mate.id}:{point}") or mate.of:
        return ""
    if point in plug.pins or not _wired(scene, mate):
        return ""
    return f"and nothing leads on from {mate.id}:{point}"


def _bar_wires(scene: Scene, owner: str) -> list[str]:
    """Return two wires of a bus bar, or the only one."""
    net = scene.network.net_of(owner)
    nodes = (n for n in (net.nodes if net else ()) if n.partition(":")[0] == owner)
    return list(islice((w for n in nodes for w in scene.network.wires_on.get(n, ())), 2))


def _wired(scene: Scene, plug: Plug) -> bool:
    return any(scene.network.wires_at(f"{plug.id}:{name}") for name in plug.pins)


def needed_pin(scene: Scene) -> Iterator[Found]:
    """A pin that must be connected has no wire."""
    design, network = scene.design, scene.network
    for plug in design.plugs.values():
        if not plug.of or not _wired(scene, plug):
            continue
        for name in plug.pins:
            node = f"{plug.id}:{name}"
            pin = pin_at(design, network, node)
            if pin is None or pin.state != "used" or pin.use == "spare" or not _needed(pin):
                continue
            net = network.net_of(node)
            if net is not None and net.wires:
                continue
            yield Found(
                f"{node} ({_words(pin)}) must be connected, but no wire leads to it",
                pin.origin.span,
                (node,),
                group=plug.id,
                summary=f"{title(design.plugs, plug.id)}: {{count}} pins must be connected, "
                "but no wire leads to them: {members}",
                member=f"{name} ({_words(pin)})",
            )


def no_terminal(scene: Scene) -> Iterator[Found]:
    """A wired cavity of a device's own plug is none of the terminals of the device."""
    design, network = scene.design, scene.network
    joined = frozenset(network.own_pins.values())
    for plug in design.plugs.values():
        device = design.devices.get(plug.of)
        if device is None or device.kind == "unit":
            continue
        inside = _inside(device)
        for name in cavities_of(scene, plug.id):
            node = f"{plug.id}:{name}"
            if node in joined or node in inside or not network.wires_at(node):
                continue
            known = terminals(design, device.id)
            reason = (
                f"two plugs of {device.id} have a cavity {name}"
                if f"{device.id}:{name}" in network.net_index or not known
                else f"{device.id} has the terminals {', '.join(known)}"
            )
            pin = plug.pins.get(name)
            yield Found(
                f"{node} is in the plug of {device.id}, but leads to nothing inside: {reason}",
                pin.origin.span if pin else plug.origin.at("of"),
                (node, device.id),
                group=plug.id,
                summary=f"{title(design.plugs, plug.id)}: {{count}} wired cavities lead to nothing "
                f"inside {device.id}: {{members}}; {reason}",
                member=name,
            )


def _inside(device: Device) -> frozenset[str]:
    """Return the nodes that parts inside a device end at."""
    ends = (end for part in device.inside.values() for end in (part.start, part.end, *part.join))
    return frozenset(node_of(end) for end in ends if end is not None)


def _needed(pin: Pin) -> bool:
    return bool(pin.role in ("supply", "earth") or pin.needs or pin.without)


def _words(pin: Pin) -> str:
    return pin.carries or pin.role or pin.without or "needed"


RULES = (
    Rule(
        code="NET105",
        name="dead end",
        title="A wire leads to a splice, a bar or a cavity from which nothing leads on",
        severity="warning",
        why="Something behind it does not work, or the live end is forgotten in the loom.",
        fix="Add the wire that leads on, or give the wire a fate",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=dead_end,
    ),
    Rule(
        code="NET106",
        name="needed pin not wired",
        title="A pin that must be connected has no wire",
        severity="warning",
        why="The unit stays dead, or works until it needs that pin: earths and supplies in "
        "parallel share the current only if all are wired.",
        fix="Wire the pin, or write 'use: spare' if the unit does without it",
        source="common practice, no source",
        needs="role, needs or without of the pins",
        since="0.1",
        run=needed_pin,
    ),
    Rule(
        code="NET130",
        name="plug leads to no terminal",
        title="A cavity of a device's own plug is none of its terminals",
        severity="warning",
        why="Nothing can be computed through the device, and nobody can tell which pin is which.",
        fix="Name the terminals as the cavities of the plug are marked, "
        "or say with 'inside' what lies between the pins",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=no_terminal,
    ),
)
