"""Edits made on the text of a design file, and proof that they did what was asked and no more."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import groupby
from typing import Any

from wiregen.edit.edits import AppendItem, Edit, EditError, Path, RemoveKey, Rename, SetKey
from wiregen.edit.places import read_places
from wiregen.edit.plan import Replacement, plan
from wiregen.edit.rename import rename_spans
from wiregen.edit.yaml_text import Remarked, Value
from wiregen.read.yaml_tree import Map, Node, Seq, read_tree, text_of

_Plain = Any
"""Nested dicts and lists of texts."""


def edit_text(text: str, edits: Iterable[Edit], name: str = "design") -> str:
    """Return the text of a design file after some edits; every other character stays.

    Args:
        text: of the file, without a byte order mark, line ends as they are.
        edits: made in order. Those between two renames are made together; they may not be about
            the same key.
        name: of the file, for messages.

    Raises:
        EditError: an edit cannot be made.
        Unreadable: the text is no YAML a design may hold.

    Example:
        >>> edit_text("W1: {from: J1}  # short", [SetKey(("W1",), "to", "J2")])
        'W1: {from: J1, to: J2}  # short'
    """
    for renames, group in groupby(edits, key=lambda edit: isinstance(edit, Rename)):
        if renames:
            for rename in group:
                assert isinstance(rename, Rename)
                _tree(text, name)
                text = _replaced(text, rename_spans(read_places(text), rename))
                _tree(text, name)
        else:
            keys = [edit for edit in group if not isinstance(edit, Rename)]
            text = _changed(text, keys, name)
    return text


def _changed(text: str, edits: list[SetKey | RemoveKey | AppendItem], name: str) -> str:
    wanted = _plain(_tree(text, name))
    new_text = _replaced(text, plan(text, read_places(text), edits))
    for edit in edits:
        _make(wanted, edit)
    if _plain(_tree(new_text, name)) != wanted:
        raise EditError(f"{name}: this change would change more than was asked for")
    return new_text


def _replaced(text: str, spans: list[Replacement]) -> str:
    parts: list[str] = []
    done = 0
    for start, end, new in spans:
        parts += [text[done:start], new]
        done = end
    return "".join([*parts, text[done:]])


def _tree(text: str, name: str) -> Map:
    return read_tree(text.replace("\r\n", "\n"), name)


def _plain(node: Node) -> _Plain:
    if isinstance(node, Map):
        return {key: _plain(value) for key, value in node.items()}
    if isinstance(node, Seq):
        return [_plain(value) for value in node]
    return text_of(node)


def _plain_value(value: Value) -> _Plain:
    if isinstance(value, Remarked):
        return _plain_value(value.value)
    if isinstance(value, Mapping):
        return {key: _plain_value(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain_value(inner) for inner in value]
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def _make(tree: _Plain, edit: SetKey | RemoveKey | AppendItem) -> None:
    """Make an edit on the plain tree, which knows nothing of text."""
    place = _at(tree, edit.path, [] if isinstance(edit, AppendItem) else {})
    if isinstance(edit, AppendItem):
        place.append(_plain_value(edit.value))
    elif isinstance(edit, RemoveKey):
        del place[edit.key]
    else:
        place[edit.key] = _plain_value(edit.value)


def _at(tree: _Plain, path: Path, nothing: _Plain) -> _Plain:
    place = tree
    for number, step in enumerate(path):
        if isinstance(place, dict) and not place.get(step) and number == len(path) - 1:
            place[step] = nothing
        place = place[step]
    return place
