"""The contents of a drawing set: every sheet with what it shows, every object with its sheets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.layout.contents_index import IndexEntry, IndexGroup, index_columns
from wiregen.layout.faces import FacePage
from wiregen.layout.schematic.scene import Plan
from wiregen.layout.schematic.sheet_page import Page
from wiregen.layout.table_rows import PAD_MM, TEXT_MM, draw_rows, measure, rows_that_fit
from wiregen.layout.tables import Column, Table
from wiregen.layout.title import title_block
from wiregen.model import Design, in_order
from wiregen.sheet import style
from wiregen.sheet.frame import A3, Area, Frame, framed
from wiregen.sheet.items import Item, Sheet, Text
from wiregen.sheet.metrics import fit, text_width_mm

MANY_SHEETS = 6
"""A set of more sheets than this has contents."""
_MOST_NAMED = (12, 9, 6, 4, 2, 1)
"""So many names of a kind stand in a row, the most for which it is one line."""
_TITLE_MM, _SHOWS_MM = 88.0, 252.0
"""Widths of the columns, whatever stands in them, mm."""
_GAP = 8.0
_HEADING = 6.0
_LEAST_INDEX = 40.0
"""The index begins below the table where this is left for it, mm."""
_TEXT, _PAD = TEXT_MM, 2 * PAD_MM + 0.2
_OBJECTS = ("plug", "device", "fuse", "box", "splice", "earth")


@dataclass(frozen=True, slots=True)
class Listing:
    """What the contents are made from.

    Attributes:
        design: the design.
        maps: number of overview sheets, which come before the contents.
        pages: of the schematic, which come after them.
        faces: of the connector faces, which come last.
        mono: for printing without colours.
        whole: the set shows all of the design.
    """

    design: Design
    maps: int
    pages: Sequence[Page]
    faces: Sequence[FacePage]
    mono: bool
    whole: bool


def contents_count(listing: Listing) -> int:
    """Return how many pages the contents take, with a row for each of them."""
    pages = 1
    while (needed := len(tuple(_filled(listing, pages)))) > pages:
        pages = needed
    return pages


def contents_sheets(listing: Listing, pages: int, count: int) -> tuple[Sheet, ...]:
    """Return the contents, numbered after the overview.

    Args:
        listing: the set.
        pages: from `contents_count`.
        count: of all sheets.
    """
    sheets = []
    for number, items in enumerate(_filled(listing, pages), start=listing.maps + 1):
        frame = _frame(listing, number, count)
        place = number - listing.maps
        name = "contents" if place == 1 else f"contents-{place}"
        sheets.append(frame.sheet(name, "Contents", items))
    return tuple(sheets)


def _frame(listing: Listing, number: int = 1, count: int = 1) -> Frame:
    block = replace(title_block(listing.design), sheet=number, sheets=count, revisions=())
    return framed(A3, block, heading="Contents", cautions=(), mono=listing.mono)


def _filled(listing: Listing, pages: int) -> Iterator[tuple[Item, ...]]:
    """Yield what stands on each page: the table of sheets, then the index."""
    area = _frame(listing).area
    first = listing.maps + pages + 1
    table = measure(_sheet_table(listing, first), area.width, mono=listing.mono)
    items: list[Item] = []
    y, begin = area.y, 0
    while begin < len(table.table.rows):
        count = max(1, rows_that_fit(table, begin, area.bottom - y))
        drawn, y = draw_rows(table, begin, count, area.x, y, mono=listing.mono)
        items += drawn
        begin += count
        if begin < len(table.table.rows):
            yield tuple(items)
            items, y = [], area.y
    if area.bottom - y - _GAP - _HEADING < _LEAST_INDEX:
        yield tuple(items)
        items, y = [], area.y
    groups = tuple(_groups(listing, first))
    top = y + _GAP if items else y
    while groups:
        words = (("Where to find it", True, style.INK),)
        items.append(Text(area.x, top + 3.0, words, style.TEXT_BLOCK, cls="heading"))
        top += _HEADING
        room = Area(area.x, top, area.width, area.bottom - top)
        drawn, groups = index_columns(groups, room)
        yield (*items, *drawn)
        items, top = [], area.y
    if items:
        yield tuple(items)


def _sheet_table(listing: Listing, first: int) -> Table:
    """Return a row for each sheet; what it shows has no number in it."""
    rows = [(str(n), "Overview", "every plug, box and device, and the bundles between them")
            for n in range(1, listing.maps + 1)]  # fmt: skip
    rows += [
        (str(number), "Contents", "every sheet, and where each object is found")
        for number in range(listing.maps + 1, first)
    ]
    rows += [
        (str(number), page.plan.title, _shows(listing.design, page))
        for number, page in enumerate(listing.pages, start=first)
    ]
    first_face = first + len(listing.pages)
    begun: set[str] = set()
    for number, face in enumerate(listing.faces, start=first_face):
        shows = _face_shows(listing.design, face, continued=face.plug in begun)
        rows.append((str(number), face.title, shows))
        begun.add(face.plug)
    columns = (
        Column("Sheet", "name", 16.0),
        Column("Title", least_mm=_TITLE_MM),
        Column("Shows", least_mm=_SHOWS_MM),
    )
    lines = (
        (number, fit(title, _TITLE_MM - _PAD, _TEXT), fit(shows, _SHOWS_MM - _PAD, _TEXT))
        for number, title, shows in rows
    )
    return Table("contents", "Contents", columns, tuple(lines))


def _shows(design: Design, page: Page) -> str:
    """Return plugs, devices, circuits and collected earth points of a schematic sheet in words."""
    found = _objects(page)
    devices = [name for kind in ("box", "device") for name in found.get(kind, ())]
    circuits = in_order(set(_circuits(design, page.plan)))
    earths = in_order(block.id for block in page.laid.blocks if block.id in design.earths)
    parts = (
        ("plugs", found.get("plug", ())),
        ("devices", devices),
        ("circuits", circuits),
        ("earth points" if len(earths) > 1 else "earth point", earths),
    )
    tried = (
        " · ".join(f"{what} {_named(names, most)}" for what, names in parts if names)
        for most in _MOST_NAMED
    )
    words = ""
    for words in tried:
        if text_width_mm(words, _TEXT) <= _SHOWS_MM - _PAD:
            break
    return words


def _named(names: Sequence[str], most: int) -> str:
    more = len(names) - most
    words = ", ".join(names[:most])
    return f"{words} and {more} more" if more > 0 else words


def _circuits(design: Design, plan: Plan) -> Iterator[str]:
    ends = [end for wire in plan.wires for end in _written_ends(design, wire)]
    ends += [(cut.here.owner, cut.here.point) for cut in plan.cuts]
    for owner, point in ends:
        plug = design.plugs.get(owner)
        pin = plug.pins.get(point) if plug else None
        if pin and pin.circuit:
            yield pin.circuit


def _written_ends(design: Design, wire: str) -> Iterator[tuple[str, str]]:
    for end in design.wires[wire].ends:
        yield end.owner, end.point


def _face_shows(design: Design, face: FacePage, *, continued: bool) -> str:
    if continued:
        return "its pin table, continued"
    plug = design.plugs[face.plug]
    device = design.devices.get(plug.of)
    loom = design.looms.get(plug.loom)
    belongs = f"{device.id} {device.title}" if device else loom.title or loom.id if loom else ""
    contacts = plug.contacts or "contacts not recorded"
    return " · ".join(part for part in ("both sides and pin table", contacts, belongs) if part)


def _objects(page: Page) -> dict[str, list[str]]:
    """Return kind -> ids of what a sheet shows, natural order."""
    found: dict[str, set[str]] = {}
    for block in page.laid.blocks:
        for part in block.parts:
            if part.cls in _OBJECTS and part.data:
                found.setdefault(part.cls, set()).add(part.data[0][1])
    return {kind: list(in_order(names)) for kind, names in found.items()}


def _groups(listing: Listing, first: int) -> Iterator[IndexGroup]:
    """Yield the groups of the index that have something in them."""
    design = listing.design
    sheets: dict[str, list[int]] = {}
    for number, page in enumerate(listing.pages, start=first):
        for names in _objects(page).values():
            for name in names:
                sheets.setdefault(name, []).append(number)
    faces: dict[str, int] = {}
    for number, face in enumerate(listing.faces, start=first + len(listing.pages)):
        faces.setdefault(face.plug, number)
    sections: tuple[tuple[str, Mapping[str, object]], ...] = (
        ("Plugs", design.plugs),
        ("Devices", design.devices),
        ("Fuse boxes", design.boxes),
        ("Fuses", design.fuses),
        ("Splices", design.splices),
        ("Earth points", design.earths),
    )
    for title, records in sections:
        entries = tuple(_entries(records, sheets, faces, listing.whole))
        if entries:
            yield IndexGroup(title, entries)


def _entries(
    records: Mapping[str, object],
    sheets: Mapping[str, Sequence[int]],
    faces: Mapping[str, int],
    whole: bool,
) -> Iterable[IndexEntry]:
    for name in in_order(records):
        numbers, face = tuple(sheets.get(name, ())), faces.get(name)
        if numbers or face or whole:
            yield IndexEntry(name, str(getattr(records[name], "title", "")), numbers, face)
