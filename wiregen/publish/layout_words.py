"""Lines of a layout file: written, and read word by word; each refusal names its place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from wiregen.edit.yaml_text import yaml_text
from wiregen.layout.engine.graph import Side
from wiregen.problems import Problem, Unreadable
from wiregen.read.yaml_tree import Map, Seq, text_of
from wiregen.source import Span

_NUMBER = re.compile(r"-?[0-9]{1,6}(?:\.[0-9]{1,9})?\Z")
_FAR_MM = 20_000.0
_MOST_COLUMNS = 10_000


@dataclass(slots=True)
class Words:
    """The words of one value.

    Attributes:
        text: the whole value.
        left: words not yet taken.
        span: where the value stands.
    """

    text: str
    left: list[str]
    span: Span

    @classmethod
    def of(cls, tree: Map, key: str, name: str) -> Words:
        """Return the words of one entry of a mapping."""
        span = Span(name, *tree.value_at.get(key, tree.at))
        value = tree.get(key)
        if value is None or isinstance(value, Map | Seq):
            raise _refused(f"'{key}' must be one line of words and numbers", span)
        text = text_of(value)
        return cls(text, text.split(), span)

    def word(self) -> str:
        """Take the next word."""
        if not self.left:
            raise _refused("words are missing at the end of this line", self.span)
        return self.left.pop(0)

    def one_of(self, known: Sequence[str]) -> str:
        """Take a word out of a list."""
        word = self.word()
        if word not in known:
            raise _refused(f"'{word[:40]}' should be one of: {', '.join(known)}", self.span)
        return word

    def side(self) -> Side:
        """Take an edge: `W` or `E`."""
        return "W" if self.one_of(("W", "E")) == "W" else "E"

    def number(self, least: float = -_FAR_MM, most: float = _FAR_MM) -> float:
        """Take a plain number between two others."""
        word = self.word()
        if not _NUMBER.match(word) or not least <= float(word) <= most:
            raise _refused(f"'{word[:40]}' is no number from {least:g} to {most:g}", self.span)
        return float(word)

    def numbers(self) -> tuple[float, ...]:
        """Take all numbers that follow."""
        found = []
        while self.left and _NUMBER.match(self.left[0]):
            found.append(self.number())
        return tuple(found)

    def whole(self, most: int = _MOST_COLUMNS, least: int = 0) -> int:
        """Take a whole number from `least` to `most`."""
        word = self.word()
        if not re.fullmatch(r"-?[0-9]{1,6}", word) or not least <= int(word) <= most:
            raise _refused(f"'{word[:40]}' is no whole number from {least} to {most}", self.span)
        return int(word)


def line(key: str, value: str, indent: str) -> str:
    """Return a line of the file."""
    return f"{indent}{yaml_text(key)}: {yaml_text(value)}"


def number_text(value: float) -> str:
    """Return a number with as many decimals as it needs, five at most.

    Example:
        >>> number_text(12.5), number_text(-0.000001)
        ('12.5', '0')
    """
    text = f"{value:.5f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text


def mapping(tree: Map, key: str, name: str) -> Map:
    """Return a mapping within a mapping of the file `name`; it may hold nothing.

    Raises:
        Unreadable: it is none.
    """
    value = tree.get(key)
    if isinstance(value, Map):
        return value
    if key in tree and value is None:
        return Map(tree.at)
    at = tree.value_at.get(key, tree.at)
    raise _refused(f"'{key}' must be a mapping", Span(name, *at))


def optional(tree: Map, key: str, name: str) -> Map:
    """Return a mapping as `mapping` does, an empty one where there is none."""
    return mapping(tree, key, name) if key in tree else Map(tree.at)


def _refused(message: str, span: Span) -> Unreadable:
    return Unreadable([Problem("FMT101", "error", message, span)])
