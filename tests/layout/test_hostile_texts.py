"""Every free text of a design, whatever it says: drawn clean, kept as text, nothing let out.

The texts stand in every place the schema has for one, taken from the design with every key.
"""

from __future__ import annotations

import json
import shutil
import xml.etree.ElementTree as ET
from itertools import cycle
from pathlib import Path

import pytest

from tests.layout.svg_texts import read_page, small_texts, unclear_labels
from wiregen.layout.lint_set import lint_set
from wiregen.publish import Document
from wiregen.read.yaml_tree import read_tree

ROOT = Path(__file__).resolve().parents[2]
DESIGNS = ROOT / "designs"
SCHEMA = json.loads((ROOT / "schemas" / "design-1.schema.json").read_text("utf-8"))
TEXT = "#/$defs/text"

TEXTS = {
    "markup": "</text><script>alert('x')</script> & &amp; ]]> \"<!-- -->\" {x} #import $x$ \\n %s",
    "right to left": "מפסק ראשי \u200f מפתח, مفتاح الإشعال ١٢",
    "combining letters": "Z" + "\u0337\u0351\u0353" * 12 + "u\u0308ndung e" + "\u0301" * 40,
    "joined signs": "👩\u200d👩\u200d👧\u200d👦 ⚡\ufe0f ½ ﷽ 𝔘𝔫𝔦𝔱 " + "अनुच्छेद กำลัง",
    "one endless word": "Wagenheberbeleuchtungsschalter" * 30,
    "many words": "in the left front corner of the rear frame, seen from below " * 40,
    "nothing to see": "\u200b\u00a0\u2003",
}


def told(node, data, words):
    """Return data with the words in place of each value that the schema calls a free text.

    A text with a meaning, such as a colour, says in the schema how it is written.
    """
    if node.get("$ref") == TEXT and "x-say" not in node and isinstance(data, str):
        return words
    if "$ref" in node:
        found = SCHEMA
        for step in node["$ref"].removeprefix("#/").split("/"):
            found = found[step]
        node = {**found, **{key: value for key, value in node.items() if key != "$ref"}}
    if isinstance(data, dict):
        known, other = node.get("properties", {}), node.get("additionalProperties", {})
        other = other if isinstance(other, dict) else {}
        return {key: told(known.get(key, other), value, words) for key, value in data.items()}
    if isinstance(data, list) and isinstance(node.get("items"), dict):
        return [told(node["items"], item, words) for item in data]
    return data


def written(words, folder):
    """Write the design with every key, each free text in it replaced, and return its path."""
    tree = read_tree((DESIGNS / "vocabulary.yaml").read_text("utf-8"), "vocabulary.yaml")
    shutil.copytree(DESIGNS / "library", folder / "library")
    path = folder / "said.yaml"
    said = told(SCHEMA, tree, words) | {key: tree[key] for key in ("include", "colour_keys")}
    lines = [f"{key}: {json.dumps(value, ensure_ascii=False)}" for key, value in said.items()]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert "\n".join(lines).count(json.dumps(words, ensure_ascii=False)) > 150
    return path


@pytest.mark.parametrize(("name", "mono"), [*zip(TEXTS, cycle((False, True)))])
def test_any_text_is_drawn_clean(name, mono, tmp_path):
    drawings = list(Document(written(TEXTS[name], tmp_path)).draw(mono=mono))
    assert len(drawings) > 5
    assert {f.sheet: f.flaws for f in lint_set([d.sheet for d in drawings]) if f.flaws} == {}
    for drawing in drawings:
        root = ET.fromstring(drawing.svg)
        assert {element.tag.rpartition("}")[2] for element in root.iter()} <= {
            "svg", "title", "g", "path", "rect", "circle", "text", "tspan",
        }  # fmt: skip
        page = read_page(drawing.svg)
        assert unclear_labels(page) == []
        assert small_texts(page) == []
