"""Safety: high voltage, and circuits on which a life depends."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import chain

from wiregen.check.rule import Found, Rule, Scene
from wiregen.connect import Link
from wiregen.model import Device, Wire
from wiregen.problems import Note
from wiregen.source import Span

_LIMIT_V = 60.0
_QUALIFIED = ("brake", "steering", "lighting", "fuel")
_WORDS = re.compile(
    r"\b(air ?bags?|srs|restraint|seat ?belts?|pre-?tensioners?|abs|brak(e|es|ing)|steering|eps)\b",
    re.IGNORECASE,
)


def high_voltage(scene: Scene) -> Iterator[Found]:
    """A source, a string of sources or a charging voltage is above 60 V DC."""
    for device in _sources(scene):
        if device.volts_v is not None and device.volts_v > _LIMIT_V:
            message = f"{device.id} has {device.volts_v:g} V, above {_LIMIT_V:g} V DC"
            yield Found(message, device.origin.at("volts"), (device.id,))
    volts = scene.design.system.volts_v
    if volts is not None and volts > _LIMIT_V:
        message = f"the system has {volts:g} V, above {_LIMIT_V:g} V DC"
        yield Found(message, scene.design.origin.at("system"), ("system",))
    for circuit in scene.design.circuits.values():
        if circuit.volts_v is not None and circuit.volts_v > _LIMIT_V:
            message = f"circuit '{circuit.name}' has {circuit.volts_v:g} V, above {_LIMIT_V:g} V DC"
            yield Found(message, circuit.origin.at("volts"), (circuit.name,))
    for plug in scene.design.plugs.values():
        for pin in plug.pins.values():
            if pin.volts_v is not None and pin.volts_v > _LIMIT_V:
                node = f"{plug.id}:{pin.name}"
                message = f"{node} has {pin.volts_v:g} V, above {_LIMIT_V:g} V DC"
                yield Found(message, pin.origin.at("volts"), (node,))
    yield from _strings(scene)


def _sources(scene: Scene) -> Iterator[Device]:
    for device in scene.design.devices.values():
        yield from (d for d in (device, *device.inside.values()) if _is_source(d))


def _is_source(device: Device) -> bool:
    return device.kind in ("battery", "alternator", "converter")


def _strings(scene: Scene) -> Iterator[Found]:
    """Add up sources in series: the live pole of one on the return of the next."""
    volts: dict[str, float] = {}
    after: dict[int, list[Link]] = {}
    links = [link for link in scene.network.links if link.kind == "source" and len(link.nodes) > 1]
    for link in links:
        device = scene.design.devices[link.device]
        record = device.inside.get(link.id.partition(".")[2]) or device
        volts[link.id] = record.volts_v or 0.0
        after.setdefault(_group(scene, link.nodes[1]), []).append(link)
    for link in links:
        if _has_lower(scene, link, links):
            continue
        chain_ids, total = _longest(scene, link, after, volts)
        highest = max((volts[name] for name in chain_ids), default=0.0)
        if len(chain_ids) > 1 and total > _LIMIT_V >= highest:
            first = scene.design.devices[link.device]
            names = ", ".join(chain_ids)
            message = f"{names} in series make {total:g} V, above {_LIMIT_V:g} V DC"
            notes = tuple(
                Note(f"{name} is in the string", scene.design.devices[name].origin.span)
                for name in chain_ids[1:]
                if name in scene.design.devices
            )
            yield Found(message, first.origin.span, tuple(chain_ids), notes)


def _group(scene: Scene, node: str) -> int:
    """Return the group a node is in when fuses and contacts count as metal within a string."""
    return scene.feeds.fused[scene.network.net_index[node]]


def _has_lower(scene: Scene, link: Link, links: list[Link]) -> bool:
    here = _group(scene, link.nodes[1])
    return any(other is not link and _group(scene, other.nodes[0]) == here for other in links)


def _longest(
    scene: Scene, start: Link, after: dict[int, list[Link]], volts: dict[str, float]
) -> tuple[list[str], float]:
    """Walk up a string from its lowest source; where it forks the higher branch counts."""
    ids, total, seen = [start.id], volts[start.id], {start.id}
    here = start
    while True:
        onward = [n for n in after.get(_group(scene, here.nodes[0]), ()) if n.id not in seen]
        if not onward:
            return ids, total
        here = max(onward, key=lambda n: volts[n.id])
        seen.add(here.id)
        ids.append(here.id)
        total += volts[here.id]


def class_changed(scene: Scene) -> Iterator[Found]:
    """A circuit with a safety class is new or changed."""
    for name, (kind, wires) in _safety_wires(scene).items():
        changed = [w for w in wires if _is_changed(scene, w)]
        if kind not in _QUALIFIED or not changed:
            continue
        listed = ", ".join(w.id for w in changed)
        yield Found(
            f"{_shown(scene, name)} is of class {kind} and has new or changed wires: {listed}",
            changed[0].origin.span,
            (name, *(w.id for w in changed)),
            group=kind,
            summary=f"{{count}} objects of class {kind} have new or changed wires: {{members}}",
            member=f"{_shown(scene, name)} ({listed})",
        )


def _shown(scene: Scene, name: str) -> str:
    return f"circuit '{name}'" if name in scene.design.circuits else name


def restraint(scene: Scene) -> Iterator[Found]:
    """A wire of a restraint circuit is new or cut."""
    for name, (kind, wires) in _safety_wires(scene).items():
        for wire in wires if kind == "restraint" else ():
            if _is_changed(scene, wire):
                word = "cut" if wire.fate in ("insulated", "removed") else "new or changed"
                shown = _shown(scene, name)
                message = f"{wire.id} of {shown} is {word}; restraint circuits are not rewired"
                yield Found(message, wire.origin.span, (wire.id, name))


def _is_changed(scene: Scene, wire: Wire) -> bool:
    changed = wire.fate in ("moved", "insulated", "removed")
    return changed or scene.design.status_of(wire) in ("new", "removed")


def _safety_wires(scene: Scene) -> dict[str, tuple[str, list[Wire]]]:
    """Return circuit, plug or device -> its class and the wires it is about."""
    design, network = scene.design, scene.network
    found: dict[str, tuple[str, list[Wire]]] = {}
    for circuit in design.circuits.values():
        if circuit.safety:
            nets = [network.nets[i] for i in network.circuits.get(circuit.name, ())]
            ids = dict.fromkeys(w for net in nets for w in _all_wires(scene, net.nodes))
            found[circuit.name] = (circuit.safety, [design.wires[w] for w in ids])
    touching: dict[str, list[Wire]] = {}
    for wire in design.wires.values():
        for owner in dict.fromkeys(end.owner for end in wire.ends):
            touching.setdefault(owner, []).append(wire)
    for plug in design.plugs.values():
        if plug.safety:
            mate = network.mate(plug.id) or ""
            both = [*touching.get(plug.id, ()), *touching.get(mate, ())]
            found[plug.id] = (plug.safety, list(dict.fromkeys(both)))
    for device in design.devices.values():
        if device.safety:
            plugs = [p.id for p in design.plugs.values() if p.of == device.id]
            mates = [network.mate(p) or "" for p in plugs]
            wires = chain.from_iterable(touching.get(n, ()) for n in (device.id, *plugs, *mates))
            found[device.id] = (device.safety, list(dict.fromkeys(wires)))
    return found


def _all_wires(scene: Scene, nodes: tuple[str, ...]) -> Iterator[str]:
    for node in nodes:
        yield from scene.network.wires_on.get(node, ())


def undeclared(scene: Scene) -> Iterator[Found]:
    """A word such as airbag, brake or steering, without a declared class."""
    for name, words, span in _described(scene):
        match = _WORDS.search(words)
        if match:
            yield Found(
                f"{name} reads '{words}'; if it is a safety circuit, declare its class",
                span,
                (name,),
                group="words",
                summary="{count} descriptions name brakes, steering or restraints without a "
                "class: {members}",
                member=f"{name} '{words}'",
            )


def _described(scene: Scene) -> Iterator[tuple[str, str, Span]]:
    """Yield name, words and place of everything described in words that has no class."""
    design = scene.design
    classed = {name for name, circuit in design.circuits.items() if circuit.safety}
    safe_devices = {name for name, device in design.devices.items() if device.safety}
    for plug in design.plugs.values():
        if plug.safety or plug.of in safe_devices:
            continue
        for pin in plug.pins.values():
            if pin.circuit not in classed and pin.carries:
                yield f"{plug.id}:{pin.name}", pin.carries, pin.origin.at("carries")
    for device in design.devices.values():
        if not device.safety and device.title:
            yield device.id, device.title, device.origin.at("title")


RULES = (
    Rule(
        code="SAF101",
        name="above 60 V",
        title="A source, a string of sources or a charging voltage is above 60 V DC",
        severity="error",
        why="Above 60 V DC a touch can kill, and an arc does not go out by itself. Fuses, relays, "
        "plugs and wires for 12 or 24 V are not made for it.",
        fix="Stop here: such a system needs a qualified person and parts rated for its voltage",
        source="ISO 6469-3 and UN Regulation 100: voltage class B begins above 60 V DC (from "
        "memory)",
        needs="volts of the sources",
        since="0.1",
        run=high_voltage,
        stage="structure",
    ),
    Rule(
        code="SAF102",
        name="safety circuit changed",
        title="A circuit of class brake, steering, lighting or fuel is new or changed",
        severity="warning",
        why="A fault in it can cause an accident or a fire; the vehicle may not be road-legal "
        "without an inspection.",
        fix="Check the local rules, and have the change made or inspected by a qualified person",
        source="common practice, no source",
        needs="class of circuits, plugs or devices",
        since="0.1",
        run=class_changed,
        stage="structure",
    ),
    Rule(
        code="SAF103",
        name="restraint circuit touched",
        title="A wire of a restraint circuit is new or cut",
        severity="error",
        why="An airbag can fire while somebody works on it, or not fire in a crash.",
        fix="Leave restraint circuits as they were delivered",
        source="common practice, no source",
        needs="class of circuits, plugs or devices",
        since="0.1",
        run=restraint,
        stage="structure",
    ),
    Rule(
        code="SAF104",
        name="safety class not declared",
        title="A description names brakes, steering or restraints, and no class is declared",
        severity="info",
        why="The class decides which warnings are printed; it is never guessed from words.",
        fix="Write 'class: brake', 'steering' or 'restraint' on the circuit, plug or device",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=undeclared,
        stage="structure",
    ),
)
