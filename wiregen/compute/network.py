"""The network of a design as branches between nodes, ready to be solved in any state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from wiregen.compute.elements import Assumed, Element, Lacking, Pull
from wiregen.compute.gather import Gather, grouped
from wiregen.compute.metal import add_metal, body_node
from wiregen.compute.parts import add_parts
from wiregen.compute.pins import add_pins
from wiregen.connect import Network
from wiregen.model import Design, natural_key

if TYPE_CHECKING:
    from wiregen.compute.solve import System


@dataclass(frozen=True)
class Circuit:
    """Every branch of a design, and what decides which of them are there.

    Attributes:
        elements: branches in order of their ids.
        pulls: relays and starter solenoids.
        zero: node of 0 V; empty when the design has neither earth nor battery.
        zero_words: what 0 V is, in words.
        group: node -> the node that stands for its piece of metal.
        modes: id -> its mode where a state does not say one.
        legal: id -> the modes a state may give it.
        closed_in: switch inside a unit -> states it is closed in.
        assumed: values that were taken.
        lacking: facts that are missing.
    """

    design: Design
    network: Network
    elements: tuple[Element, ...]
    pulls: tuple[Pull, ...]
    zero: str
    zero_words: str
    group: Mapping[str, str]
    modes: Mapping[str, str]
    legal: Mapping[str, tuple[str, ...]]
    closed_in: Mapping[str, tuple[str, ...]]
    assumed: tuple[Assumed, ...]
    lacking: tuple[Lacking, ...]

    def at(self, node: str) -> str:
        """Return the node that stands for a node's piece of metal."""
        return self.group.get(node, node)

    @cached_property
    def index(self) -> dict[str, int]:
        """Node -> its number; 0 V has the last one."""
        names: dict[str, None] = {}
        for element in self.elements:
            names[self.at(element.a)] = None
            names[self.at(element.b)] = None
        names.pop(self.at(self.zero), None)
        number = {name: place for place, name in enumerate([*names, self.at(self.zero)])}
        found = {node: number[self.at(node)] for node in self.group if self.at(node) in number}
        return {**number, **found}

    @cached_property
    def system(self) -> System:
        """The branches as arrays."""
        from wiregen.compute.solve import system

        return system(self.elements, self.index, max(self.index.values(), default=0) + 1)

    @cached_property
    def place(self) -> Mapping[str, int]:
        """Branch id -> its place in `elements`."""
        return {element.id: k for k, element in enumerate(self.elements)}


def build(design: Design, network: Network) -> Circuit:
    """Return a design's branches.

    Args:
        design: the design, reduced to one variant.
        network: from `connect`.
    """
    gather = Gather(design)
    zero, words = _zero(design, network)
    add_metal(gather, network)
    add_parts(gather, network)
    add_pins(gather, network, zero)
    elements = sorted(gather.elements, key=lambda e: natural_key(e.id))
    return Circuit(
        design=design,
        network=network,
        elements=tuple(elements),
        pulls=tuple(sorted(gather.pulls, key=lambda p: natural_key(p.id))),
        zero=zero,
        zero_words=words,
        group=grouped(gather.merged),
        modes=gather.modes,
        legal=gather.legal,
        closed_in=gather.closed_in,
        assumed=tuple(dict.fromkeys(gather.assumed)),
        lacking=tuple(dict.fromkeys(gather.lacking)),
    )


def _zero(design: Design, network: Network) -> tuple[str, str]:
    """Return the node of 0 V and its name: chassis, else engine, else any earth, else a minus."""
    kinds = [earth.kind for earth in design.earths.values()]
    for kind in ("chassis", "engine", *kinds):
        if kind in kinds:
            return body_node(kind), kind
    for node in network.returns:
        return node, f"{node}, for want of an earth"
    return "", ""
