"""Fuses against their wires, their loads and the shorts they have to break."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.check.rules.computed import lacking, solved
from wiregen.compute.choose import MARGIN
from wiregen.compute.coordination import Gap, find_gap
from wiregen.compute.heat import SHORT_C, Heated, adiabatic_a2s, seconds_to
from wiregen.compute.numbers import amps
from wiregen.compute.rating import heated_wire, insulation_of, rated
from wiregen.facts.ampacity import Ampacity
from wiregen.facts.fuse_curves import (
    BREAKING_A,
    NEVER_OPENS_SHARE,
    continuous_load,
    gates,
    opens_at_most,
)
from wiregen.model import Fuse, Wire
from wiregen.problems import Note

_LEAD = "Make the minus lead of a source as large as its plus lead, or fit a smaller fuse"


def _guarded(scene: Scene) -> Iterator[tuple[Wire, Fuse]]:
    """Yield each wire with each fuse that protects it; the feed side only."""
    guards = scene.study.guards
    for wire in scene.design.wires.values():
        if wire.id in guards.returns:
            continue
        for name in guards.of_wire.get(wire.id, ()):
            yield wire, scene.design.fuses[name]


def _leads(scene: Scene) -> Iterator[tuple[Wire, Fuse]]:
    """Yield each wire in the minus lead of a source with the largest fuse a short leaves whole."""
    fuses = scene.design.fuses
    for name, behind in scene.study.guards.leads.items():
        largest = max((fuses[f] for f in behind), key=lambda fuse: fuse.rating_a or 0.0)
        if largest.rating_a is not None:
            yield scene.design.wires[name], largest


def _parallel(scene: Scene, wire: Wire) -> str:
    """Return `, alone if W4 breaks` for a wire that has others beside it."""
    ends = set(scene.network.ends_of[wire.id])
    beside = [
        name
        for node in sorted(ends)[:1]
        for name in scene.network.wires_on.get(node, ())
        if name != wire.id and set(scene.network.ends_of[name]) == ends
    ]
    return f", which it carries alone if {' and '.join(beside)} breaks" if beside else ""


def _sized(wire: Wire) -> str:
    """Return a wire with its size: `W4 (2.5)`."""
    return f"{wire.id} ({wire.size.label})" if wire.size else wire.id


def _allowed(table: Ampacity) -> str:
    """Return what a table allows a wire behind a fuse, and which row says so."""
    factors = f" {table.factors}" if table.factors else ""
    memory = ", from memory" if table.status == "from memory" else ""
    return f"{amps(table.fuse_a)} ({table.table}: {table.row}{factors}{memory})"


def over_rated(scene: Scene) -> Iterator[Found | Missing]:
    """A fuse is rated above what a wire behind it may carry."""
    for wire, fuse in _guarded(scene):
        if fuse.rating_a is None:
            yield Missing("rating", fuse.id)
            continue
        found = rated(scene.study, wire)
        if found.ampacity is None:
            yield Missing(found.needs, wire.id)
            continue
        table = found.ampacity
        if fuse.rating_a > table.fuse_a * MARGIN:
            yield Found(
                f"{fuse.id} is rated {fuse.rating_a:g} A, but {_sized(wire)} behind it may carry "
                f"{_allowed(table)}{_parallel(scene, wire)}",
                fuse.origin.at("rating"),
                (fuse.id, wire.id),
                (Note(f"{wire.id} is behind it", wire.origin.span),),
                group=fuse.id,
                summary=f"{fuse.id} is rated {fuse.rating_a:g} A, but {{count}} wires behind it "
                "may carry less: {members}",
                member=f"{wire.id} {amps(table.fuse_a)}",
            )
    yield from _over_rated_leads(scene)


def _over_rated_leads(scene: Scene) -> Iterator[Found | Missing]:
    for wire, fuse in _leads(scene):
        found = rated(scene.study, wire)
        if found.ampacity is None:
            yield Missing(found.needs, wire.id)
        elif fuse.rating_a and fuse.rating_a > found.ampacity.fuse_a * MARGIN:
            yield Found(
                f"a short to earth behind {fuse.id} ({fuse.rating_a:g} A) comes back through "
                f"{_sized(wire)}, which may carry {_allowed(found.ampacity)}"
                f"{_parallel(scene, wire)}",
                wire.origin.at("size"),
                (wire.id, fuse.id),
                (Note(f"{fuse.id} lets it through", fuse.origin.at("rating")),),
                help=_LEAD,
            )


def gap(scene: Scene) -> Iterator[Found | Missing]:
    """A wire gets too hot before its fuse opens."""
    for wire, fuse, found in _gaps(scene, _guarded(scene)):
        if found is not None:
            yield Found(
                f"{fuse.id} ({fuse.rating_a:g} A) does not protect {wire.id}: {found.words}",
                fuse.origin.at("rating"),
                (fuse.id, wire.id),
                (Note(f"{wire.id} is behind it", wire.origin.span),),
                group=fuse.id,
                summary=f"{fuse.id} ({fuse.rating_a:g} A) does not protect {{count}} wires behind "
                "it: {members}",
                member=f"{wire.id} {found.short}",
                severity=None if found.reaches_c is not None else "warning",
            )
        elif not fuse.style:
            yield Missing("style", fuse.id)
    for wire, fuse, found in _gaps(scene, _leads(scene)):
        if found is not None:
            yield Found(
                f"{fuse.id} ({fuse.rating_a:g} A) does not protect {wire.id}, through which a "
                f"short to earth behind it comes back: {found.words}",
                wire.origin.at("size"),
                (wire.id, fuse.id),
                (Note(f"{fuse.id} lets it through", fuse.origin.at("rating")),),
                help=_LEAD,
                severity=None if found.reaches_c is not None else "warning",
            )


def _gaps(
    scene: Scene, pairs: Iterable[tuple[Wire, Fuse]]
) -> Iterator[tuple[Wire, Fuse, Gap | None]]:
    """Yield wires with a fuse that can be judged, and where the fuse opens too late, if it does."""
    for wire, fuse in pairs:
        heat = heated_wire(scene.study, wire)
        insulation = insulation_of(scene.design, wire)
        if fuse.rating_a is not None and heat is not None and insulation is not None:
            found = find_gap(fuse.style, fuse.rating_a, heat, insulation.highest_c)
            yield wire, fuse, found


def no_times(scene: Scene) -> Iterator[Found | Missing]:
    """No opening times are known for a fuse, so that its wires are judged by its rating alone."""
    behind: dict[str, list[str]] = {}
    for wire, fuse in _guarded(scene):
        unknown = fuse.rating_a is not None and not gates(fuse.style, fuse.rating_a)
        if fuse.style and unknown and heated_wire(scene.study, wire) is not None:
            behind.setdefault(fuse.id, []).append(wire.id)
    for name, wires in behind.items():
        fuse = scene.design.fuses[name]
        yield Found(
            f"{name} ({fuse.rating_a:g} A {fuse.style}): no table here has its opening times; "
            f"{', '.join(wires)} behind it {'is' if len(wires) == 1 else 'are'} judged by its "
            f"rating and by {NEVER_OPENS_SHARE:g} times that, not by how fast it opens at a short",
            fuse.origin.at("style"),
            (name,),
            group=fuse.style,
            summary=f"no table here has the opening times of {{count}} {fuse.style} fuses; the "
            f"wires behind them are judged by their ratings and by {NEVER_OPENS_SHARE:g} times "
            "those, not by how fast they open at a short: {members}",
            member=f"{name} {fuse.rating_a:g} A",
        )


def loaded(scene: Scene) -> Iterator[Found | Missing]:
    """A fuse carries more than it may for long."""
    yield from lacking(scene)
    points = solved(scene)
    for fuse in scene.design.fuses.values() if points else ():
        most, state = max((abs(p.amps(fuse.id)), p.name) for p in points)
        if fuse.rating_a is None:
            if most > 0.05:
                yield Missing("rating", fuse.id)
            continue
        allowed = continuous_load(fuse.style, fuse.rating_a, scene.design.system.ambient_c)
        if most > fuse.rating_a:
            yield Found(
                f"{fuse.id} carries {amps(most)} in state '{state}', more than its rating of "
                f"{fuse.rating_a:g} A",
                fuse.origin.at("rating"),
                (fuse.id,),
                severity="error",
            )
        elif most > allowed.amps_a:
            yield Found(
                f"{fuse.id} ({fuse.rating_a:g} A) carries {amps(most)} in state '{state}'; for "
                f"long it may carry {amps(allowed.amps_a)}: {allowed.words}",
                fuse.origin.at("rating"),
                (fuse.id,),
            )


_BREAKS_MORE = (
    "Fit a fuse that breaks more, and write what its maker states as 'breaking:'; a longer lead or "
    "a battery of more resistance draws less"
)


def breaking(scene: Scene) -> Iterator[Found | Missing]:
    """A short behind a fuse draws more than the fuse can break."""
    for fuse in scene.design.fuses.values() if scene.network.sources else ():
        capacity = fuse.breaking_a or BREAKING_A.get(fuse.style)
        if capacity is None:
            yield Missing("style or breaking", fuse.id)
            continue
        node = scene.study.circuit.at(f"{fuse.id}:out")
        current = scene.study.strong_shorts.get(node)
        if current is None:
            yield Missing("resistance of the source, size and length of the wires", fuse.id)
        elif current > capacity:
            words = "as stated" if fuse.breaking_a else f"ISO 8820 {fuse.style}"
            yield Found(
                f"a short right behind {fuse.id} draws up to {amps(current)} (cold wires, battery "
                f"on charge); it can break {capacity:g} A ({words})",
                fuse.origin.span,
                (fuse.id,),
                help=_BREAKS_MORE if fuse.style == "bolt-on" else "",
            )


def slow_to_open(scene: Scene) -> Iterator[Found | Missing]:
    """A short at the far end of a wire does not open the fuse in time."""
    circuit = scene.study.circuit
    for wire, fuse in _guarded(scene):
        heat = heated_wire(scene.study, wire)
        if fuse.rating_a is None or heat is None or not gates(fuse.style, fuse.rating_a):
            continue
        nodes = scene.network.ends_of[wire.id]
        known = [scene.study.weak_shorts.get(circuit.at(node)) for node in nodes]
        least = min((amp for amp in known if amp is not None), default=None)
        if least is None:
            continue
        slow = opens_at_most(fuse.style, fuse.rating_a, least)
        if slow is not None and _stands(heat, least, slow):
            continue
        hot = seconds_to(heat, least, SHORT_C)
        if slow is None or (hot is not None and hot < slow):
            time = "may not open it at all" if slow is None else f"may take {slow:.2g} s to open it"
            wire_words = f"; the wire is at {SHORT_C:g} degC after about {hot:.2g} s" if hot else ""
            yield Found(
                f"a short at the far end of {wire.id} draws only {amps(least)} (hot wires, weak "
                f"battery) through {fuse.id} ({fuse.rating_a:g} A) and {time}{wire_words}",
                wire.origin.span,
                (wire.id, fuse.id),
            )


def _stands(heat: Heated, amps_a: float, time_s: float) -> bool:
    """Tell whether a wire stands a current for a time even if no heat left it: a quick bound."""
    return adiabatic_a2s(heat.area_mm2, heat.ambient_c, SHORT_C) >= amps_a**2 * time_s


def not_selective(scene: Scene) -> Iterator[Found | Missing]:
    """A fuse is not smaller than one that comes before it."""
    fuses = scene.design.fuses
    for name, above in scene.study.guards.above.items():
        fuse = fuses[name]
        for other in (fuses[one] for one in above):
            if fuse.rating_a is None or other.rating_a is None:
                continue
            mutual = name in scene.study.guards.above.get(other.id, ())
            if fuse.rating_a >= other.rating_a and not mutual:
                yield Found(
                    f"{fuse.id} ({fuse.rating_a:g} A) comes after {other.id} "
                    f"({other.rating_a:g} A): a short behind it may blow {other.id}",
                    fuse.origin.at("rating"),
                    (fuse.id, other.id),
                )


def side_by_side(scene: Scene) -> Iterator[Found | Missing]:
    """Two fuses feed the same wires side by side."""
    fuses = scene.design.fuses
    for names in scene.study.guards.parallel:
        ratings = [fuses[name].rating_a for name in names]
        together = sum(a for a in ratings if a is not None)
        yield Found(
            f"{' and '.join(names)} feed the same wires side by side: together they let "
            f"{together:g} A through, and with one blown the other carries all",
            fuses[names[0]].origin.span,
            names,
        )


RULES = (
    Rule(
        code="FUS102",
        name="fuse too large for a wire",
        title="A fuse is rated above what a wire behind it, or the minus lead, may carry",
        severity="error",
        why="The wire burns before the fuse blows. A larger fuse never cures a blown one.",
        fix="Fit a smaller fuse, or a larger wire everywhere behind it, branches included",
        source="33 CFR 183.425, or the table the design names",
        needs="rating of the fuse, size and insulation of the wires",
        since="0.1",
        run=over_rated,
    ),
    Rule(
        code="FUS103",
        name="gap between fuse and wire",
        title="A wire gets too hot before its fuse opens",
        severity="error",
        why="Up to 1.35 times its rating a fuse may stay whole for ever; the wire has to stand "
        "that.",
        fix="Fit a smaller fuse or a larger wire",
        source="time-current limits of a fuse maker's data sheet; heat model (estimate)",
        needs="rating and style of the fuse, size and insulation of the wires",
        since="0.1",
        run=gap,
    ),
    Rule(
        code="FUS104",
        name="fuse carries too much",
        title="A fuse carries more than it may for long, or more than its rating",
        severity="warning",
        why="It ages and blows one day for no reason, or at once.",
        fix="Share the loads over two fuses, or fit a larger fuse if every wire behind it allows",
        source="circuitprotection.ca fuseology: 75 % of the rating at 25 degC",
        needs="rating of the fuse, states, facts of sources and loads",
        since="0.1",
        run=loaded,
        stage="states",
    ),
    Rule(
        code="FUS105",
        name="breaking capacity",
        title="A short behind a fuse draws more than the fuse can break",
        severity="error",
        why="The fuse bursts or keeps burning instead of opening.",
        fix="Fit a bolt-on fuse close to the battery, and the blade fuse behind it",
        source="ISO 8820-3: 1000 A; ISO 8820-6: 2000 A (abstracts)",
        needs="style or breaking of the fuse, resistance of the source",
        since="0.1",
        run=breaking,
    ),
    Rule(
        code="FUS106",
        name="short at the far end",
        title="A short at the far end of a wire does not open the fuse in time",
        severity="error",
        why="A long thin wire limits the current: the fuse waits while the wire gets hot.",
        fix="Use a larger size, a shorter way, or a smaller fuse",
        source="time-current limits of a fuse maker's data sheet; heat model (estimate)",
        needs="rating and style of the fuse, size and length of the wires",
        since="0.1",
        run=slow_to_open,
    ),
    Rule(
        code="FUS107",
        name="fuses not selective",
        title="A fuse is not smaller than one that comes before it",
        severity="warning",
        why="A small fault darkens everything behind the larger fuse.",
        fix="Fit a smaller fuse in the branch; even then only the maker's curves prove selectivity",
        source="common practice, no source",
        needs="rating of the fuses",
        since="0.1",
        run=not_selective,
    ),
    Rule(
        code="FUS108",
        name="fuses side by side",
        title="Two fuses feed the same wires side by side",
        severity="warning",
        why="One fuse does not protect the wires: both let current through, and pulling one leaves "
        "them live.",
        fix="Feed the wires through one fuse, or part them with diodes",
        source="common practice, no source",
        needs="a source",
        since="0.1",
        run=side_by_side,
    ),
    Rule(
        code="FUS110",
        name="opening times not known",
        title="No opening times are known for a fuse",
        severity="info",
        why="Whether the wire stands a short until the fuse opens has to be read off the maker's "
        "curve; a fuse of the same rating and another style may take ten times as long.",
        fix="Hold the maker's curve against the wire, then accept this with the number of the "
        "sheet as reason",
        source="no public copy of the limits for bolt-on, low-profile and glass fuses, links and "
        "breakers was found",
        needs="rating and style of the fuse, size of the wires",
        since="0.1",
        run=no_times,
    ),
)
