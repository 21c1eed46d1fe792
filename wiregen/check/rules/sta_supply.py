"""States: what must be live or dead, what is left on, what gets too much or cannot be fed."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.check.rules.computed import (
    called,
    device_of,
    in_states,
    lacking,
    owners,
    place_of,
    solved,
)
from wiregen.check.rules.net_feeds import can_be_live
from wiregen.compute.elements import Element
from wiregen.compute.needs import DEAD_V, LIVE_SHARE, needs, nominal_v
from wiregen.compute.numbers import amps, shown
from wiregen.compute.states import Point
from wiregen.model import in_order

_BIG_A = 5.0
_MOST_SHARE = 1.2
_ON_SHARE = 0.5
_OFF_SHARE = 0.1


def unmet_need(scene: Scene) -> Iterator[Found | Missing]:
    """A pin is not live, or not dead, in a state where it has to be."""
    yield from lacking(scene)
    if not solved(scene):
        return
    nominal = nominal_v(scene.study) or 0.0
    for need in needs(scene.study):
        net = scene.network.net_of(need.node)
        if need.met is not False or net is None or not net.wires:
            continue
        if need.wanted == "live" and not can_be_live(scene, net.index, need.state):
            continue
        volts = "no voltage" if need.volts_v is None else f"{shown(need.volts_v)} V"
        least = LIVE_SHARE * (need.pin.volts_v or nominal)
        limit = f"at least {least:g} V" if need.wanted == "live" else f"below {DEAD_V:g} V"
        yield Found(
            f"{need.node} ({need.carries or 'no words'}) has {volts} in state '{need.state}'; "
            f"it must be {need.wanted}, {limit}",
            need.pin.origin.at("needs"),
            (need.node,),
        )


def left_on(scene: Scene) -> Iterator[Found | Missing]:
    """A big load stays on while the starter turns."""
    yield from lacking(scene)
    for point in solved(scene):
        if not _cranks(scene, point):
            continue
        for element in point.elements:
            device = device_of(scene, element)
            current = abs(point.amps(element.id))
            if element.part != "load" or device is None or device.use == "starter":
                continue
            if current >= _BIG_A and point.name not in device.on_states:
                yield Found(
                    f"{called(scene, element)} takes {amps(current)} in state '{point.name}' while "
                    f"the starter turns",
                    place_of(scene, element.id),
                    owners(element.id),
                )


def _cranks(scene: Scene, point: Point) -> bool:
    starters = [d.id for d in scene.design.devices.values() if d.use == "starter"]
    return any(abs(point.amps(name)) > 1 for name in starters)


def too_many_volts(scene: Scene) -> Iterator[Found | Missing]:
    """A load or an input gets more than it stands."""
    yield from lacking(scene)
    worst: dict[str, tuple[float, str, str]] = {}
    for point in solved(scene):
        for element in point.elements:
            if element.part not in ("load", "coil"):
                continue
            volts = abs(point.across(element))
            limit = _limit(scene, element)
            if limit and volts > limit[0] and volts > worst.get(element.id, (0.0, "", ""))[0]:
                worst[element.id] = (volts, point.name, limit[1])
    for name, (volts, state, words) in worst.items():
        yield Found(
            f"{called(scene, name)} gets {shown(volts)} V in state '{state}'; {words}",
            place_of(scene, name),
            owners(name),
        )


def _limit(scene: Scene, element: Element) -> tuple[float, str] | None:
    """Return the most volts of a load and why; resistors are judged by their power."""
    if element.rated_v:
        words = f"it is made for {element.rated_v:g} V, 120 % is the limit"
        return _MOST_SHARE * element.rated_v, words
    device = device_of(scene, element)
    if device is not None and device.kind == "resistor" and device.watts_w and element.ohm:
        volts = (device.watts_w * element.ohm) ** 0.5
        return volts, f"at {volts:.3g} V it turns its {device.watts_w:g} W into heat"
    return None


def unstable(scene: Scene) -> Iterator[Found | Missing]:
    """A state has no operating point: a relay chatters, or nothing can be computed."""
    yield from lacking(scene)
    if not scene.network.sources:
        return
    for point in scene.study.points.values():
        if point.outcome == "no stable state":
            who = " and ".join(point.chattering)
            message = f"state '{point.name}' is not stable: {who} pulls in and drops out in turn"
        elif point.outcome == "no operating point":
            message = f"state '{point.name}' has no operating point; nothing is said of it"
        else:
            continue
        span = scene.design.states[point.name].origin.span
        yield Found(message, span, (*point.chattering, point.name))


def second_state(scene: Scene) -> Iterator[Found | Missing]:
    """A relay stays in if it was in before, and stays out if it was out."""
    yield from lacking(scene)
    if not solved(scene):
        return
    stays: dict[str, list[str]] = {}
    for name, point in scene.study.latched.items():
        for pull in set(point.pulled) - set(scene.study.points[name].pulled):
            stays.setdefault(pull, []).append(name)
    for pull in in_order(stays):
        states = stays[pull]
        point = scene.study.latched[states[0]]
        coil = next(p for p in scene.study.circuit.pulls if p.id == pull)
        volts = abs((point.volts(coil.a) or 0.0) - (point.volts(coil.b) or 0.0))
        yield Found(
            f"{pull} stays pulled in {in_states(states)} if it was in before: its coil has "
            f"{shown(volts)} V, it drops out below {coil.drops_out_v:g} V",
            place_of(scene, pull),
            owners(pull),
        )


def not_supplied(scene: Scene) -> Iterator[Found | Missing]:
    """The line cannot deliver the power a load takes."""
    yield from lacking(scene)
    for point in solved(scene):
        for name in point.starved:
            element = scene.study.circuit.elements[scene.study.circuit.place[name]]
            yield Found(
                f"{called(scene, name)} cannot be supplied in state '{point.name}': it wants "
                f"{element.watts_w:g} W above {element.min_volts_v:g} V, and the voltage breaks "
                "down below that",
                place_of(scene, name),
                owners(name),
            )


def intent(scene: Scene) -> Iterator[Found | Missing]:
    """A load is on in a state where it is not meant to be, or off where it is."""
    yield from lacking(scene)
    wrong: dict[str, list[tuple[bool, float, str]]] = {}
    for point in solved(scene):
        for element in point.circuit.elements:
            device = device_of(scene, element)
            if device is None or not device.on_states or element.part not in ("load", "coil"):
                continue
            wanted = point.name in device.on_states
            volts = abs(point.across(element)) if point.is_present(element) else 0.0
            share = volts / element.rated_v if element.rated_v else float(volts > 1)
            relay = element.part == "coil"
            on = device.id in point.pulled if relay else share >= _ON_SHARE
            off = device.id not in point.pulled if relay else share < _OFF_SHARE
            if (wanted and not on) or (not wanted and not off):
                name = element.id.removesuffix(" resistor")
                wrong.setdefault(name, []).append((wanted, volts, point.name))
    for name, hits in wrong.items():
        device = device_of(scene, name)
        states = {meant: _with_volts(hits, meant) for meant in (False, True)}
        words = [
            f"has {states[meant]}, where it is meant to be {'on' if meant else 'off'}"
            for meant in (False, True)
            if states[meant]
        ]
        inverted = ": it works the wrong way round" if all(states.values()) else ""
        yield Found(
            f"{called(scene, name)} {' and '.join(words)}{inverted}",
            device.origin.at("on_when") if device is not None else place_of(scene, name),
            owners(name),
        )


def _with_volts(hits: list[tuple[bool, float, str]], meant: bool) -> str:
    """Return `12.10 V in state 'low'` for every state of one kind."""
    return " and ".join(
        f"{shown(volts)} V in state '{state}'" for wanted, volts, state in hits if wanted is meant
    )


_STATES = "states, facts of sources and loads"
RULES = (
    Rule(
        code="STA101",
        name="need not met",
        title="A pin is not live, or not dead, in a state where it has to be",
        severity="error",
        why="A control unit that loses its supply while cranking lets the engine fire only when "
        "the key is let go; one that stays live drains the battery.",
        fix="Feed the pin from a contact that is closed in just those states",
        source="workshop pages on key positions: 15 stays, X drops out in START (jdmfsm.info)",
        needs=f"needs of the pins, {_STATES}",
        since="0.1",
        run=unmet_need,
        stage="states",
    ),
    Rule(
        code="STA102",
        name="load on while cranking",
        title="A big load stays on while the starter turns",
        severity="warning",
        why="It takes from the starter what the starter needs on a cold morning.",
        fix="Feed it from a contact that opens while cranking, or name the state in its on_when",
        source="jdmfsm.info: the second ignition feed loses 12 V in START",
        needs=f"use: starter, {_STATES}",
        since="0.1",
        run=left_on,
        stage="states",
    ),
    Rule(
        code="STA106",
        name="too many volts",
        title="A load gets more than 120 % of its voltage, or a resistor more than its power",
        severity="error",
        why="Lamps burn out, coils and resistors scorch what is next to them.",
        fix="Feed it from the other voltage, or fit a part made for this one",
        source="common practice, no source",
        needs=_STATES,
        since="0.1",
        run=too_many_volts,
        stage="states",
    ),
    Rule(
        code="STA107",
        name="no stable state",
        title="A state has no operating point: a relay chatters, or nothing can be computed",
        severity="error",
        why="The relay buzzes and burns its contacts; what the rest does cannot be said.",
        fix="Do not let a relay break the current of its own coil",
        source="common practice, no source",
        needs=_STATES,
        since="0.1",
        run=unstable,
        stage="states",
    ),
    Rule(
        code="STA108",
        name="relay that stays in",
        title="A relay stays in if it was in before, and stays out if it was out",
        severity="warning",
        why="What it switches depends on what was done before: the engine that does not stop.",
        fix="Break the feed of the coil, or declare the latch in a note and waive this",
        source="neuralfibre.com: a relay pulls in at 8 to 9 V and holds at about 4 V",
        needs=_STATES,
        since="0.1",
        run=second_state,
        stage="states",
    ),
    Rule(
        code="STA112",
        name="not as meant",
        title="A load is on in a state where it is not meant to be, or off where it is",
        severity="error",
        why="The circuit works the wrong way round, though every wire leads somewhere.",
        fix="Look where its two terminals lead in that state: wiregen states shows the voltages",
        source="4crawler.com: a relay from an earth-switched beam to earth works inverted",
        needs=f"on_when, {_STATES}",
        since="0.1",
        run=intent,
        stage="states",
    ),
    Rule(
        code="STA114",
        name="load that cannot be supplied",
        title="The line cannot deliver the power a load takes",
        severity="error",
        why="A load of constant power takes more current the less voltage it gets, until it drops "
        "out, starts again and drops out.",
        fix="Use a larger size, a shorter way, or a higher voltage",
        source="the most a line of resistance R delivers is V^2 / 4R",
        needs=f"watts and min_volts, {_STATES}",
        since="0.1",
        run=not_supplied,
        stage="states",
    ),
)
