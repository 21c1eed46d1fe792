"""What the nets of a design serve: circuits found from names, then from fuses, then from units."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Collection, Iterable, Mapping, Sequence

from wiregen.connect import Network, split_node
from wiregen.connect.network import LinkKind
from wiregen.model import Design
from wiregen.model.order import in_order, natural_key

_SHOWN = 3
"""So many circuits are named in the heading of a sheet."""


def net_circuits(design: Design, network: Network) -> dict[int, str]:
    """Return net -> circuit, as `circuit NAME`, `fuse ID` or `at ID`.

    A net with a name is a circuit. The nets behind a fuse, through contacts, belong to the fuse,
    then those on the far side of their loads. What is left, signals and sensor feeds, belongs to
    the unit it ends at. Earths and unfused supplies are no circuit.

    Args:
        design: the design.
        network: from `connect`.
    """
    shared = {net.index for net in network.nets if net.kind == "earth"}
    shared.update(network.net_index[node] for node in network.sources)
    found = {
        net.index: f"circuit {net.name}"
        for net in network.nets
        if net.name and net.index not in shared
    }
    for fuse in in_order(design.fuses):
        index = network.net_index.get(f"{fuse}:out")
        if index is not None and not _feeds_fuses(network, index) and index not in shared:
            found.setdefault(index, f"fuse {fuse}")
    _spread(network, found, shared, ("contact",))
    _spread(network, found, shared, ("contact", "load", "diode"))
    for net in network.nets:
        if net.index not in found and net.index not in shared:
            owner = _main_owner(design, net.nodes)
            if owner:
                found[net.index] = f"at {owner}"
    return found


def _feeds_fuses(network: Network, index: int) -> bool:
    """Tell whether further fuses hang on a net, so that it is the feed of many circuits."""
    return any(
        link.kind == "fuse" and node == link.nodes[0]
        for link, node in network.links_on(network.nets[index].nodes)
    )


def _spread(
    network: Network, found: dict[int, str], shared: Collection[int], kinds: Sequence[LinkKind]
) -> None:
    """Give nets the circuit of those across links of some kinds, the nearest first."""
    queue = deque(found)
    while queue:
        index = queue.popleft()
        for link, node in network.links_on(network.nets[index].nodes):
            if link.kind not in kinds:
                continue
            for other in link.nodes:
                target = network.net_index[other]
                if other != node and target not in found and target not in shared:
                    found[target] = found[index]
                    queue.append(target)


def _main_owner(design: Design, nodes: Iterable[str]) -> str:
    """Return the device a net ends at: a unit before any other, the one with most pins of it."""
    count: dict[str, int] = {}
    for node in nodes:
        owner = split_node(node)[0]
        plug = design.plugs.get(owner)
        device = design.devices.get(plug.of if plug is not None else owner)
        if device is not None:
            count[device.id] = count.get(device.id, 0) + (100 if device.kind == "unit" else 1)
    return min(count, key=lambda name: (-count[name], natural_key(name)), default="")


def circuit_words(design: Design, network: Network, circuit: str) -> str:
    """Return a circuit as a heading says it.

    Args:
        design: the design.
        network: from `connect`.
        circuit: from `net_circuits`.
    """
    kind, _, name = circuit.partition(" ")
    if kind == "circuit":
        return name
    if kind == "fuse":
        return f"{name} {design.fuses[name].title or _fed_words(design, network, name)}".strip()
    return f"{name} {network.titles.get(name, '')}".strip()


def _fed_words(design: Design, network: Network, fuse: str) -> str:
    """Return the titles of what a fuse without a title feeds directly."""
    net = network.net_of(f"{fuse}:out")
    owners = dict.fromkeys(split_node(node)[0] for node in net.nodes) if net else {}
    titles = [design.devices[name].title for name in in_order(owners) if name in design.devices]
    return ", ".join(title for title in titles[:2] if title)


def heading(circuits: Sequence[str], before: str = "") -> str:
    """Return the heading of a sheet: its first circuits, and how many more there are.

    Args:
        circuits: their words, the largest first.
        before: heading the sheet had; circuits it names that are still here are named again.

    Example:
        >>> heading(["glow command", "charge", "horn", "F3 beacon"])
        'Glow command, charge, horn and 1 more'
        >>> heading(["horn", "pump", "charge", "lamp"], "Pump, charge, horn and 2 more")
        'Pump, charge, horn and 1 more'
        >>> heading(["horn"], "Glow command, horn")
        'Horn'
    """
    named = _still_named(circuits, before)
    shown = named or list(circuits[:_SHOWN])
    more = len(circuits) - len(shown)
    words = ", ".join(shown)
    return _capital(f"{words} and {more} more" if more else words)


def _still_named(circuits: Sequence[str], before: str) -> list[str]:
    """Return the circuits an earlier heading named, empty unless all of them are still here."""
    rest = re.sub(r" and \d+ more$", "", before)
    named: list[str] = []
    while rest:
        start = [word for word in circuits if _capital(rest).startswith(_capital(word))]
        if not start:
            return []
        named.append(max(start, key=len))
        rest = rest[len(named[-1]) :]
        if rest and not rest.startswith(", "):
            return []
        rest = rest.removeprefix(", ")
    return named


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def smallest(candidates: Iterable[str], size: Mapping[str, int]) -> str:
    """Return the circuit with fewest members, the one that says most of what belongs to it."""
    return min(candidates, key=lambda name: (size[name], natural_key(name)), default="")
