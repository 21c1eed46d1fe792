"""Make the network of a design."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from wiregen.connect.halves import (
    Halves,
    find_halves,
    node_name,
    node_of,
    nodes_in_order,
)
from wiregen.connect.joints import (
    Metal,
    find_own_pins,
    fixed_joints,
    mated_joints,
    points_used,
    wire_joints,
)
from wiregen.connect.links import find_links, terminals_of
from wiregen.connect.network import CircuitUse, Joint, Link, Net, Network
from wiregen.model import Design, natural_key

_KINDS = ("supply", "sensor return", "screen", "earth")


def connect(design: Design) -> Network:
    """Join pins, wires, splices, mated plugs, bars, earths and inner links to nets.

    Args:
        design: the design; unknown objects in ends become nodes of their own.

    Returns:
        The network; removed and parked wires join nothing. Work and memory grow linearly.
    """
    halves = find_halves(design)
    ends_of, written, wires_on = _wire_ends(design, halves)
    wired = tuple(dict.fromkeys((*wires_on, *_screen_pins(design, halves))))
    points = points_used(wired)
    own_pins = find_own_pins(design, halves, points)
    used = points_used((*wired, *own_pins))
    links = find_links(design, halves, used)
    metal = [
        *wire_joints(design, ends_of),
        *fixed_joints(design, used, own_pins),
        *mated_joints(design, halves, points),
    ]
    nodes = _all_nodes(design, wired, links, metal)
    groups = _group(nodes, metal)
    sources, returns = _live_poles(design, links, groups)
    wires_in: dict[str, list[str]] = {}
    for first, _, wire in metal:
        if wire:
            wires_in.setdefault(groups[first], []).append(wire)
    nets = _nets(groups, wires_in, _Marks(design, sources, returns))
    index = {node: net.index for net in nets for node in net.nodes}
    return Network(
        nets=nets,
        net_index=index,
        links=links,
        links_at=_links_at(links),
        joints=_joints(metal),
        halves=halves,
        own_pins=own_pins,
        wires_on=wires_on,
        ends_of=ends_of,
        written=written,
        titles=_titles(design),
        fates={wire.id: wire.fate for wire in design.wires.values() if wire.fate},
        circuits=_circuits(nets),
        sources=sources,
        returns=returns,
        earth_points=frozenset(design.earths),
        bus_bars=frozenset(d.id for d in design.devices.values() if d.kind == "bus bar"),
    )


_Ends = dict[str, tuple[str, ...]]


def _wire_ends(design: Design, halves: Halves) -> tuple[_Ends, _Ends, _Ends]:
    """Return the nodes each wire ends on, its ends as written, and the wires on each node.

    Removed wires end nowhere, but their ends are known.
    """
    ends_of: _Ends = {}
    written: _Ends = {}
    wires_on: dict[str, list[str]] = {}
    for wire in design.wires.values():
        ends = tuple(node_of(end) for end in (wire.start, wire.end) if end is not None)
        nodes = tuple(halves.wire_node(end) for end in ends)
        written[wire.id] = ends
        ends_of[wire.id] = nodes
        if design.status_of(wire) != "removed":
            for node in nodes if len(nodes) < 2 or nodes[0] != nodes[1] else nodes[:1]:
                wires_on.setdefault(node, []).append(wire.id)
    return ends_of, written, {node: tuple(wires) for node, wires in wires_on.items()}


def _screen_pins(design: Design, halves: Halves) -> Iterator[str]:
    """Yield the pins that screens are joined to: a contact sits there, with or without a wire."""
    for group in design.groups.values():
        if group.screen is not None:
            yield halves.wire_node(node_of(group.screen))


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
    """Return the live and the return poles: plus and minus, unless plus is earthed.

    A minus that another source's plus is joined to is the middle of a string, no return.
    """
    earthed = {groups[earth] for earth in design.earths}
    live: dict[str, None] = {}
    back: dict[str, str] = {}
    for link in links:
        if link.kind == "source":
            plus, *minus = link.nodes
            swap = minus and groups[plus] in earthed and groups[minus[0]] not in earthed
            poles = (minus[0], plus) if swap else link.nodes
            live[poles[0]] = None
            back.update(dict.fromkeys(poles[1:], poles[0]))
    live_in: dict[str, set[str]] = {}
    for pole in live:
        live_in.setdefault(groups[pole], set()).add(pole)
    returns = (
        node
        for node, plus in back.items()
        if groups[node] in earthed or not live_in.get(groups[node], set()) - {plus}
    )
    return tuple(live), tuple(returns)


class _Marks:
    """What gives a net its kind and its names: earths, poles of sources, and pins that say so."""

    def __init__(self, design: Design, sources: Iterable[str], returns: Iterable[str]) -> None:
        self._words: dict[str, str] = dict.fromkeys([*design.earths, *returns], "earth point")
        self._words.update(dict.fromkeys(sources, "supply"))
        self._uses: dict[str, CircuitUse] = {}
        for plug in design.plugs.values():
            for pin in plug.pins.values():
                node = node_name(plug.id, pin.name)
                if pin.role:
                    self._words.setdefault(node, pin.role)
                if pin.circuit:
                    use = CircuitUse(pin.circuit, node, pin.origin.at("circuit"))
                    self._uses[node] = use

    def of(self, nodes: Iterable[str]) -> tuple[str, tuple[CircuitUse, ...]]:
        """Return kind and circuit names of a net with these nodes."""
        words = {self._words[node] for node in nodes if node in self._words}
        uses = tuple(self._uses[node] for node in nodes if node in self._uses)
        if "earth point" in words:
            return "earth", uses
        return next((word for word in _KINDS if word in words), ""), uses


def _nets(
    groups: Mapping[str, str], wires_in: Mapping[str, list[str]], marks: _Marks
) -> tuple[Net, ...]:
    members: dict[str, list[str]] = {}
    for node in nodes_in_order(groups):
        members.setdefault(groups[node], []).append(node)
    nets = []
    for index, (group, nodes) in enumerate(members.items()):
        kind, circuits = marks.of(nodes)
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


def _titles(design: Design) -> dict[str, str]:
    """Return the title of everything a wire can end at."""
    titles = {box.id: box.title for box in design.boxes.values()}
    titles.update({earth.id: earth.title for earth in design.earths.values()})
    titles.update({splice.id: splice.title for splice in design.splices.values()})
    titles.update({fuse.id: fuse.title for fuse in design.fuses.values()})
    titles.update({device.id: device.title for device in design.devices.values()})
    titles.update({plug.id: plug.title for plug in design.plugs.values()})
    return titles


def _circuits(nets: Iterable[Net]) -> dict[str, tuple[int, ...]]:
    found: dict[str, list[int]] = {}
    for net in nets:
        for name in dict.fromkeys(use.name for use in net.circuits):
            found.setdefault(name, []).append(net.index)
    return {name: tuple(found[name]) for name in sorted(found, key=natural_key)}
