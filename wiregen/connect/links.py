"""What lies between nets: fuses, contacts, loads, diodes and sources, read from the devices."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from wiregen.connect.halves import Halves, node_name, node_of
from wiregen.connect.network import Link, LinkKind
from wiregen.model import Design, Device
from wiregen.model.vocabulary import TERMINALS

METAL_KINDS = ("bus bar", "join")
CONTACT_KINDS = ("switch", "isolator", "flasher", "relay")
SOURCE_KINDS = ("battery", "alternator")
_PLUS = ("plus", "+", "B+", "B", "BAT", "30", "pos", "positive")
_MINUS = ("minus", "-", "B-", "D-", "31", "neg", "negative", "E")
_RELAY_REST = ("30", "87a")
_RELAY_PULLED = ("30", "87")
_RELAY_COIL = ("86", "85")
_At = Callable[[str], str]


def terminals_of(device: Device, used: Sequence[str] = ()) -> tuple[str, ...]:
    """Return the terminals of a device: declared, named by its facts, usual, or those used.

    Args:
        device: any device but a unit, whose pins are on its plugs.
        used: terminals that wires or its own plug name; the last resort when the file says
            nothing.
    """
    named = list(device.terminals)
    pairs = [*device.rest, *device.pulled]
    for joined in device.positions.values():
        pairs.extend(joined)
    named.extend(name for pair in pairs for name in pair)
    if device.coil is not None:
        named += [device.coil.start, device.coil.end]
    if device.lamp_terminal is not None:
        named.append(device.lamp_terminal.at)
    return tuple(dict.fromkeys(named or TERMINALS.get(device.kind, ()) or used))


def poles(device: Device, terminals: Sequence[str]) -> tuple[str, str]:
    """Return the plus and the minus terminal of a source; minus is empty when it has none."""
    plus = next((name for name in _PLUS if name in terminals), terminals[0] if terminals else "")
    minus = next((name for name in _MINUS if name in terminals and name != plus), "")
    if not minus and device.kind == "battery":
        minus = next((name for name in terminals if name != plus), "")
    return plus, minus


def find_links(
    design: Design, halves: Halves, used: Mapping[str, Sequence[str]]
) -> tuple[Link, ...]:
    """Return the links of a design: fuses first, then devices with the parts inside them.

    Args:
        design: the design.
        halves: which plug pushes into which.
        used: device -> terminals that wires or its own plugs name.
    """
    links = [Link("fuse", f, f, (f"{f}:in", f"{f}:out")) for f in design.fuses]
    for device in design.devices.values():
        links.extend(_device_links(device, terminals_of(device, used.get(device.id, ()))))
        for part in device.inside.values():
            links.extend(_part_links(device, part))
    links.extend(_unit_links(design, halves))
    return tuple(link for link in links if link.nodes)


def _device_links(device: Device, terminals: Sequence[str]) -> list[Link]:
    if device.kind in METAL_KINDS or device.kind == "unit":
        return []

    def at(name: str) -> str:
        return node_name(device.id, name)

    case = (at("case"),) if device.case and "case" not in terminals else ()
    names = [at(name) for name in terminals]
    if device.kind in CONTACT_KINDS:
        ways = [*names, *case]
        return [
            *_contacts(device, device.id, device.id, ways, at),
            *_coil(device, device.id, ways, at),
        ]
    if device.kind in SOURCE_KINDS:
        return _source(device, terminals, case)
    kind: LinkKind = "diode" if device.kind == "diode" else "load"
    return [Link(kind, device.id, device.id, (*names, *case))]


def _source(device: Device, terminals: Sequence[str], case: tuple[str, ...]) -> list[Link]:
    plus, minus = poles(device, terminals)
    if not plus:
        return []
    back = (node_name(device.id, minus),) if minus else case
    links = [Link("source", device.id, device.id, (node_name(device.id, plus), *back))]
    for name in terminals:
        if name not in (plus, minus):
            nodes = (node_name(device.id, name), *back)
            links.append(Link("load", device.id, device.id, nodes))
    return links


def _contacts(
    device: Device, link_id: str, owner: str, names: Sequence[str], at: _At
) -> list[Link]:
    closed: dict[tuple[str, str], list[str]] = {}
    for position, pairs in device.positions.items():
        for pair in pairs:
            closed.setdefault(pair, []).append(position)
    for word, pairs in (("at rest", device.rest), ("pulled in", device.pulled)):
        for pair in pairs:
            closed.setdefault(pair, []).append(word)
    if not closed and device.kind == "relay":
        closed = _usual_relay(names, at)
    elif not closed:
        return [Link("contact", link_id, owner, tuple(names), device.closed_in)]
    return [
        Link("contact", link_id, owner, (at(pair[0]), at(pair[1])), tuple(when))
        for pair, when in closed.items()
    ]


def _usual_relay(names: Sequence[str], at: _At) -> dict[tuple[str, str], list[str]]:
    """Contacts by the terminal numbers of DIN 72552, for a relay whose contacts are not said."""
    usual = ((_RELAY_REST, "at rest"), (_RELAY_PULLED, "pulled in"))
    return {pair: [word] for pair, word in usual if at(pair[0]) in names and at(pair[1]) in names}


def _coil(device: Device, link_id: str, names: Sequence[str], at: _At) -> list[Link]:
    """The coil as declared, or by the terminal numbers of DIN 72552 where it is not said."""
    ends = (device.coil.start, device.coil.end) if device.coil is not None else _RELAY_COIL
    nodes = (at(ends[0]), at(ends[1]))
    usual = device.kind == "relay" and nodes[0] in names and nodes[1] in names
    if device.coil is None and not usual:
        return []
    return [Link("load", link_id, device.id, nodes)]


def _part_links(unit: Device, part: Device) -> list[Link]:
    if part.kind in METAL_KINDS:
        return []
    link_id = f"{unit.id}.{part.id}"

    def at(name: str) -> str:
        return name if ":" in name else f"{link_id}:{name}"

    ends = [node_of(end) for end in (part.start, part.end) if end is not None]
    if len(ends) == 1 and (unit.case or part.case):
        ends.append(node_name(unit.id, "case"))
    if part.kind in CONTACT_KINDS:
        names = ends or [at(name) for name in terminals_of(part)]
        return [*_contacts(part, link_id, unit.id, names, at), *_coil(part, link_id, names, at)]
    kind: LinkKind = "load"
    if part.kind == "diode":
        kind = "diode"
    elif part.kind in SOURCE_KINDS:
        kind = "source"
    return [Link(kind, link_id, unit.id, tuple(ends))]


def _unit_links(design: Design, halves: Halves) -> list[Link]:
    """Units as loads: from their supply pins to their earth pins and their case."""
    supplies: dict[str, list[str]] = {}
    earths: dict[str, list[str]] = {}
    for plug in design.plugs.values():
        if not plug.of or plug.of not in design.devices:
            continue
        mate = design.plugs.get(halves.mates.get(plug.id, ""))
        for name in dict.fromkeys([*plug.pins, *(mate.pins if mate else ())]):
            pins = (plug.pins.get(name), mate.pins.get(name) if mate else None)
            role = next((pin.role for pin in pins if pin is not None and pin.role), "")
            side = {"supply": supplies, "earth": earths}.get(role)
            if side is not None:
                side.setdefault(plug.of, []).append(node_name(plug.id, name))
    links = []
    for unit, nodes in supplies.items():
        case = [node_name(unit, "case")] if design.devices[unit].case else []
        back = [*earths.get(unit, ()), *case]
        if back:
            links.append(Link("load", unit, unit, (*nodes, *back)))
    return links
