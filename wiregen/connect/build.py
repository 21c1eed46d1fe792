"""Make the network of a design."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wiregen.connect.halves import Halves, find_halves, node_name, node_of, split_node
from wiregen.connect.joints import Metal, fixed_joints, mated_joints, points_used, wire_joints
from wiregen.connect.links import find_links, terminals_of
from wiregen.connect.network import CircuitUse, FarEnd, Joint, Link, Net, Network
from wiregen.model import Design, natural_key


def connect(design: Design) -> Network:
    """Join pins, wires, splices, mated plugs, bars, earths and inner links to nets.

    Args:
        design: the design; unknown objects in ends become nodes of their own.

    Returns:
        The network; removed and parked wires join nothing. Work and memory grow linearly.
    """
    halves = find_halves(design)
    ends_of, wires_on = _wire_ends(design, halves)
    wired = tuple(wires_on)
    links = find_links(design, halves, points_used(wired))
    metal = [
        *wire_joints(design, halves),
        *fixed_joints(design, wired),
        *mated_joints(design, halves, wired),
    ]
    nodes = _all_nodes(design, wired, links, metal)
    groups = _group(nodes, metal)
    sources, returns = _live_poles(design, links, groups)
    marks = _Marks(design, frozenset(sources), frozenset(returns))
    wires_in: dict[str, list[str]] = {}
    for first, _, wire in metal:
        if wire:
            wires_in.setdefault(groups[first], []).append(wire)
    nets = _nets(groups, wires_in, marks)
    index = {node: net.index for net in nets for node in net.nodes}
    return Network(
        nets=nets,
        net_index=index,
        links=links,
        links_at=_links_at(links),
        joints=_joints(metal),
        halves=halves,
        wires_on=wires_on,
        ends_of=ends_of,
        far=_far_ends(design, ends_of),
        circuits=_circuits(nets),
        sources=sources,
        returns=returns,
        earth_points=frozenset(design.earths),
    )


def _wire_ends(
    design: Design, halves: Halves
) -> tuple[dict[str, tuple[str, ...]], dict[str, tuple[str, ...]]]:
    """Return wire -> nodes of its ends, and node -> wires that end there (but removed ones)."""
    ends_of: dict[str, tuple[str, ...]] = {}
    wires_on: dict[str, list[str]] = {}
    for wire in design.wires.values():
        nodes = tuple(halves.wire_node(node_of(end)) for end in wire.ends)
        ends_of[wire.id] = nodes
        if design.status_of(wire) != "removed":
            for node in dict.fromkeys(nodes):
                wires_on.setdefault(node, []).append(wire.id)
    return ends_of, {node: tuple(wires) for node, wires in wires_on.items()}


def _all_nodes(
    design: Design, wired: Iterable[str], links: Iterable[Link], metal: Iterable[Metal]
) -> list[str]:
    nodes = [
        node_name(plug.id, pin.name)
        for plug in design.plugs.values()
        for pin in plug.pins.values()
        if pin.state in ("used", "reserved")
    ]
    nodes += [*design.splices, *design.earths, *wired]
    nodes += [node for link in links for node in link.nodes]
    nodes += [node for first, second, _ in metal for node in (first, second)]
    for device in design.devices.values():
        nodes += [node_name(device.id, name) for name in terminals_of(device)]
    return list(dict.fromkeys(nodes))


def _group(nodes: Iterable[str], metal: Iterable[Metal]) -> dict[str, str]:
    """Return node -> representative of its net (union-find with path halving)."""
    parent = {node: node for node in nodes}

    def root(node: str) -> str:
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    for first, second, _ in metal:
        one, other = root(first), root(second)
        if one != other:
            parent[other] = one
    return {node: root(node) for node in parent}


def _live_poles(
    design: Design, links: Iterable[Link], groups: Mapping[str, str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the live and the return poles: plus and minus, unless plus is earthed."""
    earthed = {groups[earth] for earth in design.earths}
    live: dict[str, None] = {}
    back: dict[str, None] = {}
    for link in links:
        if link.kind == "source":
            plus, *minus = link.nodes
            swap = minus and groups[plus] in earthed and groups[minus[0]] not in earthed
            poles = (minus[0], plus) if swap else link.nodes
            live[poles[0]] = None
            back.update(dict.fromkeys(poles[1:]))
    return tuple(live), tuple(back)


