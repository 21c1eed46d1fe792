"""Which paper a plug's pictures need, and how they stand on it (mm)."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from wiregen.layout.face_picture import Picture, picture_growth, picture_height
from wiregen.sheet.frame import A1, A2, A3, A4, Paper

BETWEEN = 6.0
"""Between two pictures, mm."""
GOOD_GROWTH = 1.1
"""Text of 2 mm: with less, a face takes a page of its own or larger paper."""

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


def arrange(
    pictures: Sequence[Picture],
    room: Callable[[Paper], Room],
    table_height: Callable[[Paper], float],
    least_table: float,
    *,
    last: bool = False,
) -> Arrangement | None:
    """Choose the smallest paper on which every text of the pictures can be read.

    Args:
        pictures: views of both sides and of the other half.
        room: width and height below the head, by paper.
        table_height: of the whole pin table, by paper.
        least_table: height of the shortest piece of a table worth beginning, mm.
        last: take larger papers too, and the largest one even when it is too small.

    Returns:
        The arrangement; None when no paper is large enough.
    """
    for paper in (A4, A3):
        width, height = room(paper)
        enough = GOOD_GROWTH if paper is A4 else 1.0
        columns, grown = best_grid(pictures, width, height - least_table)
        if grown >= enough:
            free = height - table_height(paper)
            beside = max(free, grid_height(pictures, columns, enough))
            columns, smaller = best_grid(pictures, width, min(beside, height - least_table))
            return Arrangement(paper, columns, max(smaller, enough), shared=True)
        columns, grown = best_grid(pictures, width, height)
        if grown >= enough:
            return Arrangement(paper, columns, grown)
    for paper in (A3, A2, A1) if last else (A3,):
        width, height = room(paper)
        grown = min(picture_growth(picture, width, height) for picture in pictures)
        if grown >= 1.0 or (last and paper is A1):
            return Arrangement(paper, 1, grown, apart=True)
    return None


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


def grid_height(pictures: Sequence[Picture], columns: int, grown: float) -> float:
    """Return the height of all pictures, mm."""
    tallest = max(picture_height(picture, grown) for picture in pictures)
    rows = math.ceil(len(pictures) / columns)
    return rows * tallest + BETWEEN * (rows - 1)
