"""A design file as the commands see it: read and judged, or unreadable with the reasons."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from wiregen.check import Report, check
from wiregen.problems import Problem, Unreadable
from wiregen.read import load
from wiregen.read.files import read_text


@dataclass(frozen=True)
class Judged:
    """One design file after checking.

    Attributes:
        path: as the user named it.
        readable: False when the file is no design; `findings` then say why.
        findings: most dangerous first.
        report: empty for an unreadable file.
        sources: file name -> its lines.
    """

    path: str
    readable: bool
    findings: tuple[Problem, ...]
    report: Report = field(default_factory=Report)
    sources: dict[str, list[str]] = field(default_factory=dict)


def judge(path: Path) -> Judged:
    """Read and check one design file."""
    try:
        loaded = load(path)
    except Unreadable as error:
        return Judged(str(path), False, error.problems, sources=lines_of(error.problems, path))
    report = check(loaded)
    sources = {name: text.split("\n") for name, text in loaded.design.sources.items()}
    return Judged(str(path), True, report.findings, report, sources)


def lines_of(problems: tuple[Problem, ...], path: Path) -> dict[str, list[str]]:
    """Return the lines of an unreadable design file, empty when it is no text at all."""
    if not any(problem.span.file == str(path) for problem in problems):
        return {}
    try:
        return {str(path): read_text(path, str(path)).split("\n")}
    except Unreadable:
        return {}
