"""The pack: one PDF with everything about a design, numbered through, with links."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Literal

from wiregen.draw.pdf import PdfPages
from wiregen.layout.drawing_set import Options, PlannedSet
from wiregen.layout.front import Entry, contents_count, contents_sheets, cover_sheet
from wiregen.layout.label_sheet import label_pages
from wiregen.layout.table_pages import TablePage, table_pages
from wiregen.layout.tables import Table
from wiregen.model import Design
from wiregen.publish.cautions import cautions_table
from wiregen.publish.document import Document
from wiregen.publish.guide import colour_table, guide_table, look_table
from wiregen.publish.pack_facts import (
    KINDS,
    accepted_table,
    cover_facts,
    findings_table,
    revisions_table,
)
from wiregen.publish.pack_links import page_links, wire_pages
from wiregen.publish.proving import Proof, proof_tables, prove
from wiregen.publish.proving.checks import slim
from wiregen.publish.proving.judge import Judged
from wiregen.publish.proving.record import (
    deviations_table,
    judged_kept,
    proven_pins,
    record_table,
    undone_table,
)
from wiregen.publish.sources import sources_table
from wiregen.publish.tables import Cutting, all_tables
from wiregen.publish.tables.known import pins_table
from wiregen.publish.tables.labels import wire_labels
from wiregen.sheet.frame import A4_PORTRAIT
from wiregen.sheet.items import Sheet

Reader = Literal["", "bench", "customer"]

_BENCH = ("parts", "reels", "cut", "contacts", "crimps", "splices", "wires", "plugs")
_CUSTOMER = (
    "finder",
    "fuses",
    "earths",
    "lamps",
    "plugs",
    "splices",
    "wires",
    "lost",
    "fates",
)


@dataclass(frozen=True, slots=True)
class Part:
    """Pages that are made together.

    Attributes:
        heads: place in the part -> chapter that begins there.
        titles: of each page.
        listed: of each page, what of it stands in the contents.
        sheets: makes them, given how many pages come before and the count of all.
    """

    heads: Mapping[int, str]
    titles: tuple[str, ...]
    listed: tuple[tuple[str, ...], ...]
    sheets: Callable[[int, int], Iterable[Sheet]]


class Pack:
    """A design as one document.

    Args:
        document: the design.
        reader: `bench` leaves out what only the customer needs, and the other way round.
        cutting: allowance and step of cut lengths.
        mono: for printing without colours.
    """

    def __init__(
        self,
        document: Document,
        reader: Reader = "",
        cutting: Cutting | None = None,
        mono: bool = False,
    ) -> None:
        self._document = document
        self._reader = reader
        self._cutting = cutting or Cutting()
        self._mono = mono

    @property
    def _design(self) -> Design:
        return self._document.titled

    @cached_property
    def judged(self) -> tuple[Judged, ...]:
        """Every test with what was recorded beside the design."""
        design, network = self._design, self._document.network
        path, variant = Path(design.path), self._document.variant
        return judged_kept(path, design, network, self.proof.checks, variant)

    @cached_property
    def tables(self) -> dict[str, Table]:
        """The tables of the design by name, that of its pins with what was recorded."""
        network = self._document.network
        made = {t.name: t for t in all_tables(self._design, network, self._cutting)}
        proven = proven_pins(self._design, self.judged)
        made["pins"] = pins_table(self._design, network, self._cutting, proven)
        return made

    @cached_property
    def proof(self) -> Proof:
        """Every test of the design."""
        return prove(self._design, self._document.network)

    @cached_property
    def test_sheet(self) -> list[Table]:
        """The tests as forms."""
        return proof_tables(self._design, self._document.network, self.proof)

    @cached_property
    def sheets(self) -> tuple[Sheet, ...]:
        """Every page."""
        return tuple(sheet for sheet, _ in self._numbered)

    def pdf(self) -> bytes:
        """Return the pack as PDF: bookmarks, links, the same bytes each time."""
        title = self._design.title_block.title or self._design.name
        wires = wire_pages(self.sheets)
        pages = PdfPages()
        for number, (sheet, chapter) in enumerate(self._numbered, start=1):
            pages.add(sheet, page_links(sheet, number, wires), chapter)
        return pages.finish(f"{title}: {KINDS[self._reader]}", self._design.title_block.by)

    @cached_property
    def _numbered(self) -> list[tuple[Sheet, str]]:
        """Every page with the title of the chapter that begins on it."""
        parts = [part for part in self._parts() if part.titles]
        entries = sum(len(part.heads) + sum(map(len, part.listed)) for part in parts)
        front = 1 + contents_count(self._design, entries)
        count = front + sum(len(part.titles) for part in parts)
        pages: list[tuple[Sheet, str]] = []
        listed: list[Entry] = []
        for part in parts:
            before = front + len(pages)
            made = part.sheets(before, count)
            for place, (sheet, title) in enumerate(zip(made, part.titles, strict=True)):
                number = before + place + 1
                head = part.heads.get(place, "")
                if head:
                    listed.append(Entry(head, number, chapter=True))
                listed += [Entry(words, number) for words in part.listed[place]]
                pages.append((replace(sheet, title=title), head))
        cover = cover_sheet(
            self._design,
            KINDS[self._reader],
            cover_facts(self._document, self.judged, self.tables["pins"]),
            (1, count),
        )
        contents = contents_sheets(self._design, listed, 2, count)
        return [(cover, ""), *((sheet, "") for sheet in contents), *pages]

    def _parts(self) -> Iterator[Part]:
        names = {"bench": _BENCH, "customer": _CUSTOMER}.get(
            self._reader, (*_BENCH, *(name for name in _CUSTOMER if name not in _BENCH))
        )
        filled = [name for name in names if self.tables[name].rows]
        about = [
            cautions_table(),
            guide_table(),
            look_table(self._reader, [self.tables[n].title for n in names if n not in filled]),
            colour_table(self._design),
            revisions_table(self._design),
            findings_table(self._document.report),
            accepted_table(self._document.report),
        ]
        yield self._of_tables("Read this first", about, portrait=True)
        planned = self._document.plan(Options(mono=self._mono, contents=False))
        yield _drawings(planned)
        yield self._of_tables("Tables", [slim(self.tables[name]) for name in filled])
        if self._reader != "customer":
            labels = wire_labels(self.tables["labels"])
            yield _of_pages("Labels", label_pages(self._design, labels, mono=self._mono))
            forms = [*(slim(table) for table in self.test_sheet), deviations_table()]
            yield self._of_tables("Test sheet", forms)
        if self._reader != "bench":
            record = [
                record_table(self.judged, self._document.variant),
                undone_table(self.judged),
                self.tables["pins"],
            ]
            yield self._of_tables("As-built record", record)
            sources = sources_table(self._design, self._document.network, self._cutting)
            yield self._of_tables("Defaults and sources", [sources])

    def _of_tables(self, title: str, tables: Sequence[Table], portrait: bool = False) -> Part:
        name = title.lower().replace(" ", "-")
        if portrait:
            pages = table_pages(self._design, tables, name=name, paper=A4_PORTRAIT, mono=self._mono)
        else:
            pages = table_pages(self._design, tables, name=name, mono=self._mono)
        return _of_pages(title, pages)


def _of_pages(title: str, pages: Sequence[TablePage]) -> Part:
    def sheets(before: int, count: int) -> list[Sheet]:
        return [page.sheet(number, count) for number, page in enumerate(pages, start=before + 1)]

    titles = tuple(", ".join(page.begins) or page.heading for page in pages)
    return Part({0: title}, titles, tuple(page.begins for page in pages), sheets)


def _drawings(planned: PlannedSet) -> Part:
    faces = planned.maps + len(planned.pages)
    heads = {0: "Schematic", faces: "Connector faces"} if faces else {0: "Connector faces"}
    return Part(heads, planned.titles, tuple((title,) for title in planned.titles), planned.sheets)
