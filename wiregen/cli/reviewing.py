"""The commands `diff` and `tidy`."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import typer

from wiregen.check import Report
from wiregen.check.render_text import plain
from wiregen.check.render_text import render_text as findings_text
from wiregen.cli.progress import waiting
from wiregen.cli.several import designs_among
from wiregen.cli.words import UNUSABLE, complain
from wiregen.edit import EditError, change_file, tidy_text
from wiregen.history.render import render_json, render_markdown, render_text
from wiregen.history.revisions import RevisionError, Stored
from wiregen.history.sides import Missing, Place, find_sides, read_place
from wiregen.problems import Unreadable
from wiregen.publish import CannotWrite, Document, write_files
from wiregen.publish.change import Change, State
from wiregen.read import load
from wiregen.read.companions import measured_path
from wiregen.read.files import read_text


@dataclass(frozen=True, slots=True)
class Asked:
    """How a difference is shown.

    Attributes:
        format: `text`, `markdown` or `json`.
        output: file to write instead of printing; the folder of the drawings where `draw` is set.
        draw: also draw every sheet that changes.
    """

    format: str = "text"
    output: Path | None = None
    draw: bool = False


def print_difference(old: str, new: str, asked: Asked) -> int:
    """Compare two designs, print the result and return the exit code.

    Args:
        old: a file, `REVISION:FILE`, or a revision of the new file.
        new: a file or `REVISION:FILE`.
        asked: how it is shown.
    """
    with tempfile.TemporaryDirectory(prefix="wiregen-") as scratch:
        try:
            return _compare(old, new, asked, Path(scratch))
        except (RevisionError, CannotWrite) as error:
            return complain(str(error))
        except Unreadable as error:
            typer.echo(findings_text(Report(findings=error.problems), {}), nl=False, err=True)
            return UNUSABLE


def _compare(old: str, new: str, asked: Asked, scratch: Path) -> int:
    before, after = find_sides(old, new)
    old, new = _said(before, after, old), _said(after, before, new)
    earlier = _state(before, old, scratch / "old")
    with earlier.document.checking():
        later = _state(after, new, scratch / "new")
        change = Change(earlier, later)
        with later.document.checking(), waiting("comparing"):
            found = change.review
    render = {"text": render_text, "markdown": render_markdown, "json": render_json}[asked.format]
    text = render(found, old, new)
    if asked.output is None or asked.draw:
        typer.echo(text, nl=False)
    else:
        write_files(asked.output.parent, {asked.output.name: text.encode()})
    if asked.draw:
        _draw(change, asked.output)
    return 1 if found.difference.changes else 0


def _said(place: Place, other: Place, name: str) -> str:
    """Return what a side is called; say so where it is missing."""
    if isinstance(place, Missing):
        complain(f"'{place.path}' is not in {place.where}: compared with nothing")
        return "nothing"
    whole = isinstance(other, Missing) or (isinstance(place, Stored) and place.renamed)
    return place.name if whole and isinstance(place, Stored) else name


def _state(place: Place, name: str, scratch: Path) -> State:
    """Read a design with what was measured on it."""
    loaded = read_place(place, scratch)
    measured = measured_path(Path(loaded.design.path))
    words = f"measured values of {name}"
    document = Document(loaded.design.path, loaded)
    if not measured.is_file():
        return State(document, name)
    from wiregen.publish.proving.results import kept_in

    return State(document, name, kept_in(read_text(measured, words), words))


def _draw(change: Change, folder: Path | None) -> None:
    """Write the sheets that change as SVG, one PDF, and one page that shows both states."""
    from wiregen.cli.drawing import file_name
    from wiregen.publish.drawn_change import change_files, own_names

    name = file_name(change.new.document.design.name)
    files = change_files(change, name)
    written = write_files(folder or Path("out", name), files, own_names(name))
    for file in written:
        typer.echo(plain(str(file)), err=True)


def tidy_designs(paths: Sequence[Path], check: bool) -> int:
    """Bring design files into their usual form, name those that changed, return the exit code.

    Args:
        paths: design files; nothing is written unless every one can be read.
        check: only say which would change.
    """
    designs = designs_among(paths)
    try:
        for path in designs:
            load(path)
        changed = [path for path in designs if _tidy(path, check)]
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
