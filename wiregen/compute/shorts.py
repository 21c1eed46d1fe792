"""A short to earth at both ends of every wire: what it draws, which fuse opens, what gets hot.

An estimate between two corners, never a promise: a fault that draws less than 1.35 times the
rating is never cleared by a fuse.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from wiregen.compute.corner import in_corner
from wiregen.compute.elements import METAL_OHM, Element
from wiregen.compute.faults import STRONG, WEAK, Corner, copper_scale
from wiregen.compute.guard import main_sources
from wiregen.compute.heat import reached_c
from wiregen.compute.rating import heated_wire
from wiregen.compute.short_net import ShortNet
from wiregen.compute.states import Point
from wiregen.compute.study import Study
from wiregen.compute.wire_roles import wire_roles
from wiregen.facts.fuse_curves import NEVER_OPENS_SHARE, gates, opens_at_least, opens_at_most
from wiregen.model import Fuse, Wire

_NEAR_DECISION = 0.25
_MOST_EXACT = 50
"""So many shorts close to a decision are solved exactly; the report says when there are more."""


@dataclass(frozen=True, slots=True)
class Blow:
    """What a short does to one fuse on its way.

    Attributes:
        fuse: id.
        least_a: through it in the weak corner.
        most_a: through it in the strong corner.
        first_s: earliest opening time; None where no limit is known.
        last_s: latest opening time; None where it may never open, or no limits are known.
        known: opening times of its style are known.
        exact: the weak corner was solved with all loads, being close to a decision.
    """

    fuse: str
    least_a: float
    most_a: float
    first_s: float | None
    last_s: float | None
    known: bool
    exact: bool = False


@dataclass(frozen=True, slots=True)
class Short:
    """A short to earth along one wire.

    Attributes:
        wire: id.
        state: it was judged in, the first one that makes the wire live; empty when none does.
        near: end with the larger current.
        far: the other end.
        near_a: least and most current at the near end.
        far_a: least and most current at the far end.
        blows: fuses it passes, the one that opens first in front.
        hottest: wire on the way that gets hottest; empty when none has a size.
        reaches_c: what that wire gets to at most until the fuse is open; in the long run where
            none opens.
        remark: what keeps it from being judged, or what more has to be known.
    """

    wire: str
    state: str = ""
    near: str = ""
    far: str = ""
    near_a: tuple[float, float] = (0.0, 0.0)
    far_a: tuple[float, float] = (0.0, 0.0)
    blows: tuple[Blow, ...] = ()
    hottest: str = ""
    reaches_c: float | None = None
    remark: str = ""


def shorts_of(study: Study) -> tuple[Short, ...]:
    """Return a short to earth along every wire of the supply side, in order of the wires.

    Args:
        study: of the design.

    Notes:
        Batteries, metal and fuses draw the current; loads are left out, contacts stay as they lie,
        alternators are not in it: each adds up to its own limit. A short runs to 0 V.
    """
    states, earthed = _live_in(study)
    nets: dict[str, tuple[ShortNet, ShortNet]] = {}
    area = {w.id: w.size.area_mm2 for w in study.design.wires.values() if w.size is not None}
    found: list[Short] = []
    exact = 0
    for wire in study.design.wires.values():
        ends = study.network.ends_of[wire.id]
        if wire.id in earthed or study.design.status_of(wire) == "removed" or not ends:
            continue
        state = states.get(wire.id)
        if state is None:
            found.append(Short(wire.id, remark="live in no state"))
            continue
        if state not in nets:
            point = study.points[state]
            nets[state] = ShortNet(point, WEAK), ShortNet(point, STRONG)
        short = _short(study, wire, state, nets[state])
        if _is_close(study, short) and exact < _MOST_EXACT:
            exact += 1
            short = _exactly(study, short)
        found.append(_with_heat(study, short, nets[state][0], area))
    return tuple(found)


def _live_in(study: Study) -> tuple[Mapping[str, str], frozenset[str]]:
    """Return wire -> first state that makes it live, and the wires that are always earth."""
    states: dict[str, str] = {}
    earth: set[str] = set()
    for name in study.points:
        for wire, now in wire_roles(study, name).items():
            if now.role == "live":
                states.setdefault(wire, name)
            elif now.role == "earth":
                earth.add(wire)
    return states, frozenset(earth - set(states))


def _short(study: Study, wire: Wire, state: str, nets: tuple[ShortNet, ShortNet]) -> Short:
    weak, strong = nets
    known = []
    lacking = any(lack.object == wire.id for lack in study.circuit.lacking)
    for node in study.network.ends_of[wire.id]:
        least, most = weak.amps(node), strong.amps(node)
        if least is not None and most is not None:
            known.append((least, most, node))
    if not known or lacking:
        return Short(wire.id, state, remark=_why_not(study, wire))
    near, far = max(known), min(known)
    least_of, most_of = dict(weak.fuses(far[2])), dict(strong.fuses(near[2]))
    blows = [
        _blow(study.design.fuses[name], amps_a, most_of.get(name, amps_a))
        for name, amps_a in least_of.items()
    ]
    return Short(
        wire.id,
        state,
        near[2],
        far[2],
        near[:2],
        far[:2],
        tuple(sorted(blows, key=_opening)),
        remark=_remark(study, wire),
    )


def _blow(fuse: Fuse, least_a: float, most_a: float) -> Blow:
    if fuse.rating_a is None:
        return Blow(fuse.id, least_a, most_a, None, None, False)
    return Blow(
        fuse.id,
        least_a,
        most_a,
        opens_at_least(fuse.style, fuse.rating_a, most_a),
        opens_at_most(fuse.style, fuse.rating_a, least_a),
        bool(gates(fuse.style, fuse.rating_a)),
    )


def _opening(blow: Blow) -> tuple[float, float]:
    never = float("inf")
    return (
        never if blow.last_s is None else blow.last_s,
        never if blow.first_s is None else blow.first_s,
    )


def _why_not(study: Study, wire: Wire) -> str:
    lacking = {lack.object for lack in study.circuit.lacking}
    if wire.id in lacking:
        return "size or length not known"
    if lacking & set(study.design.wires) or not study.strong_shorts:
        return "no battery of known resistance reaches it by metal of known size and length"
    return "no battery reaches it but through loads or a terminal: they limit what a short draws"


def _remark(study: Study, wire: Wire) -> str:
    sources = study.guards.unfused.get(wire.id, ())
    return f"no fuse between {' and '.join(sources)} and it" if sources else ""


def _is_close(study: Study, short: Short) -> bool:
    """Tell whether the first fuse is close to not opening at all."""
    for blow in short.blows[:1]:
        rating = study.design.fuses[blow.fuse].rating_a
        if rating is not None and blow.known:
            edge = NEVER_OPENS_SHARE * rating
            return abs(blow.least_a - edge) <= _NEAR_DECISION * edge
    return False


def _exactly(study: Study, short: Short) -> Short:
    """Return a short with the weak corner of its fuses solved with all loads."""
    found = exact_amps(study.points[short.state], short.far, WEAK)
    if found is None:
        return short
    blows = [
        replace(_blow(study.design.fuses[b.fuse], abs(found[b.fuse]), b.most_a), exact=True)
        for b in short.blows
    ]
    return replace(short, blows=tuple(sorted(blows, key=_opening)))


def exact_amps(point: Point, node: str, corner: Corner) -> Mapping[str, float] | None:
    """Return the current of every fuse with a short at a node, all loads in place, in A.

    Args:
        point: the state before the short; its contacts stay as they lie.
        node: where it is.
        corner: how strong source and copper are taken.

    Returns:
        Fuse -> current; None when no operating point is found.
    """
    import numpy as np

    from wiregen.compute.solve import operate, system

    circuit = point.circuit
    scale, main = copper_scale(circuit, corner), main_sources(circuit)
    elements = [*in_corner(circuit.elements, corner, scale, main)]
    ohm = max(corner.short_ohm, METAL_OHM)
    elements.append(Element("short", "joint", "resistance", node, circuit.zero, ohm=ohm))
    nodes = max(circuit.index.values()) + 1
    answer = operate(
        system(elements, circuit.index, nodes), np.array([*point.present, True], dtype=bool)
    )
    if not answer.found:
        return None
    return {
        e.id: float(answer.amps[place])
        for place, e in enumerate(circuit.elements)
        if e.part == "fuse"
    }


def _with_heat(study: Study, short: Short, net: ShortNet, area_mm2: Mapping[str, float]) -> Short:
    """Return a short with the wire on its way that gets hottest until the first fuse is open."""
    if not short.near:
        return short
    name = net.thinnest(short.far, area_mm2)
    own = area_mm2.get(short.wire)
    if own is not None and (not name or own < area_mm2[name]):
        name = short.wire
    heat = heated_wire(study, study.design.wires[name]) if name else None
    first = short.blows[0] if short.blows else None
    if heat is None or (first is not None and not first.known):
        return replace(short, hottest=name)
    cases: list[tuple[float, float | None]] = [(short.near_a[1], None)]
    if first is not None:
        fuse = study.design.fuses[first.fuse]
        slow = opens_at_most(fuse.style, fuse.rating_a or 0.0, first.most_a)
        cases = [(first.least_a, first.last_s), (first.most_a, slow)]
    reached = max(reached_c(heat, amps_a, time_s) for amps_a, time_s in cases)
    return replace(short, hottest=name, reaches_c=reached)
