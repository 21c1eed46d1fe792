"""What can be changed in a design file, as values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from wiregen.edit.yaml_text import Value

Path: TypeAlias = tuple[str | int, ...]


class EditError(ValueError):
    """The change cannot be made; one line for the user, nothing was changed."""


@dataclass(frozen=True, slots=True)
class SetKey:
    """Give a key of a mapping a value; the key is added behind the others when it is missing.

    An object is added by setting its id in its section: `SetKey(("wires",), "W17", {...})`; a
    section that is missing is made.

    Attributes:
        path: keys (and places in lists) that lead to the mapping; empty for the whole file.
        key: of that mapping.
        value: text, number, flag, list or mapping.
    """

    path: Path
    key: str
    value: Value


@dataclass(frozen=True, slots=True)
class RemoveKey:
    """Take a key with its value out of a mapping; an object is a key of its section."""

    path: Path
    key: str


@dataclass(frozen=True, slots=True)
class AppendItem:
    """Add an item behind the others of a list, such as a waiver to `accepted`."""

    path: Path
    value: Value


@dataclass(frozen=True, slots=True)
class Rename:
    """Give an object another id, here and wherever the file refers to it."""

    old: str
    new: str


Edit: TypeAlias = SetKey | RemoveKey | AppendItem | Rename
