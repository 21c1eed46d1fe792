"""The legs of a way in words and numbers: plugs, wires, colours, fuses, expected resistance."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from wiregen.connect.halves import split_node
from wiregen.connect.network import Network
from wiregen.connect.ways import Hop, Way
from wiregen.facts.conductors import ConductorError, resistance
from wiregen.facts.sizes import WireSize
from wiregen.model import Design, Device, Plug, Wire
from wiregen.model.faces import cavity_contact

LegKind = Literal["wire", "plug", "joint", "fuse", "contact", "load", "diode"]


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg of a way.

    Attributes:
        kind: `plug` is a pair of mated contacts, `joint` any other metal that is no wire.
        start: node it begins at.
        end: node it leads to.
        id: wire, fuse or device; for a plug the half that is reached.
        words: what it is, in one phrase.
        colour: of a wire, IEC form; empty when unknown.
        size: of a wire as bought, with its unit; empty when unknown.
        length_mm: of a wire, None when not given.
        ohm: expected at 20 degC; None when it cannot be told.
        probe: which side of which plug to put the meter's probe on; empty elsewhere.
        lands: the splice or earth point a wire reaches, in words; empty for a pin.
        change: `OG to OG/WH` where the colour changes on metal; else empty.
    """

    kind: LegKind
    start: str
    end: str
    id: str
    words: str
    colour: str = ""
    size: str = ""
    length_mm: float | None = None
    ohm: float | None = None
    probe: str = ""
    lands: str = ""
    change: str = ""


def legs_of(design: Design, network: Network, way: Way) -> tuple[Leg, ...]:
    """Return the legs of a way.

    Args:
        design: the design.
        network: from `connect`.
        way: from `trace` or `between`.
    """
    legs: list[Leg] = []
    last_colour = ""
    for start, hop in zip(way.nodes, way.hops, strict=False):
        leg = _leg(design, network, start, hop)
        if leg.kind == "wire":
            if last_colour and leg.colour and leg.colour != last_colour:
                leg = replace(leg, change=f"{last_colour} to {leg.colour}")
            last_colour = leg.colour or last_colour
        if leg.kind not in ("wire", "plug") or leg.end in design.earths:
            last_colour = ""
        if legs and _is_earth_metal(design, legs[-1]) and _is_earth_metal(design, leg):
            leg = replace(leg, start=legs.pop().start)
        legs.append(leg)
    return tuple(legs)


def metal_ohm(legs: Sequence[Leg]) -> tuple[float, tuple[str, ...]]:
    """Return the resistance of the wires and contacts of a way in ohm, and the wires left out.

    Fuses, switches and loads are not in it.
    """
    metal = [leg for leg in legs if leg.kind in ("wire", "plug", "joint")]
    total = sum(leg.ohm for leg in metal if leg.ohm is not None)
    return total, tuple(leg.id for leg in metal if leg.kind == "wire" and leg.ohm is None)


def wire_ohm(design: Design, wire: Wire) -> float | None:
    """Return the expected resistance of a wire at 20 degC in ohm.

    Args:
        design: names the conductor table; IEC 60228 class 5 when it does not.
        wire: of that design.

    Returns:
        Its own `resistance`, else the table's largest permitted value times its length; None
        without size or length, or where the table has no such size.
    """
    if wire.resistance_ohm is not None:
        return wire.resistance_ohm
    if wire.size is None or wire.length_mm is None:
        return None
    try:
        row = resistance(wire.size, design.system.tables.get("conductor", "iec-60228-5"))
    except ConductorError:
        return None
    return row.mohm_per_m * wire.length_mm / 1_000_000


def size_words(size: WireSize | None) -> str:
    """Return a size as it is bought, with its unit; empty for none."""
    if size is None:
        return ""
    return f"{size.label} mm²" if size.system == "mm2" else size.label


def probe_words(design: Design, network: Network, node: str) -> str:
    """Return which side of a plug a probe goes to; empty for anything but a plug.

    Args:
        design: the design.
        network: from `connect`; a half built into a device is probed at the loom half.
        node: a cavity.

    Source:
        A maker's workshop text: probes go in from the wire side unless the plug is sealed.
    """
    plug = design.plugs.get(split_node(node)[0])
    if plug is None:
        return ""
    if plug.sealed:
        return f"{plug.id} is sealed: pull it apart, probe the mating side"
    half = network.loom_half(plug.id)
    return f"probe {half} from the wire side" if half else f"probe {plug.id} with the plug pulled"


def ohm_words(ohm: float) -> str:
    """Return a resistance as a meter shows it.

    Example:
        >>> ohm_words(0.0342), ohm_words(0.31), ohm_words(47)
        ('34 mohm', '0.31 ohm', '47 ohm')
    """
    return f"{ohm * 1000:.2g} mohm" if ohm < 0.1 else f"{ohm:.3g} ohm"


