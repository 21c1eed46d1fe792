"""The pages of one plug: pictures first, the pin table below them or on pages of its own (mm)."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from wiregen.layout.face_arrange import BETWEEN
from wiregen.layout.face_head import FaceHead, head_items
from wiregen.layout.face_picture import Picture, picture_group, picture_height
from wiregen.layout.face_standing import Standing, find_standing
from wiregen.layout.face_subject import FacePage, FaceSubject
from wiregen.layout.face_views import GAP, face_head_of
from wiregen.layout.finding_mark import Mark
from wiregen.layout.kept import KeptFace
from wiregen.layout.pin_rows import table_items
from wiregen.layout.pin_table import shared_rows
from wiregen.sheet.items import Item


def compose(subject: FaceSubject, keep: KeptFace | None = None) -> list[FacePage]:
    """Return the pages of a plug; all of them carry the findings of its pin table.

    Args:
        subject: the plug.
        keep: how it was drawn before.
    """
    standing = find_standing(subject, keep)
    pictures = standing.pictures
    groups = [[picture] for picture in pictures] if standing.chosen.apart else [pictures]
    marks = subject.marks(standing.listed)
    contents = [_pictures_on_page(subject, standing, group, marks) for group in groups]
    area = standing.foot.frame(standing.chosen.paper).area
    said = "pin table, continued" if standing.begun else ""
    head, ends = head_items(FaceHead(subject.plug.id, subject.plug.title, said), area, small=True)
    first, *further = shared_rows(standing.table, standing.begun, area.bottom - ends - GAP)
    if first:
        at = (area.x, standing.kept.table)
        rows = table_items(standing.table, (0, first), at, marks, subject.mono)
        contents[0] = (*contents[0], *rows)
    for count in further:
        at = (area.x, ends + GAP)
        rows = table_items(standing.table, (first, count), at, marks, subject.mono)
        contents.append((*head, *rows))
        first += count
    return [_page(subject, number, standing, items) for number, items in enumerate(contents, 1)]


def _page(
    subject: FaceSubject, number: int, standing: Standing, items: tuple[Item, ...]
) -> FacePage:
    plug = subject.plug
    name = f"face-{plug.id}" if number == 1 else f"face-{plug.id}-{number}"
    title = f"{plug.id} {plug.title}".rstrip()
    if number > 1:
        title = f"{title} ({number})"
    paper, foot = standing.chosen.paper, standing.foot
    return FacePage(plug.id, name, title, paper, foot, items, standing.kept)


def _pictures_on_page(
    subject: FaceSubject,
    standing: Standing,
    pictures: Sequence[Picture],
    marks: Mapping[str, Mark],
) -> tuple[Item, ...]:
    """Head and pictures of one page."""
    chosen = standing.chosen
    area = subject.area(chosen.paper)
    items, _ = head_items(face_head_of(subject, pictures[0].fit, chosen.grown), area)
    top = standing.kept.top
    columns = min(chosen.columns, len(pictures))
    slot = (area.width - BETWEEN * (columns - 1)) / columns
    placed: list[Item] = list(items)
    for row in range(math.ceil(len(pictures) / columns)):
        line = pictures[row * columns : (row + 1) * columns]
        for column, picture in enumerate(line):
            at = (area.x + slot / 2 + column * (slot + BETWEEN), top)
            rings = marks if picture.side == "wire" else {}
            placed.append(picture_group(picture, at, slot, chosen.grown, rings, mono=subject.mono))
        top += max(picture_height(picture, chosen.grown) for picture in line) + BETWEEN
    return tuple(placed)
