"""Pins of a box: which are drawn, at which edge, in which order."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.connect import node_name, split_node
from wiregen.connect.links import terminals_of
from wiregen.layout.schematic.block import Side
from wiregen.layout.schematic.ends import WireEnd
from wiregen.layout.schematic.interior import Inner
from wiregen.layout.schematic.parts import CONTACT_KINDS
from wiregen.layout.schematic.plugs import pin_text
from wiregen.layout.schematic.scene import Scene
from wiregen.layout.schematic.sides import majority, other_end, pull
from wiregen.layout.schematic.wishes import wished_edge
from wiregen.model import Device
from wiregen.model.order import in_order, natural_key

_ONE_EDGE_KINDS = ("sensor", "sender")
_LONG_PLUG = 30
"""A plug with more rows than this has pins at both edges of its box."""


@dataclass(frozen=True, slots=True)
class Slot:
    """One pin of a box.

    Attributes:
        node: on the box's own side, `X3:A` or `K1:86`.
        plug: its own plug, empty for a terminal.
        mate: the loom half that pushes into that plug, empty when not recorded.
        text: what it carries.
        ends: wire ends that land there on this sheet.
        side: edge it is drawn at.
    """

    node: str
    plug: str = ""
    mate: str = ""
    text: str = ""
    ends: tuple[WireEnd, ...] = ()
    side: Side = "W"

    @property
    def name(self) -> str:
        """Cavity or terminal as printed."""
        return split_node(self.node)[1]


def find_slots(scene: Scene, device: Device, inners: Sequence[Inner]) -> tuple[Slot, ...]:
    """Return the pins of a device that the sheet needs, each at its edge, in drawing order."""
    slots = [*_terminals(scene, device, inners), *_plug_pins(scene, device, inners)]
    if device.kind in _ONE_EDGE_KINDS and not any(slot.plug for slot in slots):
        slots = _one_edge(scene, slots)
    elif device.kind in CONTACT_KINDS and not any(slot.plug for slot in slots):
        slots = _contact_sides(scene, slots, inners)
    else:
        slots = _pulled_sides(scene, slots, inners)
    return tuple(_in_drawing_order(slots, inners))


def _used_inside(inners: Sequence[Inner]) -> set[str]:
    return {node for part in inners for node in (part.a, part.b)}


def _terminals(scene: Scene, device: Device, inners: Sequence[Inner]) -> list[Slot]:
    wired = [split_node(node)[1] for node in scene.at if split_node(node)[0] == device.id]
    inside = _used_inside(inners)
    slots = []
    for name in dict.fromkeys((*terminals_of(device, wired), *wired)):
        node = node_name(device.id, name)
        ends = scene.at.get(node, ())
        if ends or node in inside:
            slots.append(Slot(node, ends=ends))
    return slots


def _plug_pins(scene: Scene, device: Device, inners: Sequence[Inner]) -> list[Slot]:
    design, inside, slots = scene.design, _used_inside(inners), []
    for plug in design.plugs.values():
        if plug.of != device.id:
            continue
        mate = scene.network.mate(plug.id) or ""
        mate = mate if mate in design.plugs and not _built_in(scene, mate) else ""
        mine = {split_node(node)[1] for node in (*scene.at, *inside) if _is_on(node, plug.id)}
        theirs = {split_node(node)[1] for node in scene.at if mate and _is_on(node, mate)}
        for cavity in _as_before(scene, plug.id, mate, in_order(mine | theirs)):
            ends = scene.at.get(node_name(plug.id, cavity), ())
            if mate:
                ends += scene.at.get(node_name(mate, cavity), ())
            other = design.plugs.get(mate)
            text = pin_text(design, plug, cavity) or pin_text(design, other, cavity)
            slots.append(Slot(node_name(plug.id, cavity), plug.id, mate, text, ends))
    return slots


def _as_before(scene: Scene, plug_id: str, mate: str, cavities: Sequence[str]) -> list[str]:
    """Return the cavities of a plug in the sequence each edge had, new ones last."""
    rows = {name: [node_name(half, name) for half in (plug_id, mate) if half] for name in cavities}
    before = scene.before
    if not any(before.side_of(nodes) for nodes in rows.values()):
        return list(cavities)
    edges: dict[Side | None, list[str]] = {}
    for name, nodes in rows.items():
        edges.setdefault(before.side_of(nodes), []).append(name)
    after = edges.pop(None, [])
    order = [name for name in cavities if name not in after]
    for names in edges.values():
        places = [place for place, name in enumerate(order) if name in names]
        for place, name in zip(places, before.sequence({n: rows[n] for n in names}), strict=True):
            order[place] = name
    return [*order, *after]


def _built_in(scene: Scene, plug_id: str) -> bool:
    return scene.design.plugs[plug_id].of in scene.design.devices


def _is_on(node: str, plug_id: str) -> bool:
    return split_node(node)[0] == plug_id


def _pulled_sides(scene: Scene, slots: list[Slot], inners: Sequence[Inner]) -> list[Slot]:
    """The pins of a plug stay together at the edge most wires want; terminals where theirs want.

    A plug has all its pins at one edge unless it is too long for the sheet or was drawn otherwise
    before.
    """
    usual = majority(scene, (end for slot in slots for end in slot.ends))
    sides: dict[str, Side] = {
        s.node: scene.before.sides[s.node] for s in slots if s.node in scene.before.sides
    }
    for _, group in itertools.groupby(slots, key=lambda slot: slot.plug):
        own = list(group)
        rows = sum(max(1, len(slot.ends)) for slot in own)
        if own[0].plug and rows <= _LONG_PLUG:
            for slot in own:
                sides.setdefault(slot.node, _plug_edge(scene, own, usual))
            continue
        for slot in own:
            total = sum(pull(scene, end) for end in slot.ends)
            if abs(total) > 1e-9:
                sides.setdefault(slot.node, "E" if total > 0 else "W")
    for slot in slots:
        asked = wished_edge(scene.design.plugs.get(slot.plug)) or wished_edge(
            scene.design.plugs.get(slot.mate)
        )
        if asked:
            sides[slot.node] = asked
    for part in inners:
        for node, partner in ((part.a, part.b), (part.b, part.a)):
            if node not in sides and partner in sides:
                sides[node] = sides[partner]
    return [replace(slot, side=sides.get(slot.node, usual)) for slot in slots]


def _one_edge(scene: Scene, slots: list[Slot]) -> list[Slot]:
    """All terminals at the edge most wires want, or where they were before."""
    edge = _plug_edge(scene, slots, majority(scene, (e for slot in slots for e in slot.ends)))
    return [replace(slot, side=scene.before.sides.get(slot.node, edge)) for slot in slots]


def _plug_edge(scene: Scene, slots: Sequence[Slot], usual: Side) -> Side:
    """Return the edge of a plug: where it was before, or where most of its wires lead.

    A wire to a splice, which takes wires from either hand, decides only where no other does.
    """
    before = [scene.before.sides[slot.node] for slot in slots if slot.node in scene.before.sides]
    if before:
        return max(before, key=before.count)
    splices = scene.design.splices
    found = [end for slot in slots for end in slot.ends if end.wire]
    firm = [end for end in found if other_end(scene, end).owner not in splices]
    for ends in (firm, found):
        pulls = [pull(scene, end) for end in ends]
        east = sum(value > 1e-9 for value in pulls)
        west = sum(value < -1e-9 for value in pulls)
        if east != west:
            return "E" if east > west else "W"
    return usual


def _contact_sides(scene: Scene, slots: list[Slot], inners: Sequence[Inner]) -> list[Slot]:
    """Commons at one edge, the contacts they feed at the other; a coil across, supply side left.

    A switch all of whose wires lead to one hand has its terminals there.
    """
    pulls = {slot.node: sum(pull(scene, end) for end in slot.ends) for slot in slots}
    coil = any(part.symbol == "relay coil" for part in inners)
    hand = {total > 0 for slot in slots if abs(total := pulls[slot.node]) > 1e-9}
    wired = [slot.node for slot in slots if slot.ends]
    ends = (end for slot in slots for end in slot.ends if end.wire)
    facing = all(other_end(scene, end).key in scene.facing for end in ends)
    usual = majority(scene, (end for slot in slots for end in slot.ends))
    if facing and not coil and len(hand) == 1 and len(wired) > 1:
        sides: dict[str, Side] = dict.fromkeys(wired, usual)
    else:
        sides = _across(scene, {node: pulls[node] for node in wired}, inners)
    sides |= {s.node: scene.before.sides[s.node] for s in slots if s.node in scene.before.sides}
    return [replace(slot, side=sides.get(slot.node, usual)) for slot in slots]


def _across(scene: Scene, pulls: Mapping[str, float], inners: Sequence[Inner]) -> dict[str, Side]:
    """Return the edges of contacts and coils between two edges, the supply side left.

    Args:
        scene: the sheet.
        pulls: pins with wires -> how far right these lead.
        inners: parts between the pins.
    """
    contacts = [(p.a, p.b) for p in inners if p.symbol != "relay coil"]
    commons = _commons(contacts)
    fed = sum(
        _sign(_ahead(scene, pulls, first, second)) * (1 if first in commons else -1)
        for first, second in contacts
        if first in pulls and second in pulls
    )
    near: Side = "E" if fed < 0 else "W"
    far: Side = "W" if near == "E" else "E"
    sides: dict[str, Side] = {}
    for pair in contacts:
        for node in pair:
            sides[node] = near if node in commons else far
    for part in inners:
        if part.symbol == "relay coil":
            flip = _ahead(scene, pulls, part.a, part.b) < 0
            sides[part.a], sides[part.b] = ("E", "W") if flip else ("W", "E")
    return sides


def _ahead(scene: Scene, pulls: Mapping[str, float], first: str, second: str) -> float:
    """Return how much nearer the supply one node is than another: in steps, or as wires lead."""
    steps = scene.flow.steps
    if steps.get(first) != steps.get(second) and first in steps and second in steps:
        return steps[second] - steps[first]
    apart = pulls.get(second, 0.0) - pulls.get(first, 0.0)
    return apart if abs(apart) > 1e-9 else 0.0


def _sign(value: float) -> int:
    return (value > 0) - (value < 0)


def _commons(contacts: Iterable[tuple[str, str]]) -> frozenset[str]:
    """Return one end of every contact, the end that most contacts share where there is one."""
    uses: dict[str, int] = {}
    pairs = list(contacts)
    for first, second in pairs:
        uses[first] = uses.get(first, 0) + 1
        uses[second] = uses.get(second, 0) + 1
    commons: list[str] = []
    throws: set[str] = set()
    for first, second in pairs:
        if first in commons or second in commons:
            throws.add(second if first in commons else first)
            continue
        node = second if uses[second] > uses[first] or first in throws else first
        if node not in throws:
            commons.append(node)
            throws.add(first if node == second else second)
    return frozenset(commons)


def _in_drawing_order(slots: list[Slot], inners: Sequence[Inner]) -> list[Slot]:
    """Pins of one plug together, pins that belong to one inner part next to each other."""
    cluster = _clusters(slots, inners)
    uses: Mapping[str, int] = {
        slot.node: sum(slot.node in (part.a, part.b) for part in inners) for slot in slots
    }
    place = {node: index for index, part in enumerate(inners) for node in (part.b, part.a)}
    given = {slot.node: index for index, slot in enumerate(slots)}

    def key(slot: Slot) -> tuple[object, ...]:
        own = place.get(slot.node, 999) if not slot.plug else 0
        hub = -uses[slot.node] if uses[slot.node] > 1 else 0
        return (natural_key(slot.plug), own, cluster[slot.node], hub, given[slot.node])

    return sorted(slots, key=key)


def _clusters(slots: list[Slot], inners: Sequence[Inner]) -> dict[str, int]:
    """Pins joined by inner parts at the same edge, numbered by their first pin."""
    side = {slot.node: (slot.plug, slot.side) for slot in slots}
    parent = {slot.node: index for index, slot in enumerate(slots)}
    for part in inners:
        if part.a in side and part.b in side and side[part.a] == side[part.b]:
            low, high = sorted((parent[part.a], parent[part.b]))
            parent = {node: low if group == high else group for node, group in parent.items()}
    return parent
