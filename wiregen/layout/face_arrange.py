"""Which paper a plug's pictures need, and how they stand on it (mm)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wiregen.layout.face_picture import Picture, picture_growth
from wiregen.sheet.frame import Paper

BETWEEN = 6.0
"""Between two pictures, mm."""

Room = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Arrangement:
    """How the pictures of a plug stand.

    Attributes:
        paper: of every page of the plug.
        columns: pictures side by side.
        grown: how much larger than at 1.8 mm text they are drawn.
        shared: True when the table begins below the pictures.
        apart: True when every picture has a page of its own.
    """

    paper: Paper
    columns: int
    grown: float
    shared: bool = False
    apart: bool = False


def shared_page(
    pictures: Sequence[Picture], paper: Paper, room: Room, table_height: float, enough: float
) -> Arrangement | None:
    """Put all pictures on one page with at least `table_height` (mm) of the pin table below.

    Args:
        pictures: views of both sides and of the other half.
        paper: to try.
        room: width and height below the head, mm.
        table_height: what is to stand below the pictures, mm.
        enough: the growth that must be reached.

    Returns:
        The arrangement; None when the texts would be too small.
    """
    columns, grown = best_grid(pictures, room[0], room[1] - table_height)
    return Arrangement(paper, columns, grown, shared=True) if grown >= enough else None


def one_page(
    pictures: Sequence[Picture], paper: Paper, room: Room, enough: float
) -> Arrangement | None:
    """Put all pictures on one page, the table on pages of its own; see `shared_page`."""
    columns, grown = best_grid(pictures, *room)
    return Arrangement(paper, columns, grown) if grown >= enough else None


def one_each(
    pictures: Sequence[Picture], paper: Paper, room: Room, enough: float
) -> Arrangement | None:
    """Give every picture a page of its own; see `shared_page`."""
    grown = min(picture_growth(picture, *room) for picture in pictures)
    return Arrangement(paper, 1, grown, apart=True) if grown >= enough else None


def best_grid(pictures: Sequence[Picture], width: float, height: float) -> tuple[int, float]:
    """Return in how many columns the pictures are largest, and their growth."""
    best = (1, -math.inf)
    for columns in range(len(pictures), 0, -1):
        rows = math.ceil(len(pictures) / columns)
        slot = (width - BETWEEN * (columns - 1)) / columns
        high = (height - BETWEEN * (rows - 1)) / rows
        grown = min(picture_growth(picture, slot, high) for picture in pictures)
        if grown > best[1] + 1e-9:
            best = (columns, grown)
    return best
