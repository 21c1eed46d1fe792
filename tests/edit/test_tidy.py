"""The canonical form: white space and order only, and the same when made twice."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings

from tests.strategies import design_text, designs
from wiregen.edit import tidy_text
from wiregen.history.changes import difference
from wiregen.problems import Unreadable
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


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_demo_designs_are_tidy(path):
    assert tidy_text(path.read_text("utf-8")) == path.read_text("utf-8")


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
        # a remark at the end of the file may be about all of it
        "format: 1\nwires:\n  W1: {from: J1}\nsplices:\n  J1: {}\n# the end\n",
    ],
)
def test_what_is_left_as_it_is(text):
    assert tidy_text(text) == text


STRANGE = {
    "quoted ids": "wires:\n  \"W2\": {from: J1, to: J2}\n  'W1': {from: J2, to: J1}\n",
    "long": "wires:\n  W1: {why: " + "x" * 5000 + ", from: J1}\n  W9: {to: 'a # b, {c: d}'}\n",
    "trailing comma": "wires:\n  W2: {from: J1, to: J2,}\n  W1: {from: J2, }\n",
    "question marks": "wires:\n  ? W2\n  : {from: J1}\n  W1: {from: J2}\n",
    "folded": "looms:\n  b:\n    note: >\n      a  \n\n      b   \n  a: {}\n",
    "quoted lines": 'looms:\n  b:\n    note: "a  \n      b \\\n      c"\n',
    "bare lines": "looms:\n  b:\n    note: a  \n      b   \n      c\n",
    "indents": "fuses:\n    F2: {}\n    F1: {}\nwires:\n W2: {from: J1}\n W1: {}\n",
    "document marks": "---\nwires:\n  W2: {}\nfuses:\n  F2: {}\n  F1: {}\n...\n",
    "flow in block": "fuses: {F2: {}, F1: {}}\nwires: {W2: {}, W1: {}}\n",
    "lists": "route:\n- {from: X1, to: X2}\n- {from: X0, to: X1}\nfuses: {}\n",
    "nothing said": "wires:\nfuses:\n  F2:\n  F1:\n",
}


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("name", STRANGE)
def test_strange_ways_to_write_keep_their_meaning(name, ends):
    text = STRANGE[name] if name == "document marks" else f"format: 1\n{STRANGE[name]}"
    for whole in (text, text.rstrip("\n")):
        tidy = tidy_text(whole.replace("\n", ends))
        assert tidy_text(tidy) == tidy
        assert tidy.count("\n") == tidy.count(ends)
        assert _plain(tidy) == _plain(whole)
        assert sorted("".join(tidy.split())) == sorted("".join(whole.split()))


def _plain(text: str) -> object:
    return yaml.safe_load(text.replace("\r\n", "\n"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("format: 1\nfuses:\n  F1: {}\n  F1: {}\n", "duplicate key 'F1'"),
        ("format: 1\nwires:\n  W1: {from: J1, from: J2}\n", "duplicate key 'from'"),
        ("format: 1\nwires:\n  W2: &a {from: J1}\n  W1: *a\n", "an anchor"),
        ("format: 1\nfuses:\n\tF2: {}\n", "begins with"),
        ("", "the file is empty"),
        ("format: 1\nfuses: {", "a value is missing here"),
    ],
)
def test_what_no_design_may_hold_is_refused(text, said):
    with pytest.raises(Unreadable) as error:
        tidy_text(text)
    assert said in error.value.problems[0].message


def test_line_ends_of_windows_stay():
    text = "fuses:\r\n  F2: {}\r\n  F1: {}\r\n"
    assert tidy_text(text) == "fuses:\r\n  F1: {}\r\n  F2: {}\r\n"
