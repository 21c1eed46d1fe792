"""The command `release`."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace
from pathlib import Path

import typer

from wiregen.check.render_text import plain, render_text
from wiregen.cli.drawing import file_name
from wiregen.cli.judged import refused
from wiregen.cli.packing import pack_files
from wiregen.cli.progress import waiting
from wiregen.cli.words import complain, count
from wiregen.dates import is_day
from wiregen.edit import AppendItem, Edit, EditError, SetKey, change_file, edit_text
from wiregen.model import TitleBlock
from wiregen.problems import Unreadable
from wiregen.publish import CannotWrite, Document, write_files
from wiregen.publish.tables import Cutting
from wiregen.read import load, load_text


@dataclass(frozen=True, slots=True)
class Release:
    """What is written into the title block.

    Attributes:
        revision: of the new state, such as `D`.
        what: changed, for the table of revisions.
        day: of the release, `2026-11-20`; empty for today.
        by: who releases; empty for the name that is in the title block.
    """

    revision: str
    what: str
    day: str = ""
    by: str = ""


def release_design(path: Path, asked: Release, output: Path | None = None) -> int:
    """Write a new revision into a design that has no open finding, and make its pack.

    The revision and the pack are written together or not at all.

    Args:
        path: the design file; it holds the title block itself.
        asked: what is written.
        output: folder of the pack; else `out/NAME`.

    Returns:
        0 when it was written, 1 when findings are open, 2 when it cannot be done.
    """
    asked = replace(asked, revision=asked.revision.strip(), what=asked.what.strip())
    refusal = _refusal(asked)
    if refusal:
        return complain(refusal)
    asked = replace(asked, day=asked.day or datetime.date.today().isoformat())
    try:
        block = load(path).design.title_block
        if asked.revision in {block.revision, *(row.revision for row in block.revisions)}:
            return complain(f"{path} has a revision '{asked.revision}' already")
        before = path.read_bytes().decode("utf-8-sig")
        after = edit_text(before, _edits(block, asked), str(path))
        document = Document(path, load_text(after, path))
        report = document.report
        still_open = sum(1 for problem in report.findings if problem.severity != "info")
        if still_open:
            typer.echo(render_text(report, document.design.sources), nl=False)
            complain(
                f"{path} keeps revision '{block.revision}': {count(still_open, 'finding')} open; "
                f"put each right, or say under 'accepted' why it may stay"
            )
            return 1
        with waiting("making the pack"):
            files = _packs(document)
        written = write_files(
            output or Path("out", file_name(document.design.name)),
            files,
            last=lambda: change_file(path, lambda text: _put(text, before, after, path)),
        )
    except Unreadable as error:
        return refused(error, path)
    except (CannotWrite, EditError) as error:
        return complain(str(error))
    for file in written:
        typer.echo(plain(str(file)))
    waived = count(len(report.waived), "finding")
    typer.echo(
        f"{plain(str(path))}: revision {plain(asked.revision)}, {asked.day}; {waived} accepted"
    )
    return 0


def _refusal(asked: Release) -> str:
    """Return why such a row cannot be written; empty when it can."""
    revision, what = asked.revision, asked.what
    if not (revision and what and revision.isprintable() and what.isprintable()):
        return "say the revision and what changed, each on one line"
    if asked.day and not is_day(asked.day):
        return f"'{asked.day}' is not a day such as 2026-11-20"
    return ""


def _packs(document: Document) -> dict[str, bytes]:
    """Return the files of the pack, of a design with variants those of each."""
    variants = tuple(document.design.variants)
    if not variants:
        return pack_files(document, "", Cutting())[0]
    files: dict[str, bytes] = {}
    for name in variants:
        files |= pack_files(document.of_variant(name), "", Cutting(), variant=name)[0]
    return files


def _put(now: str, before: str, after: str, path: Path) -> str:
    if now != before:
        raise EditError(f"{path} was changed meanwhile; nothing was written")
    return after


def _edits(block: TitleBlock, asked: Release) -> list[Edit]:
    row = {"revision": asked.revision, "date": asked.day, "what": asked.what}
    block_path = ("drawing",)
    edits: list[Edit] = [
        SetKey(block_path, "revision", asked.revision),
        SetKey(block_path, "date", asked.day),
    ]
    if asked.by:
        row["by"] = asked.by
        edits.append(SetKey(block_path, "by", asked.by))
    if block.revisions:
        return [*edits, AppendItem(("drawing", "revisions"), row)]
    return [*edits, SetKey(block_path, "revisions", [row])]
