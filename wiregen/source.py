"""Where a thing stands in a file: spans that every record and every finding carries."""

from __future__ import annotations

from typing import NamedTuple


class Span(NamedTuple):
    """A place in a design file.

    Attributes:
        file: path as the user gave it (or as written in `include:`).
        line: 1-based line.
        column: 1-based column, counted in characters.
        length: characters to underline on that line; 0 when unknown.
    """

    file: str
    line: int = 1
    column: int = 1
    length: int = 0

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"
