"""Findings as workflow commands that show up beside the lines of a pull request."""

from __future__ import annotations

from collections.abc import Mapping

from wiregen.check.render_text import plain
from wiregen.check.report import Report
from wiregen.problems import Problem

_LEVELS = {"error": "error", "warning": "warning", "info": "notice"}


def render_github(report: Report, sources: Mapping[str, str] | None = None) -> str:
    """Return one annotation line for each finding that is not waived.

    Args:
        report: from `check`.
        sources: not needed; taken so that every format is called alike.

    Source:
        GitHub documentation, "Workflow commands for GitHub Actions" (from memory): `%`, CR and LF
        are escaped in the message, `:` and `,` in properties as well.
    """
    del sources
    return "".join(f"{_line(problem)}\n" for problem in report.findings)


def _line(problem: Problem) -> str:
    span = problem.span
    properties = [
        f"file={_property(span.file)}",
        f"line={span.line}",
        f"col={span.column}",
        *([f"endColumn={span.column + span.length}"] if span.length else []),
        f"title={_property(problem.code)}",
    ]
    variant = f" (variant {problem.variant})" if problem.variant else ""
    parts = [plain(problem.message) + variant]
    parts += [plain(f"note: {note.span}: {note.message}") for note in problem.notes]
    parts += [plain(f"help: {problem.help}")] if problem.help else []
    return f"::{_LEVELS[problem.severity]} {','.join(properties)}::{_data(chr(10).join(parts))}"


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")
