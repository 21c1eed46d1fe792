"""The commands of a change that is reviewed: `diff`, `tidy`, `release`."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from wiregen.cli.git_commands import git_app


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
    app.command("tidy", epilog="Exit codes: 0 tidy, 1 not tidy (--check), 2 unreadable.")(_tidy)
    app.command(
        "release", epilog="Exit codes: 0 released, 1 findings are open, 2 nothing can be written."
    )(_release)
    app.add_typer(git_app(), name="git", help="Let git show what changed electrically.")


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
        Path | None,
        typer.Option(
            "-o",
            "--output",
            metavar="PATH",
            help="write to this file; with --draw the folder of the drawings, else out/NAME",
        ),
    ] = None,
    draw: Annotated[
        bool,
        typer.Option(
            "--draw", help="also draw every sheet that changes: SVG, PDF and one HTML page"
        ),
    ] = False,
) -> None:
    """Say what changed between two designs and what follows."""
    from wiregen.cli.reviewing import Asked, print_difference

    raise typer.Exit(print_difference(old, new, Asked(format.value, output, draw)))


def _tidy(
    designs: Annotated[
        list[Path], typer.Argument(metavar="DESIGN...", help="one or more design files (YAML)")
    ],
    *,
    check: Annotated[
        bool, typer.Option("--check", help="only say which files are not tidy; write nothing")
    ] = False,
) -> None:
    """Bring a design file into its usual form."""
    from wiregen.cli.reviewing import tidy_designs

    raise typer.Exit(tidy_designs(designs, check))


def _release(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="the design file (YAML)")],
    *,
    revision: Annotated[str, typer.Option(metavar="LETTER", help="of the new revision, such as D")],
    what: Annotated[str, typer.Option(metavar="TEXT", help="what changed, for the title block")],
    date: Annotated[
        str, typer.Option(metavar="YYYY-MM-DD", help="of the release; else today")
    ] = "",
    by: Annotated[str, typer.Option(metavar="NAME", help="who releases; else as before")] = "",
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="FOLDER", help="of the pack; else out/NAME"),
    ] = None,
) -> None:
    """Give a design that is free of open findings a new revision, and make its pack."""
    from wiregen.cli.releasing import Release, release_design

    raise typer.Exit(release_design(design, Release(revision, what, date, by), output))
