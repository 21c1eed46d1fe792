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


def git(folder: Path, *words: str) -> str:
    who = ("-c", "user.name=Workshop", "-c", "user.email=workshop@example.org")
    env = {**os.environ, "PYTHONPATH": str(ROOT), "GIT_CONFIG_GLOBAL": os.devnull}
    done = subprocess.run(
        ["git", "--no-pager", *who, *words], cwd=folder, env=env, capture_output=True, check=True
    )
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
    assert (repository / ".git" / "config").read_text("utf-8").split() == before.split()
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


def test_lines_of_others_stay(repository, wiregen):
    attributes = repository / ".git" / "info" / "attributes"
    attributes.parent.mkdir(exist_ok=True)
    attributes.write_text("*.png binary\n", "utf-8")
    wiregen("git", "install", "--yes", "*.yaml", NAME)
    assert attributes.read_text("utf-8") == (
        f'*.png binary\n*.yaml diff=wiregen\n"{NAME}" diff=wiregen\n'
    )
    wiregen("git", "install", "--yes", "*.yaml")
    assert attributes.read_text("utf-8") == "*.png binary\n*.yaml diff=wiregen\n"
    wiregen("git", "uninstall")
    assert attributes.read_text("utf-8") == "*.png binary\n"


@pytest.mark.parametrize("pattern", ["", "a\nb", 'a"b', "!a", "#a"])
def test_patterns_that_git_would_read_otherwise_are_refused(repository, wiregen, pattern):
    assert wiregen("git", "install", "--yes", pattern).code == 2
    assert "diff=wiregen" not in git(repository, "config", "--local", "--list")


def test_outside_of_a_repository(tmp_path, wiregen, monkeypatch):
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    done = wiregen("git", "install", "--yes", "*.yaml")
    assert done.code == 2
    assert "not a git repository" in done.err
