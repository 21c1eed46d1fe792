"""A finding that sums up many, as one sheet says it: only what stands on the sheet, and briefly."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

from wiregen.problems import Member, Problem

_LETTERS = 110
"""A list is cut after about so many letters."""


@dataclass(frozen=True, slots=True)
class Findings:
    """Findings by what they are about, so that no sheet has to look at all of them.

    Attributes:
        problems: in order.
        about: id or pin -> places of the findings about it, each with its member or -1.
    """

    problems: tuple[Problem, ...]
    about: Mapping[str, Sequence[tuple[int, int]]]


def index_findings(problems: tuple[Problem, ...]) -> Findings:
    """Return findings by what they are about."""
    about: dict[str, list[tuple[int, int]]] = {}
    for place, problem in enumerate(problems):
        for subject in problem.subjects:
            about.setdefault(subject, []).append((place, -1))
        for number, member in enumerate(problem.members):
            for subject in member.subjects:
                about.setdefault(subject, []).append((place, number))
    return Findings(problems, about)


def findings_on(findings: Findings, shown: AbstractSet[str]) -> Iterator[Problem]:
    """Yield the findings about something a sheet shows, in order, as the sheet says them.

    Args:
        findings: from `index_findings`.
        shown: ids and pins on the sheet.
    """
    touched: dict[int, set[int]] = {}
    for subject in shown:
        for place, number in findings.about.get(subject, ()):
            touched.setdefault(place, set()).add(number)
    for place in sorted(touched):
        problem = findings.problems[place]
        members = tuple(problem.members[number] for number in sorted(touched[place] - {-1}))
        yield narrowed(replace(problem, members=members), shown)


def narrowed(problem: Problem, shown: AbstractSet[str]) -> Problem:
    """Return a finding with only those of its members that concern a sheet.

    Args:
        problem: one finding; one without members is returned as it is.
        shown: ids and pins on the sheet.
    """
    here = [m for m in problem.members if m.subjects and m.subjects[0] in shown]
    here = here or [m for m in problem.members if any(s in shown for s in m.subjects)]
    if not here:
        return problem
    subjects = tuple(dict.fromkeys(subject for member in here for subject in member.subjects))
    return replace(problem, message=_message(problem, here), subjects=subjects)


def _message(problem: Problem, here: Sequence[Member]) -> str:
    if len(here) == 1:
        return here[0].message
    words = list(dict.fromkeys(member.words for member in here))
    cut, letters = 0, 0
    for word in words:
        letters += len(word) + 2
        if cut and letters > _LETTERS:
            break
        cut += 1
    members = ", ".join(words[:cut])
    if cut < len(words):
        members += f" and {len(words) - cut} more, see wiregen check"
    return problem.summary.replace("{count}", str(len(here))).replace("{members}", members)
