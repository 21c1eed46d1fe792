"""A design file as the commands see it: read and judged, or unreadable with the reasons."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import typer

from wiregen.check import Report, check
from wiregen.check.render_text import render_text
from wiregen.cli.words import UNUSABLE
from wiregen.problems import Unreadable
from wiregen.read import Loaded, load
from wiregen.read.companions import companion_words, measured_path
from wiregen.read.files import read_text


@dataclass(frozen=True)
class Judged:
    """One design file after checking.

    Attributes:
        loaded: what was read; None when the file is no design: `report` then says why.
        report: findings, accepted findings, and what could not be checked.
        sources: file name -> its text.
    """

    loaded: Loaded | None
    report: Report
    sources: Mapping[str, str]


def judge(path: Path) -> Judged:
    """Read and check one design file."""
    try:
        loaded = load(path)
    except Unreadable as error:
        return unreadable(error, path)
    return Judged(loaded, check(_with_measured(loaded)), loaded.design.sources)


def _with_measured(loaded: Loaded) -> Loaded:
    """Return what was read with what is recorded beside it, where something is."""
    if not measured_path(Path(loaded.design.path)).exists():
        return loaded
    from wiregen.publish.proving.proven import with_measured

    return with_measured(loaded)


def unreadable(error: Unreadable, path: Path) -> Judged:
    """Return the reasons why a file is no design, with its text where it is text at all."""
    return Judged(None, Report(findings=error.problems), _text_of(path))


def _text_of(path: Path) -> dict[str, str]:
    if companion_words(path):
        return {}
    try:
        return {str(path): read_text(path, str(path))}
    except Unreadable:
        return {}


def refused(error: Unreadable, path: Path) -> int:
    """Print why a file is no design and return the exit code."""
    failed = unreadable(error, path)
    typer.echo(render_text(failed.report, failed.sources), nl=False, err=True)
    return UNUSABLE
