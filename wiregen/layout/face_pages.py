"""The pages of one plug: pictures first, the pin table below them or on pages of its own (mm)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from wiregen.layout.face_arrange import BETWEEN, Arrangement
from wiregen.layout.face_head import FaceHead, head_items
from wiregen.layout.face_picture import Picture, picture_group, picture_height
from wiregen.layout.face_plan import choose_plan
from wiregen.layout.face_subject import FacePage, FaceSubject
from wiregen.layout.face_views import GAP, face_head_of
from wiregen.layout.pin_rows import table_items
from wiregen.layout.pin_table import PinTable, rows_that_fit
from wiregen.sheet.frame import Paper
from wiregen.sheet.items import Item


def compose(subject: FaceSubject) -> list[FacePage]:
    """Return the pages of one plug: pictures, then what is left of its pin table."""
    plan = choose_plan(subject)
    paper = plan.chosen.paper
    area = subject.area(paper)
    groups = [[picture] for picture in plan.pictures] if plan.chosen.apart else [plan.pictures]
    drawn = [_pictures_on_page(subject, group, plan.chosen) for group in groups]
    contents = [items for items, _ in drawn]
    table = subject.table(paper, plan.density)
    begun = 0
    if plan.chosen.shared and table.rows:
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


def _pictures_on_page(
    subject: FaceSubject, pictures: Sequence[Picture], chosen: Arrangement
) -> tuple[tuple[Item, ...], float]:
    """Head and pictures of one page, and the y where they end (mm)."""
    area = subject.area(chosen.paper)
    items, top = head_items(face_head_of(subject, pictures[0].fit, chosen.grown), area)
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
    area = subject.area(paper)
    head = FaceHead(subject.plug.id, subject.plug.title, "pin table, continued" if begun else "")
    while begun < len(table.rows):
        items, bottom = head_items(head, area, small=True)
        top = bottom + GAP
        count = max(1, rows_that_fit(table, begun, area.bottom - top))
        yield (*items, *table_items(table, (begun, count), (area.x, top), subject.mono))
        begun += count
