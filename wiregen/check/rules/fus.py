"""Fuses: what is reached from a source without passing one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiregen.check.known import A_SOURCE, title
from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.compute.fuse_lead import Lead, is_starter_cable
from wiregen.compute.rating import rated
from wiregen.model import Wire, in_order
from wiregen.problems import Note

_SHORT_SHARE = 1.25
"""Short-circuit current that the wires of a solar panel bear for long. From memory."""


def unfused(scene: Scene) -> Iterator[Found | Missing]:
    """Wires are reached from a source without passing a fuse."""
    network = scene.network
    if not network.sources and scene.design.fuses:
        yield Missing(A_SOURCE)
    leads: dict[str, list[Lead]] = {}
    for lead in scene.study.leads:
        for name in lead.wires:
            leads.setdefault(name, []).append(lead)
    other = {  # on a short way to a fuse, or on one whose length FUS109 tells
        name for name, ways in leads.items() if any(lead.is_short or lead.is_far for lead in ways)
    }
    for index, source in _unfused_nets(scene).items():
        net = network.nets[index]
        wires = [scene.design.wires[w] for w in net.wires]
        wires = [w for w in wires if w.id not in other and not is_starter_cable(scene.design, w)]
        if not wires or _bears_all(scene, net.nodes, source, wires):
            continue
        listed = ", ".join(_described(w) for w in wires)
        loads = _loads(scene, net.nodes)
        feeds = f", feeding {', '.join(loads)}" if loads else ""
        fuses = in_order({lead.fuse for w in wires for lead in leads.get(w.id, ())})
        behind = f"; {', '.join(fuses)} only behind" if fuses else ""
        message = f"no fuse between {source} and {listed}{feeds}{behind}"
        notes = tuple(Note(f"{w.id} is not fused", w.origin.span) for w in wires[1:])
        yield Found(message, wires[0].origin.span, (*(w.id for w in wires), source), notes)


def _bears_all(scene: Scene, nodes: Iterable[str], source: str, wires: list[Wire]) -> bool:
    """Tell whether wires carry all that a weak source, such as a solar panel, gives into a short.

    Only where it alone is on their metal, and no contact leads on to another one.
    """
    design, network = scene.design, scene.network
    device = design.devices.get(source.partition(":")[0])
    links = [link for link, _ in network.links_on(nodes) if link.kind in ("source", "contact")]
    if device is None or [link.id for link in links] != [device.id]:
        return False
    if device.kind != "battery" or not device.volts_v or not device.resistance_ohm:
        return False
    most_a = _SHORT_SHARE * device.volts_v / device.resistance_ohm
    tables = [rated(scene.study, wire).ampacity for wire in wires]
    return all(table is not None and most_a <= table.amps_a for table in tables)


def _unfused_nets(scene: Scene) -> dict[int, str]:
    """Return net -> the live pole it hangs on by metal and contacts alone."""
    network = scene.network
    found: dict[int, str] = {}
    queue: list[int] = []
    for node in network.sources:
        index = network.net_index[node]
        if network.nets[index].kind != "earth" and index not in found:
            found[index] = node
            queue.append(index)
    for index in queue:
        for link, node in network.links_on(network.nets[index].nodes):
            for other in link.nodes if link.kind == "contact" else ():
                target = network.net_index[other]
                if other != node and target not in found and network.nets[target].kind != "earth":
                    found[target] = found[index]
                    queue.append(target)
    return found


def far_fuse(scene: Scene) -> Iterator[Found | Missing]:
    """The first fuse sits too far from the battery."""
    wires = scene.design.wires
    for lead in scene.study.leads:
        if lead.length_mm > lead.furthest_mm:
            continue  # FUS101 tells it
        for name in lead.missing:
            yield Missing("length", name)
        if lead.is_far:
            named = ", ".join(_described(wires[name]) for name in lead.wires)
            more = " at least" if lead.missing else ""
            yield Found(
                f"{lead.fuse} sits {lead.length_mm:g} mm{more} from {lead.battery}, by {named}; "
                f"{lead.limit_mm:g} mm are usual ({lead.limit_words}; no published rule for "
                "vehicles was found)",
                wires[lead.wires[0]].origin.span,
                (lead.fuse, *lead.wires),
                group=" ".join((lead.battery, *lead.wires)),
                summary=f"{{count}} fuses sit too far from {lead.battery}, behind {named}: "
                f"{{members}}; {lead.limit_mm:g} mm are usual ({lead.limit_words}; no published "
                "rule for vehicles was found)",
                member=f"{lead.fuse} {lead.length_mm:g} mm{more}",
            )


def _described(wire: Wire) -> str:
    facts = [wire.size.label if wire.size else "", _length(wire)]
    words = ", ".join(fact for fact in facts if fact)
    return f"{wire.id} ({words})" if words else wire.id


def _length(wire: Wire) -> str:
    return f"{wire.length_mm:g} mm" if wire.length_mm is not None else ""


def _loads(scene: Scene, nodes: tuple[str, ...]) -> list[str]:
    loads = [
        title(scene.design.devices, link.device)
        for link, _ in scene.network.links_on(nodes)
        if link.kind == "load"
        and scene.design.devices[link.device].use != "starter"
        and scene.design.devices[link.device].kind not in ("battery", "alternator")
    ]
    return list(dict.fromkeys(loads))


RULES = (
    Rule(
        code="FUS101",
        name="unfused reach",
        title="Wires are reached from a source without passing a fuse",
        severity="error",
        why="When such a wire touches metal nothing stops the current: the insulation burns along "
        "its whole length, and the fire cannot be switched off.",
        fix="Fit a fuse close to the source, rated for the smallest wire behind it; accept a cable "
        "that must go without one with a reason",
        source="blog.korte.land 2016-11-26, dashboard fire; ftp.team.net, mailing list 2000-08 "
        "msg00034",
        needs="a source",
        since="0.1",
        run=unfused,
    ),
    Rule(
        code="FUS109",
        name="fuse far from the battery",
        title="The first fuse sits too far from the battery",
        severity="warning",
        why="A short on the length before the fuse burns until the battery is flat or the cable is "
        "gone.",
        fix="Move the fuse to the battery post or close to it, or sheathe the length before it",
        source="ABYC E-11 for boats, from memory: 7 in, 40 in sheathed, 72 in sheathed from the "
        "battery post, beyond which the length counts as unfused; 6 to 18 in as one article on "
        "cars has it",
        needs="a battery, length of the wires up to the first fuse",
        since="0.1",
        run=far_fuse,
    ),
)
