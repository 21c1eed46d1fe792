"""Links between pages: from a wire's row to its drawing and back, from a reference to its sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from wiregen.draw.pdf import Link
from wiregen.sheet.items import Group, Rect, Sheet, Text, walk
from wiregen.sheet.metrics import text_width_mm


@dataclass(frozen=True, slots=True)
class WirePages:
    """Where wires are found in a document.

    Attributes:
        drawn: wire -> first page it is drawn on.
        listed: wire -> page of the wire list that has its row.
    """

    drawn: Mapping[str, int] = field(default_factory=dict)
    listed: Mapping[str, int] = field(default_factory=dict)


NO_LIST = WirePages()
"""Of a set of drawings: no page lists wires, so none leads to them."""


def wire_pages(sheets: Sequence[Sheet]) -> WirePages:
    """Return where wires are found in a document, given all its pages, numbered through."""
    return WirePages(_drawn_on(sheets), _listed_on(sheets))


def page_links(sheet: Sheet, number: int, wires: WirePages = NO_LIST) -> list[Link]:
    """Return the links of a page.

    Args:
        sheet: the page.
        number: of the page.
        wires: where the wires of the document are found.

    Returns:
        A wire leads to the first page it is drawn on, its label there to its row in the wire
        list, a reference and a line of the contents to their page; none leads to its own page.
    """
    return [link for link in _links(sheet, wires.drawn, wires.listed) if link.page != number]


def _drawn_on(sheets: Sequence[Sheet]) -> dict[str, int]:
    """Return wire -> first page it is drawn on."""
    pages: dict[str, int] = {}
    for number, sheet in enumerate(sheets, start=1):
        for item in walk(sheet.items):
            if isinstance(item, Group) and item.cls.split(" ")[0] == "wire":
                pages.setdefault(dict(item.data).get("wire", ""), number)
    return pages


def _listed_on(sheets: Sequence[Sheet]) -> dict[str, int]:
    """Return wire -> page of the wire list that has its row."""
    pages: dict[str, int] = {}
    for number, sheet in enumerate(sheets, start=1):
        for item in sheet.items:
            if isinstance(item, Group) and item.cls == "row":
                data = dict(item.data)
                if data.get("table") == "wires":
                    pages.setdefault(data["row"], number)
    return pages


def _links(sheet: Sheet, drawn: Mapping[str, int], listed: Mapping[str, int]) -> Iterator[Link]:
    for item in walk(sheet.items):
        if isinstance(item, Rect) and item.cls == "link":
            page = int(dict(item.data)["page"])
            yield Link(item.x, item.y, item.width, item.height, page)
        elif isinstance(item, Text) and (item.cls or item.data):
            yield from _text_links(item, drawn, listed)
        elif isinstance(item, Group) and item.cls == "reference":
            page = _number(dict(item.data).get("sheet", ""))
            yield from (_over(text, page) for text in _texts(item) if page)


def _text_links(text: Text, drawn: Mapping[str, int], listed: Mapping[str, int]) -> Iterator[Link]:
    wire = dict(text.data).get("leads-to", "")
    if wire in drawn:
        yield _over(text, drawn[wire])
    if text.cls == "drawn-on":
        page = _number(dict(text.data).get("sheet", ""))
        if page:
            yield _over(text, page)
    if text.cls == "wire-label" and text.parts[0][0] in listed:
        yield _over(text, listed[text.parts[0][0]])


def _texts(group: Group) -> Iterator[Text]:
    for item in group.items:
        if isinstance(item, Text):
            yield item


def _number(text: str) -> int:
    return int(text) if text.isdigit() else 0


def _over(text: Text, page: int) -> Link:
    """Return a link over a text."""
    width = sum(text_width_mm(words, text.size, bold) for words, bold, _ in text.parts)
    shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * width
    high = text.size * 1.4
    if text.upright:
        return _rounded(text.x - text.size, text.y - width + shift, high, width, page)
    return _rounded(text.x - shift, text.y - text.size, width, high, page)


def _rounded(x: float, y: float, width: float, height: float, page: int) -> Link:
    return Link(round(x, 2), round(y, 2), round(width, 2), round(height, 2), page)