def _leg(design: Design, network: Network, start: str, hop: Hop) -> Leg:
    if hop.kind == "wire":
        return _wire_leg(design, network, start, hop)
    if hop.kind == "joint":
        return _joint_leg(design, network, start, hop.node)
    if hop.kind == "fuse":
        words = fuse_words(design, hop.id)
        return Leg("fuse", start, hop.node, hop.id, words)
    words = part_words(design, hop.id)
    device = design.devices.get(hop.id)
    if device is not None and device.kind == "relay":
        words = f"{'coil' if hop.kind == 'load' else 'contact'} of {words}"
    if hop.when:
        words += f", closed {_when(hop.when)}"
    return Leg(hop.kind, start, hop.node, hop.id, words)


def _when(words: Sequence[str]) -> str:
    plain = ", ".join(words)
    return plain if set(words) <= {"at rest", "pulled in"} else f"in {plain}"


def _wire_leg(design: Design, network: Network, start: str, hop: Hop) -> Leg:
    wire = design.wires[hop.id]
    size = size_words(wire.size)
    colour = wire.colour.iec if wire.colour else ""
    facts = [wire.id, size or "size?", colour or "no colour"]
    return Leg(
        "wire",
        start,
        hop.node,
        wire.id,
        " ".join(facts),
        colour=colour,
        size=size,
        length_mm=wire.length_mm,
        ohm=wire_ohm(design, wire),
        probe=probe_words(design, network, hop.node),
        lands=_landing(design, network, hop.node),
    )


def _landing(design: Design, network: Network, node: str) -> str:
    """Return a splice with the wires it joins, or an earth point, in words."""
    if node in design.splices:
        wires = ", ".join(network.wires_at(node))
        return f"splice {node} {design.splices[node].title}".rstrip() + f" ({wires})"
    if node in design.earths:
        return f"earth {node} {design.earths[node].title}".rstrip()
    return ""


def _joint_leg(design: Design, network: Network, start: str, end: str) -> Leg:
    (owner, point), (other, _) = split_node(start), split_node(end)
    if owner in design.plugs and network.mate(owner) == other:
        ohm = _contacts_ohm(design, (owner, other), point)
        probe = probe_words(design, network, end)
        words = _pair_words(design.plugs[owner], design.plugs[other])
        return Leg("plug", start, end, other, words, ohm=ohm, probe=probe)
    return Leg("joint", start, end, "", _joint_words(design, start, end))


def _pair_words(plug: Plug, other: Plug) -> str:
    titled = other if other.title else plug
    return titled.title or "mated plugs"


def _contacts_ohm(design: Design, plugs: tuple[str, str], cavity: str) -> float | None:
    """Resistance of the contact record of a mated pair, None when no record gives one."""
    for name in plugs:
        record = design.contacts.get(cavity_contact(design.plugs[name], cavity))
        if record is not None and record.resistance_ohm is not None:
            return record.resistance_ohm
    return None


def _joint_words(design: Design, start: str, end: str) -> str:
    owners = [split_node(node)[0] for node in (start, end)]
    points = [split_node(node)[1] for node in (start, end)]
    if all(owner in design.earths for owner in owners):
        return f"{design.earths[owners[0]].kind} metal"
    if "case" in points:
        device = design.devices.get(owners[points.index("case")])
        return f"through the housing of {_titled(device)}" if device else "through the housing"
    for owner in owners:
        if owner in design.boxes:
            return f"bar of {owner} {design.boxes[owner].title}".rstrip()
    for owner in owners:
        if owner in design.fuses:
            return f"{owner} is fitted on {end if owner == owners[0] else start}"
    inside = {design.plugs[owner].of for owner in owners if owner in design.plugs} - {""}
    for unit in sorted(inside):
        return f"link inside {_titled(design.devices.get(unit)) or unit}"
    return "joined"


def _titled(device: Device | None) -> str:
    return f"{device.id} {device.title}".rstrip() if device else ""


def fuse_words(design: Design, fuse_id: str) -> str:
    """Return a fuse with its rating, style, title and place."""
    fuse = design.fuses[fuse_id]
    rating = f"{fuse.rating_a:g} A" if fuse.rating_a is not None else "rating?"
    box = next(
        (b for b in design.boxes.values() for bar in b.bars.values() if fuse_id in bar), None
    )
    place = f"in {box.id} {box.title}".rstrip() if box else fuse.where
    parts = [f"fuse {fuse_id} {rating} {fuse.style}".rstrip(), fuse.title, place]
    return ", ".join(part for part in parts if part)


def part_words(design: Design, link_id: str) -> str:
    """Return a device, or a part inside a unit, with its title and what it takes."""
    owner, _, inner = link_id.partition(".")
    device = design.devices.get(link_id) or design.devices.get(owner)
    if device is None:
        return link_id
    part = device.inside.get(inner) if inner and link_id not in design.devices else None
    shown = part or device
    name = shown.title or shown.kind
    facts = [f"{link_id} {name}", _takes(shown)]
    if part is not None:
        facts.append(f"inside {device.title or device.id}")
    return ", ".join(fact for fact in facts if fact)


def _takes(device: Device) -> str:
    facts: Mapping[str, float | None] = {
        "W": device.watts_w,
        "A": device.amps_a,
        "ohm": device.ohms,
    }
    return next((f"{value:g} {unit}" for unit, value in facts.items() if value is not None), "")


def _is_earth_metal(design: Design, leg: Leg) -> bool:
    return leg.kind == "joint" and leg.start in design.earths and leg.end in design.earths
