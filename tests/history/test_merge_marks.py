"""A design in the middle of a merge is refused with words that say so."""

import pytest

from wiregen.problems import Unreadable
from wiregen.read import load_text

OURS = "  W2: {from: J1, to: J2}\n"


@pytest.mark.parametrize("inside", [OURS, "  W2: {from: J1,\n", ""])
def test_marks_of_a_merge_are_named(inside):
    text = f"format: 1\nwires:\n<<<<<<< HEAD\n{inside}=======\n{OURS}>>>>>>> other side\n"
    with pytest.raises(Unreadable) as error:
        load_text(text, "a.yaml")
    (problem,) = error.value.problems
    assert str(problem.span) == "a.yaml:3:1"
    assert problem.message.startswith("two versions of a merge stand here")


def test_the_same_signs_in_a_text_are_no_merge():
    text = "format: 1\nlooms:\n  a:\n    note: |\n      x\n      <<<<<<< y\n"
    assert "<<<<<<<" in load_text(text).design.looms["a"].note
