"""Sheets as PDF and PNG through typst, with the bundled font and nothing from outside."""

from __future__ import annotations

import json
from collections.abc import Sequence
from importlib.resources import as_file, files

from wiregen.draw.svg import to_svg
from wiregen.sheet.items import Sheet
from wiregen.sheet.metrics import legal

_TEMPLATE = """\
#let d = json(bytes(sys.inputs.data))
#set document(title: d.title, author: d.author, date: none)
#set text(font: "Wiregen Sans", lang: "en", fallback: false)
#set page(margin: 0pt)
#show heading: it => place(hide(it.body))
#for s in d.sheets {
  page(width: s.width * 1mm, height: s.height * 1mm, {
    heading(s.title)
    place(top + left, image(bytes(s.svg), format: "svg", width: 100%, height: 100%, alt: s.title))
  })
}
"""


def to_pdf(sheets: Sequence[Sheet], title: str, author: str = "") -> bytes:
    """Return one PDF: a page per sheet at its exact size, a bookmark per sheet.

    Args:
        sheets: pages in order, at least one.
        title: document title shown by readers.
        author: document author; empty for none.

    Returns:
        The same bytes for the same sheets, whenever and wherever it runs.

    Raises:
        ValueError: there is no sheet.
        RuntimeError: the page maker complains, as about a font that is not bundled.
    """
    if not sheets:
        raise ValueError("a document needs at least one sheet")
    return _made(sheets, title, author)


def to_png(sheet: Sheet, ppi: float = 96) -> bytes:
    """Return one sheet as PNG at `ppi` pixels per inch."""
    return _made((sheet,), sheet.title, "", ppi)


def _made(sheets: Sequence[Sheet], title: str, author: str, ppi: float | None = None) -> bytes:
    """Compile to PDF, or to PNG where `ppi` is given; user text travels as data only."""
    import typst

    data = {
        "title": legal(title),
        "author": legal(author),
        "sheets": [
            {"title": legal(s.title), "width": s.width, "height": s.height, "svg": to_svg(s)}
            for s in sheets
        ],
    }
    with as_file(files("wiregen.draw").joinpath("fonts")) as folder:
        fonts = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=False, font_paths=[folder]
        )
        made, warnings = typst.compile_with_warnings(
            _TEMPLATE.encode(),
            font_paths=fonts,
            sys_inputs={"data": json.dumps(data, ensure_ascii=True)},
            format="pdf" if ppi is None else "png",
            ppi=ppi,
            timestamp=0,
            pdf_tags=False,
        )
    if warnings:
        raise RuntimeError("; ".join(warning.message for warning in warnings))
    return made
