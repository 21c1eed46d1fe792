"""Building: what a contact and a seal can take."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.compute.heat import geometry
from wiregen.model import Contact, Wire
from wiregen.model.faces import cavity_contact
from wiregen.problems import Note

_ROUNDING = 0.005
"""Trade sizes are rounded: half a percent outside the range is inside."""


def _crimped(scene: Scene) -> Iterator[tuple[str, Contact, list[Wire]]]:
    """Yield each cavity whose contact record is known, with the wires crimped there."""
    for node, ids in scene.network.wires_on.items():
        owner, _, point = node.partition(":")
        plug = scene.design.plugs.get(owner)
        if plug is None or plug.of:
            continue
        contact = scene.design.contacts.get(cavity_contact(plug, point))
        if contact is not None:
            yield node, contact, [scene.design.wires[i] for i in ids]


def outside_range(scene: Scene) -> Iterator[Found | Missing]:
    """The summed area of the wires in a contact is outside the range it takes."""
    for node, contact, wires in _crimped(scene):
        if contact.wire_mm2 is None:
            yield Missing("wire range of the contact", contact.id)
            continue
        areas = [wire.size.area_mm2 for wire in wires if wire.size is not None]
        if len(areas) < len(wires):
            without = (w.id for w in wires if w.size is None and w.fate != "insulated")
            yield from (Missing("size of the wire", wire) for wire in without)
            continue
        area, low, high = sum(areas), contact.wire_mm2.low, contact.wire_mm2.high
        if low * (1 - _ROUNDING) <= area <= high * (1 + _ROUNDING):
            continue
        sizes = " + ".join(wire.size.label for wire in wires if wire.size is not None)
        excess = f", {area / high - 1:.0%} over" if area > high else ", too thin to be held"
        message = (
            f"{node} holds {sizes} ({area:.3g} mm2), but contact {contact.id} takes "
            f"{contact.wire_mm2.text}{excess}"
        )
        notes = (Note(f"contact {contact.id}", contact.origin.at("wire")),)
        subjects = (node, *(wire.id for wire in wires))
        yield Found(message, wires[0].origin.at("size"), subjects, notes)


def two_in_one_seal(scene: Scene) -> Iterator[Found]:
    """Two insulations go through one seal of a sealed plug."""
    for node, ids in scene.network.wires_on.items():
        owner, _, point = node.partition(":")
        plug = scene.design.plugs.get(owner)
        if plug is None or plug.of or not plug.sealed or len(ids) < 2:
            continue
        contact = scene.design.contacts.get(cavity_contact(plug, point))
        if contact is None or contact.max_wires is None or contact.max_wires < len(ids):
            wire = scene.design.wires[ids[1]]
            message = f"{node} is sealed, but {' and '.join(ids)} go through its one seal"
            yield Found(message, wire.origin.span, (node, *ids))


def seal_range(scene: Scene) -> Iterator[Found | Missing]:
    """The insulation of the wires in a contact is outside the range of its seal."""
    for node, contact, wires in _crimped(scene):
        seal = contact.seal_mm
        plug = scene.design.plugs[node.partition(":")[0]]
        if seal is None or not plug.sealed:
            continue
        known = {w.id: _outside_mm(scene, w) for w in wires}
        unknown = [name for name, outside in known.items() if outside is None]
        if unknown:
            yield from (Missing("size and thin-wall insulation of the wire", w) for w in unknown)
            continue
        # one seal round two wires has to reach across both
        across = sum(outside for outside in known.values() if outside is not None)
        if seal.low * (1 - _ROUNDING) <= across <= seal.high * (1 + _ROUNDING):
            continue
        verb = "are" if len(wires) > 1 else "is"
        message = (
            f"{' and '.join(known)} at {node} {verb} {across:.3g} mm across the insulation "
            f"(thin wall), but the seal of contact {contact.id} takes {seal.text}"
        )
        notes = (Note(f"contact {contact.id}", contact.origin.at("seal")),)
        yield Found(message, wires[0].origin.span, (node, *known), notes)


def _outside_mm(scene: Scene, wire: Wire) -> float | None:
    """Return the diameter over the insulation; None where wall or size is not in the table."""
    loom = scene.design.looms.get(wire.loom)
    words = wire.insulation or (loom.insulation if loom else "")
    if wire.size is None or "thin" not in words:
        return None
    form = geometry(wire.size)
    return form.outside_mm if form.words == "thin wall" else None


def too_many_wires(scene: Scene) -> Iterator[Found]:
    """More wires are crimped into a contact than its record allows."""
    for node, contact, wires in _crimped(scene):
        plug = scene.design.plugs[node.partition(":")[0]]
        if contact.max_wires is not None and len(wires) > contact.max_wires and not plug.sealed:
            ids = [wire.id for wire in wires]
            message = (
                f"{node} holds {len(ids)} wires ({', '.join(ids)}), "
                f"but contact {contact.id} takes {contact.max_wires}"
            )
            notes = (Note(f"contact {contact.id}", contact.origin.at("max_wires")),)
            yield Found(message, wires[-1].origin.span, (node, *ids), notes)


def splice_zone(scene: Scene) -> Iterator[Found]:
    """A splice lies where it is wet, where the loom flexes, or at a branch."""
    for splice in scene.design.splices.values():
        if splice.zone in ("wet", "flexing", "branch"):
            message = f"splice {splice.id} lies in a {splice.zone} zone"
            yield Found(message, splice.origin.at("zone"), (splice.id,))


RULES = (
    Rule(
        code="BLD101",
        name="wires outside the contact's range",
        title="The summed area of the wires in a contact is outside its range",
        severity="warning",
        why="Too much copper is not crimped through, too little pulls out: the joint gets hot or "
        "comes loose.",
        fix="Use a contact for that area, or join the wires in a splice and bring one to the plug",
        source="greatplainselectronics.com region=87: two wires in a terminal count with the sum "
        "of their circular mils",
        needs="size of the wire, wire range of the contact",
        since="0.1",
        run=outside_range,
        stage="structure",
    ),
    Rule(
        code="BLD102",
        name="two wires in one seal",
        title="Two insulations go through one seal of a sealed plug",
        severity="error",
        why="Water runs in between the two insulations and corrodes every contact of the plug.",
        fix="Join the wires in a splice and bring one to the plug; if the seal is made for two, "
        "say so with max_wires in the contact record",
        source="customwireassembly.com on seal fit",
        needs="",
        since="0.1",
        run=two_in_one_seal,
        stage="structure",
    ),
    Rule(
        code="BLD103",
        name="too many wires in a contact",
        title="More wires are crimped into a contact than its record allows",
        severity="warning",
        why="Strands are left out of the crimp, and the contact carries less than it should.",
        fix="Join the wires in a splice and bring one to the plug",
        source="hpacademy.com forum: one wire per pin, shields spliced before the plug",
        needs="max_wires of the contact",
        since="0.1",
        run=too_many_wires,
        stage="structure",
    ),
    Rule(
        code="BLD104",
        name="splice in a bad place",
        title="A splice lies in a wet, flexing or branching part of the loom",
        severity="warning",
        why="The joint corrodes, breaks, or makes the branch too stiff.",
        fix="Move the splice to a dry, straight stretch",
        source="lhe-terminal.com 1897009; NASA-STD-8739.4: no splice where the loom flexes",
        needs="zone of the splice",
        since="0.1",
        run=splice_zone,
        stage="structure",
    ),
    Rule(
        code="BLD105",
        name="insulation outside the seal",
        title="The insulation of the wires in a contact is outside the range of its seal",
        severity="warning",
        why="Too thin an insulation lets water in, too thick a one tears the seal on its way in.",
        fix="Take the seal made for this insulation, or another wire",
        source="customwireassembly.com on seal fit; outside diameters of thin-wall wire, ISO 6722",
        needs="seal range of the contact, size and thin-wall insulation of the wires",
        since="0.1",
        run=seal_range,
    ),
)
