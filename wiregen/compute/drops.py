"""What a design allows to be lost on the way, and what that leaves to each wire."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wiregen.compute.elements import Element
from wiregen.compute.needs import nominal_v
from wiregen.compute.states import Point
from wiregen.compute.study import Study
from wiregen.compute.way import Way
from wiregen.model import Drop


@dataclass(frozen=True, slots=True)
class Lost:
    """What one load loses on its way in one state.

    Attributes:
        load: its branch.
        state: name.
        way: segment by segment.
        limit_v: what the design allows.
    """

    load: Element
    state: str
    way: Way
    limit_v: float


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
                yield Lost(element, point.name, way, limit)


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
