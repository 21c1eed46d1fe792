"""The pages of one plug: pictures first, the pin table below them or on pages of its own (mm)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from wiregen.layout.cavity_facts import CavityFacts
from wiregen.layout.face_arrange import BETWEEN, Arrangement, Room, arrange, one_each
from wiregen.layout.face_fit import NUMBERS_ONLY, WITH_CODES, Fit, Way, at_scale, fit_face
from wiregen.layout.face_head import (
    FaceHead,
    arrangement_words,
    belonging,
    doubt_words,
    head_items,
    plug_words,
)
from wiregen.layout.face_picture import (
    Picture,
    Side,
    picture_group,
    picture_growth,
    picture_height,
    subtitle_words,
    with_tabs,
)
from wiregen.layout.face_subject import FacePage, FaceSubject
from wiregen.layout.pin_rows import table_items
from wiregen.layout.pin_table import (
    COMPACT,
    HEAD,
    ROOMY,
    Density,
    PinTable,
    rows_that_fit,
)
from wiregen.model import Design, Plug
from wiregen.model.faces import as_strip
from wiregen.sheet.frame import A1, A2, A3, A4, Area, Paper
from wiregen.sheet.items import Item

GAP = 3.5
"""Between head, pictures and table, mm."""
LEAST_TABLE = GAP + HEAD + 3 * (ROOMY.line + ROOMY.free)
"""A table is begun below the pictures only when three rows fit there, mm."""
ROOMY_ROWS = 14
"""A longer table is set more closely."""
_ATTEMPTS = (
    *((way, A4, 1.1) for way in WITH_CODES),
    *((way, A3, 1.0) for way in WITH_CODES),
    (NUMBERS_ONLY, A3, 1.25),
    (NUMBERS_ONLY, A3, 1.0),
)
"""How closely a face is drawn, on which paper, and how far text of 1.8 mm must have grown."""
TOO_CLOSE = "Places too close together to be drawn: cavities in plain rows."


def compose(subject: FaceSubject) -> list[FacePage]:
    """Return the pages of one plug: pictures, then what is left of its pin table."""
    pages: list[FacePage] = []
    for density in (ROOMY, COMPACT) if len(subject.facts) <= ROOMY_ROWS else (COMPACT,):
        pages = _composed(subject, density)
        if len(pages) == 1:
            break
    return pages


def _composed(subject: FaceSubject, density: Density) -> list[FacePage]:
    pictures, chosen = _choose(subject, density)
    paper = chosen.paper
    area = subject.foot.frame(paper).area
    groups = [[picture] for picture in pictures] if chosen.apart else [pictures]
    drawn = [_pictures_on_page(subject, group, chosen) for group in groups]
    contents = [items for items, _ in drawn]
    table = subject.table(paper, density)
    begun = 0
    if chosen.shared and table.rows:
        spare = area.bottom - drawn[0][1] - GAP - table.height
        top = drawn[0][1] + GAP + min(max(0.3 * spare, 0.0), 4.0)
        begun = rows_that_fit(table, 0, area.bottom - top)
        rows = table_items(table, (0, begun), (area.x, top), subject.mono)
        contents[0] = (*contents[0], *rows)
    contents.extend(_table_pages(subject, table, begun, paper))
    return [_page(subject, number, paper, items) for number, items in enumerate(contents, start=1)]


def _page(subject: FaceSubject, number: int, paper: Paper, items: tuple[Item, ...]) -> FacePage:
    plug = subject.plug
    name = f"face-{plug.id}" if number == 1 else f"face-{plug.id}-{number}"
    title = f"{plug.id} {plug.title}".rstrip()
    if number > 1:
        title = f"{title} ({number})"
    return FacePage(plug.id, name, title, paper, subject.foot, items)


def _choose(subject: FaceSubject, density: Density) -> tuple[list[Picture], Arrangement]:
    """Find the smallest paper on which every text of the pictures can be read."""
    for way, paper, enough in _ATTEMPTS:
        pictures = _pictures(subject, way)
        room = _room(subject, pictures, paper)
        table = GAP + subject.table(paper, density).height
        chosen = arrange(pictures, paper, room, table, least_table=LEAST_TABLE, enough=enough)
        if chosen is None and paper is A3:
            chosen = one_each(pictures, paper, room, enough)
        if chosen is not None:
            return pictures, chosen
    return _plain_rows(subject)


def _plain_rows(subject: FaceSubject) -> tuple[list[Picture], Arrangement]:
    """The last resort: no paper holds the face as it is, so the cavities stand in rows."""
    pictures = _pictures(subject, WITH_CODES[1], strip=True)
    for paper in (A4, A3, A2, A1):
        room = _room(subject, pictures, paper)
        table = GAP + subject.table(paper, COMPACT).height
        chosen = arrange(pictures, paper, room, table, least_table=LEAST_TABLE)
        chosen = chosen or one_each(pictures, paper, room)
        if chosen is not None:
            return pictures, chosen
    grown = min(picture_growth(picture, *room) for picture in pictures)
    return pictures, Arrangement(A1, 1, grown, apart=True)


def _room(subject: FaceSubject, pictures: Sequence[Picture], paper: Paper) -> Room:
    """Width and height below the head, mm."""
    area = subject.foot.frame(paper).area
    _, bottom = head_items(_head(subject, pictures[0].fit, 1.0), area)
    return area.width, area.bottom - bottom - GAP


def _head(subject: FaceSubject, fit: Fit, grown: float) -> FaceHead:
    plug, layout = subject.plug, fit.layout
    words = [arrangement_words(layout, fit.scale * grown), *_unrecorded_half(subject)]
    if any(room.codes == () for room in fit.rooms.values()):
        words.append("The colours stand in the pin table.")
    return FaceHead(
        plug.id,
        plug.title,
        plug_words(subject.design, subject.network, plug, len(layout.cavities) + len(fit.doubled)),
        " ".join(words),
        doubt_words(layout, fit.doubled),
    )


def _unrecorded_half(subject: FaceSubject) -> tuple[str, ...]:
    if subject.mate or not subject.plug.of:
        return ()
    return ("The wire side of the loom half looks like the mating side drawn here.",)


def _pictures(subject: FaceSubject, way: Way, strip: bool = False) -> list[Picture]:
    """Wire side, mating side and the other half, all at one scale."""

    def fitted(half: Plug, facts: Mapping[str, CavityFacts]) -> Fit:
        layout = subject.layouts[half.id]
        return fit_face(as_strip(layout, TOO_CLOSE) if strip else layout, facts, way)

    plug, mate = subject.plug, subject.mate
    fit = fitted(plug, subject.facts)
    other = fitted(mate, subject.mate_facts) if mate else None
    if other and other.layout.width == fit.layout.width:
        fit, other = at_scale(fit, other.scale), at_scale(other, fit.scale)
    pictures = [
        _view(subject, plug, fit, "wire", "seen from the wire side"),
        _view(subject, plug, fit, "mating", "seen from the mating side"),
    ]
    if mate and other:
        pictures.append(_view(subject, mate, other, "mating", "mating half, mating side"))
    return with_tabs(pictures)


def _view(subject: FaceSubject, half: Plug, fit: Fit, side: Side, title: str) -> Picture:
    is_mate = half is subject.mate
    facts = subject.mate_facts if is_mate else subject.facts
    strong = _is_new(subject.design, half)
    picture = Picture(half.id, side, title, "", fit, facts, strong, is_mate)
    words = subtitle_words(half.id, half.contacts, picture.key, picture.latch)
    if is_mate:
        words = " · ".join(part for part in (words, belonging(subject.design, half)) if part)
    return replace(picture, subtitle=words)


def _is_new(design: Design, plug: Plug) -> bool:
    loom = design.looms.get(plug.loom)
    return loom.status == "new" if loom else not plug.of


def _pictures_on_page(
    subject: FaceSubject, pictures: Sequence[Picture], chosen: Arrangement
) -> tuple[tuple[Item, ...], float]:
    """Head and pictures of one page, and the y where they end (mm)."""
    area = subject.foot.frame(chosen.paper).area
    items, top = head_items(_head(subject, pictures[0].fit, chosen.grown), area)
    top += GAP
    columns = min(chosen.columns, len(pictures))
    slot = (area.width - BETWEEN * (columns - 1)) / columns
    placed: list[Item] = list(items)
    bottom = top
    for row in range(math.ceil(len(pictures) / columns)):
        line = pictures[row * columns : (row + 1) * columns]
        for column, picture in enumerate(line):
            x = area.x + slot / 2 + column * (slot + BETWEEN)
            placed.append(_drawn(subject, picture, (x, top), slot, chosen.grown))
        bottom = top + max(picture_height(picture, chosen.grown) for picture in line)
        top = bottom + BETWEEN
    return tuple(placed), bottom


def _drawn(
    subject: FaceSubject, picture: Picture, at: tuple[float, float], slot: float, grown: float
) -> Item:
    marks = subject.marks if picture.side == "wire" else {}
    return picture_group(picture, at, slot, grown, marks, mono=subject.mono)


def _table_pages(
    subject: FaceSubject, table: PinTable, begun: int, paper: Paper
) -> Iterator[tuple[Item, ...]]:
    """The rest of the pin table, page by page."""
    area: Area = subject.foot.frame(paper).area
    head = FaceHead(subject.plug.id, subject.plug.title, "pin table, continued" if begun else "")
    while begun < len(table.rows):
        items, bottom = head_items(head, area, small=True)
        top = bottom + GAP
        count = max(1, rows_that_fit(table, begun, area.bottom - top))
        yield (*items, *table_items(table, (begun, count), (area.x, top), subject.mono))
        begun += count
