"""States: what a charge lamp, and what is joined to the lamp terminal, do to an alternator."""

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
from wiregen.compute.elements import Element
from wiregen.compute.numbers import amps, shown
from wiregen.compute.states import Point, settle
from wiregen.compute.way import Way
from wiregen.model import Device, LampTerminal, in_order

_INDICATORS = ("lamp", "led", "resistor")
_LEAST_A = 1e-3
_PULLED_DOWN_SHARE = 0.5
_TAKES_SHARE = 0.25
"""Of the terminal's volts: what takes less lies between two feeds, not on a way to earth."""


def no_excitation(scene: Scene) -> Iterator[Found | Missing]:
    """Too little current reaches the lamp terminal of an alternator before it turns."""
    yield from lacking(scene)
    points = solved(scene)
    for device in scene.design.devices.values() if points else ():
        terminal = device.lamp_terminal
        if terminal is None:
            continue
        if terminal.excites_at_a is None or terminal.at_rest_ohm is None:
            yield Missing("excites_at and at_rest of the lamp terminal", device.id)
            continue
        most = max((_excites_a(point, device, terminal) for point in points), default=0.0)
        if 0 < most < terminal.excites_at_a:
            words = f"{amps(most)} at most"
        elif lost := _lost_excitation(points, device, terminal):
            words = lost
        else:
            continue
        yield Found(
            f"{device.id}:{terminal.at} gets {words} before the alternator turns; it needs "
            f"{amps(terminal.excites_at_a)} to excite",
            device.origin.at("lamp_terminal"),
            owners(device.id),
        )


def _excites_a(point: Point, device: Device, terminal: LampTerminal) -> float:
    return point.amps(f"{device.id}:{terminal.at} at rest")


def _lost_excitation(points: tuple[Point, ...], device: Device, terminal: LampTerminal) -> str:
    """Return what is left where a state loses the part that excites; empty where none does."""
    needed = terminal.excites_at_a or 0.0
    for point in points:
        left = _excites_a(point, device, terminal)
        if not point.lost or left >= needed or device.id in point.lost:
            continue
        whole = settle(point.circuit, point.name, point.modes, frozenset(), near=point)
        if whole.found and _excites_a(whole, device, terminal) >= needed:
            gone = " and ".join(in_order(point.lost))
            return f"{amps(left)} with {gone} open, in state '{point.name}',"
    return ""


def _lamps_at_rest(scene: Scene) -> dict[str, tuple[str, Element, Point, Way]]:
    """Return lamp -> the terminal its current leaves by while an alternator stands."""
    lamps: dict[str, tuple[str, Element, Point, Way]] = {}
    for point in solved(scene):
        for element in point.elements:
            if element.law not in ("lamp", "constant current") or not element.rated_v:
                continue
            way = scene.study.way(point.name, element.id)
            back = [s.id for s in way.back if s.id.endswith(" at rest")] if way else []
            if way is not None and back:
                lamps.setdefault(
                    element.id, (back[0].removesuffix(" at rest"), element, point, way)
                )
    return lamps


def earth_through_alternator(scene: Scene) -> Iterator[Found | Missing]:
    """A lamp finds its earth through the lamp terminal of an alternator."""
    yield from lacking(scene)
    for name, (terminal, element, point, _) in _lamps_at_rest(scene).items():
        share = abs(point.across(element)) / element.rated_v
        yield Found(
            f"{called(scene, name)} finds its earth through {terminal} and gets "
            f"{shown(100 * share, 0)} % of its voltage in state '{point.name}'; with an "
            "alternator whose terminal does not draw to earth it stays dark, with one that stays "
            "low it does not go out",
            place_of(scene, name),
            owners(name),
        )


def diode_in_lead(scene: Scene) -> Iterator[Found | Missing]:
    """A diode in the lead of a charge lamp takes a warning away with the back-feed."""
    yield from lacking(scene)
    for name, (terminal, _, _, way) in _lamps_at_rest(scene).items():
        for diode in (s.id for s in (*way.feed, *way.back) if s.part == "diode"):
            yield Found(
                f"{diode} keeps {terminal} from feeding back through {called(scene, name)}; with "
                "it, failed alternator diodes no longer light the lamp at key-off",
                place_of(scene, diode),
                owners(diode),
            )


