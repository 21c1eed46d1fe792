"""The smallest standard size of one wire, and the smallest rating of one fuse, with reasons."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wiregen.compute.coordination import find_gap
from wiregen.compute.heat import heated, warm_share
from wiregen.compute.numbers import amps, drop
from wiregen.facts.ampacity import Ampacity, AmpacityError, ampacity, standard_sizes
from wiregen.facts.conductors import ConductorError, at_temperature, resistance
from wiregen.facts.fuse_curves import (
    CONTINUOUS_SHARE,
    CONTINUOUS_WORDS,
    continuous_load,
    ratings,
)
from wiregen.facts.sizes import WireSize

_HOUSE = {"iso-10133": (1.0, 0.75)}
_HOUSE_WORDS = "ISO 10133 7.7: 1 mm2 single, 0.75 mm2 in a sheath"
MARGIN = 1.0001
"""What is at its limit to four digits is within it; the rules and the sizes agree on that."""


@dataclass(frozen=True, slots=True)
class Task:
    """What a wire has to do.

    Attributes:
        amps_a: largest lasting current.
        length_mm: the length the drop is allowed over: feed and return where one size serves both.
        drop_v: allowed drop; None when the design allows any.
        drop_amps_a: current the drop is allowed at.
        lasts: that current lasts, and warms the wire; a starter's does not.
        insulation_c: highest temperature of the insulation, None when not known.
        ambient_c: around it; None takes 20 degC for the copper and the table's own for the rest.
        fuse: style and rating of what protects it; None without.
        loaded: wires of its cable that carry current.
        sheathed: it runs in a cable.
        conductor: table of resistances.
        scheme: ampacity table.
        bundle: bundle table.
    """

    amps_a: float
    length_mm: float | None = None
    drop_v: float | None = None
    drop_amps_a: float = 0.0
    lasts: bool = True
    insulation_c: float | None = None
    ambient_c: float | None = None
    fuse: tuple[str, float] | None = None
    loaded: int = 1
    sheathed: bool = False
    conductor: str = "iec-60228-5"
    scheme: str = "33cfr183"
    bundle: str = "stepwise"


@dataclass(frozen=True, slots=True)
class Choice:
    """A size or a rating that will do.

    Attributes:
        size: smallest that will do; None when none does.
        failed: each smaller candidate and why it will not do.
        got: what the chosen one gives, in words.
        unfit: those of `failed` that a table rules out, whatever the wire has to do.
    """

    size: WireSize | None
    failed: tuple[tuple[str, str], ...]
    got: str
    unfit: tuple[str, ...] = ()


def choose_size(task: Task, system: str = "mm2") -> Choice:
    """Return the smallest standard size that meets drop, ampacity and fuse.

    Args:
        task: what the wire has to do. What it does not say is not judged.
        system: `mm2` or `AWG`.

    Returns:
        The choice with the reason why each smaller size fails.
    """
    failed: list[tuple[str, str]] = []
    unfit: list[str] = []
    if system == "mm2" and task.conductor == "jis-c3406":
        system = "JIS"
    for size in standard_sizes(system):
        reason = why_not(task, size)
        if not reason:
            return Choice(size, tuple(failed), _got(task, size), tuple(unfit))
        failed.append((size.label, reason))
        if _outside(task, size):
            unfit.append(size.label)
    return Choice(None, tuple(failed), "", tuple(unfit) if len(unfit) < len(failed) else ())


def why_not(task: Task, size: WireSize) -> str:
    """Return the first criterion a size fails, in words; empty when it will do."""
    return next(_faults(task, size), "")


def drop_v(task: Task, size: WireSize) -> float | None:
    """Return the drop of a size, warmed by its current where that lasts; None when unknown."""
    if task.length_mm is None:
        return None
    try:
        row = resistance(size, task.conductor)
    except ConductorError:
        return None
    around = 20.0 if task.ambient_c is None else task.ambient_c
    ohm = at_temperature(row.mohm_per_m / 1000 * task.length_mm / 1000, around)
    share = warm_share(size, row.mohm_per_m, around, task.drop_amps_a) if task.lasts else 1.0
    return task.drop_amps_a * ohm * share


def _faults(task: Task, size: WireSize) -> Iterator[str]:
    outside = _outside(task, size)
    if outside:
        yield outside
        return
    row = resistance(size, task.conductor)
    if task.drop_v is not None and task.drop_amps_a > 0:
        lost = drop_v(task, size)
        if lost is not None and lost > task.drop_v * MARGIN:
            yield f"drop {drop(lost)}, {drop(task.drop_v)} allowed"
    if task.insulation_c is None:
        return
    table = _ampacity(task, size, task.insulation_c)
    allowed = f"{amps(table.amps_a)} ({table.table}: {table.row})"
    if task.amps_a > table.amps_a * MARGIN:
        yield f"carries {amps(task.amps_a)}, may carry {allowed}"
    if task.fuse is None:
        return
    style, rating = task.fuse
    if rating > table.fuse_a * MARGIN:
        yield f"fuse {rating:g} A, may carry {allowed}"
    around = 20.0 if task.ambient_c is None else task.ambient_c
    gap = find_gap(
        style, rating, heated(size, row.mohm_per_m, around, task.loaded), task.insulation_c
    )
    if gap is not None:
        yield f"fuse {rating:g} A: {gap.short} (heat model)"


def _outside(task: Task, size: WireSize) -> str:
    """Return why a table rules a size out, whatever the wire has to do; empty when none does."""
    try:
        resistance(size, task.conductor)
        if task.insulation_c is not None:
            _ampacity(task, size, task.insulation_c)
    except ConductorError:
        return f"not in {task.conductor}"
    except AmpacityError as error:
        return str(error)
    house = _HOUSE.get(task.scheme)
    if house is not None and size.area_mm2 < house[1 if task.sheathed else 0]:
        return f"below the smallest allowed ({_HOUSE_WORDS})"
    return ""


def _ampacity(task: Task, size: WireSize, insulation_c: float) -> Ampacity:
    return ampacity(
        size,
        insulation_c,
        scheme=task.scheme,
        ambient_c=task.ambient_c,
        bundle=task.bundle,
        loaded=task.loaded,
    )


def _got(task: Task, size: WireSize) -> str:
    parts = []
    lost = drop_v(task, size)
    if lost is not None and task.drop_v is not None and task.drop_amps_a > 0:
        parts.append(f"drop {drop(lost)} of {drop(task.drop_v)} allowed")
    if task.insulation_c is not None:
        table = _ampacity(task, size, task.insulation_c)
        memory = ", from memory" if table.status == "from memory" else ""
        factors = f" {table.factors}" if table.factors else ""
        parts.append(
            f"may carry {amps(table.amps_a)} ({table.table}: {table.row}{factors}{memory})"
        )
    return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class Rating:
    """The smallest rating of a fuse that carries its load.

    Attributes:
        rating_a: None when the style has none large enough, or its ratings are not known.
        failed: each smaller rating and why it will not do.
        words: the rule for the continuous load, or why there is no rating.
    """

    rating_a: float | None
    failed: tuple[tuple[str, str], ...]
    words: str


def choose_rating(style: str, amps_a: float, ambient_c: float | None) -> Rating:
    """Return the smallest rating that carries a current for long.

    Args:
        style: of the fuse.
        amps_a: largest lasting current.
        ambient_c: around the fuse, None when not known.
    """
    failed: list[tuple[str, str]] = []
    known = ratings(style)
    for rating in known:
        allowed = continuous_load(style, rating, ambient_c)
        if amps_a <= allowed.amps_a * MARGIN:
            return Rating(rating, tuple(failed), allowed.words)
        reason = f"for long {amps(allowed.amps_a)} ({allowed.words})"
        if allowed.words == CONTINUOUS_WORDS:
            reason = f"for long {CONTINUOUS_WORDS}, less than {amps(amps_a)}"
        failed.append((f"{rating:g}", reason))
    words = f"needs {amps(amps_a / CONTINUOUS_SHARE)} or more ({CONTINUOUS_WORDS})"
    what = f"no {style} is made so large" if known else f"no ratings of {style} in the tables"
    return Rating(None, tuple(failed), f"{words}; {what}")
