"""Messages: one line on stderr, never a control character of a design."""

from __future__ import annotations

import typer

from wiregen.check.render_text import plain

UNUSABLE = 2


def complain(text: str) -> int:
    """Print one line to stderr and return the exit code for unusable input."""
    typer.echo(f"wiregen: {plain(text)}", err=True)
    return UNUSABLE


def count(number: int, noun: str) -> str:
    """Return a number with its noun.

    Example:
        >>> count(1, "sheet"), count(3, "sheet")
        ('1 sheet', '3 sheets')
    """
    return f"{number} {noun}{'' if number == 1 else 's'}"
