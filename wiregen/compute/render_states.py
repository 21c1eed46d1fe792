"""Operating states as text for a terminal and as data for other programs."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.compute.corner import WEAK_WORDS, weak_battery
from wiregen.compute.elements import Assumed, Element, Lacking
from wiregen.compute.needs import needs
from wiregen.compute.numbers import CAUTION, amps, percent, rounded, shown, small_volts
from wiregen.compute.rating import TABLES, chosen
from wiregen.compute.sneak import series_paths
from wiregen.compute.states import Point, not_understood
from wiregen.compute.study import Study
from wiregen.compute.way import Way, is_shunt
from wiregen.compute.wire_states import fuse_lines, wire_lines
from wiregen.model import in_order

_NAMED_SHARE = 0.05
"""Of the drop on a way: a segment that takes less is told together with the others."""
_OUTCOMES = {
    "no operating point": "no operating point found; no numbers are given",
    "no stable state": "no stable state",
    "no reference": "there is neither an earth nor a battery to measure from",
}


def states_text(study: Study) -> str:
    """Return every state as text: sources, loads with the drop on their way, fuses, wires, pins."""
    lines: list[str] = []
    for point in study.points.values():
        lines += [*_state(study, point), ""]
    lines += _needs(study)
    lines += footer(study)
    return "\n".join(lines) + "\n"


def states_data(study: Study) -> dict[str, object]:
    """Return every state as data: volts of every end against 0 V, amps of every branch.

    Current counts positive from the `from` or plus side of a part to its other side: a battery
    that delivers shows a negative number. An end that floats is null. `ways` holds what is lost in
    each segment on the way of a load, in V, from its source and back. A state without an operating
    point has no numbers.
    """
    nodes = tuple(in_order(study.network.net_index))
    return {
        "states": {name: _state_data(study, point, nodes) for name, point in study.points.items()},
        "zero": study.circuit.zero_words,
        "assumed": [{"object": a.object, "words": a.words} for a in study.circuit.assumed],
        "lacking": [
            {"object": a.object, "needs": a.needs, "unlocks": a.unlocks}
            for a in study.circuit.lacking
        ],
        "caution": CAUTION,
    }


def _state_data(study: Study, point: Point, nodes: tuple[str, ...]) -> dict[str, object]:
    data: dict[str, object] = {"outcome": point.outcome or "operating point"}
    if not point.found:
        return {**data, "chattering": list(point.chattering), "volts": {}, "amps": {}}
    volts = {node: point.volts(node) for node in nodes if node in point.circuit.index}
    return {
        **data,
        "pulled_in": list(point.pulled),
        "not_supplied": list(point.starved),
        "in_series": [list(route) for route in series_paths(point)],
        "volts": {n: None if v is None else rounded(v) for n, v in volts.items()},
        "amps": {e.id: rounded(point.amps(e.id)) for e in point.elements},
        "ways": {
            e.id: {s.id: rounded(s.drop_v) for s in (*way.feed, *way.back)}
            for e in point.elements
            if e.part in ("load", "coil") and (way := study.way(point.name, e.id)) is not None
        },
    }


def _state(study: Study, point: Point) -> Iterator[str]:
    settings = study.design.states[point.name].settings
    said = ", ".join(f"{name} {value}" for name, value in settings.items())
    yield f"state {point.name} ({said})" if said else f"state {point.name}"
    if not point.found:
        words = _OUTCOMES.get(point.outcome, point.outcome)
        who = f": {', '.join(point.chattering)}" if point.chattering else ""
        yield f"  {words}{who}"
        return
    for name, value in not_understood(study.circuit, study.design.states[point.name]):
        yield f"  '{name}: {value}' changes nothing that is computed"
    yield from _sources(point)
    yield from _weak(study, point)
    if point.pulled:
        yield f"  pulled in: {', '.join(point.pulled)}"
    other = study.latched.get(point.name)
    if other is not None:
        yield f"  a second stable state: if they were in before, {', '.join(other.pulled)} stay in"
    yield from _loads(study, point)
    for route in series_paths(point):
        yield f"  in series from supply to earth, whatever the values: {' then '.join(route)}"
    yield from fuse_lines(study, point)
    yield from wire_lines(study, point)
    yield from _floating(study, point)


def _sources(point: Point) -> Iterator[str]:
    for element in point.elements:
        if element.part == "source":
            current = -point.amps(element.id)
            verb = "gives" if current >= 0 else "takes"
            yield (
                f"  {element.id} {verb} {amps(abs(current))} at {shown(point.across(element))} V"
            )


def _weak(study: Study, point: Point) -> Iterator[str]:
    """Yield what the sources give while a starter turns on a cold, half-empty battery."""
    if not study.started[point.name]:
        return
    weak = weak_battery(point)
    if not weak.found:
        yield f"  on a weak battery ({WEAK_WORDS}): {_OUTCOMES.get(weak.outcome, weak.outcome)}"
        return
    given = [
        f"{e.id} gives {amps(-weak.amps(e.id))} at {shown(weak.across(e))} V"
        for e in weak.elements
        if e.part == "source"
    ]
    gone = [name for name in point.pulled if name not in weak.pulled]
    out = f"; {', '.join(gone)} {'drops' if len(gone) == 1 else 'drop'} out" if gone else ""
    yield f"  on a weak battery ({WEAK_WORDS}): {', '.join(given)}{out}"


def _loads(study: Study, point: Point) -> Iterator[str]:
    loads = [e for e in point.elements if e.part in ("load", "coil")]
    busy = [e for e in loads if abs(point.amps(e.id)) >= 1e-4]
    if busy:
        width = max(len(title_of(study, e)) for e in busy)
        yield f"  {'loads'.ljust(width)}      volts       amps  of nominal  lost on the way"
        for element in busy:
            yield "  " + _load(study, point, element, width)
    idle = [e.id for e in loads if abs(point.amps(e.id)) < 1e-4]
    if idle:
        yield f"  without current: {', '.join(idle)}"


def _load(study: Study, point: Point, element: Element, width: int) -> str:
    volts = point.across(element)
    columns = (
        title_of(study, element).ljust(width),
        f"{shown(volts)} V".rjust(9),
        amps(point.amps(element.id)).rjust(9),
        percent(volts, element.rated_v).rjust(10),
    )
    way = study.way(point.name, element.id)
    words = _lost_on(way) if way is not None else ""
    if is_shunt(point, element):
        words = f"a shunt: {small_volts(abs(volts))} across it"
    remark = "  cannot be supplied" if element.id in point.starved else ""
    return "  ".join((*columns, words)) + remark


def _lost_on(way: Way) -> str:
    """Return what is lost on a way, its segments from the largest down, the small ones together."""
    losing = way.losing()
    named = [s for s in losing if s.drop_v >= _NAMED_SHARE * way.drop_v]
    parts = [f"{s.id} {small_volts(s.drop_v)} ({percent(s.drop_v, way.drop_v)})" for s in named]
    rest = losing[len(named) :]
    if rest:
        parts.append(f"{len(rest)} more {small_volts(sum(s.drop_v for s in rest))}")
    words = f"{small_volts(way.drop_v)}: {', '.join(parts)}" if parts else "nothing"
    return f"{words}; in series with {', '.join(way.in_series)}" if way.in_series else words


def title_of(study: Study, element: Element) -> str:
    """Return `P1 Work light`: the id of a branch with the title of its device."""
    owner, _, part = element.id.partition(":")[0].partition(".")
    device = study.design.devices.get(owner)
    if device is not None and part in device.inside:
        device = device.inside[part]
    return f"{element.id} {device.title}" if device is not None and device.title else element.id


def _floating(study: Study, point: Point) -> Iterator[str]:
    nodes = [n for net in study.network.nets for n in net.nodes if n in point.circuit.index]
    for words, found in (
        ("floating, no voltage", [n for n in nodes if point.floats(n)]),
        ("held by leakage only, over 10 kohm", [n for n in nodes if point.is_loose(n)]),
    ):
        if found:
            more = f" and {len(found) - 8} more" if len(found) > 8 else ""
            yield f"  {words}: {', '.join(found[:8])}{more}"


def _needs(study: Study) -> Iterator[str]:
    found = list(needs(study))
    if not found:
        return
    names = list(study.points)
    rows: dict[str, list[str]] = {}
    for need in found:
        volts = "-" if need.volts_v is None else f"{shown(need.volts_v, 1)} V"
        mark = {True: f" {need.wanted}", False: f" NOT {need.wanted}", None: ""}[need.met]
        rows.setdefault(f"{need.node} {need.carries}".strip(), []).append(volts + mark)
    width = max(len(name) for name in rows)
    columns = [
        max(len(name), *(len(cells[k]) for cells in rows.values())) for k, name in enumerate(names)
    ]
    heads = "  ".join(n.ljust(w) for n, w in zip(names, columns, strict=True))
    yield f"{'pins that need supply'.ljust(width + 2)}  {heads}".rstrip()
    for name, cells in rows.items():
        body = "  ".join(c.ljust(w) for c, w in zip(cells, columns, strict=True))
        yield f"  {name.ljust(width)}  {body}".rstrip()
    yield ""


def footer(study: Study) -> Iterator[str]:
    """Yield what was taken, what is missing, and the cautions."""
    yield f"0 V is {study.circuit.zero_words or 'not known'}"
    unnamed = [f"{what} {chosen(study.design, what)[0]}" for what in _unnamed(study)]
    if unnamed:
        yield f"tables the design does not name, defaults used: {', '.join(unnamed)}"
    yield "contacts, splices and earth points without a resistance count as 0 ohm"
    taken: dict[str, list[str]] = {}
    for one in study.circuit.assumed:
        taken.setdefault(_kind(one), []).append(one.object)
    for words, objects in taken.items():
        yield f"taken where the file says nothing: {words}: {', '.join(objects)}"
    missing: dict[tuple[str, str], list[str]] = {}
    for lack in study.circuit.lacking:
        missing.setdefault(_fact(lack), []).append(lack.object)
    for (fact, unlocks), objects in missing.items():
        yield f"not computed: {unlocks}; needs {fact} of {', '.join(objects)}"
    yield CAUTION


def _unnamed(study: Study) -> tuple[str, ...]:
    return tuple(what for what in TABLES if not chosen(study.design, what)[1])


def _kind(one: Assumed) -> str:
    return one.words


def _fact(lack: Lacking) -> tuple[str, str]:
    return lack.needs, lack.unlocks
