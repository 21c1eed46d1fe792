"""Sizes and ratings as text for a terminal and as data for other programs."""

from __future__ import annotations

from collections.abc import Container, Iterator
from itertools import groupby

from wiregen.compute.numbers import CAUTION, amps, rounded
from wiregen.compute.rating import TABLES, chosen
from wiregen.compute.render_states import footer
from wiregen.compute.sizing import SizedFuse, SizedWire
from wiregen.compute.study import Study
from wiregen.facts.ampacity import AMPACITY_TABLES, table_source
from wiregen.facts.tables import rows, table

_DROP = "drop "


def sizes_text(study: Study, wires: tuple[SizedWire, ...], fuses: tuple[SizedFuse, ...]) -> str:
    """Return what every wire and fuse needs, why each smaller one fails, and what there is."""
    lines = [*_tables(study), ""]
    if fuses:
        lines += ["fuses", *(line for one in fuses for line in _fuse(study, one)), ""]
    shared = _shared(wires)
    lines += ["wires", *(line for one in wires for line in _wire(one, shared))]
    for fact, names in shared.items():
        lines.append(f"  {len(names)} wires not judged without {fact}: {', '.join(names)}")
    lines.append("")
    lines += footer(study)
    return "\n".join(lines) + "\n"


def sizes_data(
    study: Study, wires: tuple[SizedWire, ...], fuses: tuple[SizedFuse, ...]
) -> dict[str, object]:
    """Return the same as data."""
    return {
        "tables": {what: chosen(study.design, what)[0] for what in TABLES},
        "fuses": {
            one.fuse.id: {
                "has_a": one.fuse.rating_a,
                "smallest_a": one.rating.rating_a if one.rating else None,
                "amps": rounded(one.amps_a),
                "state": one.state,
                "wrong": one.wrong,
                "failed": dict(one.rating.failed) if one.rating else {},
            }
            for one in fuses
        },
        "wires": {
            one.wire.id: {
                "has": one.wire.size.label if one.wire.size else None,
                "smallest": one.choice.size.label if one.choice and one.choice.size else None,
                "amps": rounded(one.task.amps_a),
                "state": one.state,
                "got": one.choice.got if one.choice else "",
                "wrong": one.wrong,
                "failed": dict(one.choice.failed) if one.choice else {},
                "missing": list(one.missing),
                "remark": one.remark,
                "bundle": {"loaded": one.task.loaded, "words": one.together},
            }
            for one in wires
        },
        "caution": CAUTION,
    }


def _tables(study: Study) -> Iterator[str]:
    for what in ("conductor", "ampacity", "bundle", "fuse"):
        name, named = chosen(study.design, what)
        words = "as the design names it" if named else "not named in the design, default"
        source = f"; {table_source(name)}" if name in AMPACITY_TABLES else ""
        if what == "fuse":
            source = f"; times: {table('fuse_times').source}"
        yield f"{what} table {name} ({words}){source}"
    if study.design.system.ambient_c is None:
        yield "ambient not given: the temperature of each table, copper at 20 degC"
    else:
        yield f"ambient {study.design.system.ambient_c:g} degC"
    if not study.design.system.drop:
        yield "no voltage drop limit in the design (system: drop): drop is not judged"
        yield f"published limits: {_limits(study)} ({table('drop_limits').source})"


def _limits(study: Study) -> str:
    """Return the published drop limits for the voltage of the design."""
    nominal = study.design.system.volts_v
    wanted = ("any", f"{nominal:g}") if nominal else ("any",)
    return ", ".join(
        f"{row['name']} {row['limit']} {row['unit']} ({row['basis']})"
        for row in rows("drop_limits")
        if row["system_v"] in wanted
    )


def _fuse(study: Study, one: SizedFuse) -> Iterator[str]:
    has = f"{one.fuse.rating_a:g} A" if one.fuse.rating_a else "no rating"
    if one.rating is None:
        yield f"  {one.fuse.id}: has {has}; carries nothing in any state, not sized"
        return
    rating = one.rating.rating_a
    smallest = f"smallest for its load {rating:g} A" if rating else one.rating.words
    style = "" if one.fuse.style else "; style not given, counted as blade"
    where = f"({amps(one.amps_a)} in state '{one.state}')"
    yield f"  {one.fuse.id}: has {has}, {smallest} {where}{style}"
    if one.wrong:
        yield f"    too small: {one.wrong}"
    yield from _reasons(one.rating.failed, " A")
    guarded = study.guards.wires.get(one.fuse.id, ())
    if guarded:
        yield f"    protects {', '.join(guarded)}"


def _shared(wires: tuple[SizedWire, ...]) -> dict[str, list[str]]:
    """Return the facts that several wires lack, each with these wires: they are said once."""
    lacking: dict[str, list[str]] = {}
    for one in wires:
        for fact in one.missing:
            lacking.setdefault(fact, []).append(one.wire.id)
    return {fact: names for fact, names in lacking.items() if len(names) > 1}


def _wire(one: SizedWire, shared: Container[str]) -> Iterator[str]:
    has = one.wire.size.label if one.wire.size else "no size"
    missing = [fact for fact in one.missing if fact not in shared]
    if one.choice is None:
        needs = f"; needs {'; '.join(missing)}" if missing else ""
        current = amps(one.task.amps_a)
        yield f"  {one.wire.id}: has {has}, carries {current} at most; not sized{needs}"
        return
    if one.budget is not None and one.budget.spent and not one.choice.failed:
        yield f"  {one.wire.id}: has {has}; no size of it helps: {one.budget.spent}"
        return
    smallest = one.choice.size.label if one.choice.size else "none"
    where = f" in state '{one.state}'" if one.state else ""
    what = "that will do" if one.task.insulation_c is not None else "for its drop alone"
    yield (
        f"  {one.wire.id}: has {has}, smallest {what} {smallest} ({amps(one.task.amps_a)}{where})"
    )
    if one.choice.got:
        yield f"    {smallest}: {one.choice.got}"
    if one.together:
        yield f"    bundle: {one.together}"
    if one.remark:
        yield f"    {one.remark}"
    if one.wrong:
        yield f"    {has} will not do: {one.wrong}"
    if one.budget is not None:
        yield f"    drop judged for {one.budget.words}"
    yield from _reasons(one.choice.failed, "")
    for fact in missing:
        yield f"    not judged without {fact}"


def _reasons(failed: tuple[tuple[str, str], ...], unit: str) -> Iterator[str]:
    """Yield why each smaller one fails; neighbours that fail alike share a line."""
    for reason, group in groupby(failed, key=lambda pair: _alike(pair[1])):
        members = list(group)
        if reason.startswith(_DROP):
            drops = [f"{label} ({why.split(',')[0].removeprefix(_DROP)})" for label, why in members]
            yield f"    too much drop,{reason.removeprefix(_DROP)}: {', '.join(drops)}"
        else:
            yield f"    {', '.join(label for label, _ in members)}{unit}: {reason}"


def _alike(reason: str) -> str:
    """Return what a reason has in common with its neighbours: of a drop, what is allowed."""
    return f"{_DROP}{reason.partition(',')[2]}" if reason.startswith(_DROP) else reason
