"""The sections of all files put together, each id once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from wiregen.model import sorted_map
from wiregen.problems import Note
from wiregen.read import codes
from wiregen.read.include import FileTree
from wiregen.read.values import Fields, Reading
from wiregen.read.yaml_tree import Map, Seq, text_of
from wiregen.source import Span

T = TypeVar("T")
WORDS = {
    "looms": "loom",
    "contacts": "contact record",
    "plugs": "plug",
    "splices": "splice",
    "fuses": "fuse",
    "boxes": "fuse box",
    "earths": "earth",
    "devices": "device",
    "wires": "wire",
    "groups": "group",
    "buses": "bus",
    "signals": "signal",
    "circuits": "circuit",
    "states": "state",
    "colour_keys": "colour key",
    "variants": "variant",
}
NAMED = ("circuits", "states", "colour_keys", "variants")
"""Sections whose names are free words and only have to differ among themselves."""


@dataclass(slots=True)
class Sections:
    """Access to the objects of every file; an id met again is a finding and is left out.

    Attributes:
        files: main file first.
        reading: what the load gathers.
        file_keys: file name -> how colours are written in it.
    """

    files: Sequence[FileTree]
    reading: Reading
    file_keys: Mapping[str, str] = field(default_factory=dict)
    _taken: dict[tuple[str, str], tuple[str, Span]] = field(default_factory=dict)

    def records(self, section: str, make: Callable[[str, Fields], T]) -> dict[str, T]:
        """Return the records of a section in natural order of their ids."""
        found = {name: make(name, fields) for name, fields in self.entries(section).items()}
        return sorted_map(found)

    def entries(self, section: str) -> dict[str, Fields]:
        """Return the mappings of a section by id, in the order of the files."""
        found: dict[str, Fields] = {}
        for file in self.files:
            node = file.tree.get(section)
            if not isinstance(node, Map):
                continue
            for name, value in node.items():
                place = node.key_at[name]
                if self.claim(name, section, Span(file.name, *place)):
                    path = f"{section}.{name}"
                    key = self.file_keys.get(file.name, "")
                    found[name] = Fields(self.reading, value, file.name, path, place, key)
        return found

    def texts(self, section: str) -> dict[str, str]:
        """Return a section whose values are texts."""
        found = {}
        for file in self.files:
            node = file.tree.get(section)
            if not isinstance(node, Map):
                continue
            for name, value in node.items():
                if self.claim(name, section, Span(file.name, *node.key_at[name])):
                    found[name] = " ".join(text_of(value).split())
        return sorted_map(found)

    def lists(self, section: str) -> list[Fields]:
        """Return the mappings of a section that is a list, in the order of the files."""
        found = []
        for file in self.files:
            node = file.tree.get(section)
            for number, value in enumerate(node if isinstance(node, Seq) else (), 1):
                path = f"{section}[{number}]"
                found.append(Fields(self.reading, value, file.name, path, value.at))
        return found

    def claim(self, name: str, section: str, span: Span) -> bool:
        """Take an id; False with a finding when another object has it already."""
        word = WORDS[section]
        space = section if section in NAMED else ""
        first = self._taken.setdefault((space, name), (word, span))
        if first == (word, span):
            return True
        message = f"'{name}' is used twice: for a {word} here, for a {first[0]} before"
        if first[0] == word:
            message = f"{word} '{name}' is there twice"
        self.reading.findings.add(
            codes.DUPLICATE_ID,
            "error",
            message,
            span,
            notes=(Note(f"first {first[0]} '{name}'", first[1]),),
            subjects=(name,),
        )
        return False
