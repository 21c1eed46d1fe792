"""YAML to a tree: values nobody changed, exact places, and what is refused."""

from __future__ import annotations

import pytest

from wiregen.problems import Unreadable
from wiregen.read.yaml_tree import Map, read_tree, text_of

# What YAML 1.1 would make of these plain words (yaml.org/type/bool.html, int.html, float.html,
# timestamp.html: booleans, octal, sexagesimal, hexadecimal, floats, dates). Here: the text itself.
SURPRISES = [
    "NO",
    "no",
    "No",
    "off",
    "OFF",
    "On",
    "yes",
    "Yes",
    "Y",
    "N",
    "TRUE",
    "False",
    "NULL",
    "Null",
    "010",
    "007",
    "0o17",
    "0x1F",
    "0b101",
    "1_000",
    "1:2",
    "12:30",
    "1e3",
    "1E2",
    ".5",
    "5.",
    "+5",
    ".inf",
    ".nan",
    "2026-11-20",
    "2026-11-20T10:00:00Z",
    "1.2.3",
    "12V",
    "=",
    "58L",
    "1A",
    "01",
    "--",
    "1/0",
]


def tree(text: str, *, pure: bool = False) -> Map:
    return read_tree(text, "d.yaml", pure=pure)


def refusal(text: str, *, pure: bool = False) -> list[str]:
    with pytest.raises(Unreadable) as caught:
        tree(text, pure=pure)
    return [f"{p.code} {p.span.line}:{p.span.column} {p.message}" for p in caught.value.problems]


@pytest.mark.parametrize("pure", [False, True])
@pytest.mark.parametrize("word", SURPRISES)
def test_plain_words_stay_as_written(word: str, pure: bool) -> None:
    assert tree(f"a: {word}\nb: [{word}]\n{word}: c", pure=pure) == {
        "a": word,
        "b": [word],
        word: "c",
    }


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1", 1),
        ("-12", -12),
        ("0", 0),
        ("1.50", 1.5),
        ("~", None),
        ("null", None),
        ("true", True),
        ("false", False),
        ("'1'", "1"),
        ('"true"', "true"),
        ("'~'", "~"),
        ("''", ""),
    ],
)
def test_typed_scalars(text: str, value: object) -> None:
    read = tree(f"a: {text}")["a"]
    assert read == value
    assert isinstance(read, type(value))


@pytest.mark.parametrize("text", ["1", "1.0", "2.50", "-0", "0.350", "87a", "NO", "9" * 5000])
def test_numbers_remember_how_they_were_written(text: str) -> None:
    assert text_of(tree(f"a: {text}")["a"]) == text


def test_keys_are_text_and_differ_as_written() -> None:
    assert list(tree("pins: {1: a, 01: b, 1.0: c, 1E2: d, true: e, ~: f}")["pins"]) == [
        "1",
        "01",
        "1.0",
        "1E2",
        "true",
        "~",
    ]


@pytest.mark.parametrize("pure", [False, True])
def test_places_of_keys_and_values(pure: bool) -> None:
    text = (
        "format: 1\n"
        "# remark\n"
        "plugs:\n"
        "  X1: {title: Zündung 🔌, sealed: true}\n"
        "  X2:\n"
        "    pins: [1, 'two', [3]]\n"
        "    empty:\n"
    )
    root = tree(text, pure=pure)
    plugs = root["plugs"]
    assert root.key_at == {"format": (1, 1, 6), "plugs": (3, 1, 5)}
    assert root.value_at["format"] == (1, 9, 1)
    assert plugs.key_at == {"X1": (4, 3, 2), "X2": (5, 3, 2)}
    assert plugs.value_at["X1"] == (4, 7, 32)
    assert plugs["X1"].key_at["sealed"] == (4, 26, 6)  # columns count characters, not bytes
    assert plugs["X1"].value_at == {"title": (4, 15, 9), "sealed": (4, 34, 4)}
    assert plugs["X2"].value_at["pins"] == (6, 11, 15)
    assert plugs["X2"]["pins"].value_at == [(6, 12, 1), (6, 15, 5), (6, 22, 3)]
    assert plugs["X2"].value_at["empty"][2] == 0


