"""What `wiregen git` does: settings of one repository, and the texts git asks for."""

from __future__ import annotations

import difflib
import hashlib
import os
from dataclasses import replace
from pathlib import Path

import typer

from wiregen.check.render_text import plain
from wiregen.cli.words import complain
from wiregen.history.facts_text import facts_lines
from wiregen.history.install import install, plan_install, uninstall
from wiregen.history.render import render_text
from wiregen.history.review import review
from wiregen.history.revisions import RevisionError
from wiregen.history.sides import NOTHING
from wiregen.history.unmerged import both_versions, with_marks
from wiregen.problems import Unreadable
from wiregen.publish import Document
from wiregen.read import Loaded, load_text
from wiregen.read.companions import LAYOUT
from wiregen.read.files import decode


def install_here(patterns: list[str], yes: bool) -> int:
    """Show what would be written into the repository of this folder, ask, and write it."""
    try:
        plan = plan_install(".", patterns)
        typer.echo("git config of this repository:")
        for key, value in plan.settings:
            typer.echo(f"  {key} = {plain(value)}")
        typer.echo(f"{plain(os.path.normpath(plan.attributes))}:")
        for line in plan.lines:
            typer.echo(f"  {plain(line)}")
        if not yes and not typer.confirm("Write this?"):
            typer.echo("nothing was written")
            return 0
        install(plan)
    except (RevisionError, OSError) as error:
        return complain(str(error))
    typer.echo("done; undo with: wiregen git uninstall")
    return 0


def uninstall_here() -> int:
    """Take the settings out of the repository of this folder."""
    try:
        uninstall(".")
    except (RevisionError, OSError) as error:
        return complain(str(error))
    typer.echo("taken out")
    return 0


def show_change(path: str, old: Path, new: Path, new_path: str) -> None:
    """Print one changed file; line by line where a side is no design."""
    before, after = _text(old), _text(new)
    typer.echo(f"diff {plain(path)} {plain(new_path)}")
    if new_path.endswith(LAYOUT):
        typer.echo("what stands where on the drawings")
        return
    try:
        with (
            _document(before, path).checking() as one,
            _document(after, new_path).checking() as other,
        ):
            found = review(one, other)
    except Unreadable:
        lines = difflib.unified_diff(
            before.splitlines(), after.splitlines(), path, new_path, lineterm=""
        )
        for line in lines:
            typer.echo(plain(line))
        return
    names = ("old" if before else "nothing", "new" if after else "nothing")
    typer.echo(render_text(replace(found, sheets=()), *names), nl=False)


def show_unmerged(path: str) -> None:
    """Print a file of which git holds two versions; git itself has shown both."""
    typer.echo(f"{plain(path)}: two versions of a merge stand here")


def list_facts(file: Path) -> None:
    """Print what a design says, one object a line; the file itself where it is no design.

    Of a file in the middle of a merge both versions, with marks around what differs. A kept layout
    is one line that is another when anything in it is.
    """
    text = _text(file)
    if file.name.endswith(LAYOUT):
        mark = hashlib.sha256(text.encode()).hexdigest()[:12]
        typer.echo(f"what stands where on the drawings, {mark}")
        return
    try:
        lines = _facts(text, str(file))
    except Unreadable:
        typer.echo(text, nl=False)
        return
    for line in lines:
        typer.echo(plain(line))


def _facts(text: str, path: str) -> list[str]:
    sides = [list(facts_lines(_read(side, path).design)) for side in both_versions(text) or (text,)]
    return sides[0] if len(sides) == 1 else list(with_marks(*sides))


def _document(text: str, path: str) -> Document:
    return Document(path, _read(text, path))


def _read(text: str, path: str) -> Loaded:
    return load_text(text or NOTHING, path)


def _text(file: Path) -> str:
    data = file.read_bytes() if file.is_file() else b""
    try:
        return decode(data, str(file))
    except Unreadable:
        return data.decode("utf-8", "replace")
