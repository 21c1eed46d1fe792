"""The command `check`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import typer

from wiregen.check import Report
from wiregen.check.render_text import plain, render_text
from wiregen.cli.judged import Judged, judge
from wiregen.cli.several import designs_among
from wiregen.cli.void import void_words
from wiregen.cli.words import UNUSABLE


def check_designs(paths: Sequence[Path], format: str) -> int:
    """Check the designs, print what was found and return the exit code.

    Args:
        paths: design files.
        format: `text`, `json`, `github` or `sarif`; all but text go to stdout as one document.
    """
    judged = {path: judge(path) for path in designs_among(paths)}
    if format == "text":
        for path, one in judged.items():
            typer.echo(render_text(one.report, one.sources), nl=False, err=one.loaded is None)
            void = void_words(path, one.loaded) if one.loaded else ""
            if void:
                typer.echo(plain(void))
    else:
        typer.echo(_as_data(_together(list(judged.values())), format), nl=False)
    return max(map(_exit_code, judged.values()), default=0)


def _exit_code(one: Judged) -> int:
    if one.loaded is None:
        return UNUSABLE
    return 1 if one.report.errors else 0


def _together(judged: Sequence[Judged]) -> Report:
    """One report of all designs; every finding names its file."""
    reports = [one.report for one in judged]
    return Report(
        findings=tuple(problem for report in reports for problem in report.findings),
        waived=tuple(pair for report in reports for pair in report.waived),
        not_checked=tuple(entry for report in reports for entry in report.not_checked),
        skipped=tuple(dict.fromkeys(code for report in reports for code in report.skipped)),
    )


def _as_data(report: Report, format: str) -> str:
    if format == "json":
        from wiregen.check.render_json import render_json

        return render_json(report)
    if format == "sarif":
        from wiregen.check.render_sarif import render_sarif

        return render_sarif(report)
    from wiregen.check.render_github import render_github

    return render_github(report)
