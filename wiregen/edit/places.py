"""A design file as a tree that knows where every key and value begins and ends in the text."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

import yaml
from yaml.events import (
    DocumentEndEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

Kind = Literal["scalar", "mapping", "list"]


@dataclass(slots=True)
class Place:
    """One value.

    Attributes:
        kind: of the value.
        start: first character, counted from the start of the text.
        end: behind the last character; of a block, behind the last value in it.
        flow: a mapping or list in brackets.
        text: of a scalar.
        entries: of a mapping.
        items: of a list.
    """

    kind: Kind
    start: int
    end: int
    flow: bool = False
    text: str = ""
    entries: dict[str, Entry] = field(default_factory=dict)
    items: list[Place] = field(default_factory=list)


@dataclass(slots=True)
class Entry:
    """One key of a mapping with its value; start and end are those of the key."""

    key: str
    start: int
    end: int
    value: Place


def read_places(text: str) -> Place:
    """Return the places of a document that the reader has found to be plain.

    Args:
        text: the document as it stands in the file, with its own line ends.
    """
    parser: Any = (yaml.CLoader if hasattr(yaml, "CLoader") else yaml.Loader)(text)
    try:
        while True:
            event = parser.get_event()
            if isinstance(event, MappingStartEvent | SequenceStartEvent | ScalarEvent):
                return _place(parser, event, text)
            if event is None or isinstance(event, DocumentEndEvent):
                return Place("mapping", len(text), len(text))
    finally:
        parser.dispose()


def _place(parser: Any, event: Any, text: str) -> Place:
    start, end = _span(event)
    if isinstance(event, ScalarEvent):
        if event.style in ("|", ">"):
            end = start + len(text[start:end].rstrip())
        return Place("scalar", start, end, text=event.value)
    flow = bool(event.flow_style)
    if isinstance(event, MappingStartEvent):
        return _mapping(parser, Place("mapping", start, start, flow), text)
    return _list(parser, Place("list", start, start, flow), text)


def _mapping(parser: Any, place: Place, text: str) -> Place:
    while True:
        event = parser.get_event()
        if isinstance(event, MappingEndEvent):
            if place.flow:
                place.end = _span(event)[1]
            return place
        start, end = _span(event)
        value = _place(parser, parser.get_event(), text)
        place.entries[event.value] = Entry(event.value, start, end, value)
        place.end = max(value.end, end)


def _list(parser: Any, place: Place, text: str) -> Place:
    while True:
        event = parser.get_event()
        if isinstance(event, SequenceEndEvent):
            if place.flow:
                place.end = _span(event)[1]
            return place
        item = _place(parser, event, text)
        place.items.append(item)
        place.end = item.end


def _span(event: Any) -> tuple[int, int]:
    return event.start_mark.index, event.end_mark.index
