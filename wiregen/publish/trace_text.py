"""A trace and what hangs on a fuse, as text to read and as plain data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from wiregen.connect import Network, split_node
from wiregen.connect.behind import Behind, Part, Unplug
from wiregen.connect.legs import (
    Leg,
    fuse_words,
    legs_of,
    metal_ohm,
    ohm_words,
    part_words,
    size_words,
)
from wiregen.connect.screens import screens_at
from wiregen.connect.ways import Trace, Way
from wiregen.model import Design, in_order
from wiregen.publish.volts import Volts

OHM_NOTE = (
    "ohm at 20 degC by the conductor table, meter leads zeroed; "
    "fuses, switches and loads are not counted"
)


def trace_lines(
    design: Design, network: Network, found: Trace, volts: Volts | None = None
) -> list[str]:
    """Return a trace as lines of text.

    Args:
        design: the design.
        network: from `connect`.
        found: from `trace`.
        volts: expected volts, where they are known.
    """
    lines = [node_words(design, found.node), *screen_words(design, network, found.node)]
    up = ("To supply", found.up, "no supply is known for this pin")
    down = ("To earth", found.down, "no way to earth is known for this pin")
    returns = any(way.to == "load" for way in found.up)
    for heading, ways, nothing in (down, up) if returns else (up, down):
        lines.append("")
        if not ways:
            lines.append(f"{heading}: {nothing}")
        for number, way in enumerate(ways):
            if number:
                lines.append("")
            shared = _shared(ways[:number], way)
            lines.append(_heading(design, heading, way))
            lines += way_lines(design, network, way, shared)
    also = also_joined(design, network, found)
    if also:
        lines += ["", "Also on this metal", *(f"  {node_words(design, node)}" for node in also)]
    lines += ["", OHM_NOTE]
    if volts:
        lines += ["", *_volt_lines(found, volts)]
    return lines


def screen_words(design: Design, network: Network, node: str) -> list[str]:
    """Return what to say of each screen that ends at a pin, or at the half it pushes into."""
    here = screens_at(design, network).get(network.halves.wire_node(node), ())
    return [
        f"the screen of {screen.over} ({screen.id}) ends here; {screen.cut_back}" for screen in here
    ]


def also_joined(design: Design, network: Network, found: Trace) -> list[str]:
    """Return the pins of units on the same metal that are on none of the ways: inputs, mostly."""
    passed = {node for way in (*found.up, *found.down) for node in way.nodes}
    net = network.nets[network.net_index[found.node]]
    if net.kind in ("earth", "supply"):
        return []
    plugs = network.halves.built_in
    return [n for n in net.nodes if split_node(n)[0] in plugs and n not in passed]


def between_lines(design: Design, network: Network, way: Way) -> list[str]:
    """Return the way between two pins as lines of text."""
    parts = [hop.id for hop in way.hops if hop.kind not in ("wire", "joint")]
    joined = f"through {', '.join(parts)}" if parts else "joined by metal all the way"
    lines = [
        f"From {node_words(design, way.start)}",
        f"to {node_words(design, way.end)}: {joined}",
    ]
    return [*lines, *way_lines(design, network, way, 0), "", OHM_NOTE]


def way_lines(design: Design, network: Network, way: Way, shared: int) -> list[str]:
    """Return the legs of a way; those it shares with an earlier one in a single line."""
    legs = legs_of(design, network, way)
    lines: list[str] = []
    if shared:
        kept = [leg for leg in legs if _is_within(way, leg, shared)]
        lines.append(f"  as above to {kept[-1].end if kept else way.start}, then")
        legs = legs[len(kept) :]
    width = max((len(_ends(leg)) for leg in legs), default=0)
    lines += [f"  {_ends(leg):{width}}  {_leg_words(leg)}" for leg in legs]
    if not way.to:
        lines.append(f"  leads nowhere: nothing goes on from {way.end}")
    if way.to == "load":
        lines.append(f"  fed at {way.end}")
    total, without = metal_ohm(legs_of(design, network, way))
    if without:
        lines.append(f"  wires: {ohm_words(total)}, without {', '.join(without)}: not given")
    elif any(leg.kind == "wire" for leg in legs):
        lines.append(f"  wires all the way: {ohm_words(total)}")
    return lines


def _heading(design: Design, heading: str, way: Way) -> str:
    through = ", ".join(part_words(design, load) for load in dict.fromkeys(way.loads))
    if way.to == "load":
        return f"Return of {through}"
    end = f" {way.end}" if way.to else ""
    return f"{heading}{end}" + (f", through {through}" if through else "")


def _shared(earlier: Sequence[Way], way: Way) -> int:
    """Return how many steps a way has in common with one of the earlier ones, at most."""
    most = 0
    for other in earlier:
        same = 0
        for one, two in zip(other.hops, way.hops, strict=False):
            if one != two:
                break
            same += 1
        most = max(most, same)
    return most if most > 1 else 0


def _is_within(way: Way, leg: Leg, shared: int) -> bool:
    return leg.end in way.nodes[: shared + 1]


def _ends(leg: Leg) -> str:
    return f"{leg.start} {'=' if leg.kind in ('plug', 'joint') else '-'} {leg.end}"


def _leg_words(leg: Leg) -> str:
    facts = [leg.words]
    if leg.kind == "wire":
        facts.append(f"{leg.length_mm:g} mm" if leg.length_mm is not None else "length?")
        facts.append(ohm_words(leg.ohm) if leg.ohm is not None else "ohm?")
    if leg.lands:
        facts.append(leg.lands)
    if leg.change:
        facts.append(f"colour changes from {leg.change}")
    if leg.probe and leg.kind == "plug":
        facts.append(leg.probe)
    return "; ".join(facts) if leg.kind != "wire" else ", ".join(facts)


def node_words(design: Design, node: str) -> str:
    """Return a pin with what it carries and the title of its plug or device."""
    owner, point = split_node(node)
    plug = design.plugs.get(owner)
    if plug is not None:
        pin = plug.pins.get(point)
        carries = pin.carries if pin else ""
        return ", ".join(part for part in (f"{node} {carries}".rstrip(), plug.title) if part)
    for section in (design.devices, design.splices, design.fuses, design.earths, design.boxes):
        record: Any = section.get(owner)
        if record is not None:
            return f"{node} {record.title}".rstrip()
    return node


def _volt_lines(found: Trace, volts: Volts) -> list[str]:
    """Return the volts of every node on the first way up and down, a column a state."""
    nodes = [*reversed(found.up[0].nodes if found.up else ()), found.node]
    nodes += found.down[0].nodes if found.down else ()
    rows = [["volts expected", *volts]]
    rows += [
        [node, *(volt_words(at, node) for at in volts.values())] for node in dict.fromkeys(nodes)
    ]
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    return [
        "  ".join([row[0].ljust(widths[0]), *map(str.rjust, row[1:], widths[1:])]).rstrip()
        for row in rows
    ]


def volt_words(at: Mapping[str, float], node: str) -> str:
    """Return the volts of a node as a meter shows them; `-` for one that floats."""
    value = at.get(node)
    return "-" if value is None else f"{value:.1f}".replace("-0.0", "0.0")


def pin_volts(found: Trace, volts: Volts) -> list[str]:
    """Return the volts of the traced pin as short phrases, one a state."""
    if volts and not any(found.node in at for at in volts.values()):
        return ["floats in every state"]
    return [
        f"{state} {volt_words(at, found.node)} V" if found.node in at else f"{state} floats"
        for state, at in volts.items()
    ]


def trace_data(
    design: Design, network: Network, found: Trace, volts: Volts | None = None
) -> dict[str, Any]:
    """Return a trace as plain data for other programs."""
    return {
        "pin": found.node,
        "screens": screen_words(design, network, found.node),
        "volts": {state: at.get(found.node) for state, at in (volts or {}).items()},
        "to_supply": [way_data(design, network, way) for way in found.up],
        "to_earth": [way_data(design, network, way) for way in found.down],
        "also_joined": also_joined(design, network, found),
    }


def way_data(design: Design, network: Network, way: Way) -> dict[str, Any]:
    """Return one way as plain data."""
    legs = legs_of(design, network, way)
    total, without = metal_ohm(legs)
    return {
        "start": way.start,
        "end": way.end,
        "reaches": way.to,
        "through": list(dict.fromkeys(way.loads)),
        "wires_ohm": round(total, 6),
        "wires_without_ohm": list(without),
        "legs": [_leg_data(leg) for leg in legs],
    }


def _leg_data(leg: Leg) -> dict[str, Any]:
    said = {
        "kind": leg.kind,
        "from": leg.start,
        "to": leg.end,
        "id": leg.id,
        "what": leg.words,
        "colour": leg.colour,
        "size": leg.size,
        "length_mm": leg.length_mm,
        "ohm": None if leg.ohm is None else round(leg.ohm, 6),
        "probe": leg.probe,
        "lands_on": leg.lands,
        "colour_change": leg.change,
    }
    return {key: value for key, value in said.items() if value not in ("", None)}


def fuse_lines(design: Design, found: Behind, order: Sequence[Unplug]) -> list[str]:
    """Return what hangs on a fuse as lines of text."""
    lines = [_capital(fuse_words(design, found.fuse)), "", "It feeds"]
    for part in found.parts:
        note = "" if part.watched else "; not monitored: a feed and an earth, nothing tells of it"
        lines.append(f"  {part.node}  {_part_words(design, part)}{note}")
    if not found.parts:
        lines.append("  nothing that is known")
    lines += ["", f"Wires: {', '.join(found.wires) or 'none'}"]
    smallest = _smallest(design, found.wires)
    if smallest:
        lines.append(f"Smallest of them: {smallest}")
    if found.fuses:
        lines.append(f"Fuses behind it: {', '.join(found.fuses)}")
    lines += ["", "Plugs and cavities on the way"]
    lines += [f"  {plug}: {', '.join(cavities)}" for plug, cavities in _by_plug(found.pins)]
    lines += ["", "To find a short with the fewest steps (lamp in place of the fuse)"]
    width = len(str(len(order)))
    for number, step in enumerate(order, start=1):
        lines.append(f"  {number:{width}}  {_step_words(design, step)}")
    return lines


def _part_words(design: Design, part: Part) -> str:
    return node_words(design, part.id) if part.id == part.node else part_words(design, part.id)


def _by_plug(pins: Sequence[str]) -> list[tuple[str, list[str]]]:
    plugs: dict[str, list[str]] = {}
    for node in pins:
        plug, cavity = split_node(node)
        plugs.setdefault(plug, []).append(cavity)
    return [(plug, in_order(cavities)) for plug, cavities in plugs.items()]


def _smallest(design: Design, wires: Sequence[str]) -> str:
    sized = [wire for wire in map(design.wires.__getitem__, wires) if wire.size is not None]
    if not sized:
        return ""
    least = min(sized, key=lambda wire: wire.size.area_mm2 if wire.size else 0.0)
    return f"{least.id} {size_words(least.size)}"


def _step_words(design: Design, step: Unplug) -> str:
    if not step.point:
        return f"look at {', '.join(step.suspects)}"
    return f"{_parting(design, step.point)}. Short gone: step {step.gone}; still: step {step.still}"


def _parting(design: Design, point: str) -> str:
    if "/" in point:
        plug = design.plugs[point.partition("/")[0]]
        return f"pull {point} {plug.title} apart".replace("  ", " ")
    if point in design.fuses:
        return f"take out {point} {design.fuses[point].title}".rstrip()
    device = design.devices.get(point)
    if device is not None and device.kind == "relay":
        return f"take out {point} {device.title}".rstrip()
    return f"open {part_words(design, point)}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def fuse_data(design: Design, found: Behind, order: Sequence[Unplug]) -> dict[str, Any]:
    """Return what hangs on a fuse as plain data."""
    return {
        "fuse": found.fuse,
        "rating_a": design.fuses[found.fuse].rating_a,
        "feeds": [
            {"id": part.id, "at": part.node, "monitored": part.watched} for part in found.parts
        ],
        "wires": list(found.wires),
        "pins": list(found.pins),
        "fuses_behind": list(found.fuses),
        "unplug": [
            {
                "step": number,
                "point": step.point,
                "suspects": list(step.suspects),
                "if_gone": step.gone or None,
                "if_still": step.still or None,
            }
            for number, step in enumerate(order, start=1)
        ],
    }
