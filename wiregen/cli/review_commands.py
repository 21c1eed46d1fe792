"""The commands of a change that is reviewed: `diff`."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer


class Layout(StrEnum):
    """How a difference is printed."""

    text = "text"
    markdown = "markdown"
    json = "json"


def add_review_commands(app: typer.Typer) -> None:
    """Add the commands to the command line."""
    app.command("diff", epilog="Exit codes: 0 no change, 1 changes, 2 a side cannot be read.")(
        _diff
    )


def _diff(
    old: Annotated[
        str,
        typer.Argument(
            metavar="OLD", help="a design file, REVISION:FILE, or a git revision of NEW"
        ),
    ],
    new: Annotated[str, typer.Argument(metavar="NEW", help="a design file, or REVISION:FILE")],
    *,
    format: Annotated[
        Layout, typer.Option("--format", help="text, markdown for a pull request, or json")
    ] = Layout.text,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", metavar="FILE", help="write to this file")
    ] = None,
) -> None:
    """Say what changed between two designs, what follows, and what to do at the bench."""
    from wiregen.cli.reviewing import print_difference

    raise typer.Exit(print_difference(old, new, format.value, output))
