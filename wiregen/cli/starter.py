"""The command `new`."""

from __future__ import annotations

import sys
from importlib.resources import files
from pathlib import Path

import typer

from wiregen.check.render_text import plain
from wiregen.cli.words import complain
from wiregen.intake.starter_text import Starter, StarterError, starter_text
from wiregen.publish import CannotWrite, write_files


def write_starter(file: Path, starter: Starter) -> int:
    """Write a starter design to a file that does not exist yet; return the exit code.

    Args:
        file: to write.
        starter: what the options say; nothing said asks on a terminal, else writes the example.
    """
    if file.exists():
        return complain(f"{file} exists already; name another file")
    if starter == Starter() and sys.stdin.isatty() and sys.stdout.isatty():
        starter = _asked()
    try:
        example = files("wiregen.cli") / "starter.yaml"
        text = example.read_bytes() if starter == Starter() else starter_text(starter).encode()
        write_files(file.parent, {file.name: text})
    except (CannotWrite, StarterError) as error:
        return complain(str(error))
    typer.echo(f"{plain(str(file))} written; next: wiregen check {plain(str(file))}")
    return 0


def _asked() -> Starter:
    """Ask for the first plug; no answer to the first question means the example."""
    title = _ask("title of the drawing (nothing writes a worked example)")
    if not title:
        return Starter()
    plug = _ask("first plug, such as: engine plug, left frame rail")
    face = _ask("its cavities, mating side, rows apart with /: 1 2 3 / 4 5 6; or a standard face")
    contacts = _ask("its contacts: pins or sockets")
    volts = _ask("nominal volts, such as 12")
    return Starter(title, plug, face, contacts if contacts in ("pins", "sockets") else "", volts)


def _ask(question: str) -> str:
    return str(typer.prompt(question, default="", show_default=False)).strip()
