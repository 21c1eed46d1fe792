"""The command `release`."""

from __future__ import annotations

import datetime
import re
from pathlib import Path

import typer

from wiregen.check import check
from wiregen.check.render_text import plain, render_text
from wiregen.cli.judged import unreadable
from wiregen.cli.words import UNUSABLE, complain, count
from wiregen.edit import AppendItem, Edit, EditError, SetKey, edit_file
from wiregen.model import TitleBlock
from wiregen.problems import Unreadable
from wiregen.read import load

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


def release_design(path: Path, revision: str, what: str, day: str, by: str) -> int:
    """Write a new revision into a design that has no open error or warning.

    Args:
        path: the design file; it holds the title block itself.
        revision: of the new state, such as `D`.
        what: changed, for the table of revisions.
        day: of the release, `2026-11-20`; empty for today.
        by: who releases; empty for the name that is in the title block.

    Returns:
        0 when it was written, 1 when findings are open, 2 when it cannot be done.
    """
    revision, what = revision.strip(), what.strip()
    if not (revision and what and revision.isprintable() and what.isprintable()):
        return complain("say the revision and what changed, each on one line")
    if day and not _is_day(day):
        return complain(f"'{day}' is not a day such as 2026-11-20")
    try:
        loaded = load(path)
    except Unreadable as error:
        judged = unreadable(error, path)
        typer.echo(render_text(judged.report, judged.sources), nl=False, err=True)
        return UNUSABLE
    block = loaded.design.title_block
    if revision in {block.revision, *(row.revision for row in block.revisions)}:
        return complain(f"{path} has a revision '{revision}' already")
    report = check(loaded)
    if any(problem.severity != "info" for problem in report.findings):
        typer.echo(render_text(report, loaded.design.sources), nl=False)
        return 1
    day = day or datetime.date.today().isoformat()
    try:
        edit_file(path, _edits(block, revision, what, day, by))
    except EditError as error:
        return complain(str(error))
    waived = count(len(report.waived), "finding")
    typer.echo(f"{plain(str(path))}: revision {plain(revision)}, {day}; {waived} accepted")
    return 0


def _edits(block: TitleBlock, revision: str, what: str, day: str, by: str) -> list[Edit]:
    row = {"revision": revision, "date": day, "what": what}
    block_path = ("drawing",)
    edits: list[Edit] = [
        SetKey(block_path, "revision", revision),
        SetKey(block_path, "date", day),
    ]
    if by:
        row["by"] = by
        edits.append(SetKey(block_path, "by", by))
    if block.revisions:
        return [*edits, AppendItem(("drawing", "revisions"), row)]
    return [*edits, SetKey(block_path, "revisions", [row])]


def _is_day(text: str) -> bool:
    if not _DAY.fullmatch(text):
        return False
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        return False
    return True
