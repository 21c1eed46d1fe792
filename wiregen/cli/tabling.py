"""The command `tables`."""

from __future__ import annotations

from pathlib import Path

import typer

from wiregen.check.render_text import plain, summary
from wiregen.cli.drawing import file_name
from wiregen.cli.opening import open_document
from wiregen.cli.words import complain, count
from wiregen.layout.tables import Table
from wiregen.publish import CannotWrite, Document, write_files
from wiregen.publish.proving import Proof, proof_tables, prove, result_table
from wiregen.publish.proving.checks import slim
from wiregen.publish.tables import Cutting, all_tables
from wiregen.publish.tables.write import NoWorkbook, to_csv, to_xlsx


def write_tables(path: Path, output: Path | None, cutting: Cutting, variant: str | None) -> int:
    """Write every table of a design, print the files, and return the exit code."""
    document = open_document(path, variant)
    if isinstance(document, int):
        return document
    name = variant_name(document, variant)
    tables = all_tables(document.design, document.network, cutting)
    proof = prove(document.design, document.network)
    paper = proof_tables(document.design, document.network, proof)
    forms = form_tables(proof, paper)
    files = table_files(name, [*tables, *forms])
    files[f"{name}-tables.pdf"] = _pdf(document, tables)
    files[f"{name}-test.pdf"] = _test_pdf(document, paper)
    try:
        written = write_files(output or Path("out", name), files)
    except CannotWrite as error:
        return complain(str(error))
    for file in written:
        typer.echo(plain(str(file)))
    typer.echo(f"{count(len(tables) + len(forms), 'table')}; {summary(document.report)}")
    return 1 if document.report.errors else 0


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
        typer.echo(f"wiregen: no workbook: {missing}", err=True)
    return files


def form_tables(proof: Proof, paper: list[Table]) -> list[Table]:
    """Return the form that `record` reads back, and the rest of the test sheet."""
    return [result_table(proof), *(table for table in paper if table.name not in _IN_RESULTS)]


_IN_RESULTS = ("continuity", "isolation", "parts-test")
"""These have their rows in the one form that `record` reads back."""


def _test_pdf(document: Document, paper: list[Table]) -> bytes:
    """Return the test sheet for paper."""
    from wiregen.draw.pdf import to_pdf
    from wiregen.layout.table_pages import table_pages

    design = document.design
    pages = table_pages(design, [slim(table) for table in paper], name="test")
    sheets = [page.sheet(number, len(pages)) for number, page in enumerate(pages, start=1)]
    return to_pdf(sheets, f"Test sheet, {design.title_block.title or design.name}")


def _pdf(document: Document, tables: list[Table]) -> bytes:
    from wiregen.draw.pdf import to_pdf
    from wiregen.layout.label_sheet import label_pages
    from wiregen.layout.table_pages import table_pages

    design = document.design
    pages = table_pages(design, [table for table in tables if table.name != "labels"])
    labels = next(table for table in tables if table.name == "labels")
    pages += label_pages(design, [label_words(row) for row in labels.rows])
    sheets = [page.sheet(number, len(pages)) for number, page in enumerate(pages, start=1)]
    return to_pdf(sheets, design.title_block.title or design.name)


def label_words(row: tuple[str, ...]) -> tuple[str, str]:
    """Return the strong word and the rest of a label from a row of the table of labels."""
    return row[0], row[2].removeprefix(f"{row[0]} ")
