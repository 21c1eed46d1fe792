"""Feeds: lamp and sense terminals of an alternator, supply in the states a pin needs it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.connect import Link, Net
from wiregen.source import Span


def lamp_terminal_live(scene: Scene) -> Iterator[Found]:
    """The lamp terminal of an alternator is joined to a permanent supply."""
    for node, span in _lamp_terminals(scene):
        net = scene.network.net_of(node)
        if net is not None and scene.feeds.is_permanent(net.index):
            message = f"lamp terminal {node} is joined to a permanent supply"
            yield Found(message, span, (node,))


def _lamp_terminals(scene: Scene) -> Iterator[tuple[str, Span]]:
    for device in scene.design.devices.values():
        if device.lamp_terminal is not None:
            yield f"{device.id}:{device.lamp_terminal.at}", device.origin.span
    for plug in scene.design.plugs.values():
        for pin in plug.pins.values():
            if pin.role == "lamp terminal":
                yield f"{plug.id}:{pin.name}", pin.origin.span


def sense_not_live(scene: Scene) -> Iterator[Found]:
    """A sense terminal is not joined to a permanent supply."""
    for plug in scene.design.plugs.values():
        for pin in plug.pins.values():
            node = f"{plug.id}:{pin.name}"
            net = scene.network.net_of(node)
            if pin.role != "sense" or net is None or not net.wires or not scene.network.sources:
                continue
            if not scene.feeds.is_permanent(net.index) and not _leads_away(scene, net):
                message = f"sense pin {node} is not joined to the source it should measure"
                yield Found(message, pin.origin.span, (node,))


def _leads_away(scene: Scene, net: Net) -> bool:
    """Tell whether a net goes on in a loom that the file does not describe."""
    plugs = scene.design.plugs
    owners = ((node, plugs.get(node.partition(":")[0])) for node in net.nodes)
    return any(p and not p.of and not scene.network.wires_on.get(node) for node, p in owners)


def dead_in_state(scene: Scene) -> Iterator[Found | Missing]:
    """A pin that needs supply in a state cannot get it with the switches as they then are."""
    design, network = scene.design, scene.network
    for plug in design.plugs.values():
        for pin in plug.pins.values():
            node = f"{plug.id}:{pin.name}"
            wanted = [state for state, need in pin.needs.items() if need == "live"]
            yield from (
                Missing(f"state '{state}'", node) for state in wanted if state not in design.states
            )
            net = network.net_of(node)
            if net is None or not net.wires or net.index not in scene.feeds.supply:
                continue
            known = [state for state in wanted if state in design.states]
            dead = [state for state in known if not can_be_live(scene, net.index, state)]
            if dead:
                states = " and ".join(f"'{state}'" for state in dead)
                message = f"{node} must be live in state {states}, but no closed contact feeds it"
                yield Found(message, pin.origin.at("needs"), (node,))


def can_be_live(scene: Scene, start: int, state: str) -> bool:
    """Search towards a source through fuses and the contacts a state may close.

    Relay contacts count as closed either way: whether a relay pulls in is computed, not judged.
    """
    settings = scene.design.states[state].settings
    seen, queue = {start}, [start]
    while queue:
        net = scene.network.nets[queue.pop()]
        if scene.feeds.is_permanent(net.index) or net.index in scene.feeds.open:
            return True
        if settings.get(scene.feeds.charging.get(net.index, "")) == "running":
            return True
        if net.kind == "earth":
            continue
        for link, node in scene.network.links_on(net.nodes):
            if link.kind not in ("fuse", "contact", "diode") or not _may_close(link, settings):
                continue
            for other in link.nodes:
                target = scene.network.net_index[other]
                if other != node and target not in seen:
                    seen.add(target)
                    queue.append(target)
    return False


def _may_close(link: Link, settings: Mapping[str, str]) -> bool:
    position = settings.get(link.device, settings.get(link.id, ""))
    if link.kind != "contact" or not position or not link.when:
        return True
    return position in link.when or not {"at rest", "pulled in"}.isdisjoint(link.when)


RULES = (
    Rule(
        code="NET122",
        name="lamp terminal on permanent supply",
        title="The lamp terminal of an alternator is joined to a permanent supply",
        severity="error",
        why="The battery drains through the field when the engine stands, and the charge lamp "
        "never lights.",
        fix="Exchange the lamp wire and the sense wire, or bring the lamp wire to the lamp",
        source="forum correction of an alternator conversion: terminals 1 and 2 exchanged (case "
        "notes, address not kept)",
        needs="a source, lamp terminal",
        since="0.1",
        run=lamp_terminal_live,
    ),
    Rule(
        code="NET123",
        name="feed dead in a needed state",
        title="A pin that needs supply in a state cannot get it with the switches as they then are",
        severity="error",
        why="The control unit drops out while cranking, or loses its memory at key-off.",
        fix="Feed the pin from a contact that is closed in that state, fused for its wire",
        source="SAE J1962 tables: pin 16 is battery, not switched (youcanic.com)",
        needs="needs of the pin, the states it names, positions of the switches",
        since="0.1",
        run=dead_in_state,
    ),
    Rule(
        code="NET124",
        name="sense pin not on its source",
        title="A sense pin is not joined to a permanent supply",
        severity="warning",
        why="The regulator sees too little voltage and overcharges, or none and does not charge.",
        fix="Join the sense wire to the battery feed, fused",
        source="forum correction of an alternator conversion: sense belongs on the battery (case "
        "notes, address not kept)",
        needs="a source, role of the pins",
        since="0.1",
        run=sense_not_live,
    ),
)
