"""What the front of a pack says: its kind, how far the design is proven, findings, revisions."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Literal

from wiregen.check import Report
from wiregen.layout.front import Fact
from wiregen.layout.tables import Table, columns
from wiregen.model import Design
from wiregen.publish.document import Document
from wiregen.publish.proving.judge import Judged, counted

_MOST_NAMED = 8
KINDS: Mapping[Literal["", "bench", "customer"], str] = {
    "": "Build and as-built pack",
    "bench": "Build pack for the bench",
    "customer": "As-built pack for the customer",
}


def cover_facts(document: Document, judged: Sequence[Judged], pins: Table) -> tuple[Fact, ...]:
    """Return the rows of the cover.

    Args:
        document: the design.
        judged: its tests with what was recorded.
        pins: the table of pins with their standing.
    """
    design = document.design
    said = design.title_block
    volts = design.system.volts_v
    looms = tuple(
        f"{loom.id}: {loom.title or loom.id}, {loom.status}" for loom in design.looms.values()
    )
    facts = [
        Fact("Drawing", (" ".join(w for w in (said.number, said.revision) if w),)),
        Fact("Variant", (document.variant,)),
        Fact("Date", (said.date,)),
        Fact("Drawn by", (said.by,)),
        Fact("System", (f"{volts:g} V nominal" if volts else "",)),
        Fact("Looms", looms),
        _contents_fact(design),
        *_proof_facts(judged, pins),
        _findings_fact(document.report),
    ]
    return tuple(fact for fact in facts if any(fact.lines))


def _contents_fact(design: Design) -> Fact:
    counts = (
        (len(design.wires), "wires"),
        (len(design.plugs), "plug halves"),
        (len(design.fuses), "fuses"),
        (len(design.splices), "splices"),
        (len(design.earths), "earth points"),
    )
    return Fact("Extent", (", ".join(f"{number} {word}" for number, word in counts if number),))


def _proof_facts(judged: Sequence[Judged], pins: Table) -> tuple[Fact, ...]:
    standing = Counter(row[-1] for row in pins.rows)
    measured = standing.get("measured", 0)
    open_pins = len(pins.rows) - measured
    lines = [f"{measured} of {len(pins.rows)} pins measured"]
    lines += [
        f"{number} {'pin' if number == 1 else 'pins'}: {word}"
        for word, number in standing.items()
        if word != "measured"
    ]
    tests = [f"{title}: {words}" for title, words in counted(judged).items()]
    void = [one.check.id for one in judged if one.verdict == "void"]
    if void:
        more = f" and {len(void) - _MOST_NAMED} more" if len(void) > _MOST_NAMED else ""
        tests.append(
            f"void, changed since they were measured: {', '.join(void[:_MOST_NAMED])}{more}"
        )
    proven = all(one.verdict == "good" for one in judged)
    return (
        Fact("Pins", tuple(lines), warn=open_pins > 0),
        Fact("Tests", tuple(tests), warn=not proven),
    )


def _findings_fact(report: Report) -> Fact:
    counts = Counter(problem.severity for problem in report.findings)
    words = [
        f"{counts[word]} {word}{'' if counts[word] == 1 else 's'}"
        for word in ("error", "warning", "info")
        if counts[word]
    ]
    words.append(f"{len(report.waived)} accepted with a reason")
    return Fact("Findings", (", ".join(words),), warn=counts["error"] > 0)


def revisions_table(design: Design) -> Table:
    """Return the revision record, the newest first."""
    rows = tuple((r.revision, r.date, r.by, r.what) for r in reversed(design.title_block.revisions))
    return Table("revisions", "Revisions", columns("*Revision", "Date", "By", "Change"), rows)


def findings_table(report: Report) -> Table:
    """Return what the rules found."""
    rows = tuple(
        (problem.code, problem.severity, ", ".join(problem.subjects[:3]), problem.message)
        for problem in report.findings
    )
    return Table(
        "findings",
        "Findings that stand",
        columns("*Rule", "Weight", "About", "What was found"),
        rows,
    )


def accepted_table(report: Report) -> Table:
    """Return the findings that were accepted, each with its reason."""
    rows = tuple(
        (problem.code, waiver.object, problem.message, waiver.why)
        for problem, waiver in report.waived
    )
    return Table(
        "accepted",
        "Findings that were accepted",
        columns("*Rule", "About", "What was found", "Why it is accepted"),
        rows,
    )
