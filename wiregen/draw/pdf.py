"""Sheets as one PDF: text stays text, in the bundled font, at the exact size of each page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from wiregen.draw.ink import FONTS, POINTS_PER_MM, Ink
from wiregen.draw.pdf_file import PdfFile, words
from wiregen.draw.pdf_fonts import embed_font
from wiregen.sheet.items import Sheet
from wiregen.sheet.metrics import legal


@dataclass(frozen=True, slots=True)
class Link:
    """A rectangle on a page (mm) that leads to another page, counted from 1."""

    x: float
    y: float
    width: float
    height: float
    page: int


@dataclass(frozen=True, slots=True)
class _Page:
    """A page whose content is written already, with the chapter that begins on it."""

    title: str
    width: float
    height: float
    content: int
    number: int
    links: tuple[Link, ...]
    chapter: str

    @property
    def top(self) -> str:
        """Where a bookmark or a link to the page leads; the reader's zoom is kept."""
        return f"[{self.number} 0 R /XYZ 0 {_points(self.height)} null]"


@dataclass(slots=True)
class _Mark:
    """A bookmark and those under it."""

    title: str
    page: _Page
    under: list[_Mark] = field(default_factory=list)


class PdfPages:
    """A PDF whose pages come one by one; of a page that was added only what is printed is held."""

    def __init__(self) -> None:
        self._file = PdfFile()
        self._used: tuple[set[str], set[str]] = set(), set()
        self._ink = Ink(self._used)
        self._pages: list[_Page] = []

    def add(self, sheet: Sheet, links: Iterable[Link] = (), chapter: str = "") -> None:
        """Add a page at the exact size of a sheet, with a bookmark.

        Args:
            sheet: what stands on it.
            links: on it.
            chapter: that begins on it, a bookmark over those that follow; empty for none.
        """
        content = self._file.add_stream(self._ink.content(sheet))
        number = self._file.reserve()
        title, chapter = legal(sheet.title), legal(chapter)
        page = _Page(title, sheet.width, sheet.height, content, number, tuple(links), chapter)
        self._pages.append(page)

    def finish(self, title: str, author: str = "") -> bytes:
        """Return the whole document; nothing can be added to it any more.

        Args:
            title: document title shown by readers.
            author: document author; empty for none.

        Returns:
            The same bytes for the same pages, whenever and wherever it runs.

        Raises:
            ValueError: there is no page.
        """
        if not self._pages:
            raise ValueError("a document needs at least one sheet")
        file = self._file
        tree = _write_pages(file, self._pages, _write_fonts(file, self._used))
        outline = file.reserve()
        marks = _marks(self._pages)
        below = _write_marks(file, outline, marks)
        file.write(outline, f"<< /Type /Outlines {below} /Count {len(marks)} >>")
        root = file.add(
            f"<< /Type /Catalog /Pages {tree} 0 R /Outlines {outline} 0 R /Lang (en) "
            "/ViewerPreferences << /DisplayDocTitle true >> >>"
        )
        by = f" /Author {words(legal(author))}" if author else ""
        return file.finish(root, file.add(f"<< /Title {words(legal(title))}{by} >>"))


def to_pdf(sheets: Iterable[Sheet], title: str, author: str = "") -> bytes:
    """Return sheets as one PDF, without links.

    Args:
        sheets: pages in order, at least one; taken one at a time, none is held.
        title: document title shown by readers.
        author: document author; empty for none.

    Returns:
        The same bytes for the same sheets, whenever and wherever it runs.

    Raises:
        ValueError: there is no sheet.
    """
    pages = PdfPages()
    for sheet in sheets:
        pages.add(sheet)
    return pages.finish(title, author)


def _write_fonts(file: PdfFile, used: tuple[set[str], set[str]]) -> int:
    """Write the fonts as far as they are used; return what all pages share."""
    fonts = " ".join(
        f"/{name} {embed_font(file, characters, bold)} 0 R"
        for name, characters, bold in zip(FONTS, used, (False, True), strict=True)
        if characters
    )
    return file.add(f"<< /Font << {fonts} >> >>")


def _write_pages(file: PdfFile, pages: Sequence[_Page], shared: int) -> int:
    """Write the pages around their content; return the number of the list of them."""
    tree = file.reserve()
    for page in pages:
        notes = " ".join(f"{_write_link(file, link, page, pages)} 0 R" for link in page.links)
        file.write(
            page.number,
            f"<< /Type /Page /Parent {tree} 0 R /Resources {shared} 0 R "
            f"/MediaBox [0 0 {_points(page.width)} {_points(page.height)}] "
            f"/Contents {page.content} 0 R{f' /Annots [{notes}]' if notes else ''} >>",
        )
    kids = " ".join(f"{page.number} 0 R" for page in pages)
    file.write(tree, f"<< /Type /Pages /Count {len(pages)} /Kids [{kids}] >>")
    return tree


def _points(length_mm: float) -> str:
    return f"{length_mm * POINTS_PER_MM:.3f}"


def _write_link(file: PdfFile, link: Link, page: _Page, pages: Sequence[_Page]) -> int:
    """Write one link and return its number."""
    left, right = _points(link.x), _points(link.x + link.width)
    foot, top = (_points(page.height - y) for y in (link.y + link.height, link.y))
    return file.add(
        f"<< /Type /Annot /Subtype /Link /Rect [{left} {foot} {right} {top}] /Border [0 0 0] "
        f"/Dest {pages[link.page - 1].top} >>"
    )


def _marks(pages: Sequence[_Page]) -> list[_Mark]:
    """The bookmarks: a page each, under their chapters where there are any."""
    marks: list[_Mark] = []
    chapter: _Mark | None = None
    for page in pages:
        if page.chapter:
            chapter = _Mark(page.chapter, page)
            marks.append(chapter)
        (marks if chapter is None else chapter.under).append(_Mark(page.title, page))
    return marks


def _write_marks(file: PdfFile, parent: int, marks: Sequence[_Mark]) -> str:
    """Write a level of bookmarks with those under them; return what leads there from above."""
    numbers = [file.reserve() for _ in marks]
    for place, (number, mark) in enumerate(zip(numbers, marks, strict=True)):
        about = f"/Title {words(mark.title)} /Parent {parent} 0 R /Dest {mark.page.top}"
        if place:
            about += f" /Prev {numbers[place - 1]} 0 R"
        if place + 1 < len(marks):
            about += f" /Next {numbers[place + 1]} 0 R"
        if mark.under:
            about += f" {_write_marks(file, number, mark.under)} /Count {-len(mark.under)}"
        file.write(number, f"<< {about} >>")
    return f"/First {numbers[0]} 0 R /Last {numbers[-1]} 0 R"
