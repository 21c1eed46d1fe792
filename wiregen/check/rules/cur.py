"""Current and voltage drop: wires, contacts, plugs, loads, relay coils, shared earths."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

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
from wiregen.compute.choose import MARGIN
from wiregen.compute.drops import Lost, lasts, losses
from wiregen.compute.elements import Element
from wiregen.compute.numbers import amps, shown
from wiregen.compute.rating import rated
from wiregen.compute.states import Point
from wiregen.compute.way import Segment, Way
from wiregen.connect.joints import points_used
from wiregen.model import Plug
from wiregen.source import Span

_SHIFT_V = 0.05
_SHORTED_A = 0.1
"""Through the diode across a coil: the coil is connected the wrong way round."""
_SHARES = 4
_LEAST_V = 5e-3
_LEAST_A = 7e-4
_READING = ("gauge", "sender", "sensor")


def wire_current(scene: Scene) -> Iterator[Found | Missing]:
    """A wire carries more than its table allows."""
    yield from lacking(scene)
    for wire in scene.design.wires.values() if solved(scene) else ():
        most, state = scene.study.steady(wire.id)
        if most < 0.05:
            continue
        found = rated(scene.study, wire)
        if found.ampacity is None:
            yield Missing(found.needs, wire.id)
            continue
        table = found.ampacity
        if most > table.amps_a * MARGIN:
            factors = f" {table.factors}" if table.factors else ""
            memory = ", from memory" if table.status == "from memory" else ""
            yield Found(
                f"{wire.id} carries {amps(most)} in state '{state}'; it may carry "
                f"{amps(table.amps_a)} ({table.table}: {table.row}{factors}{memory})",
                wire.origin.span,
                (wire.id,),
            )


def contact_current(scene: Scene) -> Iterator[Found | Missing]:
    """A pin or a plug carries more than its contacts stand."""
    yield from lacking(scene)
    points = solved(scene)
    wired = points_used(tuple(scene.network.wires_on))
    for plug in scene.design.plugs.values() if points else ():
        names = dict.fromkeys([*plug.pins, *wired.get(plug.id, ())])
        for name in names:
            limit = _contact_limit(scene, plug, name)
            if limit is None:
                continue
            most, state = max((abs(_inward(scene, p, f"{plug.id}:{name}")), p.name) for p in points)
            if most > limit:
                yield Found(
                    f"{plug.id}:{name} carries {amps(most)} in state '{state}'; its contact stands "
                    f"{limit:g} A",
                    _pin_span(plug, name),
                    (f"{plug.id}:{name}", plug.id),
                )
        if plug.amps_total_a is not None:
            most, state = max((_one_way(scene, p, plug, names), p.name) for p in points)
            if most > plug.amps_total_a:
                yield Found(
                    f"{plug.id} carries {amps(most)} one way in state '{state}'; "
                    f"{plug.amps_total_a:g} A are allowed",
                    plug.origin.span,
                    (plug.id,),
                )


def _contact_limit(scene: Scene, plug: Plug, name: str) -> float | None:
    pin = plug.pins.get(name)
    face = plug.face.cavity if plug.face else {}
    record = scene.design.contacts.get(
        (pin.contact if pin else "") or face.get(name, face.get("default", "")) or plug.contact
    )
    limits = [plug.amps_pin_a, record.amps_a if record else None]
    return min((a for a in limits if a is not None), default=None)


def _one_way(scene: Scene, point: Point, plug: Plug, names: Iterable[str]) -> float:
    """Return the current all pins of a plug carry in the direction that carries more, in A."""
    each = [_inward(scene, point, f"{plug.id}:{name}") for name in names]
    return max(sum(a for a in each if a > 0), -sum(a for a in each if a < 0))


def _inward(scene: Scene, point: Point, node: str) -> float:
    """Return the current the wires at a contact bring to it, in A; negative what they take."""
    ways = scene.network.wires_on.get(node, ())
    inward = 0.0
    for name in ways:
        place = point.circuit.place.get(name)
        if place is not None:
            element = point.circuit.elements[place]
            inward += point.amps(name) * (1 if element.b == node else -1)
    return inward


def _pin_span(plug: Plug, name: str) -> Span:
    pin = plug.pins.get(name)
    return pin.origin.span if pin is not None else plug.origin.span


def drop(scene: Scene) -> Iterator[Found | Missing]:
    """A load loses more voltage on its way than the design allows."""
    yield from lacking(scene)
    if not scene.design.system.drop:
        if solved(scene):
            yield Missing("system: drop")
        return
    yield from _limits_of_nothing(scene)
    worst: dict[str, tuple[float, Lost]] = {}
    for lost in losses(scene.study) if solved(scene) else ():
        excess = lost.way.drop_v / lost.limit_v if lost.limit_v else 0.0
        if excess > MARGIN and excess > worst.get(lost.load.id, (0.0,))[0]:
            worst[lost.load.id] = (excess, lost)
    for name, (excess, lost) in worst.items():
        way = lost.way
        losing = way.losing()
        shares = [
            f"{s.id} {shown(s.drop_v)} V ({shown(100 * s.drop_v / way.drop_v, 0)} %)"
            for s in losing[:_SHARES]
        ]
        more = f" and {len(losing) - _SHARES} more" if len(losing) > _SHARES else ""
        warm = " with the wires warm" if lasts(scene.study, lost.state) else ""
        yield Found(
            f"{called(scene, name)} loses {shown(way.drop_v)} V on its way in state "
            f"'{lost.state}'{warm}, {shown(lost.limit_v)} V are allowed: {', '.join(shares)}{more}",
            place_of(scene, name),
            (*owners(name), *(s.id for s in losing[:1])),
            severity="error" if excess > 2 else None,
        )


def _limits_of_nothing(scene: Scene) -> Iterator[Missing]:
    """Yield the limits that are written for what the design has not."""
    known = {"default", *scene.design.states, *scene.network.circuits}
    for name in scene.design.system.drop:
        if name not in known:
            yield Missing(f"a state or circuit called '{name}', for its limit under system: drop")


def weak_coil(scene: Scene) -> Iterator[Found | Missing]:
    """A relay is asked to pull in, but its coil gets too little."""
    yield from lacking(scene)
    for pull in scene.study.circuit.pulls if solved(scene) else ():
        low: list[tuple[float, str]] = []
        for point in solved(scene):
            volts = abs((point.volts(pull.a) or 0.0) - (point.volts(pull.b) or 0.0))
            straight = any(
                e.part == "coil" and e.id.partition(":")[0] == pull.id and _direct(scene, point, e)
                for e in point.elements
            )
            shorted = abs(point.amps(f"{pull.id} diode")) > _SHORTED_A
            weak = pull.id not in point.pulled and 1.0 < volts < pull.pulls_in_v
            if straight and weak and not shorted:
                low.append((volts, point.name))
        if low:
            volts, _ = min(low)
            yield Found(
                f"{called(scene, pull.id)} does not pull in {in_states(n for _, n in low)}: its "
                f"coil gets {shown(volts)} V, it pulls in at {pull.pulls_in_v:g} V",
                place_of(scene, pull.id),
                owners(pull.id),
            )


def _direct(scene: Scene, point: Point, coil: Element) -> bool:
    """Tell whether a coil is fed by metal and contacts, not through another load."""
    way = scene.study.way(point.name, coil.id)
    return way is not None and not way.in_series


def lifted_reading(scene: Scene) -> Iterator[Found | Missing]:
    """A gauge, sender or sensor shares its way back with loads."""
    yield from lacking(scene)
    lifted: dict[str, tuple[float, str, list[str]]] = {}
    for point in solved(scene):
        for name, segments in _returns_of_readings(scene, point).items():
            shared = [s for s, readings_a in segments if abs(point.amps(s.id)) > 1.5 * readings_a]
            shift = sum(s.drop_v for s in shared)
            if shift > _SHIFT_V and shift > lifted.get(name, (0.0, "", []))[0]:
                names = [s.id for s in sorted(shared, key=lambda s: -s.drop_v)]
                lifted[name] = (shift, point.name, names)
    for name, (shift, state, names) in lifted.items():
        yield Found(
            f"{called(scene, name)} shares {' and '.join(names[:3])} with loads: its earth is "
            f"lifted by {shown(shift)} V in state '{state}'; a gauge whose sender is earthed "
            "elsewhere reads high by that",
            place_of(scene, name),
            (*owners(name), *names[:1]),
        )


def _returns_of_readings(scene: Scene, point: Point) -> dict[str, list[tuple[Segment, float]]]:
    """Return gauge, sender or sensor -> its way back, and what such parts carry in each segment."""
    ways: dict[str, tuple[float, Way]] = {}
    for element in point.elements:
        device = device_of(scene, element)
        if device is None or device.kind not in _READING or element.part != "load":
            continue
        way = scene.study.way(point.name, element.id)
        if way is not None:
            ways[element.id] = abs(point.amps(element.id)), way
    carried: dict[str, float] = {}
    for amps_a, way in ways.values():
        for segment in way.back:
            carried[segment.id] = carried.get(segment.id, 0.0) + amps_a
    return {
        name: [(s, carried[s.id] + _LEAST_A) for s in way.back if s.drop_v > _LEAST_V]
        for name, (_, way) in ways.items()
    }


_STATES = "states, facts of sources and loads"
RULES = (
    Rule(
        code="CUR101",
        name="wire carries too much",
        title="A wire carries more than its table allows",
        severity="error",
        why="Its insulation ages, softens and at last burns.",
        fix="Use a larger size; wiregen size names the smallest that will do",
        source="33 CFR 183.425 Table 5, or the table the design names",
        needs=f"size and insulation of the wires, {_STATES}",
        since="0.1",
        run=wire_current,
        stage="states",
    ),
    Rule(
        code="CUR102",
        name="contact carries too much",
        title="A pin or a plug carries more than its contacts stand",
        severity="error",
        why="The contact gets hot, its spring goes soft, and it gets hotter.",
        fix="Share the current over more pins, or use a larger contact",
        source="STANAG 4007 as quoted: 15 A a pin, 30 A through the two earths",
        needs=f"amps of the contact or of the plug, {_STATES}",
        since="0.1",
        run=contact_current,
        stage="states",
    ),
    Rule(
        code="VLT101",
        name="drop too large",
        title="A load loses more voltage on its way than the design allows",
        severity="warning",
        why="Lamps are dim, pumps slow, and units reset when something else is switched on.",
        fix="Use a larger size in the segment with the largest share, or a shorter way",
        source="ISO 10133 and ABYC E-11: 3 % for what matters, 10 % for the rest",
        needs=f"system: drop, size and length of the wires, {_STATES}",
        since="0.1",
        run=drop,
        stage="states",
    ),
    Rule(
        code="VLT102",
        name="relay does not pull in",
        title="A relay is asked to pull in, but its coil gets too little",
        severity="warning",
        why="It works with a full battery and not on a cold morning.",
        fix="Find what takes the voltage: wiregen states names the segments",
        source="neuralfibre.com: a 12 V relay pulls in at about 8 to 9 V",
        needs=f"pulls_in of the relay, {_STATES}",
        since="0.1",
        run=weak_coil,
        stage="states",
    ),
    Rule(
        code="ETH101",
        name="reading lifted by a shared earth",
        title="A gauge, sender or sensor shares its way back with loads",
        severity="warning",
        why="The reading moves when the lamps are switched on: the driver sees a fault that is "
        "none, or does not see one.",
        fix="Give the gauge an earth wire of its own, or part the returns of lamps and gauges",
        source="owners' forum at infopop.cc: temperature gauge rises when lights are on; "
        "modifry.com: more than a few millivolts is a loop",
        needs=f"resistance, or size and length, of the earth wires, {_STATES}",
        since="0.1",
        run=lifted_reading,
        stage="states",
    ),
)
