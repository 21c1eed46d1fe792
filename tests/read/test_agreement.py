"""Schema, reader, vocabulary and example agree: every key is legal, read, used and explained."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from wiregen.check import check
from wiregen.model import Origin, vocabulary
from wiregen.problems import Unreadable
from wiregen.read import load
from wiregen.read.build import build
from wiregen.read.include import FileTree, read_files
from wiregen.read.schema import plain_schema, schema
from wiregen.read.yaml_tree import Map
from wiregen.source import Span

EXAMPLE = Path(__file__).parents[2] / "designs" / "vocabulary.yaml"
Steps = tuple[str, ...]


def schema_keys(node: dict[str, Any], path: Steps = ()) -> Iterator[tuple[Steps, dict[str, Any]]]:
    """Yield every key the schema names, `*` for free names, `[]` for list items."""
    for key, value in node.get("properties", {}).items():
        yield (*path, key), value
        yield from schema_keys(value, (*path, key))
    for key, step in (("additionalProperties", "*"), ("items", "[]")):
        if isinstance(node.get(key), dict):
            yield from schema_keys(node[key], (*path, step))


KEYS = dict(schema_keys(plain_schema()))  # type: ignore[arg-type]
FILES = read_files(EXAMPLE)


def places(node: Any, path: Steps) -> Iterator[Map]:
    """Yield each mapping of the example that holds the last key of a path."""
    step, *rest = path
    if step == "[]":
        for item in node if isinstance(node, list) else ():
            yield from places(item, tuple(rest))
    elif isinstance(node, Map):
        for name in list(node) if step == "*" else [step]:
            if not rest and name in node:
                yield node
            elif name in node:
                yield from places(node[name], tuple(rest))


def facts(node: Any) -> Any:
    """A design without the places it was read from."""
    if isinstance(node, Origin | Span):
        return None
    if is_dataclass(node):
        return [type(node).__name__, *(facts(getattr(node, f.name)) for f in fields(node))]
    if isinstance(node, dict):
        return [(key, facts(value)) for key, value in node.items()]
    return [facts(item) for item in node] if isinstance(node, tuple) else node


def built(tree: Map) -> Any:
    """What a changed main file is read as; None when it cannot be."""
    main = FileTree("designs/vocabulary.yaml", "", tree)
    try:
        design, findings = build([main, *FILES[1:]])
    except Unreadable:
        return None
    return facts(design), [problem.message for problem in findings]


OTHER_WORDS = {"colour_key": "japanese", "from": "left"}


def other_value(key: str, value: Any, rule: dict[str, Any]) -> Any:
    """Another value that is as legal as the one written."""
    if "enum" in rule:
        return next((word for word in rule["enum"] if word != value), value)
    if isinstance(value, Map):
        shorter = copy.deepcopy(value)
        shorter.popitem()
        return shorter
    if isinstance(value, list):
        return value[:-1]
    return OTHER_WORDS.get(key, f"{value}9")


@pytest.fixture(scope="module")
def whole() -> Any:
    return built(FILES[0].tree)


@pytest.mark.parametrize("path", KEYS, ids=".".join)
def test_every_key_of_the_schema_is_in_the_example_and_reaches_the_model(
    path: Steps, whole: Any
) -> None:
    if path in {("format",), ("include",)}:
        return
    count = sum(1 for _ in places(FILES[0].tree, path))
    assert count, f"designs/vocabulary.yaml does not show {'.'.join(path)}"
    key = path[-1]
    for number in range(count):
        tree = copy.deepcopy(FILES[0].tree)
        owner = list(places(tree, path))[number]
        value = owner.pop(key)
        left_out = built(tree)
        owner[key] = other_value(key, value, KEYS[path])
        if any(result not in (None, whole) for result in (left_out, built(tree))):
            return
    raise AssertionError(f"nothing in the model depends on {'.'.join(path)}")


def test_the_example_needs_the_file_it_includes() -> None:
    assert [Path(file.name).name for file in FILES] == ["vocabulary.yaml", "contacts.yaml"]
    alone, _ = build(FILES[:1])
    both, _ = build(FILES)
    assert set(both.contacts) - set(alone.contacts) == {"blade-2.8", "blade-6.3"}


def test_the_example_is_read_without_a_finding() -> None:
    assert build(FILES)[1] == ()


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("path", KEYS, ids=".".join)
def test_every_key_is_explained_to_the_editor(path: Steps) -> None:
    rule = KEYS[path]
    assert rule.get("title"), "no title"
    assert rule.get("description", "").endswith("."), "no description that is a sentence"


def subschemas(node: Any) -> Iterator[dict[str, Any]]:
    if isinstance(node, dict):
        yield node
        for key, value in node.items():
            inner = value.values() if key in ("properties", "$defs") else [value]
            if key not in ("examples", "enum", "const"):
                for item in inner if isinstance(value, dict) else ():
                    yield from subschemas(item)
                if isinstance(value, dict) and key not in ("properties", "$defs"):
                    yield from subschemas(value)


def test_every_object_is_closed_and_every_type_has_its_own_words() -> None:
    for rule in subschemas(plain_schema()):
        if "object" in (rule.get("type") or ()):
            assert "additionalProperties" in rule, rule
        if "type" in rule or "pattern" in rule or "const" in rule:
            assert rule.get("x-say"), rule


def test_every_definition_is_used() -> None:
    text = str(schema())
    assert [name for name in schema()["$defs"] if f"'#/$defs/{name}" not in text] == []


@pytest.mark.parametrize(
    ("definition", "words"),
    [
        (("kind",), vocabulary.DEVICE_KINDS),
        (("pin", "role"), vocabulary.ROLES),
        (("pin", "drives"), vocabulary.DRIVES),
        (("pin", "use"), vocabulary.PIN_USES),
        (("earth", "kind"), vocabulary.EARTH_KINDS),
        (("status",), vocabulary.STATUSES),
        (("wire", "fate"), vocabulary.FATES),
        (("plug", "contacts"), vocabulary.CONTACT_SORTS),
        (("face", "seen_from"), vocabulary.SIDES),
        (("face", "unit"), vocabulary.POSITION_UNITS),
        (("class",), vocabulary.SAFETY_CLASSES),
        (("zone",), vocabulary.ZONES),
        (("fuse", "style"), vocabulary.FUSE_STYLES),
        (("device", "transition"), vocabulary.TRANSITIONS),
        (("mark",), vocabulary.FACE_MARKS),
        (("turn",), vocabulary.RING_TURNS),
        (("suppression",), vocabulary.SUPPRESSIONS),
        (("hand",), vocabulary.HANDS),
    ],
)
def test_schema_and_model_have_the_same_words(definition: Steps, words: tuple[str, ...]) -> None:
    rule = schema()["$defs"][definition[0]]
    for step in definition[1:]:
        rule = rule["properties"][step]
    assert rule["enum"] == list(words)


def test_words_behind_free_names() -> None:
    rules = schema()["$defs"]
    assert rules["pin"]["properties"]["needs"]["additionalProperties"]["enum"] == list(
        vocabulary.NEEDS
    )
    terminators = rules["bus"]["properties"]["terminators"]["additionalProperties"]
    assert terminators["enum"] == list(vocabulary.TERMINATOR_SORTS)
    for word in vocabulary.BARE_PIN_WORDS:
        assert word in rules["pin"]["pattern"]


def test_the_example_has_no_open_fault_and_no_unused_waiver() -> None:
    report = check(load(EXAMPLE))
    assert [p.message for p in report.findings if p.severity != "info"] == []
    assert {(waiver.rule, waiver.object) for _, waiver in report.waived} == {
        (waiver.rule, waiver.object) for waiver in load(EXAMPLE).design.waivers
    }
