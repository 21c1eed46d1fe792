"""Values as the text of a design file: one line where it fits, quotes where they are needed."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias, Union

Value: TypeAlias = Union[
    str, int, float, bool, "Remarked", Sequence["Value"], Mapping[str, "Value"], None
]
LINE = 150
"""Widest line in characters; a longer mapping is written with one key a line."""
_PLAIN = re.compile(r"[^\W_](?:[\w ./()%+*=°²µΩ'&;<>^$?!-]|:(?=[^\W_]))*(?<! )", re.UNICODE)
_WORDS = frozenset({"null", "true", "false"})


@dataclass(frozen=True, slots=True)
class Remarked:
    """A value with a remark behind it in the file: `3: empty  # not in the list`."""

    value: Value
    remark: str


def yaml_text(value: Value) -> str:
    """Return a value in one line; read back, it is the same value.

    Args:
        value: text, number, flag, list or mapping; remarks are left out. Text stays text, however
            much it looks like something else.

    Example:
        >>> yaml_text({"from": "X1:3", "to": "EP1", "size": 0.75, "why": "no: spare, not used"})
        '{from: X1:3, to: EP1, size: 0.75, why: "no: spare, not used"}'
        >>> yaml_text(["true", True, "", "# 1", None])
        '["true", true, "", "# 1", ~]'
    """
    if isinstance(value, Remarked):
        return yaml_text(value.value)
    if value is None:
        return "~"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return value if _is_plain(value) else _quoted(value)
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, Mapping):
        inner = ", ".join(f"{yaml_text(key)}: {yaml_text(value[key])}" for key in value)
        return f"{{{inner}}}"
    return f"[{', '.join(map(yaml_text, value))}]"


def yaml_lines(key: str, value: Value, indent: int = 0, width: int = LINE) -> list[str]:
    """Return `key: value` as lines, a mapping or list that is too long with one entry a line.

    Args:
        key: written before the value.
        value: text, number, flag, list or mapping; remarks stand behind their line.
        indent: spaces before the key.
        width: widest line in characters.

    Example:
        >>> yaml_lines("X1", {"title": "Plug", "pins": {"1": "empty"}}, width=20)
        ['X1:', '  title: Plug', '  pins: {1: empty}']
    """
    return list(_lines(f"{' ' * indent}{yaml_text(key)}:", value, indent, width))


def _lines(start: str, value: Value, indent: int, width: int) -> Iterator[str]:
    remark = ""
    if isinstance(value, Remarked):
        remark = "  # " + _one_line(value.remark)
        value = value.value
    if not isinstance(value, Mapping | list | tuple) or not value:
        yield f"{start} {yaml_text(value)}{remark}"
        return
    if not _has_remark(value) and not _holds_objects(value):
        whole = f"{start} {yaml_text(value)}"
        if len(whole) <= width:
            yield whole + remark
            return
    yield start + remark
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _lines(f"{' ' * (indent + 2)}{yaml_text(key)}:", inner, indent + 2, width)
    else:
        for item in value:
            yield from _item(item, indent + 2)


def _item(item: Value, indent: int) -> Iterator[str]:
    remark = "  # " + _one_line(item.remark) if isinstance(item, Remarked) else ""
    yield f"{' ' * indent}- {yaml_text(item)}{remark}"


def _has_remark(value: Value) -> bool:
    if isinstance(value, str):
        return False
    if isinstance(value, Mapping):
        return any(_has_remark(inner) for inner in value.values())
    if isinstance(value, list | tuple):
        return any(map(_has_remark, value))
    return isinstance(value, Remarked)


def _holds_objects(value: Value) -> bool:
    """Tell whether a mapping has several mappings in it: each gets a line of its own."""
    if not isinstance(value, Mapping):
        return False
    inner = [one for one in value.values() if isinstance(one, Mapping)]
    return len(inner) > 1 or any(map(_holds_objects, inner))


@lru_cache(maxsize=10_000)
def _is_plain(text: str) -> bool:
    return text not in _WORDS and text.isprintable() and _PLAIN.fullmatch(text) is not None


def _quoted(text: str) -> str:
    """Double quotes; what does not show is written with its number."""
    quoted = json.dumps(text, ensure_ascii=False)
    return "".join(c if c.isprintable() else _escaped(c) for c in quoted)


def _escaped(character: str) -> str:
    code = ord(character)
    if code > 0xFFFF:
        return f"\\U{code:08X}"
    return f"\\u{code:04X}"


def _one_line(text: str) -> str:
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
