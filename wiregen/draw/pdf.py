"""Sheets as PDF and PNG through typst, with the bundled font and nothing from outside."""

from __future__ import annotations

from collections.abc import Sequence

from wiregen.sheet.items import Sheet


def to_pdf(sheets: Sequence[Sheet], title: str, author: str = "") -> bytes:
    """Return one PDF: a page per sheet at its exact size, a bookmark per sheet."""
    raise NotImplementedError


def to_png(sheet: Sheet, ppi: float = 96) -> bytes:
    """Return one sheet as PNG at `ppi` pixels per inch."""
    raise NotImplementedError
