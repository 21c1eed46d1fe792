"""Files that cannot be design files: one plain line, never a traceback."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from wiregen.problems import Unreadable
from wiregen.read import load, load_text
from wiregen.read.files import MAX_BYTES


def refusal(path: Path | str) -> str:
    with pytest.raises(Unreadable) as caught:
        load(path)
    (problem,) = caught.value.problems
    return f"{problem.code} {problem.span.line}:{problem.span.column} {problem.message}"


def written(tmp_path: Path, data: bytes) -> Path:
    path = tmp_path / "d.yaml"
    path.write_bytes(data)
    return path


def test_missing_file(tmp_path: Path) -> None:
    path = tmp_path / "none.yaml"
    assert refusal(path) == "FMT101 1:1 there is no such file; look at its name and folder"


def test_the_span_repeats_the_name_the_user_gave(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(Unreadable) as caught:
        load("sub/none.yaml")
    assert (
        str(caught.value) == "sub/none.yaml:1:1: there is no such file; look at its name and folder"
    )


def test_folder(tmp_path: Path) -> None:
    assert refusal(tmp_path) == "FMT101 1:1 this is a folder, not a design file"


def test_name_that_cannot_be_one() -> None:
    assert refusal("a\0b.yaml").startswith("FMT101 1:1 the file cannot be read: ")
    assert refusal("x" * 5000).startswith("FMT101 1:1 the file cannot be read: ")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read every file")
def test_file_without_permission(tmp_path: Path) -> None:
    path = written(tmp_path, b"format: 1\n")
    path.chmod(0)
    assert refusal(path) == "FMT101 1:1 the file may not be read (permission)"


def test_permission_error_has_its_own_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*args: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("builtins.open", refuse)
    assert refusal(tmp_path / "d.yaml") == "FMT101 1:1 the file may not be read (permission)"


def test_too_large(tmp_path: Path) -> None:
    path = written(tmp_path, b"format: 1\n#" + b"x" * MAX_BYTES)
    assert refusal(path) == "FMT101 1:1 the file is larger than 20 MB"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "FMT101 1:1 the file is empty; begin with 'format: 1'"),
        (
            "format: 1\n".encode("utf-16"),
            "FMT102 1:1 the file is saved as UTF-16 or UTF-32; save it as UTF-8",
        ),
        (
            "format: 1\n".encode("utf-32"),
            "FMT102 1:1 the file is saved as UTF-16 or UTF-32; save it as UTF-8",
        ),
        (
            "format: 1\nnote: Zündung\n".encode("latin-1"),
            "FMT102 2:8 not UTF-8 text (byte 0xFC); save the file as UTF-8",
        ),
        (b"%PDF-1.7\n%\xe2\xe3", "FMT102 1:1 this is a PDF, not a design file"),
        (b"PK\x03\x04\x00", "FMT102 1:1 this is a workbook or an archive, not a design file"),
        (b"format: 1\r\na: \x00", "FMT102 2:4 a character that does not show (U+0000); delete it"),
        (
            "format: 1\nü: a\u202eb\n".encode(),
            "FMT102 2:5 a character that does not show (U+202E); delete it",
        ),
        (
            "format: 1\na: b\u2028c\n".encode(),
            "FMT102 2:5 a character that does not show (U+2028); delete it",
        ),
        (b"format: 1\nplugs:\n\tX1: {}\n", "FMT103 3:1 a tab in the indentation; use spaces"),
        (b"format: 1\nplugs:\n  \tX1: {}\n", "FMT103 3:3 a tab in the indentation; use spaces"),
    ],
)
def test_bytes_that_are_no_design(tmp_path: Path, data: bytes, said: str) -> None:
    assert refusal(written(tmp_path, data)) == said


def test_byte_order_mark_and_line_ends_do_not_matter(tmp_path: Path) -> None:
    text = "format: 1\nplugs:\n  X1: {title: A}\n"
    plain = load(written(tmp_path, text.encode())).design
    assert load(written(tmp_path, b"\xef\xbb\xbf" + text.encode())).design == plain
    assert load(written(tmp_path, text.replace("\n", "\r\n").encode())).design == plain
    assert load(written(tmp_path, text.replace("\n", "\r").encode())).design == plain


def test_text_with_a_lone_surrogate_is_refused() -> None:
    with pytest.raises(Unreadable, match="does not show"):
        load_text("format: 1\nplugs: {X1: {title: '\ud800'}}")


def test_the_text_is_kept_for_printing_lines(tmp_path: Path) -> None:
    path = written(tmp_path, b"format: 1\r\nplugs: {}\r\n")
    design = load(path).design
    assert design.sources == {str(path): "format: 1\nplugs: {}\n"}
    assert (design.path, design.name) == (str(path), "d")
