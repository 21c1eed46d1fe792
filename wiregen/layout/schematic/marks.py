"""Findings on a schematic sheet: which it shows, their numbers and their sentences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wiregen.connect import split_node
from wiregen.layout.finding_numbers import (
    Key,
    finding_keys,
    finding_numbers,
    finding_place,
    finding_words,
)
from wiregen.layout.schematic.ends import Ends
from wiregen.layout.schematic.narrowed import Findings, findings_on
from wiregen.layout.schematic.scene import Plan
from wiregen.problems import Problem
from wiregen.sheet.frame import FootFinding


@dataclass(frozen=True, slots=True)
class Marks:
    """Findings of one sheet, most dangerous first.

    Attributes:
        foot: lines of the foot.
        subjects: for each line the ids and pins to put the ring at, best first.
        keys: for each line what it is known by when the sheet is drawn again.
    """

    foot: tuple[FootFinding, ...] = ()
    subjects: tuple[tuple[str, ...], ...] = ()
    keys: tuple[Key, ...] = ()


def find_marks(
    ends: Ends,
    plan: Plan,
    findings: Findings,
    before: Mapping[Key, int],
    bare: Sequence[str],
) -> Marks:
    """Return the findings about something the sheet shows, in order of the report.

    Args:
        ends: from `find_ends`.
        plan: what the sheet shows.
        findings: of the design.
        before: numbers of findings when the sheet was drawn before.
        bare: pins without wires that the sheet shows all the same.
    """
    wires = [*plan.wires, *(cut.here.wire for cut in plan.cuts)]
    shown = set(wires)
    for wire in plan.wires:
        shown |= {text for end in ends.of_wire[wire] for text in (end.node, end.owner, end.block)}
    for cut in plan.cuts:
        shown |= {cut.here.node, cut.here.owner, cut.here.block}
    for node in bare:
        owner = split_node(node)[0]
        shown |= {node, owner, ends.block_of.get(owner, owner)}
    known = {(code, words) for code, words, _ in before}
    known |= {(code, finding_place(words)) for code, words in known}
    found: list[Problem] = []
    subjects: list[tuple[str, ...]] = []
    for here in findings_on(findings, shown):
        hits = tuple(subject for subject in here.subjects if subject in shown and subject)
        if hits:
            same = [hit for hit in hits if (here.code, finding_words(hit, here.subjects)) in known]
            same += [hit for hit in hits if (here.code, hit) in known]
            first = (same or hits)[0]  # it stays marked where it was
            found.append(here)
            subjects.append((first, *(hit for hit in hits if hit != first)))
    named = zip(found, subjects, strict=True)
    keys = finding_keys([(p.code, finding_words(hits[0], p.subjects)) for p, hits in named])
    numbers = finding_numbers(keys, before)
    foot = (FootFinding(n, p.code, p.message) for n, p in zip(numbers, found, strict=True))
    return Marks(tuple(foot), tuple(subjects), tuple(keys))
