"""The keys of the design file, out of its schema, for `wiregen list keys`."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from typing import Any

from wiregen.problems import nearest_or_all
from wiregen.read.schema import plain_schema

_WIDTH = 100


class NoSection(ValueError):
    """There is no section of this name."""


def key_lines(section: str) -> Iterator[str]:
    """Yield the sections of the design file, or the keys of one of them.

    Args:
        section: such as `fuses`, or `plugs.pins` for what is inside; empty for all sections.

    Raises:
        NoSection: there is none of this name.

    Example:
        >>> next(line for line in key_lines("looms") if line.startswith("title"))
        'title       Name in words. Write a text.'
    """
    node = plain_schema()
    for name in section.split(".") if section else ():
        keys = _keys(node)
        if name not in keys:
            raise NoSection(f"no key '{name}'{nearest_or_all(name, keys)}")
        node = keys[name]
    if section:
        yield f"{section}: {node.get('description', '')} {_shape(node)}".rstrip()
    keys = _keys(node)
    width = max(map(len, keys), default=0)
    for name, one in keys.items():
        yield from _wrapped(name.ljust(width), one)


def _keys(node: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return the keys of a mapping, of each object in it, or of each item of a list."""
    own: Mapping[str, Any] = node.get("properties", {})
    for inner in ("additionalProperties", "items"):
        if not own and isinstance(node.get(inner), dict):
            own = _keys(node[inner])
    return own


def _wrapped(head: str, node: Mapping[str, Any]) -> list[str]:
    said = " ".join(part for part in (node.get("description", ""), _shape(node)) if part)
    gap = " " * (len(head) + 2)
    return textwrap.wrap(said, _WIDTH, initial_indent=f"{head}  ", subsequent_indent=gap) or [head]


def _shape(node: Mapping[str, Any]) -> str:
    """Return how a value is written: its words, or what the messages say of it."""
    if "enum" in node:
        return f"One of: {', '.join(map(str, node['enum']))}."
    say = str(node.get("x-say", ""))
    return f"{say[:1].upper()}{say[1:]}." if say else ""
