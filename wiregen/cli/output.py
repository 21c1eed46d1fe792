"""What a command leaves behind: its files whole or not at all, their names, and a last word."""

from __future__ import annotations

from collections.abc import Generator, Iterable, Mapping, Sequence
from contextlib import closing, nullcontext
from pathlib import Path

import typer

from wiregen.check import Report
from wiregen.check.render_text import plain
from wiregen.cli.words import complain
from wiregen.publish import CannotWrite, write_files


def put(
    folder: Path,
    files: Mapping[str, bytes] | Generator[tuple[str, bytes]],
    replaces: Sequence[str] = (),
) -> list[Path] | int:
    """Write files into a folder; return their paths, or the exit code when that cannot be done.

    Args:
        folder: made when missing.
        files: plain file name and content of each. Those made as they are written are ended
            before it is said that they cannot be.
        replaces: names of an earlier set that go when they are not written again; see
            `write_files`.
    """
    made = closing(files) if isinstance(files, Generator) else nullcontext()
    try:
        with made:
            return write_files(folder, files, replaces)
    except CannotWrite as error:
        return complain(str(error))


def done(written: Iterable[Path], said: Iterable[str], report: Report) -> int:
    """Print the names of the files and what is said of them; return the exit code.

    Args:
        written: from `put`.
        said: lines after the names.
        report: of the design: its errors make the exit code 1.
    """
    for path in written:
        typer.echo(plain(str(path)))
    for line in said:
        typer.echo(line)
    return 1 if report.errors else 0
