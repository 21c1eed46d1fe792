"""Where supply and earth can get to, judged without computing anything.

A switch or relay contact is taken as one that can be closed. What leads into a part of the vehicle
that the file does not describe is `open`: of that nothing is claimed.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wiregen.connect import Network
from wiregen.model import Design, Plug

_PASSING = ("fuse", "contact", "diode")


@dataclass(frozen=True, slots=True)
class Feeds:
    """Nets by what can reach them.

    Attributes:
        fused: net -> the lowest net joined to it by metal and fuses alone.
        permanent: those of `fused` that hold the plus side of a source.
        supply: nets that supply can reach.
        earth: nets that earth can reach.
        open: nets that lead into something the file does not describe.
        charging: net of a charge-lamp terminal -> the machine that makes it live when it runs.
    """

    fused: tuple[int, ...]
    permanent: frozenset[int]
    supply: frozenset[int]
    earth: frozenset[int]
    open: frozenset[int]
    charging: Mapping[int, str]

    def is_permanent(self, net: int) -> bool:
        """Tell whether a net is joined to a source by metal and fuses alone."""
        return self.fused[net] in self.permanent


def find_feeds(design: Design, network: Network) -> Feeds:
    """Return what can reach the nets of a design; work grows linearly."""
    fused = _fused(network)
    sources = [network.net_index[node] for node in network.sources]
    earths = [net.index for net in network.nets if net.kind == "earth"]
    plus = [index for index in sources if network.nets[index].kind != "earth"]
    delivered, returned, unknown = _outside(design, network)
    charging = _charging(design, network)
    return Feeds(
        fused=fused,
        permanent=frozenset(fused[index] for index in plus),
        supply=_reach(network, [*plus, *charging, *delivered]),
        earth=_reach(network, [*earths, *returned]),
        open=_reach(network, unknown),
        charging=charging,
    )


def _charging(design: Design, network: Network) -> dict[int, str]:
    """Return net -> machine of the charge-lamp terminals that something is joined to."""
    found: dict[int, str] = {}
    for device in design.devices.values():
        terminal = device.lamp_terminal
        index = network.net_index.get(f"{device.id}:{terminal.at}") if terminal else None
        if index is not None:
            found[index] = device.id
    return found


def _fused(network: Network) -> tuple[int, ...]:
    parent = list(range(len(network.nets)))

    def root(index: int) -> int:
        while parent[index] != index:
            parent[index] = parent[parent[index]]
            index = parent[index]
        return index

    for link in network.links:
        if link.kind == "fuse":
            one, other = (root(network.net_index[node]) for node in link.nodes)
            parent[max(one, other)] = min(one, other)
    return tuple(root(index) for index in range(len(parent)))


def _reach(network: Network, start: Iterable[int]) -> frozenset[int]:
    """Return these nets and all that hang on them through fuses, contacts and diodes.

    Earth nets end the way.
    """
    first = list(dict.fromkeys(start))
    seen = set(first)
    queue = deque(first)
    at_start = set(first)
    while queue:
        index = queue.popleft()
        net = network.nets[index]
        if net.kind == "earth" and index not in at_start:
            continue
        for link, node in network.links_on(net.nodes):
            for other in link.nodes if link.kind in _PASSING else ():
                target = network.net_index[other]
                if other != node and target not in seen:
                    seen.add(target)
                    queue.append(target)
    return frozenset(seen)


def _is_new(design: Design, plug: Plug) -> bool:
    loom = design.looms.get(plug.loom)
    return loom is not None and loom.status == "new"


def _outside(design: Design, network: Network) -> tuple[list[int], list[int], list[int]]:
    """Return the nets that supply is delivered to, earth is delivered to, and open ones.

    A pin of a unit that nothing inside explains may do anything. So may a pin of a loom half
    without a wire: the loom behind it is not in the file.
    """
    delivered: list[int] = []
    returned: list[int] = []
    unknown: list[int] = []
    for net in network.nets:
        for node in net.nodes:
            owner, _, point = node.partition(":")
            plug = design.plugs.get(owner)
            if plug is None:
                continue
            pin = plug.pins.get(point)
            role = pin.role if pin else ""
            if plug.of and (role in ("supply", "earth") or node in network.links_at):
                continue
            if not plug.of and network.wires_on.get(node):
                continue
            if not plug.of and role in ("supply", "earth"):
                (delivered if role == "supply" else returned).append(net.index)
            elif plug.of or (pin is not None and not _is_new(design, plug)):
                unknown.append(net.index)
    return delivered, returned, unknown
