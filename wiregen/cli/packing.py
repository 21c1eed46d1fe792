"""The command `pack`."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from wiregen.check.render_text import summary
from wiregen.cli.judged import refused
from wiregen.cli.opening import open_document
from wiregen.cli.output import done, put
from wiregen.cli.tabling import form_tables, table_files, variant_name
from wiregen.cli.words import count
from wiregen.problems import Unreadable
from wiregen.publish import Document
from wiregen.publish.pack import Pack
from wiregen.publish.tables import Cutting


def write_pack(
    path: Path,
    output: Path | None,
    reader: Literal["", "bench", "customer"],
    cutting: Cutting,
    *,
    mono: bool,
    variant: str | None,
) -> int:
    """Write the pack of a design and the tables beside it, and return the exit code."""
    document = open_document(path, variant)
    if isinstance(document, int):
        return document
    try:
        files, pages = pack_files(document, reader, cutting, mono=mono, variant=variant)
    except Unreadable as error:
        return refused(error, path)
    written = put(output or Path("out", variant_name(document, variant)), files)
    if isinstance(written, int):
        return written
    said = f"{count(pages, 'page')}; {summary(document.report)}"
    return done(written, [said], document.report)


def pack_files(
    document: Document,
    reader: Literal["", "bench", "customer"],
    cutting: Cutting,
    *,
    mono: bool = False,
    variant: str | None = None,
) -> tuple[dict[str, bytes], int]:
    """Return the pack of a design and the tables beside it, and the number of its pages.

    Raises:
        Unreadable: what was measured, kept beside the design, cannot be read.
    """
    pack = Pack(document, reader, cutting, mono)
    name = variant_name(document, variant)
    stem = f"{name}-pack-{reader}" if reader else f"{name}-pack"
    tables = [*pack.tables.values(), *form_tables(pack.proof, pack.test_sheet)]
    return {f"{stem}.pdf": pack.pdf(), **table_files(name, tables)}, len(pack.sheets)
