"""The generated page names every rule once, in its group."""

from __future__ import annotations

import re

from wiregen.check.explain import all_texts
from wiregen.check.rule_page import GROUPS, rule_page


def test_every_rule_stands_on_the_page_once():
    headed = re.findall(r"^### ([A-Z]{3}\d{3}) ", rule_page(), re.MULTILINE)
    assert sorted(headed) == sorted(texts.code for texts in all_texts())


def test_every_rule_stands_under_the_heading_of_its_group():
    heading = ""
    for line in rule_page().splitlines():
        if line.startswith("## "):
            heading = line[3:]
        elif line.startswith("### "):
            assert heading == GROUPS[line[4:7]]


def test_marks_of_a_text_are_not_read_as_markdown():
    texts = [line for line in rule_page().splitlines() if not line.startswith("#")]
    assert not [line for line in texts if re.search(r"(?<!\\)[*_]|<", line)]
