"""Bad input of every kind through the whole command: one clear message, nothing written."""

import random
from pathlib import Path

import pytest

PLUG = (
    "format: 1\nplugs:\n  X1:\n    title: Plug\n    face: [[1, 2]]\n    pins: {1: {carries: a}}\n"
)

UNREADABLE = {
    "empty": (b"", "empty"),
    "only remarks": (b"# nothing here\n", ""),
    "not utf-8": (b"format: 1\nplugs: {X1: {title: M\xfcller}}\n", "UTF-8"),
    "utf-16": ("format: 1\n".encode("utf-16"), "UTF-16"),
    "nul characters": (b"format: 1\n\x00\x00", "does not show"),
    "binary": (bytes(range(256)) * 40, "UTF-8"),
    "tabs": (b"format: 1\nplugs:\n\tX1: {}\n", "tab"),
    "too large": (b"# " + b"x" * 20_000_001, "larger than 20 MB"),
    "too deep": (b"format: " + b"[" * 1000 + b"]" * 1000, ""),
    "deep mappings": (b"{a: " * 1000 + b"}" * 1000, "levels"),
    "alias bomb": (
        b"a: &a [x, x, x, x]\nb: &b [*a, *a, *a, *a]\nc: &c [*b, *b, *b, *b]\nd: [*c, *c, *c]\n",
        "",
    ),
    "tag": (b"format: !!python/object/apply:os.system ['true']\n", ""),
    "merge key": (b"format: 1\nplugs:\n  X1: {<<: {title: a}, face: [[1]]}\n", ""),
    "second document": (b"format: 1\n---\nformat: 1\n", ""),
    "duplicate key": (b"format: 1\nplugs: {}\nplugs: {}\n", "plugs"),
    "duplicate pin": (
        b"format: 1\nplugs:\n  X1:\n    face: [[1]]\n    pins: {1: empty, 1: blocked}\n",
        "'1'",
    ),
    "unknown key": (b"format: 1\nplugs:\n  X1: {tilte: a, face: [[1]]}\n", "did you mean 'title'"),
    "american spelling": (
        b"format: 1\nplugs:\n  X1: {face: [[1]], pins: {1: {color: RD}}}\n",
        "did you mean 'colour'",
    ),
    "a list": (b"- 1\n- 2\n", ""),
    "a word": (b"hello\n", ""),
    "wrong type": (b"format: 1\nplugs: 7\n", "plugs"),
    "wrong type inside": (b"format: 1\nplugs: {X1: {title: [a, b], face: [[1]]}}\n", "title"),
    "not a number": (b"format: 1\nwires: {W1: {from: EP1, to: EP1, length: .nan}}\n", "length"),
    "infinite": (b"format: 1\nwires: {W1: {from: EP1, to: EP1, length: .inf}}\n", "length"),
    "negative size": (b"format: 1\nwires: {W1: {from: EP1, to: EP1, size: -1.5}}\n", "size"),
    "decimal comma": (b"format: 1\nwires: {W1: {from: EP1, to: EP1, size: '1,5'}}\n", "1.5"),
    "unknown unit": (
        b"format: 1\nwires: {W1: {from: EP1, to: EP1, length: 3 furlong}}\n",
        "furlong",
    ),
    "id is a way out": (b"format: 1\nplugs: {../x: {face: [[1]]}}\n", "../x"),
    "id is markup": (b"format: 1\nplugs: {'<script>': {face: [[1]]}}\n", "<script>"),
    "id with a space": (b"format: 1\nplugs: {'X 1': {face: [[1]]}}\n", "X 1"),
    "no version": (b"plugs: {X1: {face: [[1]]}}\n", "format"),
    "other version": (b"format: 2\nplugs: {X1: {face: [[1]]}}\n", "format"),
    "missing include": (b"format: 1\ninclude: [other.yaml]\n", "other.yaml"),
    "include outside": (b"format: 1\ninclude: [../../etc/passwd]\n", "include"),
    "unclosed bracket": (b"format: 1\nplugs: {X1: {face: [[1, 2]\n", ""),
}


@pytest.mark.parametrize("command", ["check", "draw"])
@pytest.mark.parametrize("name", UNREADABLE)
def test_unreadable_files(wiregen, everything, tmp_path, command, name):
    content, said = UNREADABLE[name]
    (tmp_path / "bad.yaml").write_bytes(content)
    done = wiregen(command, "bad.yaml")
    assert done.code == 2
    assert done.out == ""
    assert done.err.startswith("bad.yaml:")
    assert "error FMT" in done.err.splitlines()[0]
    assert said in done.err
    assert "Traceback" not in done.err
    assert max(len(line) for line in done.err.splitlines()) < 400
    assert everything() == ["bad.yaml"]


