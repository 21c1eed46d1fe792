"""Git shows designs as circuits: in one repository, and not after it is taken out again."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.history.samples import BASE

ROOT = Path(__file__).resolve().parents[2]
NAME = "Traktor Zündung.yaml"


def git(folder: Path, *words: str, code: int = 0) -> str:
    who = ("-c", "user.name=Workshop", "-c", "user.email=workshop@example.org")
    env = {**os.environ, "PYTHONPATH": str(ROOT), "GIT_CONFIG_GLOBAL": os.devnull}
    done = subprocess.run(
        ["git", "--no-pager", *who, *words], cwd=folder, env=env, capture_output=True, check=False
    )
    assert done.returncode == code, done.stderr
    return done.stdout.decode("utf-8")


@pytest.fixture
def repository(tmp_path) -> Path:
    git(tmp_path, "init", "-q")
    (tmp_path / NAME).write_text(BASE, "utf-8")
    git(tmp_path, "add", "-A")
    git(tmp_path, "commit", "-q", "-m", "first")
    (tmp_path / NAME).write_text(BASE.replace("rating: 15", "rating: 20"), "utf-8")
    return tmp_path


def test_diff_and_log_show_circuits_until_taken_out(repository, wiregen):
    before = (repository / ".git" / "config").read_text("utf-8")
    plain = git(repository, "diff")
    done = wiregen("git", "install", "--yes", "*.yaml")
    assert done.code == 0
    assert "*.yaml diff=wiregen" in done.out
    assert "  F2  rating: 15 A -> 20 A\n" in git(repository, "diff")
    git(repository, "commit", "-q", "-a", "-m", "larger fuse")
    log = git(repository, "log", "-p", "-1")
    assert "\n-fuses F2: rating 15 A, style blade, title Horn\n" in log
    assert "\n+fuses F2: rating 20 A, style blade, title Horn\n" in log
    assert wiregen("git", "uninstall").code == 0
    assert (repository / ".git" / "config").read_text("utf-8") == before
    assert not (repository / ".git" / "info" / "attributes").exists()
    assert git(repository, "diff", "HEAD~1") == plain


def test_a_file_that_is_no_design_is_shown_line_by_line(repository, wiregen):
    wiregen("git", "install", "--yes", "*.yaml")
    (repository / NAME).write_text(BASE.replace("wires:", "wire:"), "utf-8")
    shown = git(repository, "diff")
    assert "\n-wires:\n" in shown
    assert "\n+wire:\n" in shown


def test_nothing_is_written_without_a_yes(repository, wiregen, monkeypatch):
    before = (repository / ".git" / "config").read_text("utf-8")
    monkeypatch.setattr(sys, "stdin", io.StringIO("n\n"))
    done = wiregen("git", "install", "*.yaml")
    assert done.code == 0
    assert done.out.endswith("nothing was written\n")
    assert (repository / ".git" / "config").read_text("utf-8") == before
    attributes = repository / ".git" / "info" / "attributes"
    assert not attributes.exists() or "wiregen" not in attributes.read_text("utf-8")


@pytest.mark.parametrize("theirs", [b"*.png binary\n", b"*.png binary", b"*.r\xe9 text\r\n\r\n"])
def test_lines_of_others_stay_to_the_byte(repository, wiregen, theirs):
    attributes = repository / ".git" / "info" / "attributes"
    attributes.parent.mkdir(exist_ok=True)
    attributes.write_bytes(theirs)
    wiregen("git", "install", "--yes", "*.yaml", NAME)
    assert attributes.read_bytes() == (
        f'*.yaml diff=wiregen\n"{NAME}" diff=wiregen\n'.encode() + theirs
    )
    wiregen("git", "install", "--yes", "*.yaml")
    assert attributes.read_bytes() == b"*.yaml diff=wiregen\n" + theirs
    wiregen("git", "uninstall")
    assert attributes.read_bytes() == theirs


def test_taken_out_twice_or_never_put_in_changes_nothing(repository, wiregen):
    config = (repository / ".git" / "config").read_bytes()
    attributes = repository / ".git" / "info" / "attributes"
    attributes.parent.mkdir(exist_ok=True)
    attributes.write_bytes(b"")
    assert wiregen("git", "uninstall").code == 0
    assert (repository / ".git" / "config").read_bytes() == config
    assert attributes.read_bytes() == b""


def test_a_commit_that_is_shown(repository, wiregen):
    wiregen("git", "install", "--yes", "*.yaml")
    git(repository, "commit", "-q", "-a", "-m", "larger fuse")
    assert "\n+fuses F2: rating 20 A" in git(repository, "show")


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a terminal")
@pytest.mark.parametrize("reader", ["cat", "head -n 1"])
def test_through_a_pager_also_one_that_is_left_early(repository, wiregen, reader):
    wiregen("git", "install", "--yes", "*.yaml")
    seen = repository / "seen.txt"
    pager = f"{reader} > '{seen.as_posix()}'"
    terminal, inner = os.openpty()
    done = subprocess.run(
        ["git", "-c", f"core.pager={pager}", "diff"],
        cwd=repository,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=inner,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(inner)
    os.close(terminal)
    shown = seen.read_text("utf-8")
    assert shown.startswith(f"diff {NAME} {NAME}\n")
    assert ("  F2  rating: 15 A -> 20 A\n" in shown) is (reader == "cat")
    assert done.stderr == b""


def test_a_conflict_is_shown_as_two_circuits(repository, wiregen):
    wiregen("git", "install", "--yes", "*.yaml")
    git(repository, "checkout", "-q", "-b", "side")
    git(repository, "commit", "-q", "-a", "-m", "larger fuse")
    git(repository, "checkout", "-q", "-")
    (repository / NAME).write_text(BASE.replace("rating: 15", "rating: 7.5"), "utf-8")
    git(repository, "commit", "-q", "-a", "-m", "smaller fuse")
    assert git(repository, "merge", "side", code=1)
    shown = git(repository, "diff")
    assert "++<<<<<<< ours\n +fuses F2: rating 7.5 A" in shown
    assert "++=======\n+ fuses F2: rating 20 A" in shown
    assert f"{NAME}: two versions of a merge stand here\n" in git(repository, "diff", "--ours")


def test_git_shows_lines_when_wiregen_is_no_longer_there(repository, wiregen):
    wiregen("git", "install", "--yes", "*.yaml")
    config = repository / ".git" / "config"
    text = config.read_text("utf-8")
    assert text.count(sys.executable) == 2
    config.write_text(text.replace(sys.executable, "/nowhere/python"), "utf-8")
    line = "\n+  F2: {title: Horn, rating: 20, style: blade}\n"
    assert line in git(repository, "diff")
    git(repository, "commit", "-q", "-a", "-m", "larger fuse")
    assert line in git(repository, "log", "-p", "-1")


def test_files_that_came_or_went_or_were_renamed(repository, wiregen):
    wiregen("git", "install", "--yes", "*.yaml")
    git(repository, "rm", "-q", "-f", NAME)
    shown = git(repository, "diff", "--cached")
    assert "\nold -> nothing: " in shown
    assert "\n  F2  removed: Horn, " in shown
    git(repository, "reset", "-q", "--hard")
    git(repository, "mv", NAME, "other.yaml")
    (repository / "other.yaml").write_text(BASE.replace("rating: 15", "rating: 20"), "utf-8")
    shown = git(repository, "diff", "-M", "HEAD")
    assert shown.startswith(f"diff {NAME} other.yaml\nold -> new: 1 change\n")


def test_a_kept_layout_is_one_line(repository, wiregen):
    beside = repository / "a.layout.yaml"
    beside.write_text("layout: 1\nsheets: {}\n", "utf-8")
    git(repository, "add", "-A")
    git(repository, "commit", "-q", "-m", "drawn")
    wiregen("git", "install", "--yes", "*.yaml")
    beside.write_text("layout: 1\nsheets:\n  a: {}\n  b: {}\n", "utf-8")
    shown = git(repository, "diff")
    assert shown == f"diff {beside.name} {beside.name}\nwhat stands where on the drawings\n"
    git(repository, "commit", "-q", "-a", "-m", "drawn anew")
    log = git(repository, "log", "-p", "-1")
    assert len([line for line in log.splitlines() if line[:2] in ("-w", "+w")]) == 2


@pytest.mark.parametrize("pattern", ["", "a\nb", 'a"b', "!a", "#a"])
def test_patterns_that_git_would_read_otherwise_are_refused(repository, wiregen, pattern):
    assert wiregen("git", "install", "--yes", pattern).code == 2
    assert "diff=wiregen" not in git(repository, "config", "--local", "--list")


def test_outside_of_a_repository(tmp_path, wiregen, monkeypatch):
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    done = wiregen("git", "install", "--yes", "*.yaml")
    assert done.code == 2
    assert "not a git repository" in done.err
