"""Faults in a design as values: what was found, where, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Literal

from wiregen.source import Span

Severity = Literal["error", "warning", "info"]
SEVERITIES: tuple[Severity, ...] = ("error", "warning", "info")


@dataclass(frozen=True, slots=True)
class Note:
    """A second place that belongs to a problem, such as the other wire in the same cavity."""

    message: str
    span: Span


@dataclass(frozen=True, slots=True)
class Member:
    """One of several findings that are printed as one.

    Attributes:
        message: what it says by itself.
        words: how it is listed among the others.
        subjects: ids or pins it is about, most important first.
    """

    message: str
    words: str
    subjects: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """One finding.

    Attributes:
        code: rule code such as `CAV102`.
        severity: `error`, `warning` or `info`.
        message: names the object, what was found and what is allowed; no final full stop.
        span: the place to look at first.
        notes: further places.
        help: what to do, in one sentence; empty when the message says it all.
        subjects: ids or pins the finding is about (`X1:3`, `W12`), most important first;
            drawings put their marks there and waivers name them.
        variant: the variant it was found in, empty when it holds for all.
        members: the findings it sums up, where it stands for several.
        summary: its message with `{count}` and `{members}` in their places.
    """

    code: str
    severity: Severity
    message: str
    span: Span
    notes: tuple[Note, ...] = ()
    help: str = ""
    subjects: tuple[str, ...] = ()
    variant: str = ""
    members: tuple[Member, ...] = ()
    summary: str = ""


class Unreadable(Exception):
    """The input cannot be read as a design; carries every problem found so far."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        first = self.problems[0] if self.problems else None
        super().__init__(f"{first.span}: {first.message}" if first else "unreadable design")


@dataclass(slots=True)
class Collector:
    """Gathers problems while a stage runs; a stage returns `tuple(collector.problems)`."""

    problems: list[Problem] = field(default_factory=list)

    def add(
        self,
        code: str,
        severity: Severity,
        message: str,
        span: Span,
        *,
        notes: tuple[Note, ...] = (),
        help: str = "",
        subjects: tuple[str, ...] = (),
    ) -> None:
        """Record one problem; see `Problem` for the fields."""
        self.problems.append(Problem(code, severity, message, span, notes, help, subjects))


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return `; did you mean 'colour'?` for the nearest legal word, or an empty text.

    Example:
        >>> did_you_mean("color", ["colour", "size"])
        "; did you mean 'colour'?"
        >>> did_you_mean("zzz", ["colour", "size"])
        ''
    """
    names = list(known)
    near = get_close_matches(word, names, 1, 0.6)
    if not near:
        lower = {name.lower(): name for name in names}
        near = [lower[w] for w in get_close_matches(word.lower(), list(lower), 1, 0.6)]
    return f"; did you mean '{near[0]}'?" if near else ""


def nearest_or_all(word: str, known: Iterable[str]) -> str:
    """Return `; did you mean 'X1'?` for the nearest name, or those that are there.

    Example:
        >>> nearest_or_all("X11", ["X1", "X2"]), nearest_or_all("zzz", ["X1", "X2"])
        ("; did you mean 'X1'?", '; it has X1, X2')
        >>> nearest_or_all("zzz", [])
        '; it has none'
    """
    names = list(known)
    shown = ", ".join(names[:20]) + (f" and {len(names) - 20} more" if len(names) > 20 else "")
    return did_you_mean(word, names) or f"; it has {shown or 'none'}"
