"""Findings for people: the place, the line of the file with a mark under it, and what to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from unicodedata import combining, east_asian_width

from wiregen.check import NotChecked, Report
from wiregen.cli.words import count, headline, place, plain
from wiregen.problems import SEVERITIES, Problem
from wiregen.source import Span

_LINE_WIDTH = 110
_BEFORE_MARK = 50
_OBJECTS_SHOWN = 6

Sources = Mapping[str, list[str]]


def finding_lines(problem: Problem, sources: Sources) -> Iterator[str]:
    """Yield a finding with its source line, mark, notes and help.

    Args:
        problem: the finding.
        sources: file name -> its lines.
    """
    yield headline(problem)
    yield from _marked(problem.span, sources)
    for note in problem.notes:
        yield f"      {place(note.span)}: {plain(note.message)}"
    if problem.help:
        yield f"      help: {plain(problem.help)}"


def report_lines(report: Report, sources: Sources) -> Iterator[str]:
    """Yield every finding, then what was accepted and what could not be checked."""
    for problem in report.findings:
        yield from finding_lines(problem, sources)
        yield ""
    for problem, waiver in report.waived:
        yield f"accepted: {headline(problem)}"
        yield f"      because: {plain(waiver.why)}"
    if report.waived:
        yield ""
    if report.not_checked:
        yield "not checked, for want of a fact:"
        yield from (f"      {_wanting(entry)}" for entry in report.not_checked)
        yield ""
    if report.skipped:
        yield (
            f"not checked: {count(len(report.skipped), 'rule')}, until the errors above are put "
            "right"
        )
        yield ""


def summary(report: Report) -> str:
    """Return the counts in words.

    Example:
        >>> summary(Report())
        'no findings'
    """
    found = [
        count(number, severity) if severity != "info" else f"{number} info"
        for severity in SEVERITIES
        if (number := sum(1 for problem in report.findings if problem.severity == severity))
    ]
    said = ", ".join(found) or "no findings"
    return f"{said}, {len(report.waived)} accepted" if report.waived else said


def _wanting(entry: NotChecked) -> str:
    shown = ", ".join(entry.objects[:_OBJECTS_SHOWN])
    more = len(entry.objects) - _OBJECTS_SHOWN
    at = f" ({shown}{f' and {more} more' if more > 0 else ''})" if shown else ""
    return plain(f"{entry.code} needs {entry.needs}{at}")


def _marked(span: Span, sources: Sources) -> Iterator[str]:
    """The line of the file and a mark below the place; long lines are cut around the mark."""
    lines = sources.get(span.file, [])
    if not 1 <= span.line <= len(lines):
        return
    line = lines[span.line - 1]
    start = min(span.column - 1, len(line))
    end = min(start + max(span.length, 1), max(len(line), start + 1))
    first, last = 0, len(line)
    if len(line) > _LINE_WIDTH:
        first = max(0, min(start - _BEFORE_MARK, len(line) - _LINE_WIDTH))
        last = first + _LINE_WIDTH
    before = ("…" if first else "") + plain(line[first:start])
    under = plain(line[start : min(end, last)])
    after = plain(line[min(end, last) : last]) + ("…" if last < len(line) else "")
    number = f"{span.line:5} | "
    yield f"{number}{before}{under}{after}"
    yield f"{' ' * len(number)}{' ' * _width(before)}{'^' * max(_width(under), 1)}"


def _width(text: str) -> int:
    """Columns a text takes on a terminal."""
    return sum(
        0 if combining(char) else 2 if east_asian_width(char) in "WF" else 1 for char in text
    )
