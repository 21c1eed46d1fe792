"""How labels lie on the sheets they are printed on, and reading that from a few words (mm)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from wiregen.problems import did_you_mean
from wiregen.units import comma_hint

LEAST_WIDTH_MM, LEAST_HEIGHT_MM = 15.0, 5.0
"""A smaller label has no room for a wire number and its ends in letters that can be read."""
_FREE_MM = 5.0
"""Left free at each edge of the paper where no margin is given: printers cannot reach it."""
_MOST_MM = 1200.0
_SIZE = re.compile(r"(\d+(?:\.\d+)?)[xX×](\d+(?:\.\d+)?)")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_KEYS = ("columns", "rows", "left", "top", "gap", "paper")
EXAMPLE = "'48x25 columns=4 rows=11 left=9 top=10 gap=0x0 paper=210x297'"


class GridError(ValueError):
    """The words do not describe labels on a sheet; one line for the user."""


@dataclass(frozen=True, slots=True)
class LabelGrid:
    """Labels of one size in columns and rows.

    Attributes:
        width_mm: of a label, along the wire.
        height_mm: of a label, round the wire.
        columns: side by side.
        rows: one below the other.
        left_mm: from the left edge of the paper to the first label.
        top_mm: from its top edge.
        across_mm: gap between columns.
        down_mm: gap between rows.
        paper_mm: width and height of the paper.
    """

    width_mm: float
    height_mm: float
    columns: int
    rows: int
    left_mm: float = 0.0
    top_mm: float = 0.0
    across_mm: float = 0.0
    down_mm: float = 0.0
    paper_mm: tuple[float, float] = (210.0, 297.0)

    @property
    def count(self) -> int:
        """How many labels a sheet has."""
        return self.columns * self.rows

    @property
    def places(self) -> Iterator[tuple[float, float]]:
        """The left upper corner of each label, column by column."""
        for column in range(self.columns):
            for row in range(self.rows):
                yield (
                    round(self.left_mm + column * (self.width_mm + self.across_mm), 3),
                    round(self.top_mm + row * (self.height_mm + self.down_mm), 3),
                )


def read_grid(text: str) -> LabelGrid:
    """Return the grid that a few words describe, all in mm.

    Args:
        text: width and height of a label, then any of `columns=`, `rows=`, `left=`, `top=`, `gap=`
            (between columns and rows, `2x0`, or one number for both) and `paper=`. Of what is not
            said as many as fit are taken, in the middle of the paper.

    Raises:
        GridError: it cannot be read, or the labels do not fit on the paper.

    Example:
        >>> grid = read_grid("48x25 columns=4 top=10")
        >>> grid.columns, grid.rows, grid.left_mm, grid.top_mm
        (4, 11, 9.0, 10.0)
    """
    hint = comma_hint(text)
    if hint:
        raise GridError(hint)
    first, *more = text.split() or [""]
    width, height = _pair(first, "a label")
    said = dict(_said(word) for word in more)
    paper = _pair(said["paper"], "paper") if "paper" in said else (210.0, 297.0)
    gap = said.get("gap", "0")
    across, down = (_number(gap), _number(gap)) if _NUMBER.fullmatch(gap) else _pair(gap, "gap", 0)
    if width < LEAST_WIDTH_MM or height < LEAST_HEIGHT_MM:
        least = f"{LEAST_WIDTH_MM:g} x {LEAST_HEIGHT_MM:g} mm"
        raise GridError(f"a label of {width:g} x {height:g} mm is too small: at least {least}")
    columns, left = _along(said, ("columns", "left"), width, across, paper[0])
    rows, top = _along(said, ("rows", "top"), height, down, paper[1])
    return LabelGrid(width, height, columns, rows, left, top, across, down, paper)


def _said(word: str) -> tuple[str, str]:
    key, sign, value = word.partition("=")
    if key not in _KEYS or not sign or not value:
        hint = did_you_mean(key, _KEYS)
        raise GridError(f"'{word[:40]}' is none of {', '.join(_KEYS)}{hint}; such as {EXAMPLE}")
    return key, value


def _pair(text: str, what: str, least: float = 1.0) -> tuple[float, float]:
    found = _SIZE.fullmatch(text)
    if found is None:
        raise GridError(
            f"'{text[:40]}' is no size of {what}: write width x height, such as {EXAMPLE}"
        )
    pair = float(found.group(1)), float(found.group(2))
    if min(pair) < least or max(pair) > _MOST_MM:
        raise GridError(f"'{text[:40]}' is no size of {what} in mm")
    return pair


def _number(text: str) -> float:
    if not _NUMBER.fullmatch(text):
        raise GridError(f"'{text[:40]}' is not a number of mm; such as {EXAMPLE}")
    return float(text)


def _along(
    said: dict[str, str], keys: tuple[str, str], size: float, gap: float, paper: float
) -> tuple[int, float]:
    """Return how many labels lie along one side of the paper, and where the first begins."""
    many, margin = keys
    begin = _number(said[margin]) if margin in said else None
    free = _FREE_MM if begin is None else begin
    if many in said:
        count = int(said[many]) if said[many].isdecimal() else 0
        if not 1 <= count <= 200:
            raise GridError(f"{many}={said[many][:20]}: write a whole number from 1 to 200")
    else:
        # the other edge gets the same margin, but a paper as small as its label has none
        room = paper - free - min(free, _FREE_MM) + gap
        count = max(1, int(round(room / (size + gap), 6)))
    taken = count * size + (count - 1) * gap
    start = (paper - taken) / 2 if begin is None else begin
    if start < -1e-9 or start + taken > paper + 1e-6:
        raise GridError(
            f"{count} labels of {size:g} mm"
            + (f" from {margin}={begin:g}" if begin else "")
            + (f" with gaps of {gap:g} mm" if gap else "")
            + f" take {start + taken if begin else taken:g} mm, the paper has {paper:g} mm"
        )
    return count, round(max(0.0, start), 3)


def cut_grid(width_mm: float, height_mm: float, room: tuple[float, float]) -> LabelGrid:
    """Return labels that are cut out of plain paper: side by side without gaps.

    Args:
        width_mm: of a label.
        height_mm: of a label.
        room: width and height they lie in; places are counted from its corner.
    """
    grid = LabelGrid(width_mm, height_mm, 1, 1, paper_mm=room)
    columns = max(1, int(room[0] // width_mm))
    return replace(grid, columns=columns, rows=max(1, int(room[1] // height_mm)))
