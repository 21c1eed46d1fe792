"""What the schema complains about, in one plain line each with its place in the file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from wiregen.problems import Problem, did_you_mean
from wiregen.read import codes
from wiregen.read.schema import quick_check, validator
from wiregen.read.yaml_tree import Map, Node, Place, Seq, text_of
from wiregen.source import Span

MAX_PROBLEMS = 200
SYNONYMS = {
    "area": "size",
    "awg": "size",
    "cause": "why",
    "color": "colour",
    "color_key": "colour_key",
    "color_keys": "colour_keys",
    "colors": "colour",
    "colours": "colour",
    "comment": "note",
    "components": "devices",
    "connectors": "plugs",
    "connector": "plugs",
    "csa": "size",
    "current": "amps",
    "desc": "title",
    "description": "title",
    "end": "to",
    "function": "carries",
    "gauge": "size",
    "gender": "contacts",
    "ground": "earth",
    "grounds": "earths",
    "harness": "loom",
    "harnesses": "looms",
    "location": "where",
    "mate": "mates",
    "mm2": "size",
    "name": "title",
    "net": "circuit",
    "nets": "circuits",
    "notes": "note",
    "ohm": "ohms",
    "power": "watts",
    "rated": "rating",
    "reason": "why",
    "remark": "note",
    "safety": "class",
    "shield": "screen",
    "shielded": "screened",
    "signal": "carries",
    "start": "from",
    "twist": "twisted",
    "type": "kind",
    "voltage": "volts",
}
_WORD_SYNONYMS = {
    "ground": "earth",
    "counterclockwise": "anticlockwise",
    "female": "sockets",
    "male": "pins",
    "shield": "screen",
    "bulb": "lamp",
    "button": "switch",
    "buzzer": "horn",
    "controller": "unit",
    "dynamo": "alternator",
    "ecu": "unit",
    "fan": "motor",
    "generator": "alternator",
    "glow plug": "heater",
    "injector": "solenoid",
    "light": "lamp",
    "module": "unit",
    "plc": "unit",
    "power supply": "battery",
    "pump": "motor",
    "starter": "motor",
    "valve": "solenoid",
}
_STANDS_ELSEWHERE = {
    ("devices", "pins"): "pins stand at a plug of the device: plugs: {X1: {of: A1, pins: ...}}",
    ("devices", "plug"): "the plug names its device: plugs: {X1: {of: A1, ...}}",
    ("devices", "fuse"): "a wire leads to the fuse: {from: F1:out, to: A1:1}",
    ("fuses", "box"): "the box names its fuses: boxes: {FB1: {bars: {30: [F1, F2]}}}",
    ("fuses", "from"): "a wire leads to the fuse: {from: G1:plus, to: F1:in}",
    ("fuses", "to"): "a wire leads from the fuse: {from: F1:out, to: P1:1}",
    ("wires", "fuse"): "a wire ends at the fuse, and the next begins: F1:in, F1:out",
}
"""(section, key) -> where a fact is written that a stranger looks for in another section."""


def schema_problems(tree: Map, file: str) -> list[Problem]:
    """Return everything about a tree that the schema does not allow, in order of the file."""
    if quick_check()(tree):
        return []
    found: dict[tuple[Span, str], Problem] = {}
    for error in validator().iter_errors(tree):
        for problem in _problems(error, tree, file):
            found.setdefault((problem.span, problem.message), problem)
        if len(found) >= MAX_PROBLEMS:
            break
    return sorted(found.values(), key=lambda problem: (problem.span, problem.message))


def dotted(path: Iterable[str | int]) -> str:
    """Return a path as `wires.W3.from`; list items count from 1.

    Example:
        >>> dotted(["route", 0, "from"])
        'route[1].from'
    """
    steps = [f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in path]
    return "".join(steps).lstrip(".")


def unknown_key(key: str, known: Iterable[str], where: str) -> str:
    """Return the message for a key that the format does not know.

    Example:
        >>> unknown_key("colr", ["colour", "size"], "wires.W3")
        "unknown key 'colr' in wires.W3; did you mean 'colour'?"
        >>> unknown_key("gauge", ["colour", "size"], "wires.W3")
        "unknown key 'gauge' in wires.W3; did you mean 'size'?"
    """
    legal = list(known)
    said = f"unknown key '{key[:60]}' in {where or 'the file'}"
    elsewhere = _STANDS_ELSEWHERE.get((where.partition(".")[0], key), "")
    if elsewhere:
        return f"{said}; {elsewhere}"
    before, colon, after = key.partition(":")
    if colon and before in legal:
        return f"{said}; write a space after the colon: '{before}: {after[:40]}'"
    ours = SYNONYMS.get(key.lower().removesuffix("_mm2").removesuffix("_mm"), "")
    near = f"; did you mean '{ours}'?" if ours in legal else ""
    if not ours:
        near = did_you_mean(key, legal)
    return said + (near or f"; known: {', '.join(legal)}")


def _split_text(node: Map, key: str, known: list[str]) -> str:
    """Return the message for a value that a comma has cut in two: `{why: spare, not used}`."""
    keys = list(node)
    before = keys[keys.index(key) - 1] if keys[0] != key else ""
    if node[key] is not None or before not in known or ":" in key:
        return ""
    value = node[before]
    if node.value_at[before][0] != node.key_at[key][0]:
        return ""
    if isinstance(value, int) and key[:1].isdigit():
        return f"the comma ends the value of '{before}'; write {value}.{key[:20]}"
    if not isinstance(value, str):
        return ""
    whole = f"{value}, {key}"[:80]
    return f"the comma ends the text of '{before}'; quote it: {before}: \"{whole}\""


def found(node: Node) -> str:
    """Return a value in words for a message.

    Example:
        >>> found(None), found("thick"), found([1, 2])
        ('nothing', "'thick'", 'a list')
    """
    if node is None:
        return "nothing"
    if isinstance(node, Map | dict):
        return "a group of keys"
    if isinstance(node, Seq | list):
        return "a list"
    text = text_of(node)
    if isinstance(node, bool):
        return f"{text} (put it in quotes if it is a text)"
    return f"'{text[:57]}...'" if len(text) > 60 else f"'{text}'"


def _problems(error: Any, tree: Map, file: str) -> Iterator[Problem]:
    path = list(error.absolute_path)
    where = dotted(path)
    node = error.instance
    if error.validator == "additionalProperties":
        known = list(error.schema.get("properties", ()))
        for key in node:
            if key not in known:
                said = _split_text(node, key, known) or unknown_key(key, known, where)
                yield _at(codes.UNKNOWN_KEY, said, file, node.key_at[key])
    elif error.validator == "required":
        at = _key_place(tree, path)
        for key in error.validator_value:
            if key not in node:
                say = error.schema.get("x-say", "")
                said = f"{where or 'the file'}: '{key}' is missing; {say}"
                yield _at(codes.MISSING_KEY, said, file, at)
    elif "propertyNames" in error.absolute_schema_path:
        owner = _walk(tree, path)
        said = f"{where + '.' if where else ''}{node[:60]}: {error.schema['x-say']}"
        yield _at(codes.NAME, said, file, owner.key_at[node])
    else:
        code, said = _value(error, node)
        yield _at(code, f"{where or 'the file'}: {said}", file, _value_place(tree, path))


def _value(error: Any, node: Node) -> tuple[str, str]:
    rule = error.schema
    if error.validator == "enum":
        word = text_of(node)
        if isinstance(node, Map | Seq) or node is None:
            return codes.WRONG_SORT, f"found {found(node)}; legal: {', '.join(rule['enum'])}"
        legal = rule["enum"]
        ours = _WORD_SYNONYMS.get(word.lower(), "")
        hint = f"; did you mean '{ours}'?" if ours in legal else did_you_mean(word, legal)
        said = f"{found(node)} is not a legal word here{hint or ';'} legal: {', '.join(legal)}"
        return codes.WORD, said
    code = {
        "type": codes.WRONG_SORT,
        "pattern": codes.NAME,
        "const": codes.VERSION,
        "minItems": codes.COUNT,
        "maxItems": codes.COUNT,
        "minimum": codes.QUANTITY,
    }[error.validator]
    if error.validator in ("minItems", "maxItems"):
        items = "1 item" if len(node) == 1 else f"{len(node)} items"
        return code, f"found {items}; {rule['x-say']}"
    if rule.get("title") == "Pin" and isinstance(node, str):
        code = codes.WORD
    return code, f"found {found(node)}; {rule['x-say']}"


def _at(code: str, message: str, file: str, at: Place) -> Problem:
    return Problem(code, "error", message, Span(file, *at))


def _walk(tree: Node, path: list[Any]) -> Any:
    for step in path:
        tree = tree[step]
    return tree


def _value_place(tree: Map, path: list[Any]) -> Place:
    if not path:
        return tree.at
    place: Place = _walk(tree, path[:-1]).value_at[path[-1]]
    return place


def _key_place(tree: Map, path: list[Any]) -> Place:
    """Place of the key that names an object; of the object itself inside a list."""
    owner = _walk(tree, path[:-1]) if path else None
    if isinstance(owner, Map):
        return owner.key_at[path[-1]]
    return _value_place(tree, path)
