"""The commands `diff` and `tidy`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import typer

from wiregen.check import Report
from wiregen.check.render_text import plain
from wiregen.check.render_text import render_text as findings_text
from wiregen.cli.words import UNUSABLE, complain
from wiregen.edit import EditError, change_file, tidy_text
from wiregen.history.render import render_json, render_markdown, render_text
from wiregen.history.review import review
from wiregen.history.revisions import RevisionError, read_sides
from wiregen.problems import Unreadable
from wiregen.publish.files import CannotWrite, write_files
from wiregen.read import load


def print_difference(old: str, new: str, format: str, output: Path | None) -> int:
    """Compare two designs, print the result and return the exit code.

    Args:
        old: a file, `REVISION:FILE`, or a revision of the new file.
        new: a file or `REVISION:FILE`.
        format: `text`, `markdown` or `json`.
        output: file to write instead of printing.
    """
    try:
        before, after = read_sides(old, new)
    except RevisionError as error:
        return complain(str(error))
    except Unreadable as error:
        typer.echo(findings_text(Report(findings=error.problems), {}), nl=False, err=True)
        return UNUSABLE
    found = review(before, after)
    render = {"text": render_text, "markdown": render_markdown, "json": render_json}[format]
    text = render(found, old, new)
    if output is None:
        typer.echo(text, nl=False)
    else:
        try:
            write_files(output.parent, {output.name: text.encode()})
        except CannotWrite as error:
            return complain(str(error))
    return 1 if found.difference.changes else 0


def tidy_designs(paths: Sequence[Path], check: bool) -> int:
    """Bring design files into their usual form, name those that changed, return the exit code.

    Args:
        paths: design files; nothing is written unless every one can be read.
        check: only say which would change.
    """
    try:
        for path in paths:
            load(path)
        changed = [path for path in paths if _tidy(path, check)]
    except Unreadable as error:
        typer.echo(findings_text(Report(findings=error.problems), {}), nl=False, err=True)
        return UNUSABLE
    except EditError as error:
        return complain(str(error))
    for path in changed:
        typer.echo(f"{plain(str(path))}: {'not tidy' if check else 'tidied'}")
    return 1 if check and changed else 0


def _tidy(path: Path, check: bool) -> bool:
    if not check:
        return change_file(path, lambda text: tidy_text(text, str(path)))
    text = path.read_bytes().decode("utf-8-sig")
    return tidy_text(text, str(path)) != text
