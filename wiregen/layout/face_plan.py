"""Which paper a plug's sheets need and how closely they are set, so that all can be read."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from wiregen.layout.face_arrange import Arrangement, one_each, one_page, shared_page
from wiregen.layout.face_fit import NUMBERS_ONLY, WITH_CODES, Way
from wiregen.layout.face_picture import Picture, picture_growth
from wiregen.layout.face_subject import FaceSubject
from wiregen.layout.face_views import GAP, free_room, make_pictures
from wiregen.layout.pin_table import COMPACT, DENSE, DENSITIES, Density
from wiregen.sheet.frame import A1, A2, A3, A4, Paper

GOOD = 1.1
"""On A4 text of 1.8 mm is to grow to 2 mm; larger paper follows otherwise."""
ONE_SHEET = 45
"""No paper holds pictures and a longer table on one sheet (rows)."""
LEAST_TABLE = GAP + COMPACT.head + 4 * (COMPACT.line + COMPACT.free)
"""A table is begun below the pictures only when four rows fit there, mm."""


Drawn = Callable[[Way], list[Picture]]
"""The pictures drawn a given way, made once."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What was chosen: the views, how they stand, and how closely the table is set."""

    pictures: list[Picture]
    chosen: Arrangement
    density: Density


def choose_plan(subject: FaceSubject) -> Plan:
    """Return the first way of drawing a plug in which every text can be read.

    One A4 sheet with the whole table is best; then an A4 sheet with a table that goes on, or an
    A4 page of pictures; the same on A3; pictures on A3 pages of their own; numbers without codes.
    Plain rows are the last resort.
    """
    return next(_plans(subject))


def _plans(subject: FaceSubject) -> Iterator[Plan]:
    drawn = cache(lambda way: make_pictures(subject, way))
    yield from _whole(subject, drawn, WITH_CODES[:3], A4, GOOD)
    yield from _whole(subject, drawn, WITH_CODES, A4, 1.0, densities=(*DENSITIES, DENSE))
    yield from _whole(subject, drawn, (NUMBERS_ONLY,), A4, 1.25, densities=(DENSE,))
    yield from _whole(subject, drawn, (NUMBERS_ONLY,), A4, 1.0, densities=(DENSE,))
    yield from _begun(subject, drawn, WITH_CODES, A4, GOOD)
    yield from _whole(subject, drawn, WITH_CODES, A3, 1.0)
    yield from _begun(subject, drawn, WITH_CODES, A3, 1.0)
    for way in WITH_CODES:
        yield from _apart(subject, drawn(way), A3)
    yield from _begun(subject, drawn, (NUMBERS_ONLY,), A3, 1.25)
    yield from _begun(subject, drawn, (NUMBERS_ONLY,), A3, 1.0)
    yield _plain_rows(subject)


def _whole(
    subject: FaceSubject,
    drawn: Drawn,
    ways: Sequence[Way],
    paper: Paper,
    enough: float,
    *,
    densities: Sequence[Density] = DENSITIES,
) -> Iterator[Plan]:
    """Pictures and the whole table on one sheet; smaller pictures before closer rows."""
    if len(subject.facts) > ONE_SHEET:
        return
    for density in densities:
        for way in ways:
            pictures = drawn(way)
            room = free_room(subject, pictures, paper)
            height = GAP + subject.table(paper, density).height
            chosen = shared_page(pictures, paper, room, height, enough)
            if chosen:
                yield Plan(pictures, chosen, density)


def _begun(
    subject: FaceSubject, drawn: Drawn, ways: Sequence[Way], paper: Paper, enough: float
) -> Iterator[Plan]:
    """All pictures on one page, with the beginning of the table where there is room for it."""
    for way in ways:
        pictures = drawn(way)
        room = free_room(subject, pictures, paper)
        chosen = (
            shared_page(pictures, paper, room, max(0.4 * room[1], LEAST_TABLE), enough)
            or shared_page(pictures, paper, room, LEAST_TABLE, enough)
            or one_page(pictures, paper, room, enough)
        )
        if chosen:
            yield Plan(pictures, chosen, COMPACT)


def _apart(subject: FaceSubject, pictures: list[Picture], paper: Paper) -> Iterator[Plan]:
    """Every picture on a page of its own."""
    chosen = one_each(pictures, paper, free_room(subject, pictures, paper), 1.0)
    if chosen:
        yield Plan(pictures, chosen, COMPACT)


def _plain_rows(subject: FaceSubject) -> Plan:
    """No paper holds the face as it is, so the cavities stand in rows."""
    pictures = make_pictures(subject, WITH_CODES[2], strip=True)
    for paper in (A4, A3, A2, A1):
        room = free_room(subject, pictures, paper)
        chosen = shared_page(pictures, paper, room, LEAST_TABLE, 1.0)
        chosen = chosen or one_each(pictures, paper, room, 1.0)
        if chosen:
            return Plan(pictures, chosen, COMPACT)
    grown = min(picture_growth(picture, *room) for picture in pictures)
    return Plan(pictures, Arrangement(A1, 1, grown, apart=True), COMPACT)
