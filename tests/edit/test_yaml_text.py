"""Text written into a design file reads back as the same text."""

import yaml
from hypothesis import given
from hypothesis import strategies as st

from wiregen.edit import Remarked, yaml_lines, yaml_text
from wiregen.read.yaml_tree import read_tree, text_of

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)


@given(TEXTS)
def test_any_text_reads_back(text):
    tree = read_tree(f"a: {{b: {yaml_text(text)}}}\nc: {yaml_text(text)}\n", "t")
    assert tree["c"] == text or text_of(tree["c"]) == text
    assert text_of(tree["a"]["b"]) == text
    assert isinstance(tree["c"], bool | None) is False


@given(st.dictionaries(TEXTS.filter(lambda t: t.strip() and "\n" not in t), TEXTS, max_size=4))
def test_any_mapping_reads_back(pairs):
    assert yaml.load("\n".join(yaml_lines("k", pairs, width=30)), yaml.BaseLoader)["k"] == pairs


def test_remarks_stay_remarks():
    value = {"1": Remarked("empty", "a\n# b: {"), "2": {"carries": "x"}}
    assert yaml_lines("pins", value) == [
        "pins:",
        "  1: empty  # a # b: {",
        "  2: {carries: x}",
    ]


def test_long_lines_are_broken():
    lines = yaml_lines("X1", {"title": "t", "pins": {"1": {"carries": "w" * 40}}}, 2, width=60)
    assert lines == ["  X1:", "    title: t", "    pins:", f"      1: {{carries: {'w' * 40}}}"]
