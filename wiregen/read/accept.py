"""The schema as one quick yes or no, so that a sound file never waits for the full validator.

jsonschema explains what is wrong with a file; it needs seconds for a large one. `acceptor` turns
the same schema into plain functions that only tell whether anything is wrong at all. It knows the
keywords the schema uses and refuses to be built from others.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from wiregen.read.yaml_tree import Map, Node, Seq, Written

Check = Callable[[Node], bool]
_TYPES: Mapping[str, tuple[type, ...]] = {
    "string": (str,),
    "number": (int, Written),
    "integer": (int,),
    "boolean": (bool,),
    "null": (type(None),),
    "object": (Map,),
    "array": (Seq,),
}
_SAID = {"$schema", "$comment", "title", "description", "examples", "x-say"}
_OBJECT = {"properties", "additionalProperties", "propertyNames", "required"}
_LIST = {"items", "minItems", "maxItems"}
_SCALAR = {"type", "pattern", "enum", "const", "minimum"}


class UnknownKeywordError(ValueError):
    """The schema uses a keyword that has no quick form."""


def acceptor(schema: Mapping[str, Any]) -> Check:
    """Return a function that tells whether a tree is allowed.

    Args:
        schema: without references.

    Raises:
        UnknownKeywordError: the schema uses a keyword that is not known here.
    """
    unknown = schema.keys() - _SAID - _OBJECT - _LIST - _SCALAR
    if unknown:
        raise UnknownKeywordError(", ".join(sorted(unknown)))
    if not schema.keys() - _SAID:
        return _anything
    wanted = schema.get("type", list(_TYPES))
    names = [wanted] if isinstance(wanted, str) else wanted
    forms: dict[type, Check] = {}
    for name in names:
        for kind in _TYPES[name]:
            forms[kind] = _form(kind, schema)
    if "integer" in names and "number" not in names:
        forms[Written] = _whole(forms[int])
    find = forms.get

    def check(node: Node) -> bool:
        form = find(type(node))
        return form is not None and form(node)

    return check


def _form(kind: type, schema: Mapping[str, Any]) -> Check:
    """Return the check of nodes of one type."""
    if kind is Map:
        form = _mapping(schema)
    elif kind is Seq:
        form = _list(schema)
    elif kind is str and "pattern" in schema:
        search = re.compile(schema["pattern"]).search

        def form(node: Node) -> bool:
            return search(node) is not None

    elif kind in (int, Written) and "minimum" in schema:
        least = schema["minimum"]

        def form(node: Node) -> bool:
            return bool(node >= least)

    else:
        form = _anything
    return _one_of(form, schema)


def _one_of(form: Check, schema: Mapping[str, Any]) -> Check:
    """Return the check narrowed to the words of an enum or const; true is not 1."""
    words = schema.get("enum", [schema["const"]] if "const" in schema else None)
    if words is None:
        return form
    legal = {(isinstance(word, bool), word) for word in words}

    def check(node: Node) -> bool:
        if isinstance(node, Map | Seq):
            return False
        return (isinstance(node, bool), node) in legal and form(node)

    return check


def _anything(node: Node) -> bool:
    del node
    return True


def _whole(form: Check) -> Check:
    """Return the check of a decimal number that may stand for a whole one, such as 2.0."""

    def check(node: Node) -> bool:
        return node.is_integer() and form(node)

    return check


def _mapping(schema: Mapping[str, Any]) -> Check:
    known = {key: acceptor(value) for key, value in schema.get("properties", {}).items()}
    extra = schema.get("additionalProperties", {})
    other = None if extra is False else acceptor(extra)
    needed = schema.get("required", ())
    name = acceptor(schema["propertyNames"]) if "propertyNames" in schema else None
    find = known.get

    def check(node: Node) -> bool:
        for key, value in node.items():
            allowed = find(key, other)
            if allowed is None or not allowed(value):
                return False
            if name is not None and not name(key):
                return False
        return all(key in node for key in needed)

    return check


def _list(schema: Mapping[str, Any]) -> Check:
    item = acceptor(schema.get("items", {}))
    least, most = schema.get("minItems", 0), schema.get("maxItems")

    def check(node: Node) -> bool:
        if len(node) < least or (most is not None and len(node) > most):
            return False
        return all(map(item, node))

    return check
