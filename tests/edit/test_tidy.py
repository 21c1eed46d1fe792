"""The canonical form: white space and order only, and the same when made twice."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from tests.strategies import design_text, designs
from wiregen.edit import tidy_text
from wiregen.history.changes import difference
from wiregen.read import load_text

FOLDER = Path(__file__).parents[2] / "designs"
DEMOS = sorted(path for path in FOLDER.glob("*.yaml") if "." not in path.stem)


def remarks(text: str) -> list[str]:
    return sorted(re.findall(r"#.*", text))


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_demo_designs_keep_their_meaning_and_their_remarks(path):
    text = path.read_text("utf-8")
    tidy = tidy_text(text)
    assert tidy_text(tidy) == tidy
    assert remarks(tidy) == remarks(text)
    before, after = load_text(text, path).design, load_text(tidy, path).design
    assert difference(before, after).changes == ()


@settings(
    max_examples=25, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
@given(designs())
def test_random_designs_keep_their_meaning(one):
    text = design_text(one)
    tidy = tidy_text(text)
    assert tidy_text(tidy) == tidy
    assert sorted("".join(tidy.split())) == sorted("".join(text.split()))
    assert difference(load_text(text).design, load_text(tidy).design).changes == ()


@pytest.mark.parametrize(
    ("before", "after"),
    [
        # sections in the usual order, each with the remark right above it
        (
            "format: 1\n\n# the wires\nwires:\n  W1: {from: J1}\n\n# joints\nsplices:\n  J1: {}\n",
            "format: 1\n\n# joints\nsplices:\n  J1: {}\n\n# the wires\nwires:\n  W1: {from: J1}\n",
        ),
        # ids in natural order, but not across a remark or a blank line
        (
            "fuses:\n  F10: {}\n  F2: {}\n  # old\n  F3: {}\n\n  F1: {}\n",
            "fuses:\n  F2: {}\n  F10: {}\n  # old\n  F3: {}\n\n  F1: {}\n",
        ),
        # a multi-line object moves whole, with the remark at its end
        (
            "plugs:\n  X2:\n    title: B\n  X1:\n    pins:\n      1: empty  # one\n",
            "plugs:\n  X1:\n    pins:\n      1: empty  # one\n  X2:\n    title: B\n",
        ),
        # keys of wires in columns; quotes stay
        (
            'wires:\n  W1: {colour: RD, from: "F1:in", to: J1, note: a}\n'
            "  W2: {to: J10, from: J1}\n",
            'wires:\n  W1: {from: "F1:in", to: J1,  colour: RD, note: a}\n'
            "  W2: {from: J1,      to: J10}\n",
        ),
        ("format: 1  \nplugs: {}\t\n\n\n", "format: 1\nplugs: {}\n"),
    ],
)
def test_what_is_put_in_order(before, after):
    assert tidy_text(before) == after
    assert tidy_text(after) == after


@pytest.mark.parametrize(
    "text",
    [
        # a remark between two blank lines belongs to nobody
        "format: 1\nwires: {}\n\n# whose?\n\nsplices: {}\n",
        # names that are words keep the order they were given
        "looms:\n  rear: {}\n  adapter: {}\n",
        "devices:\n  S1: {}\n  G1: {}\n",
        # the lines of a text are never touched
        "plugs:\n  X2:\n    note: |\n      a\n\n      b\n",
        "wires:\n  W2: {from: J1,\n       to: J2}\n",
        "format: 1\r\nplugs:\n  X2: {}\n  X1: {}\n",
        "states:\n  b2: {}\n  b1: {}\n",
    ],
)
def test_what_is_left_as_it_is(text):
    assert tidy_text(text) == text


def test_line_ends_of_windows_stay():
    text = "fuses:\r\n  F2: {}\r\n  F1: {}\r\n"
    assert tidy_text(text) == "fuses:\r\n  F1: {}\r\n  F2: {}\r\n"
