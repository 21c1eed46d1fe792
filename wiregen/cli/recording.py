"""The command `record`."""

from __future__ import annotations

from pathlib import Path

import typer

from wiregen.check.render_text import plain
from wiregen.cli.judged import refused
from wiregen.cli.opening import open_document
from wiregen.cli.words import complain, count
from wiregen.dates import is_day
from wiregen.edit import EditError, edit_file
from wiregen.problems import Unreadable
from wiregen.publish import CannotWrite, write_files
from wiregen.publish.proving import prove
from wiregen.publish.proving.judge import judge_results, lines_of
from wiregen.publish.proving.record import mark_pins, merged, proven_pins
from wiregen.publish.proving.results import (
    Result,
    ResultsError,
    kept_text,
    of_variant,
    read_kept,
    read_results,
)
from wiregen.read import load
from wiregen.read.companions import measured_path


def record_results(
    path: Path, results: Path, usual: Result, *, mark: bool, variant: str | None
) -> int:
    """Judge and keep results, print the verdicts, and return the exit code.

    Args:
        path: the design file.
        results: the filled-in test sheet.
        usual: by, meter and date where a row does not say.
        mark: also write `measured:` at the pins that are proven.
        variant: of a design that has variants.
    """
    if usual.date and not is_day(usual.date):
        return complain(f"--date: '{usual.date}' is not a day such as 2026-12-01")
    document = open_document(path, variant)
    if isinstance(document, int):
        return document
    try:
        kept = read_kept(measured_path(path))
    except Unreadable as error:
        return refused(error, path)
    design, network = document.design, document.network
    checks = prove(design, network).checks
    try:
        fresh = read_results(results, checks, usual)
        whole = merged(design, network, checks, kept, fresh, variant=variant or "")
        target = measured_path(path)
        write_files(target.parent, {target.name: kept_text(design, whole).encode()})
        judged = judge_results(design, network, checks, of_variant(whole, variant or ""))
        every = load(path).design if variant else design
        marks = mark_pins(every, proven_pins(design, judged) if mark else {})
        for file, edits in marks.edits.items():
            edit_file(file, edits)
    except (ResultsError, CannotWrite, EditError) as error:
        return complain(str(error))
    for line in lines_of(judged):
        typer.echo(plain(line))
    typer.echo(plain(str(target)))
    for file, pins in marks.pins.items():
        typer.echo(plain(f"{file}: {count(len(pins), 'pin')} marked measured"))
    for words in marks.left:
        typer.echo(plain(f"not marked: {words}"))
    return 1 if any(one.verdict == "bad" for one in judged) else 0
