"""Sheets as PDF and PNG through typst, with the bundled font and nothing from outside."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
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
    if s.chapter != "" { heading(level: 1, s.chapter) }
    heading(level: s.level, s.title)
    place(top + left, image(bytes(s.svg), format: "svg", width: 100%, height: 100%, alt: s.title))
    for l in s.links {
      place(
        top + left,
        dx: l.at(0) * 1mm,
        dy: l.at(1) * 1mm,
        link((page: l.at(4), x: 0pt, y: 0pt), box(width: l.at(2) * 1mm, height: l.at(3) * 1mm)),
      )
    }
  })
}
"""


@dataclass(frozen=True, slots=True)
class Link:
    """A rectangle on a page (mm) that leads to another page, counted from 1."""

    x: float
    y: float
    width: float
    height: float
    page: int


def to_pdf(
    sheets: Sequence[Sheet],
    title: str,
    author: str = "",
    *,
    chapters: Mapping[int, str] | None = None,
    links: Mapping[int, Sequence[Link]] | None = None,
) -> bytes:
    """Return one PDF: a page per sheet at its exact size, a bookmark per sheet.

    Args:
        sheets: pages in order, at least one.
        title: document title shown by readers.
        author: document author; empty for none.
        chapters: place in `sheets` -> chapter that begins there, a bookmark over those that
            follow.
        links: place in `sheets` -> links on that page.

    Returns:
        The same bytes for the same sheets, whenever and wherever it runs.

    Raises:
        ValueError: there is no sheet.
        RuntimeError: the page maker complains, as about a font that is not bundled.
    """
    if not sheets:
        raise ValueError("a document needs at least one sheet")
    return _made([*_pages(sheets, chapters or {}, links or {})], title, author)


def to_png(sheet: Sheet, ppi: float = 96) -> bytes:
    """Return one sheet as PNG at `ppi` pixels per inch."""
    return _made([*_pages((sheet,), {}, {})], sheet.title, "", ppi)


def _pages(
    sheets: Sequence[Sheet], chapters: Mapping[int, str], links: Mapping[int, Sequence[Link]]
) -> Iterator[dict[str, object]]:
    """Yield each page as the template reads it."""
    chapter = ""
    for place, sheet in enumerate(sheets):
        begun = chapters.get(place, "")
        chapter = begun or chapter
        yield {
            "title": legal(sheet.title),
            "chapter": legal(begun),
            "level": 2 if chapter else 1,
            "width": sheet.width,
            "height": sheet.height,
            "svg": to_svg(sheet),
            "links": [
                (one.x, one.y, one.width, one.height, one.page) for one in links.get(place, ())
            ],
        }


def _made(
    pages: Sequence[dict[str, object]], title: str, author: str, ppi: float | None = None
) -> bytes:
    """Compile to PDF, or to PNG where `ppi` is given; user text travels as data only."""
    import typst

    data = {
        "title": legal(title),
        "author": legal(author),
        "sheets": pages,
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
