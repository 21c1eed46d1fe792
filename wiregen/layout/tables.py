"""Tables as they leave the program: the same rows for paper and for spreadsheets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ColumnKind = Literal["text", "name", "number", "colour", "wire", "blank"]


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes:
        title: in the head.
        kind: `name` is printed strong; `number` stands at the right and is a number in a
            workbook; `colour` shows a sample before its code; `wire` names a wire and leads to
            its drawing; `blank` is for filling in by hand.
        least_mm: width it has at least on paper.
    """

    title: str
    kind: ColumnKind = "text"
    least_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Table:
    """One table.

    Attributes:
        name: part of a file name, such as `wires`.
        title: heading.
        columns: from left to right.
        rows: cells as text, as many as there are columns; numbers with a decimal point.
        notes: sentences printed below the heading.
        nothing: what is said where there are no rows.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()
    nothing: str = "None in this design."


def columns(*titles: str) -> tuple[Column, ...]:
    """Return columns from short notes: `*` name, `#` number, `~` colour, `@` wire, `_` blank.

    Example:
        >>> columns("*Fuse", "#Rating A", "Feeds")[1]
        Column(title='Rating A', kind='number', least_mm=0.0)
    """
    kinds: dict[str, ColumnKind] = {"*": "name", "#": "number", "~": "colour", "@": "wire"}
    made = []
    for title in titles:
        if title.startswith("_"):
            made.append(Column(title[1:], "blank", 16.0))
        elif title[:1] in kinds:
            made.append(Column(title[1:], kinds[title[0]]))
        else:
            made.append(Column(title))
    return tuple(made)
