"""Printing: results to stdout, messages to stderr, never a control character of a design."""

from __future__ import annotations

import re

import typer

from wiregen.problems import Problem
from wiregen.source import Span

UNUSABLE = 2
_CONTROL = re.compile(
    "[\x00-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]"
)


def plain(text: str) -> str:
    """Return the text on one line, with characters that steer a terminal written out.

    Example:
        >>> plain("a\\x1b[31mb")
        'a\\\\x1b[31mb'
    """
    return _CONTROL.sub(lambda found: found[0].encode("unicode_escape").decode("ascii"), text)


def complain(text: str) -> int:
    """Print one line to stderr and return the exit code for unusable input."""
    typer.echo(f"wiregen: {plain(text)}", err=True)
    return UNUSABLE


def count(number: int, noun: str) -> str:
    """Return a number with its noun.

    Example:
        >>> count(1, "error"), count(3, "warning")
        ('1 error', '3 warnings')
    """
    return f"{number} {noun}{'' if number == 1 else 's'}"


def place(span: Span) -> str:
    """Return `file:line:column` on one line."""
    return plain(str(span))


def headline(problem: Problem) -> str:
    """Return the first line of a finding: `file:line:col: error CAV102: text`."""
    variant = f" [variant {problem.variant}]" if problem.variant else ""
    return (
        f"{place(problem.span)}: {problem.severity} {problem.code}: "
        f"{plain(problem.message + variant)}"
    )
