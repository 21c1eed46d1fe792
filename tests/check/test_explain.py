"""What `explain` says of rules and of the reader's messages."""

from __future__ import annotations

import pytest

from wiregen.check import RULES
from wiregen.check.explain import UnknownCode, all_texts, explain
from wiregen.read.codes import FORMAT_CODES


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_rule_is_explained_with_its_own_texts(rule):
    words = " ".join(explain(rule.code.lower()).split())
    for text in (rule.code, rule.name, rule.title, rule.why, rule.fix, rule.source):
        assert " ".join(text.split()) in words


@pytest.mark.parametrize("code", FORMAT_CODES, ids=lambda code: code.code)
def test_message_of_the_reader_is_explained(code):
    assert " ".join(code.why.split()) in " ".join(explain(code.code).split())


def test_unknown_code_offers_the_nearest():
    with pytest.raises(UnknownCode, match="'XYZ' is not a rule; see: wiregen list rules"):
        explain("XYZ")
    with pytest.raises(UnknownCode, match=r"'CAV199' is not a rule; did you mean 'CAV1\d\d'\?"):
        explain("CAV199")


def test_every_code_is_explained_once():
    codes = [texts.code for texts in all_texts()]
    assert len(codes) == len(set(codes))
