"""Reading a table file: text with any usual separator and encoding, or a workbook."""

from __future__ import annotations

import codecs
import csv
import io
import re
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from wiregen.facts.trade_words import heading_column

MAX_BYTES = 20_000_000
MAX_UNPACKED_BYTES = 200_000_000
MAX_ROWS = 100_000
MAX_COLUMNS = 200
_SEPARATORS = (";", ",", "\t", "|")
_LOOKED_AT = 60
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)


class TableError(ValueError):
    """The file cannot be read as a table; one line for the user."""


@dataclass(frozen=True, slots=True)
class Table:
    """The cells of one sheet.

    Attributes:
        name: of the file, without folders.
        sheet: name of the sheet in a workbook; empty for a text file.
        how: how the text was read: separator and encoding; or which sheet.
        rows: number of the row in the file, and its cells as text. Empty rows are left out.
    """

    name: str
    sheet: str
    how: str
    rows: tuple[tuple[int, tuple[str, ...]], ...]


_OTHER = (b"%PDF", b"\x89PNG", b"\xff\xd8\xff")
"""How files begin that hold no table: PDF, PNG, JPEG."""


def read_tables(path: str | Path) -> list[Table]:
    """Read a text table or every sheet of a workbook.

    Args:
        path: `.xlsx` for a workbook, anything else is text.

    Raises:
        TableError: it is missing, too large, no table, or the library for workbooks is missing.
    """
    file = Path(path)
    try:
        if not file.is_file():
            raise TableError(f"{path}: there is no such file")
        if file.stat().st_size > MAX_BYTES:
            raise TableError(f"{path}: the file is larger than {MAX_BYTES // 1_000_000} MB")
        data = file.read_bytes()
    except (OSError, ValueError) as error:
        if isinstance(error, TableError):
            raise
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise TableError(f"{path}: cannot be read: {reason.lower()}") from None
    if data.startswith(b"PK\x03\x04"):
        return list(_sheets(file))
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        raise TableError(f"{path}: a workbook of the old kind; save it as .xlsx or as text")
    if data.startswith(_OTHER):
        raise TableError(f"{path}: a PDF or a picture, not a table; save the table as CSV or XLSX")
    if not data.strip():
        raise TableError(f"{path}: the file is empty")
    return [read_text_table(data, file.name)]


def read_text_table(data: bytes, name: str) -> Table:
    """Read a text table from its bytes.

    Separator and encoding are found: the separator that gives most rows the same number of
    cells; UTF-16 by its mark or its zeros, else UTF-8, else Western European.
    """
    text, encoding = _decode(data)
    text = text.replace("\0", "").replace("\r\n", "\n").replace("\r", "\n")
    said = re.match(r"sep=(.)\n", text)
    separator = said[1] if said else _separator(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    rows = list(_clean(_numbered(reader, skip=1 if said else 0)))
    word = {"\t": "tab"}.get(separator, separator)
    return Table(name, "", f"separator {word}, {encoding}", tuple(rows))


def _numbered(reader: Any, skip: int) -> Iterator[tuple[int, list[object]]]:
    """Yield each row with the number of the line it begins on."""
    begins = 1
    try:
        for row in reader:
            if begins > skip:
                yield begins, row
            begins = reader.line_num + 1
    except csv.Error:
        raise TableError("a cell is longer than a table cell can be") from None


def _decode(data: bytes) -> tuple[str, str]:
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return data[len(mark) :].decode(encoding, errors="replace"), encoding
    head = data[:400]
    if len(head) >= 4 and head.count(0) > len(head) // 4:
        encoding = "utf-16-le" if head[1::2].count(0) > head[::2].count(0) else "utf-16-be"
        return data.decode(encoding, errors="replace"), encoding
    try:
        return data.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace"), "windows-1252"


def _separator(text: str) -> str:
    """Return the separator that shows headings, or gives most rows the same number of cells."""
    lines = text.split("\n", _LOOKED_AT)[:_LOOKED_AT]
    best, most = ",", (0, 0)
    for separator in _SEPARATORS:
        try:
            rows = [row for row in csv.reader(lines, delimiter=separator) if any(row)]
        except csv.Error:
            continue
        wide = [len(row) for row in rows if len(row) > 1]
        usual = max(set(wide), key=lambda width: (wide.count(width), width), default=0)
        headings = max((sum(map(bool, map(heading_column, row))) for row in rows), default=0)
        score = (headings if headings > 1 else 0, wide.count(usual) * min(usual, 12))
        if score > most:
            best, most = separator, score
    return best


def _clean(rows: Iterable[tuple[int, Iterable[object]]]) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Yield rows that say something, cells as text on one line, without blank cells at the end."""
    for count, (number, cells) in enumerate(rows):
        if count >= MAX_ROWS:
            raise TableError(f"more than {MAX_ROWS} rows")
        row = [_text(cell) for cell, _ in zip(cells, range(MAX_COLUMNS), strict=False)]
        while row and not row[-1]:
            row.pop()
        if row:
            yield number, tuple(row)


def _text(cell: object) -> str:
    """Return a cell as the sheet shows it: whole numbers without a point, one line."""
    if cell is None:
        return ""
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        cell = int(cell)
    if hasattr(cell, "isoformat"):
        return str(cell.isoformat()).removesuffix("T00:00:00")
    text = str(getattr(cell, "text", cell))
    if text.isprintable() and text.isascii() and "  " not in text:
        return text.strip()
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _sheets(path: Path) -> Iterator[Table]:
    try:
        import openpyxl
    except ImportError:
        said = "to have workbooks read: pip install openpyxl; or save the sheet as CSV"
        raise TableError(f"{path}: {said}") from None
    try:
        with zipfile.ZipFile(path) as packed:
            if sum(part.file_size for part in packed.infolist()) > MAX_UNPACKED_BYTES:
                raise TableError(f"{path}: the workbook is too large when unpacked")
        book = openpyxl.load_workbook(path, read_only=True, data_only=False, keep_links=False)
        try:
            for sheet in book.worksheets:
                sheet.reset_dimensions()
                cells = sheet.iter_rows(values_only=True, max_col=MAX_COLUMNS)
                rows = tuple(_clean(enumerate(cells, 1)))
                yield Table(path.name, sheet.title, f"sheet {sheet.title}", rows)
        finally:
            book.close()
    except TableError:
        raise
    except Exception as error:
        raise TableError(f"{path}: not a workbook that can be read ({error!s:.80})") from None
