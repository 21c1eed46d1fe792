"""Screens over wires: the pin each is joined to, and where its other end is cut back.

A screen is metal at the potential of its pin. It joins nothing else, so it is no part of a net.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wiregen.connect.halves import node_of, split_node
from wiregen.connect.network import Network
from wiregen.model import Design, Group


@dataclass(frozen=True, slots=True)
class Screen:
    """A screen that is joined to a pin.

    Attributes:
        id: of its group.
        node: where it is joined, on the loom half.
        wires: the wires under it that are not taken out, as written in the group.
        far: the other end of each wire, where the screen is cut back and insulated (common
            practice, no source: a screen is joined at one end only); empty where the wire does
            not tell which end that is.
    """

    id: str
    node: str
    wires: tuple[str, ...]
    far: tuple[str, ...]

    @property
    def over(self) -> str:
        """What it is the screen of: `W19 and W20`."""
        return _listed(self.wires)

    @property
    def cut_back(self) -> str:
        """What is done at its other end."""
        return _cut_back(self.far)

    def at_wire(self, wire: str) -> str:
        """Return where the screen begins and ends on one of its wires, for who makes that."""
        far = self.far[self.wires.index(wire)]
        return f"screen to {self.node}, {_cut_back((far,))}"


def find_screens(design: Design, network: Network) -> tuple[Screen, ...]:
    """Return the screens that are joined to a pin, in order of their groups.

    Args:
        design: the design.
        network: from `connect`.
    """
    found = []
    for group in design.groups.values():
        wires = tuple(
            wire
            for wire in screened_wires(group)
            if wire in design.wires and design.status_of(design.wires[wire]) != "removed"
        )
        if group.screen is not None and wires:
            node = network.halves.wire_node(node_of(group.screen))
            far = tuple(_far(network, wire, node) for wire in wires)
            found.append(Screen(group.id, node, wires, far))
    return tuple(found)


def screens_at(design: Design, network: Network) -> Mapping[str, tuple[Screen, ...]]:
    """Return node -> the screens that are joined there; see `find_screens`."""
    found: dict[str, list[Screen]] = {}
    for screen in find_screens(design, network):
        found.setdefault(screen.node, []).append(screen)
    return {node: tuple(screens) for node, screens in found.items()}


def screened_wires(group: Group) -> tuple[str, ...]:
    """Return the wires under the screen of a group, each once: all of it where none are named."""
    return tuple(dict.fromkeys(group.screened)) or group.wires


def _far(network: Network, wire: str, node: str) -> str:
    """Return the end of a wire away from where its screen is joined, if one end is there."""
    owner = split_node(node)[0]
    ends = zip(network.written[wire], network.ends_of[wire], strict=True)
    far = [written for written, end in ends if split_node(end)[0] != owner]
    return far[0] if len(far) == 1 and len(network.ends_of[wire]) > 1 else ""


def _cut_back(far: tuple[str, ...]) -> str:
    at = _listed(tuple(dict.fromkeys(far))) if all(far) else "the other end"
    return f"cut back and insulated at {at}"


def _listed(names: tuple[str, ...]) -> str:
    """Return names as words.

    Example:
        >>> _listed(("W1", "W2", "W3"))
        'W1, W2 and W3'
    """
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last
