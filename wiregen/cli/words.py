"""Messages: one line on stderr, never a control character of a design."""

from __future__ import annotations

import typer

from wiregen.check.render_text import plain

UNUSABLE = 2


def complain(text: str) -> int:
    """Print one line to stderr and return the exit code for unusable input."""
    typer.echo(f"wiregen: {plain(text)}", err=True)
    return UNUSABLE
