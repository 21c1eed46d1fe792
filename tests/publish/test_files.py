"""Sets of files are written whole or not at all."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from wiregen.publish import CannotWrite, write_files
from wiregen.publish import files as module


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def test_writes_every_file_and_makes_the_folder(tmp_path):
    target = tmp_path / "a" / "b"
    written = write_files(target, {"x.svg": b"1", "y.svg": b"2"})
    assert written == [target / "x.svg", target / "y.svg"]
    assert contents(target) == {"x.svg": b"1", "y.svg": b"2"}


def test_replaces_what_stood_there(tmp_path):
    (tmp_path / "x.svg").write_bytes(b"old and longer")
    write_files(tmp_path, {"x.svg": b"new"})
    assert contents(tmp_path) == {"x.svg": b"new"}


def test_removes_only_old_files_of_the_same_set(tmp_path):
    for name in ("n-face-X1.svg", "n-face-X9.svg", "m-face-X9.svg", "notes.txt"):
        (tmp_path / name).write_bytes(b"old")
    (tmp_path / "n-face-X8.svg").mkdir()
    write_files(tmp_path, {"n-face-X1.svg": b"new"}, (r"n-face-[\w.-]+\.svg",))
    (tmp_path / "n-face-X8.svg").rmdir()
    assert contents(tmp_path) == {
        "m-face-X9.svg": b"old",
        "n-face-X1.svg": b"new",
        "notes.txt": b"old",
    }


def test_a_failing_rename_puts_everything_back(tmp_path, monkeypatch):
    before = {"a.svg": b"old a", "b.svg": b"old b", "n-old.svg": b"stale"}
    for name, content in before.items():
        (tmp_path / name).write_bytes(content)
    real = os.replace
    target_c = tmp_path / "c.svg"

    def replace(source, target):
        if Path(target) == target_c:
            raise OSError(28, "No space left on device")
        real(source, target)

    monkeypatch.setattr(module.os, "replace", replace)
    new = {"first.svg": b"new", "a.svg": b"new a", "b.svg": b"new b", "c.svg": b"new c"}
    with pytest.raises(CannotWrite, match=r"no space left on device$"):
        write_files(tmp_path, new, (r"n-.*\.svg",))
    assert contents(tmp_path) == before


def test_a_full_disk_leaves_nothing_behind(tmp_path, monkeypatch):
    def write_bytes(self, data):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", write_bytes)
    target = tmp_path / "new" / "deep"
    with pytest.raises(CannotWrite, match="no space left"):
        write_files(target, {"x.svg": b"1"})
    assert list(tmp_path.iterdir()) == []


def test_an_interruption_leaves_nothing_behind(tmp_path, monkeypatch):
    def write_bytes(self, data):
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "write_bytes", write_bytes)
    with pytest.raises(KeyboardInterrupt):
        write_files(tmp_path / "new", {"x.svg": b"1"})
    assert list(tmp_path.iterdir()) == []


def test_contents_are_written_as_they_come(tmp_path):
    (tmp_path / "n-old.svg").write_bytes(b"stale")

    def aside() -> list[str]:
        return sorted(path.name for path in tmp_path.glob(".wiregen-*/new/*"))

    def made() -> Iterator[tuple[str, bytes]]:
        yield "n-b.svg", b"1"
        assert aside() == ["n-b.svg"]
        yield "n-a.svg", b"2"
        assert aside() == ["n-a.svg", "n-b.svg"]
        assert contents_of_files(tmp_path) == {"n-old.svg": b"stale"}

    written = write_files(tmp_path, made(), (r"n-.*\.svg",))
    assert [path.name for path in written] == ["n-b.svg", "n-a.svg"]
    assert contents(tmp_path) == {"n-a.svg": b"2", "n-b.svg": b"1"}


def contents_of_files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@pytest.mark.parametrize(
    "error", [ZeroDivisionError("a bug"), KeyboardInterrupt(), FileNotFoundError(2, "no font")]
)
def test_contents_that_fail_halfway_leave_the_earlier_set_as_it_was(tmp_path, error):
    before = {"a.svg": b"old a", "n-old.svg": b"old"}
    for name, content in before.items():
        (tmp_path / name).write_bytes(content)

    def made(failing: BaseException) -> Iterator[tuple[str, bytes]]:
        yield "a.svg", b"new a"
        raise failing

    with pytest.raises(type(error)):  # not CannotWrite: nothing refused the writing
        write_files(tmp_path, made(error), (r"n-.*",))
    assert contents(tmp_path) == before
    with pytest.raises(type(error)):
        write_files(tmp_path / "new" / "deep", made(error))
    assert contents(tmp_path) == before


def test_a_disk_that_is_full_halfway_leaves_the_earlier_set_as_it_was(tmp_path, monkeypatch):
    before = {"a.svg": b"old a", "b.svg": b"old b", "c.svg": b"old c"}
    for name, content in before.items():
        (tmp_path / name).write_bytes(content)
    real = Path.write_bytes
    asked = []

    def write_bytes(self, data):
        if self.name == "b.svg":
            raise OSError(28, "No space left on device")
        return real(self, data)

    def made() -> Iterator[tuple[str, bytes]]:
        for name in before:
            asked.append(name)
            yield name, b"new"

    monkeypatch.setattr(Path, "write_bytes", write_bytes)
    with pytest.raises(CannotWrite, match=r"no space left on device$"):
        write_files(tmp_path, made())
    assert contents(tmp_path) == before
    assert asked == ["a.svg", "b.svg"]


def test_a_folder_made_meanwhile_in_place_of_a_file_is_left_alone(tmp_path):
    def made() -> Iterator[tuple[str, bytes]]:
        yield "x.svg", b"1"
        (tmp_path / "x.svg").mkdir()

    with pytest.raises(CannotWrite, match="there is a folder of that name"):
        write_files(tmp_path, made())
    assert [path.name for path in tmp_path.iterdir()] == ["x.svg"]


def test_refuses_two_files_of_one_name(tmp_path):
    with pytest.raises(ValueError, match=r"two files of one name: 'x\.svg'"):
        write_files(tmp_path, [("x.svg", b"1"), ("x.svg", b"2")])
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_place_of_the_folder(tmp_path):
    (tmp_path / "out").write_bytes(b"keep")
    with pytest.raises(CannotWrite, match="is a file, not a folder"):
        write_files(tmp_path / "out", {"x.svg": b"1"})
    with pytest.raises(CannotWrite, match="cannot make the folder"):
        write_files(tmp_path / "out" / "sub", {"x.svg": b"1"})
    assert contents(tmp_path) == {"out": b"keep"}


def test_a_folder_in_place_of_a_file(tmp_path):
    (tmp_path / "x.svg").mkdir()
    with pytest.raises(CannotWrite, match="there is a folder of that name"):
        write_files(tmp_path, {"a.svg": b"1", "x.svg": b"1"})
    assert [path.name for path in tmp_path.iterdir()] == ["x.svg"]


@pytest.mark.skipif(not Path("/proc/version").exists(), reason="a folder nobody can write into")
def test_an_unwritable_folder():
    with pytest.raises(CannotWrite, match="cannot"):
        write_files("/proc/self", {"x.svg": b"1"})


@pytest.mark.parametrize("name", ["../x", "a/b", "", ".", "..", "a\0b"])
def test_refuses_names_that_are_paths(tmp_path, name):
    with pytest.raises(ValueError, match="not a plain file name"):
        write_files(tmp_path / "out", {name: b"1"})
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("folder", ["a\0b", "x" * 5000])
def test_folders_no_system_can_make(tmp_path, folder):
    with pytest.raises(CannotWrite, match="cannot make the folder"):
        write_files(tmp_path / folder, {"x.svg": b"1"})