@pytest.mark.parametrize("pure", [False, True])
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "FMT101 1:1 the file is empty; begin with 'format: 1'"),
        ("# only a remark\n", "FMT101 1:1 the file is empty; begin with 'format: 1'"),
        (
            "hello\n",
            "FMT103 1:1 a design file is made of 'key: value' lines and starts with 'format: 1'",
        ),
        ("a: 1\nb: 2\na: 3\n", "FMT104 3:1 duplicate key 'a', first on line 1; keep one"),
        ("a: {x: 1, x: 2}\n", "FMT104 1:11 duplicate key 'x', first on line 1; keep one"),
        (
            "a: *b\n",
            "FMT105 1:4 '*b' points at another place of the file (an alias); "
            "write the value out, or quote the text",
        ),
        (
            "a: &b 1\n",
            "FMT105 1:4 '&b' names a place of the file (an anchor); "
            "leave it out, or quote the text",
        ),
        ("a: !x 1\n", "FMT105 1:4 '!x' is a YAML tag; leave it out, or quote the text"),
        (
            "a: !!python/name:os.system x\n",
            "FMT105 1:4 'tag:yaml.org,2002:python/name:os.system' is a YAML tag; "
            "leave it out, or quote the text",
        ),
        (
            "a: {<<: {b: 1}}\n",
            "FMT105 1:5 '<<' (merge) is not used in a design file; write the keys out",
        ),
        (
            "a: 1\n---\nb: 2\n",
            "FMT105 2:1 a second document starts here ('---'); one file holds one design",
        ),
        ("? [a]\n: 1\n", "FMT105 1:3 a key must be one plain text"),
        ("a: {'': 1}\n", "FMT103 1:5 the key before ':' is missing"),
        (
            "a: " + "[" * 45 + "]" * 45 + "\n",
            "FMT106 1:43 more than 40 levels inside one another",
        ),
        ("a: [1, 2\n", None),
        (
            "a: b: c\n",
            "FMT103 1:5 a second ':' in one line; put a text that holds ': ' in quotes",
        ),
        ("a:1\nb: 2\n", "FMT103 2:2 a space is missing after 'a:'"),
        ("a: @x\n", "FMT103 1:4 a text that begins with '@' must be in quotes"),
        ('a: "b\nc: 1\n', "FMT103 1:4 the quote opened here is never closed"),
        ("a: 1\nb\nc: 2\n", "FMT103 2:1 a ':' is missing after this word"),
        (
            "a:\n    b: 1\n  c: 2\n",
            "FMT103 3:3 this line does not fit the keys above it: wrong indentation, "
            "or a stray character",
        ),
        (
            "a: - b\n",
            "FMT103 1:4 a list with '- ' must begin on its own line, indented under its key",
        ),
        (
            "a: {x: 1 y: 2}\n",
            "FMT103 1:11 a comma or the closing '}' is missing before this place "
            "(opened on line 1, column 4)",
        ),
        (
            "a: {colour: #fff, b: 1}\nc: 1\n",
            "FMT103 1:13 a '#' after a space begins a remark, and the value before it is missing; "
            "quote it",
        ),
    ],
)
def test_refusals(text: str, said: str | None, pure: bool) -> None:
    lines = refusal(text, pure=pure)
    if said is None:
        assert "a comma or the closing ']' is missing" in lines[0]
    elif not (pure and "comma" in said):
        assert lines == [said]


def test_everything_that_is_foreign_is_named_at_once() -> None:
    assert [line[:11] for line in refusal("a: &x 1\nb: *x\na: 2\nc: !t 3\n")] == [
        "FMT105 1:4 ",
        "FMT105 2:4 ",
        "FMT104 3:1 ",
        "FMT105 4:4 ",
    ]


def test_brackets_without_end_are_refused_without_a_traceback() -> None:
    assert refusal("a: " + "[" * 100_000)[0].startswith("FMT106 ")
    assert refusal("a: " + "{b: " * 3_000)[0].startswith("FMT106 ")


def test_forty_levels_are_allowed() -> None:
    assert tree("a: " + "[" * 39 + "]" * 39)["a"]


def test_an_alias_bomb_is_refused_at_its_first_alias() -> None:
    bomb = "a: &a [1, 1]\n" + "".join(f"{c}: &{c} [*a, *a]\n" for c in "bcdefgh")
    assert len(refusal(bomb)) == 8 + 14


def test_a_flood_of_faults_stops() -> None:
    assert len(refusal("a: 1\n" + "a: 2\n" * 100_000)) == 100
