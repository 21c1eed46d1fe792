"""The table of shorts to earth: what each draws, which fuse opens and when, what gets hot."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.compute.faults import SHORT_OHM, STRONG_VOLTS, WEAK_COPPER_C, WEAK_SOURCE, WEAK_VOLTS
from wiregen.compute.guard import main_sources
from wiregen.compute.heat import SHORT_C, degrees
from wiregen.compute.numbers import CAUTION, amps, rounded
from wiregen.compute.render_states import footer
from wiregen.compute.shorts import Blow, Short, shorts_of
from wiregen.compute.study import Study
from wiregen.facts.fuse_curves import NEVER_OPENS_SHARE, gates
from wiregen.facts.tables import table

HEADINGS = (
    "wire",
    "state",
    "near end",
    "far end",
    "opens first",
    "after",
    "hottest on the way",
    "reaches at most",
    "remark",
)
"""Headings of `short_rows`."""


def short_rows(study: Study) -> tuple[tuple[str, ...], ...]:
    """Return the table as words, one row a wire, in the order of `HEADINGS`."""
    return tuple(_row(study, short) for short in shorts_of(study))


def shorts_text(study: Study) -> str:
    """Return the table as text, with what it rests on."""
    every = short_rows(study)
    rows = [row for row in every if row[2]]
    lines = [] if every else ["no wire of the supply side"]
    if rows:
        table_rows = [HEADINGS, *rows]
        wide = [max(len(row[k]) for row in table_rows) for k in range(len(HEADINGS) - 1)]
        for row in table_rows:
            cells = [cell.ljust(w) for cell, w in zip(row, wide, strict=False)]
            lines.append("  ".join((*cells, row[-1])).rstrip())
    idle: dict[str, list[str]] = {}
    for row in every:
        if not row[2]:
            idle.setdefault(row[-1], []).append(row[0])
    lines += [f"{remark}: {', '.join(wires)}" for remark, wires in idle.items()]
    lines += ["", *_basis(study), *footer(study)]
    return "\n".join(lines) + "\n"


def shorts_data(study: Study) -> dict[str, object]:
    """Return the same as data."""
    return {
        "shorts": [_data(short) for short in shorts_of(study)],
        "basis": list(_basis(study)),
        "caution": CAUTION,
    }


def _data(short: Short) -> dict[str, object]:
    return {
        "wire": short.wire,
        "state": short.state,
        "near": {"at": short.near, "amps": [rounded(a) for a in short.near_a]},
        "far": {"at": short.far, "amps": [rounded(a) for a in short.far_a]},
        "fuses": [
            {
                "fuse": blow.fuse,
                "amps": [rounded(blow.least_a), rounded(blow.most_a)],
                "opens_s": [blow.first_s, blow.last_s],
                "times_known": blow.known,
                "exact": blow.exact,
            }
            for blow in short.blows
        ],
        "hottest": short.hottest,
        "reaches_c": None if short.reaches_c is None else round(short.reaches_c),
        "remark": short.remark,
    }


def _row(study: Study, short: Short) -> tuple[str, ...]:
    wire = study.design.wires[short.wire]
    name = f"{wire.id} {wire.size.label}" if wire.size else wire.id
    if not short.near:
        return (name, short.state, "", "", "", "", "", "", short.remark)
    first = short.blows[0] if short.blows else None
    remarks = [*_others(study, short), short.remark]
    return (
        name,
        short.state,
        f"{short.near} {_span(*short.near_a)}",
        f"{short.far} {_span(*short.far_a)}",
        _called(study, first) if first else "no fuse",
        _after(study, first) if first else "never",
        short.hottest,
        _heat(short),
        "; ".join(words for words in remarks if words),
    )


def _span(least_a: float, most_a: float) -> str:
    return f"{amps(least_a).removesuffix(' A')}..{amps(most_a)}"


def _called(study: Study, blow: Blow) -> str:
    rating = study.design.fuses[blow.fuse].rating_a
    return f"{blow.fuse} {rating:g} A" if rating else blow.fuse


def _after(study: Study, blow: Blow) -> str:
    if not blow.known:
        style = study.design.fuses[blow.fuse].style or "its style"
        return f"times of {style} not known"
    first = "" if blow.first_s is None else _time(blow.first_s)
    if blow.last_s is None:
        return f"may stay whole ({first} s at best)" if first else "may stay whole"
    last = _time(blow.last_s)
    return f"{first}..{last} s" if first and first != last else f"{last} s at most"


def _time(seconds: float) -> str:
    """Return a time with two digits; nothing is told apart below 0.01 s.

    Example:
        >>> _time(0.0004), _time(0.123), _time(600)
        ('0.01', '0.12', '600')
    """
    return f"{max(seconds, 0.01):.2g}" if seconds < 100 else f"{seconds:.0f}"


def _heat(short: Short) -> str:
    if short.reaches_c is None:
        return "not known"
    return degrees(short.reaches_c)


def _others(study: Study, short: Short) -> Iterator[str]:
    """Yield what else has to be said: other fuses that may open first, the limit of PVC."""
    first = short.blows[0] if short.blows else None
    for blow in short.blows[1:]:
        if first is None or first.last_s is None or blow.first_s is None:
            continue
        if blow.first_s <= first.last_s:
            yield f"{_called(study, blow)} may open before it"
    if any(blow.exact for blow in short.blows):
        yield "close to a decision: solved with all loads"
    if short.reaches_c is not None and short.reaches_c > SHORT_C:
        yield f"over {SHORT_C:g} degC, the limit of PVC at a short"


def _basis(study: Study) -> Iterator[str]:
    yield (
        f"weak corner: battery at {100 * WEAK_VOLTS:.0f} % of its volts with {WEAK_SOURCE:g} "
        f"times its resistance, copper at {WEAK_COPPER_C:g} degC, {1000 * SHORT_OHM:g} mohm at "
        f"the short; strong corner: {100 * STRONG_VOLTS:.0f} %, cold copper, no resistance at the "
        "short (from memory)"
    )
    main = main_sources(study.circuit)
    added = [e for e in study.circuit.elements if e.law == "regulated source" and e.id in main]
    if added:
        limits = " and ".join(f"{e.id} up to {e.amps_a:g} A" for e in added)
        yield f"batteries alone; an alternator that runs adds its limit: {limits}"
    fuses = study.design.fuses.values()
    unknown = [f.id for f in fuses if f.rating_a is None or not gates(f.style, f.rating_a)]
    if unknown:
        yield f"opening times not known, the maker's data decide: {', '.join(unknown)}"
    yield f"opening times: {table('fuse_times').source}; above their last limit by the square law"
    yield (
        "reaches at most: from the surroundings, no heat leaving the copper or the current for "
        "ever, whichever is less (heat model)"
    )
    yield (
        f"a fault that draws less than {NEVER_OPENS_SHARE:g} times the rating is never cleared by "
        "a fuse; arcs and chafed wires draw less than any number here"
    )
