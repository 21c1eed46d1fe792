"""Which column of a table holds what, found by its heading."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wiregen.facts.trade_words import heading_column
from wiregen.intake.table import Table, TableError

KNOWN = (
    "plug",
    "title",
    "cavity",
    "state",
    "carries",
    "circuit",
    "colour",
    "size",
    "role",
    "label",
    "goes_to",
    "source",
    "measured",
    "note",
    "colour_key",
)
"""What a column can hold."""
_FACTS = frozenset({"carries", "circuit", "colour", "size", "label", "goes_to"})
_SEARCHED = 60


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Attributes:
        place: 0 for the first column.
        heading: as written.
        holds: one of `KNOWN`, or empty for a column that is not used.
    """

    place: int
    heading: str
    holds: str

    @property
    def letter(self) -> str:
        """As a spreadsheet names it: A, B ... Z, AA."""
        number, text = self.place + 1, ""
        while number:
            number, rest = divmod(number - 1, 26)
            text = chr(ord("A") + rest) + text
        return text


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns of a table.

    Attributes:
        row: number of the row with the headings; 0 when the columns were named by hand.
        body: place in `Table.rows` of the first row under the headings.
        above: texts of the rows above the headings.
        all: every column, from the left.
    """

    row: int
    body: int
    above: tuple[str, ...]
    all: tuple[Column, ...]

    def place(self, holds: str) -> int | None:
        """Return the place of the column that holds something, None when there is none."""
        return next((column.place for column in self.all if column.holds == holds), None)


def find_columns(table: Table) -> Columns | None:
    """Return the columns of a table by their headings, None when it has no pin table.

    The row with the most known headings is taken; headings merged over two rows are read
    together. A column of running numbers serves as cavity only where no other column does.
    """
    best: tuple[int, int, int, list[str]] = (0, 0, 0, [])
    rows = table.rows[:_SEARCHED]
    for place, (_, cells) in enumerate(rows):
        meanings = _meanings(cells)
        if _score(meanings) > best[0]:
            best = (_score(meanings), place, place, list(meanings))
        if place + 1 < len(rows):
            merged = _merged(cells, rows[place + 1][1])
            alone = _score(_meanings(rows[place + 1][1]))
            if merged and _score(merged) > max(best[0], alone):
                best = (_score(merged), place, place + 1, merged)
    score, first, place, meanings = best
    if not score:
        return None
    above = tuple(" ".join(filter(None, cells)) for _, cells in rows[:first])
    headings = rows[place][1]
    return Columns(rows[place][0], place + 1, above, _columns(meanings, headings))


def named_columns(table: Table, named: Mapping[str, str]) -> Columns:
    """Return columns of which some are named by hand, such as `{"cavity": "A", "carries": "C"}`.

    The others are still found by their headings. Where those do not tell the cavity, the first row
    counts as headings when half of its texts are known ones.

    Raises:
        TableError: a name or a letter is not one.
    """
    found = find_columns(table)
    width = max((len(cells) for _, cells in table.rows), default=0)
    plain = tuple(Column(place, "", "") for place in range(width))
    headings = found.all if found else _first_headings(table) or plain
    chosen: dict[int, str] = {}
    for holds, letter in named.items():
        if holds not in KNOWN:
            raise TableError(f"'{holds}' is not a column; known are {', '.join(KNOWN)}")
        chosen[_place(letter, headings)] = holds
    columns = []
    for column in headings:
        holds = column.holds if column.holds not in named else ""
        columns.append(Column(column.place, column.heading, chosen.get(column.place, holds)))
    if not any(column.holds == "cavity" for column in columns):
        raise TableError("no column holds the cavity; name it: --column cavity=A")
    if found:
        return Columns(found.row, found.body, found.above, tuple(columns))
    first = table.rows[0][0] if headings is not plain else 0
    return Columns(first, 1 if first else 0, (), tuple(columns))


def _first_headings(table: Table) -> tuple[Column, ...]:
    """Return the first row as headings when at least half of its texts are known ones."""
    cells = table.rows[0][1] if table.rows else ()
    meanings = _meanings(cells)
    if 2 * sum(map(bool, meanings)) < sum(map(bool, cells)) or not any(meanings):
        return ()
    return _columns(meanings, cells)


def _place(letter: str, columns: tuple[Column, ...]) -> int:
    for column in columns:
        if column.letter == letter.strip().upper() or column.heading == letter:
            return column.place
    last = columns[-1].letter if columns else "none"
    raise TableError(f"there is no column '{letter}'; the last one is {last}")


def _meanings(cells: tuple[str, ...]) -> list[str]:
    """Return what each cell names as a heading; a second column of a kind is not used."""
    found: list[str] = []
    for cell in cells:
        column = heading_column(cell) if cell else ""
        found.append("" if column in found else column)
    if "cavity" in found:
        return ["" if column == "number" else column for column in found]
    return ["cavity" if column == "number" else column for column in found]


def _merged(upper: tuple[str, ...], lower: tuple[str, ...]) -> list[str]:
    """Read headings over two rows: the lower cell counts, where it is blank the upper one."""
    width = max(len(upper), len(lower))
    above = (*upper, *[""] * (width - len(upper)))
    below = (*lower, *[""] * (width - len(lower)))
    cells = tuple(under or over for over, under in zip(above, below, strict=True))
    for over, under in zip(above, below, strict=True):
        if under and heading_column(over) and not heading_column(under):
            return []
    return _meanings(cells)


def _score(meanings: list[str]) -> int:
    known = {column for column in meanings if column}
    return len(known) if "cavity" in known and known & _FACTS else 0


def _columns(meanings: list[str], headings: tuple[str, ...]) -> tuple[Column, ...]:
    width = max(len(meanings), len(headings))
    padded = [*headings, *[""] * (width - len(headings))]
    known = [*meanings, *[""] * (width - len(meanings))]
    return tuple(
        Column(place, heading, holds)
        for place, (heading, holds) in enumerate(zip(padded, known, strict=True))
    )
