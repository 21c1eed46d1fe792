"""The pins of a design as a table, as text or as a workbook."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from wiregen.intake.formula import harmless
from wiregen.intake.table import TableError
from wiregen.model import Design, Pin, Plug

HEADINGS = (
    "plug",
    "plug title",
    "cavity",
    "state",
    "function",
    "circuit",
    "colour",
    "size",
    "role",
    "label",
    "source",
    "measured",
    "note",
    "colour key",
)
"""Read back by `import` as they are."""
_WIDTHS = (8, 24, 8, 9, 34, 22, 12, 12, 14, 12, 30, 12, 30, 12)


def pin_rows(design: Design, plugs: Sequence[str] = ()) -> list[tuple[str, ...]]:
    """Return one row of texts for each pin, in natural order of plugs and cavities.

    Args:
        design: the design.
        plugs: only these; all where empty.
    """
    wanted = plugs or list(design.plugs)
    return [row for name in wanted for row in _rows(design.plugs[name])]


def to_csv(rows: Sequence[Sequence[str]]) -> bytes:
    """Return the table as text: UTF-8 with its mark, every cell in quotes, none of them a formula.

    Args:
        rows: from `pin_rows`.
    """
    text = io.StringIO()
    writer = csv.writer(text, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow(HEADINGS)
    writer.writerows([harmless(cell) for cell in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def to_xlsx(rows: Sequence[Sequence[str]]) -> bytes:
    """Return the table as a workbook of plain texts; same rows, same bytes.

    Raises:
        TableError: the library for workbooks is not installed.
    """
    import datetime

    try:
        import xlsxwriter
    except ImportError:
        raise TableError("to have workbooks written: pip install xlsxwriter") from None
    buffer = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(buffer, options) as book:
        book.set_properties({"created": datetime.datetime(2000, 1, 1, tzinfo=datetime.UTC)})
        sheet = book.add_worksheet("pins")
        text = book.add_format({"num_format": "@"})
        bold = book.add_format({"bold": True})
        for column, (heading, width) in enumerate(zip(HEADINGS, _WIDTHS, strict=True)):
            sheet.set_column(column, column, width, text)
            sheet.write_string(0, column, heading, bold)
        for number, row in enumerate(rows, 1):
            for column, cell in enumerate(row):
                if cell:
                    sheet.write_string(number, column, harmless(cell), text)
        sheet.freeze_panes(1, 0)
    return buffer.getvalue()


def _rows(plug: Plug) -> Iterator[tuple[str, ...]]:
    for pin in plug.pins.values():
        yield (plug.id, plug.title, *_pin(pin), _colour_key(plug))


def _pin(pin: Pin) -> tuple[str, ...]:
    note = "; ".join(filter(None, (pin.note, f"use: {pin.use}" if pin.use else "")))
    return (
        pin.name,
        "" if pin.state == "used" else pin.state,
        pin.carries,
        pin.circuit,
        ", ".join(colour.text or colour.iec for colour in pin.colours),
        ", ".join(size.text for size in pin.sizes),
        pin.role,
        pin.label,
        pin.source,
        pin.measured,
        note,
    )


def _colour_key(plug: Plug) -> str:
    """Return how the colours of a plug are written; empty for letters of IEC 60757."""
    key = next((colour.key for pin in plug.pins.values() for colour in pin.colours), "")
    return "" if key == "iec-60757" else key
