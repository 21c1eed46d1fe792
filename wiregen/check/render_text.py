"""Findings as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wiregen.check.report import NotChecked, Report
from wiregen.check.words import listed
from wiregen.compute.numbers import CAUTION
from wiregen.problems import Problem
from wiregen.source import Span

_WIDTH = 100
_COMPUTED = ("CUR", "ETH", "FUS", "STA", "VLT")
"""Groups of rules whose findings rest on computed numbers."""


def render_text(report: Report, sources: Mapping[str, str]) -> str:
    """Return a report as text.

    Args:
        report: from `check`.
        sources: file -> its text (`design.sources`), for the line and the mark under it.

    Returns:
        `file:line:col: error CAV102: message`, the source line, the mark, notes and help for each
        finding; then what is waived and what could not be checked; what computed findings rest on;
        then one line that counts.
        Control characters of user text never reach the terminal.
    """
    lines_of = {name: text.splitlines() for name, text in sources.items()}
    lines: list[str] = []
    for problem in report.findings:
        lines += [*_finding(problem, lines_of), ""]
    for problem, waiver in report.waived:
        place = f"{waiver.rule} on {waiver.object}"
        lines.append(plain(f"waived: {place}: {problem.message} (reason: {waiver.why})"))
    lines += _not_checked(report)
    if any(problem.code.startswith(_COMPUTED) for problem in report.findings):
        lines += [*([""] if lines[-1] else []), CAUTION]
    if lines and lines[-1]:
        lines.append("")
    lines.append(summary(report))
    return "\n".join(lines) + "\n"


def plain(text: str) -> str:
    """Return text without control characters, which could act on a terminal."""
    return "".join(
        c if c.isprintable() else (" " if c.isspace() else "\N{REPLACEMENT CHARACTER}")
        for c in text
    )


def summary(report: Report) -> str:
    """Return the line that counts findings and names the fact that would unlock most."""
    counts = {"error": 0, "warning": 0, "info": 0}
    for problem in report.findings:
        counts[problem.severity] += 1
    rules = len({item.code for item in report.not_checked} | set(report.skipped))
    parts = [
        _count(counts["error"], "error"),
        _count(counts["warning"], "warning"),
        _count(counts["info"], "info"),
        f"{len(report.waived)} waived",
        f"{_count(rules, 'rule')} not checked",
    ]
    line = ", ".join(parts)
    best = most_wanted(report)
    return f"{line}; most would be unlocked by: {plain(best)}" if best else line


def most_wanted(report: Report) -> str:
    """Return the fact whose absence keeps most rules from most objects; empty if none is wanted."""
    weight: dict[str, tuple[int, int]] = {}
    for item in report.not_checked:
        rules, objects = weight.get(item.needs, (0, 0))
        weight[item.needs] = (rules + 1, objects + max(len(item.objects), 1))
    return min(weight, key=lambda need: (-weight[need][0], -weight[need][1], need), default="")


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _finding(problem: Problem, sources: Mapping[str, list[str]]) -> Iterator[str]:
    variant = f" (variant {problem.variant})" if problem.variant else ""
    yield plain(f"{problem.span}: {problem.severity} {problem.code}{variant}: {problem.message}")
    yield from _quote(problem.span, sources)
    for note in problem.notes:
        yield plain(f"  note: {note.span}: {note.message}")
        yield from _quote(note.span, sources)
    if problem.help:
        yield plain(f"  help: {problem.help}")


def _quote(span: Span, sources: Mapping[str, list[str]]) -> Iterator[str]:
    """Yield the source line, cut to the screen, and the mark under the place."""
    lines = sources.get(span.file, [])
    if not 1 <= span.line <= len(lines):
        return
    text = plain(lines[span.line - 1])
    first = min(max(span.column - 1, 0), len(text))
    length = max(1, min(span.length, len(text) - first))
    start = max(0, first - 60) if len(text) > _WIDTH else 0
    window = text[start : start + _WIDTH]
    before = "..." if start else ""
    after = "..." if start + _WIDTH < len(text) else ""
    number = str(span.line)
    yield f"  {number} | {before}{window}{after}"
    mark = " " * (first - start + len(before)) + "^" * min(length, _WIDTH - (first - start))
    yield f"  {' ' * len(number)} | {mark}"


def _not_checked(report: Report) -> Iterator[str]:
    """Yield one line for each missing fact, and one for rules that errors made meaningless."""
    by_need: dict[str, list[NotChecked]] = {}
    for item in report.not_checked:
        by_need.setdefault(item.needs, []).append(item)
    for need, items in by_need.items():
        codes = ", ".join(dict.fromkeys(item.code for item in items))
        objects = tuple(dict.fromkeys(name for item in items for name in item.objects))
        where = f" for {listed(objects)}" if objects else ""
        yield plain(f"not checked: needs {need}{where} ({codes})")
    if report.skipped:
        count = _count(len(report.skipped), "rule")
        yield f"not checked: {count}, because the structure has errors"
