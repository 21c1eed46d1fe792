"""What a design allows to be lost on the way, and what that leaves to each wire."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from wiregen.compute.defaults import COPPER_C
from wiregen.compute.elements import Element
from wiregen.compute.heat import warm_share
from wiregen.compute.metal import joint_ohm
from wiregen.compute.needs import nominal_v
from wiregen.compute.numbers import drop
from wiregen.compute.rating import chosen
from wiregen.compute.states import Point
from wiregen.compute.study import Study
from wiregen.compute.way import Segment, Way
from wiregen.facts.conductors import ConductorError, resistance
from wiregen.model import Drop


@dataclass(frozen=True, slots=True)
class Lost:
    """What one load loses on its way in one state.

    Attributes:
        load: its branch.
        state: name.
        way: segment by segment, wires warmed by their own current where it lasts.
        limit_v: what the design allows.
    """

    load: Element
    state: str
    way: Way
    limit_v: float

    @property
    def words(self) -> str:
        """What it loses, what is allowed, and which parts take most of it."""
        most, told_v = list[str](), 0.0
        for segment in self.way.losing()[:3]:
            if told_v < self.way.drop_v / 2:
                most.append(f"{segment.id} ({drop(segment.drop_v)})")
                told_v += segment.drop_v
        return (
            f"{self.load.id} loses {drop(self.way.drop_v)} in state '{self.state}', "
            f"{drop(self.limit_v)} allowed, {drop(self.way.drop_v - self.limit_v)} too much; "
            f"most of it in {', '.join(most)}"
        )


def losses(study: Study) -> Iterator[Lost]:
    """Yield every load with a drop limit, in every state it is fed by metal and contacts alone."""
    nominal = nominal_v(study)
    for point in study.points.values():
        for element in point.elements if point.found and study.design.system.drop else ():
            if element.part != "load" or not element.rated_v:
                continue
            limit = drop_limit(study, point, element, nominal)
            way = study.way(point.name, element.id)
            if way is not None and limit is not None and not way.in_series:
                yield Lost(element, point.name, _warmed(study, point, way), limit)


def lasts(study: Study, state: str) -> bool:
    """Tell whether a state lasts; one in which a starter turns does not, and warms no wire."""
    return not study.started[state]


def _warmed(study: Study, point: Point, way: Way) -> Way:
    """Return a way with the drop of every wire at the temperature its own current brings it to.

    The resistances a state is solved with are those at the temperature around the loom.
    """
    if not lasts(study, point.name):
        return way
    feed, back = (
        tuple(_warm(study, point, s) if s.part == "wire" else s for s in part)
        for part in (way.feed, way.back)
    )
    return replace(way, feed=feed, back=back)


def _warm(study: Study, point: Point, segment: Segment) -> Segment:
    wire = study.design.wires.get(segment.id)
    if wire is None or wire.size is None or wire.resistance_ohm is not None:
        return segment
    try:
        row = resistance(wire.size, chosen(study.design, "conductor")[0])
    except ConductorError:
        return segment
    ambient = study.design.system.ambient_c
    around = COPPER_C if ambient is None else ambient
    amps_a = abs(point.amps(segment.id))
    joints_v = amps_a * joint_ohm(study.design, study.network.ends_of[wire.id])
    share = warm_share(wire.size, row.mohm_per_m, around, amps_a)
    return replace(segment, drop_v=(segment.drop_v - joints_v) * share + joints_v)


def drop_limit(study: Study, point: Point, load: Element, nominal: float | None) -> float | None:
    """Return the allowed drop in V: of the load's circuit, else of the state, else the default."""
    drops = study.design.system.drop
    net = study.network.net_of(load.a)
    names = [use.name for use in net.circuits] if net else []
    rule = next((drops[n] for n in (*names, point.name, "default") if n in drops), None)
    return _volts(rule, load.rated_v or nominal)


def _volts(rule: Drop | None, rated_v: float | None) -> float | None:
    if rule is None:
        return None
    if rule.volts_v is not None:
        return rule.volts_v
    return rule.percent / 100 * rated_v if rule.percent is not None and rated_v else None
