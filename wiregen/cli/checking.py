"""The command `check`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import typer

from wiregen.cli.judged import Judged, judge
from wiregen.cli.report_text import Sources, finding_lines, report_lines, summary
from wiregen.cli.words import UNUSABLE, plain
from wiregen.problems import Problem


def check_designs(paths: Sequence[Path], format: str) -> int:
    """Check the designs, print what was found and return the exit code.

    Args:
        paths: design files.
        format: `text`, `json`, `github` or `sarif`.
    """
    judged = [judge(path) for path in paths]
    if format == "text":
        for one in judged:
            _print_text(one)
    else:
        from wiregen.cli import report_data

        if format == "json":
            typer.echo(report_data.as_json(judged))
        elif format == "sarif":
            typer.echo(report_data.as_sarif(judged))
        else:
            for line in report_data.as_github(judged):
                typer.echo(line)
    return max(map(_exit_code, judged), default=0)


def _exit_code(one: Judged) -> int:
    if not one.readable:
        return UNUSABLE
    return 1 if one.report.errors else 0


def _print_text(one: Judged) -> None:
    if not one.readable:
        print_unreadable(one.findings, one.sources)
        return
    for line in report_lines(one.report, one.sources):
        typer.echo(line)
    typer.echo(f"{plain(one.path)}: {summary(one.report)}")


def print_unreadable(problems: Sequence[Problem], sources: Sources) -> None:
    """Print to stderr why a file cannot be read as a design."""
    for problem in problems:
        for line in finding_lines(problem, sources):
            typer.echo(line, err=True)
