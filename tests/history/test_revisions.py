"""Designs out of real repositories, made here."""

from __future__ import annotations

import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from tests.history.samples import BASE
from wiregen.history.revisions import RevisionError
from wiregen.history.sides import find_sides, read_place
from wiregen.problems import Unreadable
from wiregen.read import Loaded

NAME = "Traktor Zündung.yaml"


def git(folder: Path, *words: str) -> str:
    who = ("-c", "user.name=Workshop", "-c", "user.email=workshop@example.org")
    command = ["git", *who, "-c", "commit.gpgsign=false", *words]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=True)
    return done.stdout.strip()


def commit(folder: Path, what: str) -> str:
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", what)
    return git(folder, "rev-parse", "HEAD")


@pytest.fixture
def repository(tmp_path, monkeypatch) -> Path:
    """Three commits: the design, a changed lamp wire, an included file."""
    folder = tmp_path / "work shop"
    (folder / "looms").mkdir(parents=True)
    git(folder, "init", "-q", "-b", "main")
    design = folder / "looms" / NAME
    design.write_text(BASE, "utf-8")
    commit(folder, "first")
    design.write_text(BASE.replace("colour: GY,", "colour: WH,"), "utf-8")
    commit(folder, "lamp wire")
    monkeypatch.chdir(folder)
    return folder


def read_sides(old: str, new: str) -> tuple[Loaded, Loaded]:
    before, after = find_sides(old, new)
    with TemporaryDirectory() as scratch:
        return read_place(before, Path(scratch, "old")), read_place(after, Path(scratch, "new"))


def colours(old: str, new: str) -> tuple[str, str]:
    before, after = read_sides(old, new)
    found = (before.design.wires["W4"].colour, after.design.wires["W4"].colour)
    return tuple(colour.iec if colour else "" for colour in found)


def test_a_revision_of_the_file_and_two_revisions(repository):
    here = f"looms/{NAME}"
    assert colours("HEAD~1", here) == ("GY", "WH")
    assert colours(f"HEAD~1:{here}", f"HEAD:{here}") == ("GY", "WH")
    assert colours(f"HEAD~1:{here}", here) == ("GY", "WH")


def test_from_a_folder_below_and_from_outside(repository, monkeypatch):
    monkeypatch.chdir(repository / "looms")
    assert colours("HEAD~1", NAME) == ("GY", "WH")
    assert colours(f"HEAD~1:{NAME}", NAME) == ("GY", "WH")
    assert colours(f"HEAD~1:looms/{NAME}", NAME) == ("GY", "WH")
    monkeypatch.chdir(repository.parent)
    assert colours("HEAD~1", f"work shop/looms/{NAME}") == ("GY", "WH")


def test_a_detached_head(repository):
    git(repository, "checkout", "-q", "--detach", "HEAD~1")
    assert colours("main", f"looms/{NAME}") == ("WH", "GY")


def test_what_a_design_includes_comes_from_the_same_revision(repository):
    folder = repository / "looms"
    parts = folder / "parts" / "lamps.yaml"
    parts.parent.mkdir()
    parts.write_text("format: 1\ndevices: {P9: {kind: lamp, title: Old}}\n", "utf-8")
    (folder / NAME).write_text(BASE.replace("system:", "include: parts/lamps.yaml\nsystem:"))
    first = commit(repository, "parts")
    parts.write_text("format: 1\ndevices: {P9: {kind: lamp, title: New}}\n", "utf-8")
    before, after = read_sides(first, f"looms/{NAME}")
    assert before.design.devices["P9"].title == "Old"
    assert after.design.devices["P9"].title == "New"


def test_the_old_name_of_a_file_is_not_taken_where_another_was_asked_for(repository):
    git(repository, "mv", f"looms/{NAME}", "looms/new name.yaml")
    with pytest.raises(RevisionError, match=f"it was called 'looms/{NAME}' there"):
        read_sides("HEAD:looms/new name.yaml", "looms/new name.yaml")


@pytest.mark.parametrize(
    ("old", "said"),
    [
        ("nonsense", "git knows no revision 'nonsense'"),
        ("--output=x", "git knows no revision '--output=x'"),
        ("HEAD:gone.yaml", "'gone.yaml' is not in revision HEAD"),
        ("HEAD:../../etc/passwd", "is not in revision HEAD"),
        ("HEAD:/etc/passwd", "is not in revision HEAD"),
        ("HEAD:looms", "'looms' is not in revision HEAD"),
    ],
)
def test_what_git_cannot_give(repository, old, said):
    with pytest.raises(RevisionError) as error:
        read_sides(old, f"looms/{NAME}")
    assert said in str(error.value)
    assert "\n" not in str(error.value)
    assert git(repository, "status", "--porcelain") == ""


def test_a_shallow_clone_says_so(repository, monkeypatch):
    clone = repository.parent / "clone"
    git(repository.parent, "clone", "-q", "--depth", "1", repository.as_uri(), str(clone))
    monkeypatch.chdir(clone)
    with pytest.raises(RevisionError, match="shallow clone"):
        read_sides("HEAD~1", f"looms/{NAME}")


def test_outside_of_a_repository(tmp_path, monkeypatch):
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.yaml").write_text(BASE, "utf-8")
    with pytest.raises(RevisionError, match="not a git repository"):
        read_sides("HEAD", "a.yaml")


def test_junk_in_a_revision_is_unreadable_and_named_after_it(repository):
    file = repository / "looms" / NAME
    good = file.read_bytes()
    file.write_bytes(b"\x00\xff\x89PNG\r\n")
    commit(repository, "junk")
    file.write_bytes(good)
    with pytest.raises(Unreadable) as error:
        read_sides("HEAD", f"looms/{NAME}")
    assert error.value.problems[0].span.file == f"HEAD:looms/{NAME}"
