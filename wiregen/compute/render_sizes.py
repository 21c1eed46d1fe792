"""Sizes and ratings as text for a terminal and as data for other programs."""

from __future__ import annotations

from collections.abc import Container, Iterator
from itertools import groupby

from wiregen.compute.joint import COMMAND, Joint, joint_sizes
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
    joint = joint_sizes(study, wires)
    lines.append("wires")
    for one in wires:
        lines += _on_way(one, joint) or _wire(one, shared)
    lines += _unfit(wires)
    for fact, names in shared.items():
        lines.append(f"  {len(names)} wires not judged without {fact}: {', '.join(names)}")
    lines += ["", *_drops(joint)] if joint else []
    lines += ["", *footer(study)]
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
        "drops": {
            one.lost.load.id: {
                "state": one.lost.state,
                "drop_v": rounded(one.lost.way.drop_v),
                "limit_v": rounded(one.lost.limit_v),
                "together": {wire: size.label for wire, size in one.sizes.items()},
                "words": one.words,
            }
            for one in joint_sizes(study, wires)
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
    yield from _reasons(tuple(f for f in one.choice.failed if f[0] not in one.choice.unfit), "")
    for fact in missing:
        yield f"    not judged without {fact}"


def _on_way(one: SizedWire, joint: tuple[Joint, ...]) -> tuple[str, ...]:
    """Return the line of a wire too small for a drop that several wires share, or nothing."""
    budget, choice = one.budget, one.choice
    load = next((j for j in joint if budget is not None and j.lost.load.id == budget.load), None)
    dropping = one.wrong.startswith(_DROP) or (choice is not None and choice.size is None)
    if budget is None or load is None or not dropping:
        return ()
    has = one.wire.size.label if one.wire.size else "no size"
    size = load.sizes.get(one.wire.id)
    together = f", {size.label} with the other wires of its way" if size else ""
    where = f" in state '{one.state}'" if one.state else ""
    head = f"  {one.wire.id}: has {has}{together} ({amps(one.task.amps_a)}{where})"
    remark = (f"    {one.remark}",) if one.remark else ()
    return (f"{head}; too much drop for {budget.words}, see drops", *remark)


def _drops(joint: tuple[Joint, ...]) -> Iterator[str]:
    """Yield the loads that lose too much, each with the sizes that would do together."""
    yield "drops"
    for one in joint:
        yield f"  {one.words}"
        sizes = ", ".join(f"{wire} {size.label}" for wire, size in one.sizes.items())
        if sizes:
            yield f"    will do together: {sizes}"
    if any(one.sizes for one in joint):
        yield f"  {COMMAND}"


def _unfit(wires: tuple[SizedWire, ...]) -> Iterator[str]:
    """Yield the sizes that a table rules out, once for all wires."""
    judged = [one for one in wires if one.choice is not None and one.choice.failed]
    found: dict[tuple[str, str], list[str]] = {}
    for one in judged:
        for pair in one.choice.failed if one.choice else ():
            if one.choice and pair[0] in one.choice.unfit:
                found.setdefault(pair, []).append(one.wire.id)
    for (reason, names), group in groupby(found, key=lambda pair: (pair[1], tuple(found[pair]))):
        labels = ", ".join(label for label, _ in group)
        which = "" if len(names) == len(judged) else f" (for {', '.join(names)})"
        yield f"  not chosen, {reason}: {labels}{which}"


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
