"""Findings in the static analysis results format of OASIS, version 2.1.0."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import PurePath
from typing import Any
from urllib.parse import quote

from wiregen import __version__
from wiregen.check.explain import texts_of
from wiregen.check.report import Report
from wiregen.problems import Problem
from wiregen.source import Span

_LEVELS = {"error": "error", "warning": "warning", "info": "note"}


def render_sarif(report: Report, sources: Mapping[str, str] | None = None) -> str:
    """Return a report as a log with one run; waived findings are there as suppressed.

    Args:
        report: from `check`.
        sources: not needed; taken so that every format is called alike.

    Source:
        OASIS Static Analysis Results Interchange Format 2.1.0 (from memory).
    """
    del sources
    problems = [*report.findings, *(problem for problem, _ in report.waived)]
    codes = sorted({problem.code for problem in problems})
    results = [_result(problem, codes) for problem in report.findings]
    for problem, waiver in report.waived:
        suppression = {"kind": "inSource", "justification": waiver.why}
        results.append({**_result(problem, codes), "suppressions": [suppression]})
    driver = {"name": "wiregen", "version": __version__, "rules": [_rule(code) for code in codes]}
    run = {"tool": {"driver": driver}, "columnKind": "unicodeCodePoints", "results": results}
    log = {
        "$schema": "https://json.schemastore.org/sarif-2.1.0.json",
        "version": "2.1.0",
        "runs": [run],
    }
    return json.dumps(log, ensure_ascii=False, indent=2) + "\n"


def _rule(code: str) -> dict[str, Any]:
    texts = texts_of(code)
    if texts is None:
        return {"id": code}
    return {
        "id": code,
        "name": texts.name,
        "shortDescription": {"text": texts.title},
        "fullDescription": {"text": texts.why},
        "help": {"text": texts.fix},
    }


def _result(problem: Problem, codes: list[str]) -> dict[str, Any]:
    variant = f" (variant {problem.variant})" if problem.variant else ""
    text = problem.message + variant + (f". {problem.help}" if problem.help else "")
    result: dict[str, Any] = {
        "ruleId": problem.code,
        "ruleIndex": codes.index(problem.code),
        "level": _LEVELS[problem.severity],
        "message": {"text": text},
        "locations": [{"physicalLocation": _place(problem.span)}],
    }
    if problem.notes:
        result["relatedLocations"] = [
            {"physicalLocation": _place(note.span), "message": {"text": note.message}}
            for note in problem.notes
        ]
    return result


def _place(span: Span) -> dict[str, Any]:
    region: dict[str, int] = {"startLine": span.line, "startColumn": span.column}
    if span.length:
        region["endColumn"] = span.column + span.length
    return {"artifactLocation": {"uri": _uri(span.file)}, "region": region}


def _uri(file: str) -> str:
    path = PurePath(file)
    return path.as_uri() if path.is_absolute() else quote(path.as_posix())
