"""The JSON Schema of the design file: where it is, and a validator that is built once."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from wiregen.read.accept import Check, acceptor

SCHEMA_NAME = "design-1.schema.json"


@cache
def schema() -> Mapping[str, Any]:
    """Return the schema as written.

    Example:
        >>> schema()["title"]
        'wiregen design, format 1'
    """
    result: dict[str, Any] = json.loads(schema_text())
    return result


def schema_text() -> str:
    """Return the schema file; inside the installed package, or beside it in the repository."""
    packaged = resources.files("wiregen") / "schemas" / SCHEMA_NAME
    if packaged.is_file():
        return packaged.read_text("utf-8")
    beside = Path(__file__).resolve().parents[2] / "schemas" / SCHEMA_NAME
    return beside.read_text("utf-8")


def expanded(node: Any, definitions: Mapping[str, Any]) -> Any:
    """Return a part of the schema with each `$ref` replaced by what it points at.

    Keys beside a `$ref` win over those it brings. Validation is several times faster without
    references; there are no recursive ones.
    """
    if isinstance(node, list):
        return [expanded(item, definitions) for item in node]
    if not isinstance(node, dict):
        return node
    own = {key: expanded(value, definitions) for key, value in node.items() if key != "$ref"}
    if "$ref" not in node:
        return own
    target: Any = {"$defs": definitions}
    for step in node["$ref"].removeprefix("#/").split("/"):
        target = target[step]
    return {**expanded(target, definitions), **own}


@cache
def plain_schema() -> Mapping[str, Any]:
    """Return the schema without references."""
    parts = {key: value for key, value in schema().items() if key != "$defs"}
    result: Mapping[str, Any] = expanded(parts, schema()["$defs"])
    return result


@cache
def validator() -> Any:
    """Return the jsonschema validator of the design file."""
    from jsonschema import Draft202012Validator

    return Draft202012Validator(plain_schema())


@cache
def quick_check() -> Check:
    """Return the schema as one yes or no."""
    return acceptor(plain_schema())
