"""The legend of a sheet: what its marks mean, only those that occur on it."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.connect import Network, node_name, node_of, split_node
from wiregen.layout.schematic.ends import Ends
from wiregen.layout.schematic.pin_marks import STANDINGS, Standing, standing, standing_mark
from wiregen.layout.schematic.scene import Plan
from wiregen.layout.schematic.variants import only_of
from wiregen.model import Design, Device
from wiregen.sheet import style
from wiregen.sheet.frame import Legend
from wiregen.sheet.items import Text
from wiregen.sheet.wire import VARIANT

_WORDS: dict[Standing, str] = {
    "measured": "measured",
    "not measured": "from a source or unknown: not measured",
    "sources disagree": "sources disagree: measure",
}


def legends_of(design: Design, network: Network, ends: Ends, plan: Plan) -> tuple[Legend, ...]:
    """Return the legends of a sheet: standings of its pins, variants of what it shows."""
    nodes = tuple(dict.fromkeys(_shown_nodes(network, ends, plan)))
    found = (_standings(design, nodes), _variants(design, plan, nodes))
    return tuple(legend for legend in found if legend.entries)


def _shown_nodes(network: Network, ends: Ends, plan: Plan) -> Iterator[str]:
    """Yield every pin a wire of the sheet ends on, and the pin it meets in the other half."""
    shown = [end for wire in plan.wires for end in ends.of_wire[wire]]
    shown += [cut.here for cut in plan.cuts]
    for end in shown:
        if end.node:
            yield end.node
            mate = network.mate(end.owner)
            if mate:
                yield node_name(mate, end.point)


def _standings(design: Design, nodes: tuple[str, ...]) -> Legend:
    known = set()
    for node in nodes:
        owner, point = split_node(node)
        plug = design.plugs.get(owner)
        known.add(standing(plug.pins.get(point)) if plug else None)
    entries = tuple(
        (standing_mark(one, 0.0, 0.0), _WORDS[one]) for one in STANDINGS if one in known
    )
    return Legend("Pins", entries)


def _variants(design: Design, plan: Plan, nodes: tuple[str, ...]) -> Legend:
    named: set[str] = set()
    shown = frozenset(nodes)
    for wire in (*plan.wires, *(cut.here.wire for cut in plan.cuts)):
        named.update(design.wires[wire].only)
    for node in nodes:
        owner, point = split_node(node)
        named.update(only_of(design, owner))
        plug = design.plugs.get(owner)
        pin = plug.pins.get(point) if plug else None
        named.update(pin.only if pin else ())
        for part in _inside(design, plug.of if plug else owner):
            ends = (part.start, part.end, *part.join)
            if any(end is not None and node_of(end) in shown for end in ends):
                named.update(part.only)
    mark = Text(-0.8, 0.8, ((VARIANT, False, style.INK),), style.TEXT_WIRE)
    entries = tuple(
        (mark, f"{name}: {words}" if words else name)
        for name, words in design.variants.items()
        if name in named
    )
    return Legend("Variants", entries)


def _inside(design: Design, owner: str) -> tuple[Device, ...]:
    device = design.devices.get(owner)
    return tuple(device.inside.values()) if device else ()
