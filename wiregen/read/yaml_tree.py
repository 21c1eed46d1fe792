"""YAML text to a tree that knows line, column and length of every key and value.

Built on libyaml's event stream; the pure Python parser serves where libyaml is missing. Only the
plain words `~`, `null`, `true`, `false` and plain decimal numbers get a type. All else stays the
text that was written: `NO`, `1:2`, `010`, `1e3`, dates. Keys are always text.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from wiregen.problems import Problem, Unreadable
from wiregen.read import codes
from wiregen.read.yaml_words import yaml_error
from wiregen.source import Span

MAX_DEPTH = 40
MAX_PROBLEMS = 100
Place = tuple[int, int, int]
Node = Any
"""A `Map`, a `Seq`, a text, `int`, `Written`, `bool` or None."""

_WHOLE = re.compile(r"(?:0|-?[1-9][0-9]{0,14})\Z")
_DECIMAL = re.compile(r"-?(?:0|[1-9][0-9]{0,14})\.[0-9]{1,15}\Z")
_WORDS: dict[str, bool | None] = {"": None, "~": None, "null": None, "true": True, "false": False}


class Written(float):
    """A decimal number that remembers how it was written: `1.0`, `2.50`."""

    __slots__ = ("text",)
    text: str


class Map(dict[str, Node]):
    """A mapping with places: `at` of itself, `key_at` and `value_at` of each entry."""

    __slots__ = ("at", "key_at", "value_at")

    def __init__(self, at: Place) -> None:
        super().__init__()
        self.at = at
        self.key_at: dict[str, Place] = {}
        self.value_at: dict[str, Place] = {}


class Seq(list[Node]):
    """A list with places: `at` of itself and `value_at` of each item."""

    __slots__ = ("at", "value_at")

    def __init__(self, at: Place) -> None:
        super().__init__()
        self.at = at
        self.value_at: list[Place] = []


def text_of(node: Node) -> str:
    """Return a scalar as it was written; an empty text for nothing.

    Example:
        >>> text_of(read_tree("size: 1.50", "a.yaml")["size"])
        '1.50'
    """
    if isinstance(node, str):
        return node
    if node is None:
        return ""
    if isinstance(node, bool):
        return "true" if node else "false"
    return node.text if isinstance(node, Written) else str(node)


def read_tree(text: str, file: str, *, pure: bool = False) -> Map:
    """Read one YAML document whose top is a mapping.

    Args:
        text: the document, line ends already `\\n`.
        file: name for the spans.
        pure: use the parser written in Python even where libyaml is there.

    Raises:
        Unreadable: FMT101, FMT103, FMT104, FMT105 or FMT106.
    """
    fast = not pure and hasattr(yaml, "CLoader")
    reader = _Reader(file, (yaml.CLoader if fast else yaml.Loader)(text))
    try:
        root = reader.document()
    except yaml.MarkedYAMLError as error:
        reader.problems.append(yaml_error(error, text, file))
    finally:
        reader.parser.dispose()
    if reader.problems:
        raise Unreadable(sorted(reader.problems, key=lambda problem: problem.span))
    if root is None:
        said = "the file is empty; begin with 'format: 1'"
        raise Unreadable([_problem(codes.FILE, said, file, (1, 1, 0))])
    if not isinstance(root, Map):
        said = "a design file is made of 'key: value' lines and starts with 'format: 1'"
        raise Unreadable([_problem(codes.YAML, said, file, (1, 1, 0))])
    return root


def _problem(code: str, message: str, file: str, at: Place) -> Problem:
    return Problem(code, "error", message, Span(file, *at))


def _place(event: Any) -> Place:
    start, end = event.start_mark, event.end_mark
    length = end.column - start.column if end.line == start.line else 0
    return (start.line + 1, start.column + 1, length)


def _to(start: Place, end_event: Any) -> Place:
    """Stretch the place of a list or mapping to its closing bracket on the same line."""
    end = end_event.end_mark
    if end.line + 1 == start[0]:
        return (start[0], start[1], end.column + 1 - start[1])
    return (start[0], start[1], 0)


def _scalar(event: ScalarEvent) -> Node:
    value: str = event.value
    if event.style:
        return value
    if value in _WORDS:
        return _WORDS[value]
    if value[0] in "-0123456789":
        if _WHOLE.match(value):
            return int(value)
        if _DECIMAL.match(value):
            number = Written(value)
            number.text = value
            return number
    return value


@dataclass(slots=True)
class _Reader:
    """One pass over the events of one file; what is not used in a design is gathered."""

    file: str
    parser: Any
    problems: list[Problem] = field(default_factory=list)

    def document(self) -> Node:
        root: Node = None
        documents = 0
        while True:
            event = self.parser.get_event()
            if event is None or type(event) is StreamEndEvent:
                return root
            if type(event) is DocumentStartEvent:
                documents += 1
                if documents > 1:
                    said = "a second document starts here ('---'); one file holds one design"
                    self.refuse(codes.FOREIGN, said, _place(event))
                    return root
            elif isinstance(
                event, ScalarEvent | AliasEvent | MappingStartEvent | SequenceStartEvent
            ):
                root = self.value(event, _place(event), 0)

    def refuse(self, code: str, message: str, at: Place) -> None:
        self.problems.append(_problem(code, message, self.file, at))
        if len(self.problems) >= MAX_PROBLEMS:
            raise Unreadable(self.problems)

    def value(self, event: Any, at: Place, depth: int) -> Node:
        kind = type(event)
        if kind is AliasEvent:
            said = f"'*{event.anchor}' points at another place of the file (an alias)"
            self.refuse(codes.FOREIGN, f"{said}; write the value out, or quote the text", at)
            return None
        if event.anchor is not None or event.tag is not None:
            self.foreign_marks(event, at)
        if kind is ScalarEvent:
            return _scalar(event)
        if depth >= MAX_DEPTH:
            self.refuse(codes.DEPTH, f"more than {MAX_DEPTH} levels inside one another", at)
            raise Unreadable(self.problems)
        return (self.mapping if kind is MappingStartEvent else self.sequence)(at, depth + 1)

    def foreign_marks(self, event: Any, at: Place) -> None:
        if event.anchor is not None:
            said = f"'&{event.anchor}' names a place of the file (an anchor)"
            self.refuse(codes.FOREIGN, f"{said}; leave it out, or quote the text", at)
        if event.tag is not None:
            said = f"'{event.tag}' is a YAML tag; leave it out, or quote the text"
            self.refuse(codes.FOREIGN, said, at)

    def mapping(self, at: Place, depth: int) -> Map:
        result = Map(at)
        get_event = self.parser.get_event
        key_at, value_at = result.key_at, result.value_at
        while True:
            event = get_event()
            if type(event) is MappingEndEvent:
                result.at = _to(at, event)
                return result
            place = _place(event)
            key = self.key(event, place)
            first = key_at.get(key)
            event = get_event()
            where = _place(event)
            value = self.value(event, where, depth)
            if first is not None:
                said = f"duplicate key '{key}', first on line {first[0]}; keep one"
                self.refuse(codes.DUPLICATE, said, place)
                continue
            key_at[key] = place
            value_at[key] = where if type(event) is ScalarEvent or value is None else value.at
            result[key] = value

    def key(self, event: Any, at: Place) -> str:
        if type(event) is not ScalarEvent:
            self.refuse(codes.FOREIGN, "a key must be one plain text", at)
            raise Unreadable(self.problems)
        if event.anchor is not None or event.tag is not None:
            self.foreign_marks(event, at)
        key: str = event.value
        if not event.style and key == "<<":
            said = "'<<' (merge) is not used in a design file; write the keys out"
            self.refuse(codes.FOREIGN, said, at)
        elif not key.strip():
            self.refuse(codes.YAML, "the key before ':' is missing", at)
        elif "\n" in key:
            self.refuse(codes.FOREIGN, "a key must stand on one line", at)
        return key

    def sequence(self, at: Place, depth: int) -> Seq:
        result = Seq(at)
        get_event = self.parser.get_event
        while True:
            event = get_event()
            if type(event) is SequenceEndEvent:
                result.at = _to(at, event)
                return result
            where = _place(event)
            value = self.value(event, where, depth)
            result.append(value)
            result.value_at.append(value.at if isinstance(value, Map | Seq) else where)
