"""Tables as CSV and as a workbook: the same bytes every time, and no cell runs as a formula."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from datetime import datetime

from wiregen.intake.formula import harmless
from wiregen.layout.tables import Column, Table
from wiregen.sheet.metrics import legal

_NUMBER = re.compile(r"-?\d+(\.\d+)?")
_CREATED = datetime(2000, 1, 1)
_WIDEST = 60


class NoWorkbook(Exception):
    """The library for workbooks is missing; the text says how to get it."""


def to_csv(table: Table) -> bytes:
    """Return a table as CSV: UTF-8 with a mark for spreadsheets, one line a row.

    Example:
        >>> from wiregen.layout.tables import columns
        >>> to_csv(Table("t", "T", columns("*A", "#B"), (("=1+1", "2"),))).decode("utf-8-sig")
        "A,B\\r\\n'=1+1,2\\r\\n"
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([column.title for column in table.columns])
    for row in table.rows:
        cells = zip(table.columns, row, strict=True)
        writer.writerow([_plain(column, cell) for column, cell in cells])
    return text.getvalue().encode("utf-8-sig")


def _plain(column: Column, cell: str) -> str:
    if not cell or (column.kind == "number" and _NUMBER.fullmatch(cell)):
        return cell
    return harmless(legal(cell))


def to_xlsx(tables: Sequence[Table]) -> bytes:
    """Return tables as one workbook, a sheet each.

    Raises:
        NoWorkbook: xlsxwriter is not installed.
    """
    try:
        import xlsxwriter
    except ImportError:
        raise NoWorkbook("to have it written: pip install xlsxwriter") from None
    out = io.BytesIO()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    book = xlsxwriter.Workbook(out, options)
    book.set_properties({"created": _CREATED})
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    plain = book.add_format({"valign": "top", "num_format": "@"})
    number = book.add_format({"valign": "top"})
    for table in tables:
        sheet = book.add_worksheet(table.name[:31])
        sheet.freeze_panes(1, 1)
        for place, column in enumerate(table.columns):
            sheet.write_string(0, place, column.title, head)
            longest = max((len(row[place]) for row in table.rows), default=0)
            width = min(max(longest, len(column.title), 4) + 2, _WIDEST)
            sheet.set_column(place, place, width, number if column.kind == "number" else plain)
        for line, row in enumerate(table.rows, start=1):
            for place, (column, cell) in enumerate(zip(table.columns, row, strict=True)):
                if column.kind == "number" and _NUMBER.fullmatch(cell):
                    sheet.write_number(line, place, float(cell), number)
                elif cell:
                    sheet.write_string(line, place, harmless(legal(cell)), plain)
    book.close()
    return out.getvalue()
