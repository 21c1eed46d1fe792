"""Findings for programs: JSON, lines for a build server, SARIF."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import PurePath
from typing import Any
from urllib.parse import quote

from wiregen.cli.judged import Judged
from wiregen.problems import SEVERITIES, Problem
from wiregen.source import Span

_SARIF_LEVEL = {"error": "error", "warning": "warning", "info": "note"}
_GITHUB_LEVEL = {"error": "error", "warning": "warning", "info": "notice"}
_SARIF_SCHEMA = "https://json.schemastore.org/sarif-2.1.0.json"


def as_json(judged: Sequence[Judged]) -> str:
    """Return all designs with their findings as one JSON document."""
    return _dump(
        {
            "designs": [_design(one) for one in judged],
            "counts": {
                severity: sum(p.severity == severity for one in judged for p in one.findings)
                for severity in SEVERITIES
            },
        }
    )


def as_github(judged: Sequence[Judged]) -> Iterator[str]:
    """Yield one workflow command a finding, which a build server shows beside the line."""
    for one in judged:
        for problem in one.findings:
            span = problem.span
            where = f"file={_property(span.file)},line={span.line},col={span.column}"
            text = problem.message + (f"\n{problem.help}" if problem.help else "")
            level = _GITHUB_LEVEL[problem.severity]
            yield f"::{level} {where},title={_property(problem.code)}::{_message(text)}"


def as_sarif(judged: Sequence[Judged]) -> str:
    """Return all findings as a SARIF 2.1.0 log."""
    from wiregen import __version__
    from wiregen.cli.catalogue import entry_of

    problems = [problem for one in judged for problem in one.findings]
    codes = sorted({problem.code for problem in problems})
    rules = [
        {
            "id": code,
            "shortDescription": {"text": entry.title},
            "help": {"text": f"{entry.why}\n\n{entry.fix}"},
        }
        for code in codes
        if (entry := entry_of(code))
    ]
    driver = {"name": "wiregen", "version": __version__, "rules": rules}
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(problem) for problem in problems],
    }
    return _dump({"$schema": _SARIF_SCHEMA, "version": "2.1.0", "runs": [run]})


def _dump(data: Any) -> str:
    return json.dumps(data, indent=2, ensure_ascii=False)


def _design(one: Judged) -> dict[str, Any]:
    return {
        "design": one.path,
        "readable": one.readable,
        "findings": [_problem(problem) for problem in one.findings],
        "accepted": [_problem(p) | {"because": waiver.why} for p, waiver in one.report.waived],
        "not_checked": [
            {"code": entry.code, "needs": entry.needs, "objects": list(entry.objects)}
            for entry in one.report.not_checked
        ],
        "skipped": list(one.report.skipped),
    }


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "code": problem.code,
        "severity": problem.severity,
        "message": problem.message,
        **_span(problem.span),
        "subjects": list(problem.subjects),
        "notes": [{"message": note.message, **_span(note.span)} for note in problem.notes],
        "help": problem.help,
        "variant": problem.variant,
    }


def _span(span: Span) -> dict[str, Any]:
    return {"file": span.file, "line": span.line, "column": span.column, "length": span.length}


def _result(problem: Problem) -> dict[str, Any]:
    text = problem.message + (f". {problem.help}" if problem.help else "")
    result: dict[str, Any] = {
        "ruleId": problem.code,
        "level": _SARIF_LEVEL[problem.severity],
        "message": {"text": text},
        "locations": [_location(problem.span)],
    }
    if problem.notes:
        result["relatedLocations"] = [
            {"id": index, "message": {"text": note.message}, **_location(note.span)}
            for index, note in enumerate(problem.notes)
        ]
    return result


def _location(span: Span) -> dict[str, Any]:
    region = {"startLine": span.line, "startColumn": span.column}
    if span.length:
        region["endColumn"] = span.column + span.length
    uri = quote(PurePath(span.file).as_posix())
    return {"physicalLocation": {"artifactLocation": {"uri": uri}, "region": region}}


def _message(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _message(text).replace(":", "%3A").replace(",", "%2C")
