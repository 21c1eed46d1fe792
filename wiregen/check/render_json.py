"""Findings as JSON, for other programs."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from wiregen.check.render_text import most_wanted
from wiregen.check.report import Report
from wiregen.problems import Problem
from wiregen.source import Span


def render_json(report: Report, sources: Mapping[str, str] | None = None) -> str:
    """Return a report as one JSON object.

    Args:
        report: from `check`.
        sources: not needed; taken so that every format is called alike.

    Returns:
        `findings`, `waived`, `not_checked`, `skipped` and `summary`; places are 1-based lines and
        columns in characters.
    """
    del sources
    document = {
        "findings": [_problem(problem) for problem in report.findings],
        "waived": [
            {**_problem(problem), "reason": waiver.why} for problem, waiver in report.waived
        ],
        "not_checked": [
            {"code": item.code, "needs": item.needs, "objects": list(item.objects)}
            for item in report.not_checked
        ],
        "skipped": list(report.skipped),
        "summary": {
            "errors": _count(report, "error"),
            "warnings": _count(report, "warning"),
            "infos": _count(report, "info"),
            "waived": len(report.waived),
            "not_checked": len({i.code for i in report.not_checked} | set(report.skipped)),
            "most_wanted": most_wanted(report),
        },
    }
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def _count(report: Report, severity: str) -> int:
    return sum(1 for problem in report.findings if problem.severity == severity)


def _place(span: Span) -> dict[str, Any]:
    return {"file": span.file, "line": span.line, "column": span.column, "length": span.length}


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "code": problem.code,
        "severity": problem.severity,
        "message": problem.message,
        **_place(problem.span),
        "notes": [{"message": note.message, **_place(note.span)} for note in problem.notes],
        "help": problem.help,
        "subjects": list(problem.subjects),
        "variant": problem.variant,
    }
