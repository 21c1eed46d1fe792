"""Results kept beside a design, and the pins they prove."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from wiregen.connect import Network, split_node
from wiregen.edit import Edit, SetKey
from wiregen.edit.yaml_text import Value
from wiregen.layout.tables import Table, columns
from wiregen.model import Design, in_order
from wiregen.publish.proving import prove
from wiregen.publish.proving.checks import Check, expected_words, limit_words
from wiregen.publish.proving.judge import Judged, judge_results
from wiregen.publish.proving.results import Result, made_of, of_variant, read_kept
from wiregen.publish.volts import Expected
from wiregen.read.companions import measured_path


def merged(
    design: Design,
    network: Network,
    checks: Iterable[Check],
    kept: Iterable[Result],
    fresh: Iterable[Result],
    *,
    variant: str = "",
) -> tuple[Result, ...]:
    """Return kept results with the fresh ones in place of older ones of the same tests.

    Args:
        design: as the variant has it.
        network: from `connect`.
        checks: its tests.
        kept: of every variant.
        fresh: measured now.
        variant: of a design that has variants, the one that was measured.
    """
    by_id = {check.id: check for check in checks}
    found = {(result.variant, result.test): result for result in kept}
    for result in fresh:
        now = made_of(design, network, by_id[result.test])
        found[variant, result.test] = replace(result, made_of=now, variant=variant)
    return tuple(found.values())


def judged_kept(
    path: Path, design: Design, network: Network, checks: Iterable[Check], variant: str = ""
) -> tuple[Judged, ...]:
    """Return the tests of a design with what was recorded beside it.

    Args:
        path: the design file.
        design: as the variant has it.
        network: from `connect`.
        checks: its tests.
        variant: of a design that has variants.

    Raises:
        Unreadable: the file of results is broken.
    """
    kept = of_variant(read_kept(measured_path(path)), variant)
    return judge_results(design, network, checks, kept)


def void_results(
    path: Path, design: Design, network: Network, variant: str = ""
) -> tuple[Result, ...]:
    """Return what was recorded beside a design and no longer counts: its wires were changed.

    Args:
        path: the design file.
        design: as the variant has it.
        network: from `connect`.
        variant: of a design that has variants.

    Raises:
        Unreadable: the file of results is broken.
    """
    kept = of_variant(read_kept(measured_path(path)), variant)
    checks = prove(design, network, Expected()).checks if kept else ()
    now = {check.id: made_of(design, network, check) for check in checks}
    return tuple(one for one in kept if one.made_of and one.made_of != now.get(one.test))


_LIVE_V = 1.0
"""From here on a reading as computed says that the right feed is in a cavity."""


def proven_pins(design: Design, judged: Iterable[Judged]) -> dict[str, str]:
    """Return the cavities that a good reading proves, with its date.

    That is the continuity of a wire, at both its ends, or volts where there should be some.
    """
    found: dict[str, str] = {}
    for one in judged:
        check = one.check
        live = check.kind == "volts" and (check.expect or 0.0) >= _LIVE_V
        if one.verdict == "good" and one.result and (check.kind == "continuity" or live):
            for node in (check.start, check.end):
                if split_node(node)[0] in design.plugs:
                    found[node] = max(found.get(node, ""), one.result.date)
    return found


@dataclass(frozen=True, slots=True)
class Marks:
    """What `measured:` is to be written.

    Attributes:
        edits: file -> its edits.
        pins: file -> the pins marked there.
        left: pins that cannot be marked, each with the reason.
    """

    edits: Mapping[str, list[Edit]]
    pins: Mapping[str, list[str]]
    left: tuple[str, ...]


def mark_pins(design: Design, proven: Mapping[str, str]) -> Marks:
    """Return the edits that write `measured:` at proven pins, in the files that hold their plugs.

    Args:
        design: with all its variants; a plug without `pins:`, or without this pin, gets the entry.
        proven: cavity -> date.
    """
    edits: dict[str, list[Edit]] = {}
    pins: dict[str, list[str]] = {}
    left: list[str] = []
    bare: dict[str, dict[str, Value]] = {}
    for node in in_order(proven):
        plug_id, cavity = split_node(node)
        plug, date = design.plugs[plug_id], proven[node]
        pin = plug.pins.get(cavity)
        file = plug.origin.span.file
        path: tuple[str, ...] = ("plugs", plug_id, "pins")
        if pin is not None and pin.measured == date:
            continue
        if pin is not None and pin.state != "used":
            left.append(f"{node}: the file says {pin.state}, a wire was measured there")
            continue
        if not plug.pins:
            bare.setdefault(plug_id, {})[cavity] = {"measured": date}
        elif pin is None:
            edits.setdefault(file, []).append(SetKey(path, cavity, {"measured": date}))
        else:
            edits.setdefault(file, []).append(SetKey((*path, cavity), "measured", date))
        pins.setdefault(file, []).append(node)
    for plug_id, written in bare.items():
        file = design.plugs[plug_id].origin.span.file
        edits.setdefault(file, []).append(SetKey(("plugs", plug_id), "pins", written))
    return Marks(edits, pins, tuple(left))


def deviations_table(rows: int = 10) -> Table:
    """Return empty rows for what was built otherwise than drawn."""
    return Table(
        "deviations",
        "Deviations from the drawing, photos, ends left over",
        columns("_Where", "_What differs", "_Why", "_Photo", "_By", "_Date"),
        tuple(("",) * 6 for _ in range(rows)),
        ("What is written here goes into the design file before the next revision.",),
    )


def record_table(judged: Iterable[Judged], variant: str = "") -> Table:
    """Return the as-built record: every test that was made, its reading and what came of it.

    Args:
        judged: every test.
        variant: of a design that has variants, the one that was measured.
    """
    rows = []
    for one in judged:
        result = one.result
        if result is None:
            continue
        rows.append(
            (
                one.check.id,
                one.check.start,
                one.check.end,
                expected_words(one.check),
                limit_words(one.check),
                result.reading or ("found elsewhere" if result.found_at else ""),
                result.by,
                result.meter,
                result.date,
                one.verdict,
                one.words or result.note,
            )
        )
    return Table(
        "record",
        "As-built record",
        columns(
            "*Test",
            "Probe",
            "Probe to",
            "Expected",
            "Good if",
            "Reading",
            "By",
            "Meter",
            "Date",
            "Verdict",
            "Remark",
        ),
        tuple(rows),
        (
            *((f"Measured on variant {variant}.",) if variant else ()),
            "A reading counts only as long as its wires are as they were when it was taken.",
        ),
        "Nothing was recorded.",
    )


def undone_table(judged: Iterable[Judged]) -> Table:
    """Return the tests that were not made, a row for each kind."""
    names: dict[str, dict[str, None]] = {}
    counts: Counter[str] = Counter()
    for check in (one.check for one in judged if one.verdict == "not done"):
        kind = "volts at the cavities" if check.state else _KINDS[check.kind]
        counts[kind] += 1
        names.setdefault(kind, {})[check.start if check.state else check.id] = None
    rows = tuple((kind, str(counts[kind]), _some(list(found))) for kind, found in names.items())
    return Table(
        "undone",
        "Tests not made",
        columns("*Tests", "#Count", "Which"),
        rows,
        nothing="Every test was made.",
    )


_KINDS: Mapping[str, str] = {
    "continuity": "continuity",
    "isolation": "isolation",
    "diode": "diodes, coils and buses",
    "coil": "diodes, coils and buses",
    "bus": "diodes, coils and buses",
    "step": "steps of the first power-up",
    "amps": "steps of the first power-up",
    "volts": "steps of the first power-up",
}
_MOST_LISTED = 60


def _some(names: list[str]) -> str:
    more = len(names) - _MOST_LISTED
    return ", ".join(names[:_MOST_LISTED]) + (f" and {more} more" if more > 0 else "")
