"""The fuse chart and the earth list, for the glove box."""

from __future__ import annotations

from collections.abc import Iterable

from wiregen.check.feeds import find_feeds
from wiregen.connect import Network, split_node
from wiregen.connect.behind import behind_fuse
from wiregen.connect.legs import size_words
from wiregen.connect.screens import screens_at
from wiregen.connect.trace import Tracer
from wiregen.connect.ways import Way
from wiregen.facts.fuses import fuse_colour
from wiregen.layout.tables import Table, columns
from wiregen.model import Design, Fuse
from wiregen.publish.tables.cutting import Cutting


def fuse_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return every fuse: number, name, rating, where it is, when it is live, what it feeds."""
    rows = []
    live = live_words(design, network)
    behind = {fuse: behind_fuse(network, fuse) for fuse in design.fuses}
    for fuse in design.fuses.values():
        found = behind[fuse.id]
        further = [behind[other] for other in found.fuses]
        theirs = {part.id for other in further for part in other.parts}
        feeds = [_part_name(design, part.id) for part in found.parts if part.id not in theirs]
        theirs = {wire for other in further for wire in other.wires}
        wires = [design.wires[wire] for wire in found.wires if wire not in theirs]
        sized = sorted((w for w in wires if w.size), key=lambda w: w.size.area_mm2 if w.size else 0)
        rows.append(
            (
                fuse.id,
                fuse.title,
                f"{fuse.rating_a:g}" if fuse.rating_a is not None else "",
                fuse.style,
                _colour(fuse),
                place_words(design, fuse),
                live[fuse.id],
                ", ".join(dict.fromkeys([*feeds, *found.fuses])) or _charged(design, network, fuse),
                f"{sized[0].id} {size_words(sized[0].size)}" if sized else "",
            )
        )
    return Table(
        "fuses",
        "Fuse chart",
        columns(
            "*Fuse",
            "Name",
            "#Rating A",
            "Style",
            "Fuse colour",
            "Place",
            "Live",
            "Feeds",
            "Smallest wire behind",
        ),
        tuple(rows),
        (
            "Never fit a larger fuse. What hangs on a further fuse is listed there. "
            "Fuse colours: ISO 8820-3 as copied; the number counts.",
        ),
    )


def place_words(design: Design, fuse: Fuse) -> str:
    """Return where a fuse sits: its box and bar, or the stud it is fitted on."""
    for box in design.boxes.values():
        for bar, members in box.bars.items():
            if fuse.id in members:
                return f"{box.id} {box.title}".rstrip() + f", bar {bar}"
    if fuse.fitted_on is not None:
        return f"on {fuse.fitted_on.text}"
    return fuse.where


def live_words(design: Design, network: Network) -> dict[str, str]:
    """Return when each fuse is live, from either side, by the contacts its feed comes through."""
    tracer, feeds = Tracer(network), find_feeds(design, network)
    said: dict[str, str] = {}
    for fuse in design.fuses:
        net = network.net_index.get(f"{fuse}:in")
        if net is not None and feeds.is_permanent(net):
            said[fuse] = "always"
            continue
        found = [_contact_words(way) for way in tracer.feeds(f"{fuse}:in") if way.to][:3]
        if net is not None and net in feeds.charging:
            found.append(f"{feeds.charging[net]} running")
        said[fuse] = " or ".join(dict.fromkeys(found)) or "no source known"
    return said


def _contact_words(way: Way) -> str:
    contacts = [hop for hop in way.hops if hop.kind == "contact"]
    return "; ".join(f"{hop.id} {', '.join(hop.when)}".rstrip() for hop in contacts) or "always"


def _charged(design: Design, network: Network, fuse: Fuse) -> str:
    """Return the machine that feeds back through a fuse that feeds nothing itself."""
    here = {network.net_index[node] for node in (f"{fuse.id}:in", f"{fuse.id}:out")}
    names = [
        f"charged by {_part_name(design, link.id)}"
        for link in network.links
        if link.kind == "source"
        and design.devices[link.id].kind == "alternator"
        and here & {network.net_index[node] for node in link.nodes}
    ]
    return ", ".join(dict.fromkeys(names))


def _part_name(design: Design, part: str) -> str:
    owner, _, inner = part.partition(".")
    if ":" in part:
        pin = design.plugs[split_node(part)[0]].pins.get(split_node(part)[1])
        return f"{part} {pin.carries}".rstrip() if pin else part
    device = design.devices.get(part) or design.devices.get(owner)
    if device is None:
        return part
    named = device.inside.get(inner, device) if part not in design.devices else device
    return named.title or part


def _colour(fuse: Fuse) -> str:
    if fuse.rating_a is None or not fuse.style:
        return ""
    style = {"mini blade": "blade", "maxi blade": "large blade"}.get(fuse.style, fuse.style)
    found = fuse_colour(fuse.rating_a, style)
    return found.colour if found else ""


def earth_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return every earth point with all that is bolted to it."""
    rows = []
    screens = screens_at(design, network)
    for earth in design.earths.values():
        ends = [_wire_end(network, earth.id, wire) for wire in network.wires_at(earth.id)]
        ends += [f"{s.id} (screen of {s.over})" for s in screens.get(earth.id, ())]
        cases = [d for d in design.devices.values() if d.case == earth.id]
        rows.append(
            (
                earth.id,
                earth.title,
                earth.kind,
                ", ".join(word for word in (earth.at, earth.zone) if word),
                ", ".join(ends),
                ", ".join(f"{d.id} {d.title}".rstrip() for d in cases),
            )
        )
    return Table(
        "earths",
        "Earth points",
        columns("*Earth", "Title", "Kind", "Place", "Wires (from)", "Housings"),
        tuple(rows),
    )


def _wire_end(network: Network, earth: str, wire: str) -> str:
    far: Iterable[str] = (node for node in network.written[wire] if node != earth)
    return f"{wire} ({next(iter(far), 'end not recorded')})"
