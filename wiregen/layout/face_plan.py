"""Which paper a plug's sheets need and how closely they are set, so that all can be read."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from wiregen.layout.face_arrange import Arrangement, Room, one_each, one_page, shared_page
from wiregen.layout.face_fit import NUMBERS_ONLY, WITH_CODES, Way
from wiregen.layout.face_picture import Picture, picture_growth
from wiregen.layout.face_subject import FaceSubject
from wiregen.layout.face_views import GAP, free_room, make_pictures
from wiregen.layout.pin_table import COMPACT, DENSE, DENSITIES, FINE, Density
from wiregen.sheet.frame import A1, A2, A3, A4, Paper

GOOD = 1.1
"""On A4 text of 1.8 mm is to grow to 2 mm; larger paper follows otherwise."""
ONE_SHEET = 52
"""No paper holds pictures and a longer table on one sheet (rows)."""
LEAST_TABLE = GAP + COMPACT.head + 4 * (COMPACT.line + COMPACT.free)
"""A table is begun below the pictures only when four rows fit there, mm."""


@dataclass(frozen=True, slots=True)
class Views:
    """The views of a plug, each made once.

    Attributes:
        pictures: drawn a given way.
        room: below the head of a page on a given paper, above which they are drawn that way.
    """

    pictures: Callable[[Way], list[Picture]]
    room: Callable[[Way, Paper], Room]


@dataclass(frozen=True, slots=True)
class Plan:
    """What was chosen: how the views are drawn, how they stand, how closely the table is set.

    Attributes:
        way: how closely the views are drawn.
        chosen: how they stand.
        density: of the table.
        strip: the cavities stand in plain rows.
    """

    way: Way
    chosen: Arrangement
    density: Density
    strip: bool = False


def choose_plan(subject: FaceSubject) -> Plan:
    """Return the first way of drawing a plug in which every text can be read.

    One sheet with the whole table is best, A4 before A3; then pictures with the beginning of a
    table that goes on; then A3 pages of pictures alone. Plain rows are the last resort.
    """
    return next(_plans(subject))


def _plans(subject: FaceSubject) -> Iterator[Plan]:
    pictures = cache(lambda way: make_pictures(subject, way))
    room = cache(lambda way, paper: free_room(subject, pictures(way), paper))
    drawn = Views(pictures, room)
    yield from _whole(subject, drawn, WITH_CODES[:3], A4, GOOD)
    yield from _whole(subject, drawn, WITH_CODES, A4, 1.0, densities=(*DENSITIES, DENSE))
    yield from _whole(subject, drawn, (NUMBERS_ONLY,), A4, 1.25, densities=(DENSE,))
    yield from _whole(subject, drawn, (NUMBERS_ONLY,), A4, 1.0, densities=(DENSE, FINE))
    yield from _whole(subject, drawn, WITH_CODES, A3, 1.0, densities=(*DENSITIES, DENSE))
    yield from _whole(subject, drawn, (NUMBERS_ONLY,), A3, 1.0, densities=(DENSE, FINE))
    yield from _begun(drawn, WITH_CODES, A4, GOOD)
    yield from _begun(drawn, WITH_CODES, A3, 1.0)
    yield from _begun(drawn, (NUMBERS_ONLY,), A3, 1.0)
    for way in (*WITH_CODES, NUMBERS_ONLY):
        yield from _alone(drawn, way, A3)
    yield _plain_rows(subject)


def _whole(
    subject: FaceSubject,
    drawn: Views,
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
            pictures, room = drawn.pictures(way), drawn.room(way, paper)
            height = GAP + subject.table(paper, density).height
            chosen = shared_page(pictures, paper, room, height, enough)
            if chosen:
                yield Plan(way, chosen, density)


def _begun(drawn: Views, ways: Sequence[Way], paper: Paper, enough: float) -> Iterator[Plan]:
    """All pictures on one page, with the beginning of the table below them."""
    for way in ways:
        pictures, room = drawn.pictures(way), drawn.room(way, paper)
        chosen = shared_page(
            pictures, paper, room, max(0.4 * room[1], LEAST_TABLE), enough
        ) or shared_page(pictures, paper, room, LEAST_TABLE, enough)
        if chosen:
            yield Plan(way, chosen, COMPACT)


def _alone(drawn: Views, way: Way, paper: Paper) -> Iterator[Plan]:
    """Pictures without a table below them, on one page or on a page for each."""
    pictures, room = drawn.pictures(way), drawn.room(way, paper)
    chosen = one_page(pictures, paper, room, 1.0) or one_each(pictures, paper, room, 1.0)
    if chosen:
        yield Plan(way, chosen, COMPACT)


def _plain_rows(subject: FaceSubject) -> Plan:
    """No paper holds the face as it is, so the cavities stand in rows."""
    way = WITH_CODES[2]
    pictures = make_pictures(subject, way, strip=True)
    for paper in (A4, A3, A2, A1):
        room = free_room(subject, pictures, paper)
        chosen = shared_page(pictures, paper, room, LEAST_TABLE, 1.0)
        chosen = chosen or one_each(pictures, paper, room, 1.0)
        if chosen:
            return Plan(way, chosen, COMPACT, strip=True)
    grown = min(picture_growth(picture, *room) for picture in pictures)
    return Plan(way, Arrangement(A1, 1, grown, apart=True), COMPACT, strip=True)