def pulled_to_earth(scene: Scene) -> Iterator[Found | Missing]:
    """The lamp terminal of an alternator is pulled to earth while it charges."""
    yield from lacking(scene)
    points = solved(scene)
    for device in scene.design.devices.values() if points else ():
        terminal = device.lamp_terminal
        name = f"{device.id}:{terminal.at}" if terminal is not None else ""
        place = scene.study.circuit.place.get(name)
        if place is None:
            continue
        source = scene.study.circuit.elements[place]
        running = [p for p in points if p.is_present(source) and -p.amps(name) > _LEAST_A]
        found = [words for p in running if (words := _pulled(scene, p, source))]
        if not found:
            continue
        worst = max(found, key=lambda one: one[1])
        states = in_states(state for _, _, state in found)
        yield Found(
            f"{name} gives {amps(worst[1])} to earth {states} while the alternator charges: "
            f"{worst[0]}",
            device.origin.at("lamp_terminal"),
            owners(device.id),
            severity="error" if _is_shorted(source, worst[1]) else None,
        )


def _pulled(scene: Scene, point: Point, source: Element) -> tuple[str, float, str] | None:
    """Return what lets the current through, how much, and the state; None where nothing does."""
    given = -point.amps(source.id)
    if _is_shorted(source, given):
        way = scene.study.way(point.name, source.id)
        through = [s.id for s in way.back if s.part in ("wire", "contact")] if way else []
        passing = f"by {' and '.join(through)} alone, " if through else ""
        left = f"{passing}no load between; {shown(point.across(source))} V are left at the terminal"
        return left, given, point.name
    told = {n for f in scene.study.back_feeds if f.state == point.name for n in f.through}
    through = []
    total = 0.0
    for element in point.elements:
        device = device_of(scene, element)
        if element.part != "load" or device is None or device.kind not in _INDICATORS:
            continue
        way = scene.study.way(point.name, element.id)
        if way is None or way.source != source.id or element.id in told:
            continue
        if abs(point.across(element)) >= _TAKES_SHARE * source.volts_v:
            through.append(called(scene, element.id))
            total += abs(point.amps(element.id))
    if not through or total < _LEAST_A:
        return None
    return f"limited by {' and '.join(through)}", total, point.name


def _is_shorted(source: Element, given_a: float) -> bool:
    return given_a * source.ohm > _PULLED_DOWN_SHARE * source.volts_v


_STATES = "states, facts of sources and loads"
RULES = (
    Rule(
        code="STA111",
        name="alternator does not excite",
        title="Too little current reaches the lamp terminal of an alternator before it turns",
        severity="warning",
        why="An alternator that is excited through its lamp does not begin to charge.",
        fix="Fit the lamp it was made for, or a resistor beside it; mind the resistor's power",
        source="alternator lamp test page of 1983 (autorepairshq mirror): 15 or 500 ohm beside "
        "the lamp",
        needs=f"excites_at and at_rest of the lamp terminal, {_STATES}",
        since="0.1",
        run=no_excitation,
        stage="states",
    ),
    Rule(
        code="STA113",
        name="earth through the alternator",
        title="A lamp finds its earth through the lamp terminal of an alternator",
        severity="info",
        why="After a change of engine or alternator such a lamp loses its check glow, or never "
        "goes out.",
        fix="Make sure the new alternator's terminal draws to earth while it stands",
        source="brake warning indicator test page of 2004 (charm.li)",
        needs=f"lamp_terminal, {_STATES}",
        since="0.1",
        run=earth_through_alternator,
        stage="states",
    ),
    Rule(
        code="STA116",
        name="lamp terminal pulled to earth",
        title="The lamp terminal of an alternator is pulled to earth while it charges",
        severity="info",
        why="A lamp or resistor limits the current and nothing is harmed; by metal alone the "
        "regulator burns out.",
        fix="Nothing to do where a lamp or resistor limits it; else part the two with a diode",
        source="brake warning indicator test page of 2004 (charm.li)",
        needs=f"lamp_terminal, {_STATES}",
        since="0.1",
        run=pulled_to_earth,
        stage="states",
    ),
    Rule(
        code="STA117",
        name="diode in the lead of a charge lamp",
        title="A diode in the lead of a charge lamp takes a warning away with the back-feed",
        severity="info",
        why="The lamp used to light at key-off when a diode of the alternator had failed; now the "
        "battery is empty in the morning and nothing told of it.",
        fix="Nothing to do; measure the current of the battery with everything off now and then",
        source="fuddymuckers.co.uk: alternator diode",
        needs=f"lamp_terminal, {_STATES}",
        since="0.1",
        run=diode_in_lead,
        stage="states",
    ),
)
