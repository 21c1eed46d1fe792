"""The command `tables`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import typer

from wiregen.check.render_text import summary
from wiregen.cli.drawing import file_name
from wiregen.cli.opening import open_document
from wiregen.cli.output import done, put
from wiregen.cli.words import complain, count
from wiregen.layout.label_grid import GridError, LabelGrid, read_grid
from wiregen.layout.label_sheet import WireLabel, cut_short, label_pages, stock_sheets
from wiregen.layout.table_pages import TablePage, table_pages
from wiregen.layout.tables import Table
from wiregen.publish import Document
from wiregen.publish.proving import Proof, proof_tables, prove, result_table
from wiregen.publish.proving.checks import slim
from wiregen.publish.tables import Cutting, all_tables
from wiregen.publish.tables.labels import wire_labels
from wiregen.publish.tables.write import NoWorkbook, to_csv, to_xlsx
from wiregen.sheet.items import Sheet


def write_tables(
    path: Path,
    output: Path | None,
    cutting: Cutting,
    *,
    labels: str | None,
    variant: str | None,
) -> int:
    """Write every table of a design, print the files, and return the exit code.

    Args:
        path: the design file.
        output: folder; else `out/NAME`.
        cutting: allowance and step of cut lengths.
        labels: how the labels lie on the sheets they are printed on; None for plain paper.
        variant: of a design that has variants.
    """
    document = open_document(path, variant)
    if isinstance(document, int):
        return document
    try:
        grid = read_grid(labels) if labels is not None else None
    except GridError as error:
        return complain(f"--labels: {error}")
    name = variant_name(document, variant)
    tables = all_tables(document.design, document.network, cutting)
    proof = prove(document.design, document.network)
    paper = proof_tables(document.design, document.network, proof)
    forms = form_tables(proof, paper)
    files = table_files(name, [*tables, *forms])
    files[f"{name}-tables.pdf"] = _pdf(document, tables)
    files[f"{name}-test.pdf"] = _test_pdf(document, paper)
    texts = wire_labels(next(table for table in tables if table.name == "labels"))
    if texts:
        files[f"{name}-labels.pdf"] = _label_pdf(document, texts, grid)
    written = put(output or Path("out", name), files)
    if isinstance(written, int):
        return written
    short = cut_short(texts, grid)
    if short:
        complain(f"no room for all the words on the labels of {', '.join(short)}")
    said = f"{count(len(tables) + len(forms), 'table')}; {summary(document.report)}"
    return done(written, [said], document.report)


def variant_name(document: Document, variant: str | None) -> str:
    """Return the base of file names: the design, and the variant it was reduced to."""
    name = document.design.name
    return file_name(f"{name}-{variant}" if variant else name)


def table_files(name: str, tables: list[Table]) -> dict[str, bytes]:
    """Return the tables as CSV files and, where it can be made, one workbook."""
    files = {f"{name}-{table.name}.csv": to_csv(table) for table in tables}
    try:
        files[f"{name}-tables.xlsx"] = to_xlsx(tables)
    except NoWorkbook as missing:
        typer.echo(f"wiregen: no workbook is written, the rest is; {missing}", err=True)
    return files


def form_tables(proof: Proof, paper: list[Table]) -> list[Table]:
    """Return the form that `record` reads back, and the rest of the test sheet."""
    return [result_table(proof), *(table for table in paper if table.name not in _IN_RESULTS)]


_IN_RESULTS = ("continuity", "isolation", "parts-test")
"""These have their rows in the one form that `record` reads back."""


def _test_pdf(document: Document, paper: list[Table]) -> bytes:
    """Return the test sheet for paper."""
    from wiregen.draw.pdf import to_pdf

    design = document.titled
    pages = table_pages(design, [slim(table) for table in paper], name="test")
    return to_pdf(_numbered(pages), f"Test sheet, {design.title_block.title or design.name}")


def _pdf(document: Document, tables: list[Table]) -> bytes:
    from wiregen.draw.pdf import to_pdf

    design = document.titled
    pages = table_pages(design, [slim(table) for table in tables if table.name != "labels"])
    return to_pdf(_numbered(pages), design.title_block.title or design.name)


def _label_pdf(document: Document, labels: Sequence[WireLabel], grid: LabelGrid | None) -> bytes:
    """Return the labels for plain paper, or for the sheets of labels that a grid describes."""
    from wiregen.draw.pdf import to_pdf

    design = document.titled
    sheets: Iterable[Sheet] = (
        _numbered(label_pages(design, labels)) if grid is None else stock_sheets(labels, grid)
    )
    return to_pdf(sheets, f"Labels, {design.title_block.title or design.name}")


def _numbered(pages: Sequence[TablePage]) -> Iterator[Sheet]:
    """Yield the pages as sheets, numbered through."""
    return (page.sheet(number, len(pages)) for number, page in enumerate(pages, start=1))
