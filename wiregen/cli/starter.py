"""The command `new`."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import typer

from wiregen.check.render_text import plain
from wiregen.cli.words import complain
from wiregen.publish import CannotWrite, write_files


def write_starter(file: Path) -> int:
    """Write the starter design to a file that does not exist yet; return the exit code."""
    if file.exists():
        return complain(f"{file} exists already; name another file")
    text = (files("wiregen.cli") / "starter.yaml").read_bytes()
    try:
        write_files(file.parent, {file.name: text})
    except CannotWrite as error:
        return complain(str(error))
    typer.echo(f"{plain(str(file))} written; next: wiregen check {plain(str(file))}")
    return 0
