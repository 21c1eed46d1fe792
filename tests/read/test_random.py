"""Random and damaged documents: nothing but `Unreadable` ever comes out, and both parsers agree."""

from __future__ import annotations

import json
import random
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.strategies import DesignDict, design_text, designs
from wiregen.problems import Unreadable
from wiregen.read import load_text
from wiregen.read.build import build
from wiregen.read.files import decode
from wiregen.read.include import FileTree
from wiregen.read.schema import quick_check, validator
from wiregen.read.yaml_tree import Map, Seq, read_tree

FOLDER = Path(__file__).parents[2] / "designs"
DEMOS = sorted(path for path in FOLDER.glob("*.yaml") if "." not in path.stem)
SOURCES = [path.read_bytes() for path in DEMOS]
SETTINGS = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
PIECES = (
    b"\x00", b"\xff", b"\t", b"\n", b"\r", b": ", b":", b"- ", b"{", b"}", b"[", b"]", b",", b"#",
    b"&a ", b"*a ", b"!t ", b"<<: ", b"---\n", b"...\n", b"'", b'"', b"\\", b"|\n", b">\n", b"%",
    b"@", b"`", b"? ", b"~", b"null", b"true", b"1e999", b"0,5", b"-1", b"9" * 400, b"nan",
    b"\xe2\x80\xae", b"\xf0\x9f\x94\x8c", b"\xed\xa0\x80", b"\xef\xbb\xbf", b"1..2..3",
    b"X1:", b":1",
)  # fmt: skip


def outcome(text: str) -> str:
    """Read a text; whatever is wrong with it must be `Unreadable` with places in the text."""
    try:
        loaded = load_text(text, "d.yaml")
    except Unreadable as error:
        problems = error.problems
    else:
        problems = loaded.problems
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for problem in problems:
        if problem.span.file == "d.yaml":
            assert 1 <= problem.span.line <= len(lines)
            assert 1 <= problem.span.column <= len(lines[problem.span.line - 1]) + 1
        assert problem.message
        assert "\n" not in problem.message
        assert len(problem.message) < 800
    return "".join(problem.code for problem in problems)


@SETTINGS
@given(designs(bad_ends=True))
def test_random_designs_are_read(design: DesignDict) -> None:
    loaded = load_text(design_text(design), "d.yaml")
    assert loaded.problems == ()
    assert list(loaded.design.wires) == sorted(design["wires"], key=lambda name: int(name[1:]))
    for name, wire in loaded.design.wires.items():
        assert wire.start is not None
        assert wire.start.text == design["wires"][name]["from"]
    assert set(loaded.design.plugs) == set(design["plugs"])


def shuffled(node: Any, seed: random.Random) -> Any:
    if isinstance(node, dict):
        return {key: shuffled(node[key], seed) for key in seed.sample(list(node), len(node))}
    return node


@SETTINGS
@given(designs(), st.randoms(use_true_random=False))
def test_the_order_of_keys_changes_nothing(design: DesignDict, seed: random.Random) -> None:
    first = load_text(design_text(design), "d.yaml").design
    again = load_text(design_text(shuffled(design, seed)), "d.yaml").design
    for section in ("plugs", "wires", "splices", "fuses", "earths", "boxes", "groups", "states"):
        one, other = getattr(first, section), getattr(again, section)
        assert list(one) == list(other)
    assert [w.start and w.start.text for w in first.wires.values()] == [
        w.start and w.start.text for w in again.wires.values()
    ]


@SETTINGS
@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    outcome(text)


@SETTINGS
@given(st.binary(max_size=200))
def test_any_bytes(data: bytes) -> None:
    try:
        text = decode(data, "d.yaml")
    except Unreadable:
        return
    outcome(text)


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(SOURCES[1:]), st.randoms(use_true_random=False))
def test_damaged_bytes(source: bytes, seed: random.Random) -> None:
    data = bytearray(source)
    for _ in range(seed.randint(1, 3)):
        at = seed.randrange(len(data))
        data[at : at + seed.choice((0, 0, 1, 2, 20))] = seed.choice(PIECES)
    try:
        text = decode(bytes(data), "d.yaml")
    except Unreadable:
        return
    outcome(text)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(SOURCES), st.randoms(use_true_random=False))
def test_damaged_lines(source: bytes, seed: random.Random) -> None:
    lines = source.decode().split("\n")
    for _ in range(seed.randint(1, 4)):
        at = seed.randrange(len(lines))
        other = seed.choice(lines)
        change = seed.randrange(5)
        if change == 0:
            del lines[at]
        elif change == 1:
            lines.insert(at, other)
        elif change == 2:
            lines[at] = seed.choice(("", " ", "  ", "\t", "    ")) + lines[at].lstrip()
        elif change == 3:
            lines[at] = lines[at][: seed.randrange(len(lines[at]) + 1)]
        else:
            lines[at] = lines[at] + other
        if not lines:
            lines = [""]
    outcome("\n".join(lines))


PLAIN = "aX1:._-~ü"
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-10, 10**20)
    | st.floats(allow_nan=False)
    | st.sampled_from(("X1:1", "1.5 m", "BU/WH", "empty", "run", "3 %", "0.5..2.5", "", " "))
    | st.text(PLAIN, max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(PLAIN, min_size=1, max_size=3), inner)
    ),
    max_leaves=6,
)


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_any_value_anywhere(data: st.DataObject) -> None:
    """Put a strange value somewhere in a sound design.

    Schema and quick check say the same, and what they allow is read or refused in words.
    """
    source = data.draw(st.sampled_from(SOURCES)).decode()
    tree = read_tree(source, "d.yaml")
    strange = read_tree(f"v: {json.dumps(data.draw(VALUES), ensure_ascii=False)}", "d.yaml")["v"]
    node: Any = tree
    while True:
        key = data.draw(st.sampled_from(list(node) if isinstance(node, Map) else range(len(node))))
        child = node[key]
        if not isinstance(child, Map | Seq) or not child or data.draw(st.integers(0, 3)) == 0:
            break
        node = child
    node[key] = strange
    allowed = quick_check()(tree)
    assert allowed == validator().is_valid(tree)
    if allowed:
        with suppress(Unreadable):
            build([FileTree("d.yaml", source, tree)])


@pytest.mark.parametrize("source", SOURCES, ids=[path.stem for path in DEMOS])
def test_both_parsers_agree_on_values_and_places(source: bytes) -> None:
    text = source.decode()

    def flat(node: Any) -> Any:
        if isinstance(node, Map):
            places = (node.at, node.key_at, node.value_at)
            return (places, {key: flat(value) for key, value in node.items()})
        if isinstance(node, Seq):
            return (node.at, node.value_at, [flat(value) for value in node])
        return node

    assert flat(read_tree(text, "d.yaml")) == flat(read_tree(text, "d.yaml", pure=True))
