"""The sections of all files put together, each id once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple, TypeVar

from wiregen.model import sorted_map
from wiregen.problems import Note
from wiregen.read import codes
from wiregen.read.include import FileTree
from wiregen.read.values import Fields, Reading
from wiregen.read.yaml_tree import Map, Place, Seq, text_of
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


class _Written(NamedTuple):
    """An object as it stands in a file: what it is, in a word, and where."""

    word: str
    file: str
    place: Place


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
    _owners: dict[tuple[str, str], _Written] = field(default_factory=dict)

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
                if self.owns(name, section, file.name, place):
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
                if self.owns(name, section, file.name, node.key_at[name]):
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

    def owns(self, name: str, section: str, file: str, place: Place) -> bool:
        """Tell whether the object written there is the first one with its id."""
        first = self._owners[section if section in NAMED else "", name]
        return first.place == place and first.file == file


def sections_of(files: Sequence[FileTree], reading: Reading) -> Sections:
    """Give every id to the first object that has it; each further one is a finding."""
    sections = Sections(files, reading)
    for space, name, here in _written(files):
        first = sections._owners.setdefault((space, name), here)
        if first is here:
            continue
        message = f"'{name}' is used twice: for a {here.word} here, for a {first.word} before"
        if first.word == here.word:
            message = f"{here.word} '{name}' is there twice"
        note = Note(f"first {first.word} '{name}'", Span(first.file, *first.place))
        span = Span(here.file, *here.place)
        reading.findings.add(
            codes.DUPLICATE_ID, "error", message, span, notes=(note,), subjects=(name,)
        )
    return sections


def _written(files: Sequence[FileTree]) -> Iterator[tuple[str, str, _Written]]:
    """Yield (name space, id, the object there) in the order of the files."""
    for file in files:
        for section, node in file.tree.items():
            if section not in WORDS or not isinstance(node, Map):
                continue
            space = section if section in NAMED else ""
            for name, value in node.items():
                yield space, name, _Written(WORDS[section], file.name, node.key_at[name])
                inside = value.get("inside") if section == "devices" else None
                if not isinstance(inside, Map):
                    continue
                for part in inside:
                    word = f"part of {name}"
                    yield "", part, _Written(word, file.name, inside.key_at[part])