class _Marks:
    """What gives a net its kind and its names."""

    def __init__(self, design: Design, sources: frozenset[str], returns: frozenset[str]) -> None:
        self.design = design
        self.sources = sources
        self.returns = returns

    def of(self, nodes: tuple[str, ...]) -> tuple[str, tuple[CircuitUse, ...]]:
        """Return kind and circuit names of a net with these nodes."""
        roles: set[str] = set()
        circuits: list[CircuitUse] = []
        earth = False
        for node in nodes:
            owner, point = split_node(node)
            earth = earth or owner in self.design.earths or node in self.returns
            if node in self.sources:
                roles.add("supply")
            plug = self.design.plugs.get(owner)
            pin = plug.pins.get(point) if plug else None
            if pin is not None:
                roles.add(pin.role)
                if pin.circuit:
                    circuits.append(CircuitUse(pin.circuit, node, pin.origin.at("circuit")))
        if earth:
            return "earth", tuple(circuits)
        order = ("supply", "sensor return", "screen", "earth")
        return next((word for word in order if word in roles), ""), tuple(circuits)


def _nets(
    groups: Mapping[str, str], wires_in: Mapping[str, list[str]], marks: _Marks
) -> tuple[Net, ...]:
    members: dict[str, list[str]] = {}
    for node in sorted(groups, key=natural_key):
        members.setdefault(groups[node], []).append(node)
    nets = []
    for index, (group, nodes) in enumerate(members.items()):
        kind, circuits = marks.of(tuple(nodes))
        wires = tuple(wires_in.get(group, ()))
        nets.append(Net(index, tuple(nodes), wires, circuits, kind))
    return tuple(nets)


def _links_at(links: tuple[Link, ...]) -> dict[str, tuple[int, ...]]:
    found: dict[str, list[int]] = {}
    for place, link in enumerate(links):
        for node in dict.fromkeys(link.nodes):
            found.setdefault(node, []).append(place)
    return {node: tuple(places) for node, places in found.items()}


def _joints(metal: Iterable[Metal]) -> dict[str, tuple[Joint, ...]]:
    found: dict[str, list[Joint]] = {}
    for first, second, wire in metal:
        found.setdefault(first, []).append(Joint(second, wire))
        found.setdefault(second, []).append(Joint(first, wire))
    return {node: tuple(joints) for node, joints in found.items()}


def _far_ends(
    design: Design, ends_of: Mapping[str, tuple[str, ...]]
) -> dict[tuple[str, str], FarEnd]:
    far: dict[tuple[str, str], FarEnd] = {}
    for wire in design.wires.values():
        nodes = ends_of[wire.id]
        if len(nodes) == 1:
            far[nodes[0], wire.id] = FarEnd(wire.id, "", wire.fate)
        elif len(nodes) == 2:
            for here, end in zip(nodes, reversed(wire.ends), strict=True):
                far[here, wire.id] = FarEnd(wire.id, node_of(end), _title(design, end.owner))
    return far


def _title(design: Design, owner: str) -> str:
    sections = (
        design.plugs,
        design.devices,
        design.fuses,
        design.splices,
        design.earths,
        design.boxes,
    )
    for section in sections:
        if owner in section:
            return str(getattr(section[owner], "title", ""))
    return ""


def _circuits(nets: Iterable[Net]) -> dict[str, tuple[int, ...]]:
    found: dict[str, list[int]] = {}
    for net in nets:
        for name in dict.fromkeys(use.name for use in net.circuits):
            found.setdefault(name, []).append(net.index)
    return {name: tuple(found[name]) for name in sorted(found, key=natural_key)}