@pytest.mark.parametrize("command", ["check", "draw"])
def test_missing_file_and_folder(wiregen, everything, tmp_path, command):
    done = wiregen(command, "none.yaml")
    assert done.code == 2
    assert done.err.startswith("none.yaml:1:1: error FMT101: there is no such file")
    (tmp_path / "folder").mkdir()
    done = wiregen(command, "folder")
    assert done.code == 2
    assert "this is a folder" in done.err
    assert everything() == []


def test_terminal_codes_in_a_design_do_not_reach_the_terminal(wiregen, everything, tmp_path):
    text = 'format: 1\nplugs:\n  X1:\n    face: [[1]]\n    pins: {1: {"car\\e[31mries": a}}\n'
    (tmp_path / "bad.yaml").write_text(text, encoding="utf-8")
    done = wiregen("check", "bad.yaml")
    assert done.code == 2
    assert "\x1b" not in done.err


def test_a_file_cut_off_anywhere_never_ends_in_a_traceback(wiregen, everything, tmp_path, designs):
    whole = (designs / "trailer-adapter.yaml").read_bytes()
    for length in random.Random(11).sample(range(len(whole)), 25):
        (tmp_path / "cut.yaml").write_bytes(whole[:length])
        done = wiregen("check", "cut.yaml")
        assert done.code in (0, 1, 2), length
        assert "Traceback" not in done.err


def test_a_character_changed_anywhere_never_ends_in_a_traceback(
    wiregen, everything, tmp_path, designs
):
    whole = (designs / "trailer-adapter.yaml").read_text(encoding="utf-8")
    chance = random.Random(12)
    for _ in range(40):
        place = chance.randrange(len(whole))
        other = chance.choice("{}[]:,-#&*!|>'\"%@`\t\n 019aZé\U0001f600")
        text = whole[:place] + other + whole[place + 1 :]
        (tmp_path / "odd.yaml").write_text(text, encoding="utf-8")
        done = wiregen("check", "odd.yaml")
        assert done.code in (0, 1, 2), (place, other)
        assert "Traceback" not in done.err


def test_no_folder_to_write_into(wiregen, everything, tmp_path):
    (tmp_path / "d.yaml").write_text(PLUG, encoding="utf-8")
    (tmp_path / "file").write_text("keep", encoding="utf-8")
    for folder, said in (
        ("file", "it is a file, not a folder"),
        ("file/sub", "cannot make the folder"),
        ("/proc/self", "cannot"),
    ):
        done = wiregen("draw", "d.yaml", "-o", folder)
        assert done.code == 2
        assert done.out == ""
        assert done.err.startswith("wiregen: cannot")
        assert said in done.err
        assert done.err.count("\n") == 1
    assert everything() == ["d.yaml", "file"]
    assert (tmp_path / "file").read_text(encoding="utf-8") == "keep"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--plug", "x1"), "has no plug 'x1'; did you mean 'X1'?"),
        (("--circuit", "none"), "has no circuit 'none'"),
        (("--loom", "none"), "has no loom 'none'"),
    ],
)
def test_parts_that_are_not_there(wiregen, everything, tmp_path, words, said):
    (tmp_path / "d.yaml").write_text(PLUG, encoding="utf-8")
    done = wiregen("draw", "d.yaml", *words)
    assert done.code == 2
    assert said in done.err
    assert everything() == ["d.yaml"]


@pytest.mark.parametrize(
    "words",
    [
        ("chekc", "d.yaml"),
        ("draw",),
        ("draw", "d.yaml", "--nonsense"),
        ("check", "d.yaml", "--format", "xml"),
        ("list", "nothing"),
        ("explain",),
        (),
    ],
)
def test_wrong_usage(wiregen, words):
    done = wiregen(*words)
    assert done.code == 2
    assert "Usage: wiregen" in done.err + done.out
    assert "Traceback" not in done.err


def test_odd_file_names_stay_in_the_folder(wiregen, everything, tmp_path):
    for name in ("...yaml", "-x.yaml", "a b & c$(d).yaml", "ö😀.yaml", "noending", "x.y.yaml"):
        (tmp_path / name).write_text(PLUG, encoding="utf-8")
        before = everything()
        done = wiregen("draw", f"./{name}", "-o", "here")
        assert done.code == 0, (name, done.err)
        new = set(everything()) - set(before)
        assert new
        assert all(Path(file).parts[0] == "here" for file in new)
        done = wiregen("draw", f"./{name}")
        assert done.code == 0
        later = set(everything()) - set(before) - new
        assert all(Path(file).parts[0] == "out" and len(Path(file).parts) == 3 for file in later)
