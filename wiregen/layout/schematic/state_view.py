"""One operating state as the sheets need it: wires, contacts, lamps, volts, findings, words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.compute.elements import Element
from wiregen.compute.needs import DEAD_V
from wiregen.compute.numbers import shown
from wiregen.compute.states import Point
from wiregen.compute.study import Study
from wiregen.compute.wire_roles import Glow, WireRole, glow_of, wire_roles
from wiregen.layout.schematic.interior import Inner
from wiregen.model import in_order
from wiregen.problems import Problem

_LAMPS = ("lamp", "led")
_CLOSED, _OPEN = "closed contact", "switch"
_CONTACTS = (_CLOSED, _OPEN, "isolator", "push button")
_LIFTED_V = 0.05
"""An earth pin that is lifted by more than this shows its voltage."""
_CAUTION = (
    "Currents and voltages on this sheet are computed estimates for the declared network in this "
    "one state, steady direct current; measure before you rely on them. No voltage here does not "
    "mean no voltage in another state."
)
_MOST = 12


@dataclass(frozen=True, slots=True)
class StateView:
    """What a sheet drawn for one state shows beside the wiring itself.

    Attributes:
        name: of the state.
        found: there is an operating point; without one nothing is marked.
        drawn_state: for the title block.
        subtitle: what is switched how, in words.
        wires: wire -> what it is, and its current.
        closed: pair of pins, or id of a device -> whether the contact there is closed.
        lamps: pair of pins, or id of a device -> how the lamp there is.
        volts: pin -> the node it is, and its voltage in words.
        findings: that name this state.
        cautions: sentences in front of the cautions of every sheet.
    """

    name: str
    found: bool
    drawn_state: str
    subtitle: str
    wires: Mapping[str, WireRole]
    closed: Mapping[frozenset[str], bool]
    lamps: Mapping[frozenset[str], Glow]
    volts: Mapping[str, tuple[str, str]]
    findings: tuple[Problem, ...]
    cautions: tuple[str, ...]

    def in_position(self, parts: Sequence[Inner]) -> tuple[Inner, ...]:
        """Return the parts of a box with their contacts as they lie in this state."""
        return tuple(self._part(part) for part in parts)

    def in_this_state(self, device: str, kind: str) -> str:
        """Return the symbol of a device with one contact, as it lies in this state."""
        return _in_state(self.closed.get(frozenset((device,))), kind)

    def _part(self, part: Inner) -> Inner:
        closed = self.closed.get(frozenset((part.a, part.b)))
        return replace(part, shown=_in_state(closed, part.symbol))


def _in_state(closed: bool | None, kind: str) -> str:
    """Return the symbol of a contact that is open or closed; any other symbol as it is."""
    if closed is None or kind not in _CONTACTS:
        return kind
    if closed:
        return _CLOSED
    return _OPEN if kind == _CLOSED else kind


def state_view(study: Study, state: str, findings: Sequence[Problem]) -> StateView:
    """Return what a state does to the things on the sheets.

    Args:
        study: of the design, reduced to one variant.
        state: name of one of its states.
        findings: of the whole design; those that name the state are kept.
    """
    point = study.points[state]
    named = tuple(p for p in findings if "state" in p.message and f"'{state}'" in p.message)
    return StateView(
        name=state,
        found=point.found,
        drawn_state=" · ".join((state, *_system(study))),
        subtitle=_subtitle(study, point),
        wires=wire_roles(study, state),
        closed=_contacts(study, point),
        lamps=_lamps(study, point) if point.found else {},
        volts=_volts(study, point) if point.found else {},
        findings=named,
        cautions=(_CAUTION, *_without(study)),
    )


def _without(study: Study) -> tuple[str, ...]:
    """Return one sentence that names what is not in the numbers for want of facts."""
    names = in_order({lack.object for lack in study.circuit.lacking})
    if not names:
        return ()
    more = f" and {len(names) - _MOST} more" if len(names) > _MOST else ""
    return (f"Facts are missing of {', '.join(names[:_MOST])}{more}: see wiregen states.",)


def _system(study: Study) -> tuple[str, ...]:
    system = study.design.system
    words = []
    if system.volts_v is not None:
        words.append(f"{system.volts_v:g} V")
    words.append("ambient not given" if system.ambient_c is None else f"{system.ambient_c:g} °C")
    return tuple(words)


def _subtitle(study: Study, point: Point) -> str:
    settings = study.design.states[point.name].settings
    said = ", ".join(f"{name} {value}" for name, value in settings.items()) or "nothing is set"
    words = [f"state '{point.name}': {said}"]
    if not point.found:
        return " · ".join((*words, f"{point.outcome}: nothing is computed, nothing is marked"))
    if point.pulled:
        words.append(f"pulled in: {', '.join(point.pulled)}")
    return " · ".join((*words, "numbers are computed estimates"))


def _pairs(study: Study, element: Element) -> tuple[frozenset[str], ...]:
    """Return the pins a branch lies between, as written and as the plugs of a device name them."""
    own = frozenset((element.a, element.b))
    pins = study.network.own_pins
    plugged = frozenset(pins.get(node, node) for node in own)
    return (own,) if plugged == own else (own, plugged)


def _contacts(study: Study, point: Point) -> Mapping[frozenset[str], bool]:
    found: dict[frozenset[str], bool] = {}
    for element in study.circuit.elements if point.found else ():
        if element.part == "contact":
            for pair in (frozenset((element.id,)), *_pairs(study, element)):
                found[pair] = found.get(pair, False) or point.is_present(element)
    return found


def _lamps(study: Study, point: Point) -> Mapping[frozenset[str], Glow]:
    found: dict[frozenset[str], Glow] = {}
    for element in point.elements:
        if element.part == "load" and _kind(study, element) in _LAMPS:
            places = (frozenset((element.id,)), *_pairs(study, element))
            found |= dict.fromkeys(places, glow_of(point, element))
    return found


def _kind(study: Study, element: Element) -> str:
    owner, _, part = element.id.partition(":")[0].partition(".")
    device = study.design.devices.get(owner)
    device = device.inside.get(part, device) if device is not None else None
    return device.kind if device is not None else ""


def _volts(study: Study, point: Point) -> Mapping[str, tuple[str, str]]:
    """Return the voltages of sources, loads, bars and splices, at both halves of a plug."""
    found: dict[str, tuple[str, str]] = {}
    nodes: dict[str, None] = {}
    for element in point.elements:
        if element.part in ("load", "coil", "source"):
            nodes |= dict.fromkeys((element.a, element.b))
    bars = (f"{box.id}:{bar}" for box in study.design.boxes.values() for bar in box.bars)
    for node in (*nodes, *bars, *study.design.splices):
        volts = point.volts(node)
        if volts is None or point.is_loose(node) or abs(volts) <= _LIFTED_V:
            continue
        words = f"{shown(volts, 1 if abs(volts) >= 10 * DEAD_V else 2)} V"
        owner, _, cavity = node.partition(":")
        mate = study.network.mate(owner)
        for name in (node, study.network.own_pins.get(node), f"{mate}:{cavity}" if mate else None):
            if name:
                found[name] = node, words
    return found
