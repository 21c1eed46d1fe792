"""Nodes: the text that names a pin, a terminal, a splice or an earth, and the half it is on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from wiregen.model import Design, End, natural_key


def node_name(owner: str, point: str = "") -> str:
    """Return the node of a cavity or terminal.

    Example:
        >>> node_name("X1", "3"), node_name("J1")
        ('X1:3', 'J1')
    """
    return f"{owner}:{point}" if point else owner


def node_of(end: End) -> str:
    """Return the node an end points at, without the spaces its text may have."""
    return node_name(end.owner, end.point)


def nodes_in_order(nodes: Iterable[str]) -> list[str]:
    """Return nodes in natural order of their owner, then of their cavity or terminal.

    Example:
        >>> nodes_in_order(["X10:1", "X2:10", "X2:9", "J1"])
        ['J1', 'X2:9', 'X2:10', 'X10:1']
    """
    key = lru_cache(maxsize=None)(natural_key)
    parted = [(*split_node(node), node) for node in nodes]
    parted.sort(key=lambda parts: (key(parts[0]), key(parts[1])))
    return [node for _, _, node in parted]


def split_node(node: str) -> tuple[str, str]:
    """Return owner and point of a node; ids hold no colon, so the first one parts them.

    Example:
        >>> split_node("X1:3"), split_node("J1")
        (('X1', '3'), ('J1', ''))
    """
    owner, _, point = node.partition(":")
    return owner, point


@dataclass(frozen=True, slots=True)
class Halves:
    """Which plug pushes into which.

    Attributes:
        mates: plug -> the half it pushes into, said on either half; always in pairs.
        built_in: plugs that are built into a device.
    """

    mates: Mapping[str, str]
    built_in: frozenset[str]

    def loom_half(self, plug_id: str) -> str | None:
        """Return the half that wires meant for this plug end on.

        Returns:
            The plug itself unless it is built into a device; then the loom half that pushes into
            it, or None when nobody recorded that half.
        """
        if plug_id not in self.built_in:
            return plug_id
        other = self.mates.get(plug_id)
        return other if other is not None and other not in self.built_in else None

    def wire_node(self, node: str) -> str:
        """Return where a wire written against this node ends: on the loom half if it is known."""
        owner, point = split_node(node)
        half = self.loom_half(owner) if owner in self.built_in else None
        return node_name(half, point) if half else node


def find_halves(design: Design) -> Halves:
    """Read `mates` and `of` of every plug; `mates` on either half is enough.

    Where plugs contradict each other only two that name each other are a pair.
    """
    mates: dict[str, str] = {}
    for plug in design.plugs.values():
        if plug.mates in design.plugs and plug.mates != plug.id:
            mates.setdefault(plug.id, plug.mates)
    for plug in design.plugs.values():
        if plug.mates in design.plugs and plug.mates != plug.id:
            mates.setdefault(plug.mates, plug.id)
    mates = {plug: mate for plug, mate in mates.items() if mates[mate] == plug}
    return Halves(mates, frozenset(p.id for p in design.plugs.values() if p.of))
