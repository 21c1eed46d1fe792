"""The commands `git install` and `git uninstall`, and what git itself then calls."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def git_app() -> typer.Typer:
    """Return the commands under `wiregen git`."""
    app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)
    app.command("install")(_install)
    app.command("uninstall")(_uninstall)
    app.command("driver", hidden=True)(_driver)
    app.command("facts", hidden=True)(_facts)
    return app


def _install(
    patterns: Annotated[
        list[str],
        typer.Argument(
            metavar="FILES...", help="design files from the top of the repository: 'designs/*.yaml'"
        ),
    ],
    *,
    yes: Annotated[bool, typer.Option("--yes", help="do not ask first")] = False,
) -> None:
    """Let `git diff` and `git log -p` of this repository say what changed electrically."""
    from wiregen.cli.git_install import install_here

    raise typer.Exit(install_here(patterns, yes))


def _uninstall() -> None:
    """Take the settings of `install` out of this repository again."""
    from wiregen.cli.git_install import uninstall_here

    raise typer.Exit(uninstall_here())


def _driver(words: list[str]) -> None:
    """Show one changed file; called by git with path, old file, hash, mode, new file, hash, mode.

    For a file that got another name git adds that name; of one with two versions of a merge it
    gives the path alone.
    """
    from wiregen.cli.git_install import show_change, show_unmerged

    if len(words) < 7:
        show_unmerged(words[0])
        return
    new_path = words[7] if len(words) > 7 else words[0]
    show_change(words[0], Path(words[1]), Path(words[4]), new_path)


def _facts(file: Path) -> None:
    """List what a design says, one object a line; called by git."""
    from wiregen.cli.git_install import list_facts

    list_facts(file)
