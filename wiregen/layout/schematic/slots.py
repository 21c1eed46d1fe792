"""Pins of a box: which are drawn, at which edge, in which order."""

from __future__ import annotations

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
from wiregen.layout.schematic.sides import majority, pull
from wiregen.layout.schematic.wishes import wished_edge
from wiregen.model import Device
from wiregen.model.order import natural_key


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
    if device.kind in CONTACT_KINDS and not any(slot.plug for slot in slots):
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
        for cavity in sorted(mine | theirs, key=natural_key):
            ends = scene.at.get(node_name(plug.id, cavity), ())
            if mate:
                ends += scene.at.get(node_name(mate, cavity), ())
            other = design.plugs.get(mate)
            text = pin_text(design, plug, cavity) or pin_text(design, other, cavity)
            slots.append(Slot(node_name(plug.id, cavity), plug.id, mate, text, ends))
    return slots


def _built_in(scene: Scene, plug_id: str) -> bool:
    return scene.design.plugs[plug_id].of in scene.design.devices


def _is_on(node: str, plug_id: str) -> bool:
    return split_node(node)[0] == plug_id


def _pulled_sides(scene: Scene, slots: list[Slot], inners: Sequence[Inner]) -> list[Slot]:
    """Each pin at the edge its wires want; lone exceptions stay with the others of their plug."""
    usual = majority(scene, (end for slot in slots for end in slot.ends))
    sides: dict[str, Side] = {s.node: scene.sides[s.node] for s in slots if s.node in scene.sides}
    for slot in slots:
        total = sum(pull(scene, end) for end in slot.ends)
        if abs(total) > 1e-9:
            sides[slot.node] = "E" if total > 0 else "W"
    for plug in dict.fromkeys(slot.plug for slot in slots):
        mine = [slot.node for slot in slots if slot.plug == plug and slot.node in sides]
        west = [node for node in mine if sides[node] == "W"]
        east = [node for node in mine if sides[node] == "E"]
        if plug and len(mine) >= 4 and len(west) * 4 <= len(mine):
            sides |= dict.fromkeys(west, "E")
        elif plug and len(mine) >= 4 and len(east) * 4 <= len(mine):
            sides |= dict.fromkeys(east, "W")
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


def _contact_sides(scene: Scene, slots: list[Slot], inners: Sequence[Inner]) -> list[Slot]:
    """Commons at one edge, the contacts they feed at the other; a coil across, supply side left."""
    pulls = {slot.node: sum(pull(scene, end) for end in slot.ends) for slot in slots}
    contacts = [(p.a, p.b) for p in inners if p.symbol != "relay coil"]
    sides: dict[str, Side] = {}
    commons = _commons(contacts)
    total = sum(pulls.get(n, 0.0) * (1 if n in commons else -1) for pair in contacts for n in pair)
    near: Side = "E" if total > 1e-9 else "W"
    far: Side = "W" if near == "E" else "E"
    for pair in contacts:
        for node in pair:
            sides[node] = near if node in commons else far
    for part in inners:
        if part.symbol == "relay coil":
            flip = pulls.get(part.a, 0.0) > pulls.get(part.b, 0.0) + 1e-9
            sides[part.a], sides[part.b] = ("E", "W") if flip else ("W", "E")
    usual = majority(scene, (end for slot in slots for end in slot.ends))
    sides |= {s.node: scene.sides[s.node] for s in slots if s.node in scene.sides}
    return [replace(slot, side=sides.get(slot.node, usual)) for slot in slots]


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
    plugless = {slot.node: index for index, slot in enumerate(slots)}

    def key(slot: Slot) -> tuple[object, ...]:
        own = place.get(slot.node, 999) if not slot.plug else 0
        hub = -uses[slot.node] if uses[slot.node] > 1 else 0
        natural = natural_key(slot.name) if slot.plug else plugless[slot.node]
        return (natural_key(slot.plug), own, cluster[slot.node], hub, natural)

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
