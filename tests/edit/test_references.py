"""The list of places that refer to an object is that of the schema."""

import json
from pathlib import Path

from wiregen.edit.rename import REFERENCES, SECTIONS

SCHEMA = json.loads(
    (Path(__file__).resolve().parents[2] / "schemas/design-1.schema.json").read_text("utf-8")
)
POINTERS = {"#/$defs/id", "#/$defs/end", "#/$defs/in_loom"}
# ids that are no objects of the sections: variants and route points
OTHER = ("only", "splices.*.at", "earths.*.at")


def pointers(node, path=()):
    """Every path of the schema where an id or an end may stand."""
    ref = node.get("$ref")
    if ref in POINTERS:
        yield ".".join(path)
        return
    if ref:
        yield from pointers(
            SCHEMA["$defs"][ref.rsplit("/", 1)[1]] if ref.count("/") == 2 else {}, path
        )
    for key, inner in node.get("properties", {}).items():
        yield from pointers(inner, (*path, key))
    if isinstance(node.get("additionalProperties"), dict):
        yield from pointers(node["additionalProperties"], (*path, "*"))
    if isinstance(node.get("items"), dict):
        yield from pointers(node["items"], (*path, "[]"))


def test_every_pointer_of_the_schema_is_listed():
    found = {path for path in pointers(SCHEMA) if not path.endswith(OTHER) and "only" not in path}
    assert "wires.*.from" in found
    assert found - set(REFERENCES) == set()


def test_sections_are_those_with_ids():
    with_ids = {
        name
        for name, node in SCHEMA["properties"].items()
        if node.get("propertyNames", {}).get("$ref") == "#/$defs/id_key"
    }
    assert with_ids - {"variants", "colour_keys"} == set(SECTIONS)
