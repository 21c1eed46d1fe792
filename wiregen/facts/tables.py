"""Reading the reference tables of `wiregen/facts/data`, each with its source beside it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from pathlib import Path

_HEADER_KEYS = ("title", "source", "edition", "clause", "units", "valid", "status")


class Table(NamedTuple):
    """One reference table.

    Attributes:
        name: file name without `.csv`.
        title: in words.
        source: standard or publisher, and where it was read.
        edition: of the standard; `not stated` when the copy did not say.
        clause: or table number.
        units: of the columns.
        valid: range and conditions it holds for.
        status: `confirmed` or `from memory`, with exceptions.
        rows: column name -> text, in the order of the file.
    """

    name: str
    title: str
    source: str
    edition: str
    clause: str
    units: str
    valid: str
    status: str
    rows: tuple[Mapping[str, str], ...]


@cache
def table(name: str) -> Table:
    """Return a reference table by its file name without `.csv`; read once."""
    import csv

    text = (_folder() / f"{name}.csv").read_text(encoding="utf-8")
    lines = text.splitlines()
    header = dict(line[1:].split(":", 1) for line in lines if line.startswith("#"))
    about = {key.strip(): value.strip() for key, value in header.items()}
    body = csv.DictReader(line for line in lines if line and not line.startswith("#"))
    records = tuple(MappingProxyType({key: row[key] or "" for key in row}) for row in body)
    return Table(name=name, **{key: about[key] for key in _HEADER_KEYS}, rows=records)


def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Return the rows of a reference table."""
    return table(name).rows


def list_tables() -> tuple[str, ...]:
    """Return the names of all reference tables, sorted.

    Example:
        >>> "colours" in list_tables()
        True
    """
    return tuple(sorted(entry.stem for entry in _folder().glob("*.csv")))


def _folder() -> Path:
    """Return the folder of the tables; importlib.resources would cost more than all reading."""
    from pathlib import Path

    return Path(__file__).parent / "data"
