"""What runs without anybody at the keyboard: the hooks, and the workflow that the README shows."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]
HOOKS_FILE = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))
HOOKS = {hook["id"]: hook for hook in HOOKS_FILE}
README = (ROOT / "README.md").read_text("utf-8")
(WORKFLOW,) = (
    yaml.safe_load(block)
    for block in re.findall(r"(?ms)^```yaml\n(.*?)^```$", README)
    if "runs-on" in block
)
(LAMP,) = re.findall(r"(?ms)^```yaml work-lamp.yaml\n(.*?)^```$", README)
GOOD, BAD, UNTIDY = "Werkstatt Süd/Zündung ß.yaml", "böse.yaml", "un tidy.yaml"


@pytest.fixture
def tools(tmp_path_factory, monkeypatch) -> Path:
    """A folder on the PATH with `wiregen`, and with `gh`, which writes down what it is asked."""
    folder = tmp_path_factory.mktemp("tools")
    call = f'#!/bin/sh\nexec "{sys.executable}" -m wiregen "$@"\n'
    asked = f"""#!/bin/sh
        printf '%s\\n' "$*" >> "{folder}/asked.txt"
        case $* in *--edit-last*) exit 1 ;; esac
        cat comment.md > "{folder}/comment.md"
        """
    for name, text in (("wiregen", call), ("gh", asked)):
        (folder / name).write_text(text, "utf-8")
        (folder / name).chmod(0o755)
    monkeypatch.setenv("PATH", f"{folder}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    for name in ("GIT_AUTHOR_", "GIT_COMMITTER_"):
        monkeypatch.setenv(f"{name}NAME", "Workshop")
        monkeypatch.setenv(f"{name}EMAIL", "workshop@example.org")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    return folder


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        words, cwd=folder, capture_output=True, encoding="utf-8", errors="replace", check=False
    )


def hook(folder: Path, name: str, *files: str) -> subprocess.CompletedProcess[str]:
    """Run a hook as pre-commit does: its entry, then the files that its patterns let through."""
    excluded = re.compile(HOOKS[name]["exclude"])
    wanted = [file for file in files if not excluded.search(file)]
    return run(folder, *shlex.split(HOOKS[name]["entry"]), *wanted)


@pytest.fixture
def shop(tmp_path, tools) -> Path:
    (tmp_path / GOOD).parent.mkdir()
    (tmp_path / GOOD).write_text(LAMP, "utf-8")
    (tmp_path / "Werkstatt Süd" / "Zündung ß.layout.yaml").write_text(
        "layout: 1\nsheets: {}\n", "utf-8"
    )
    (tmp_path / BAD).write_text(LAMP.replace("to: X1:1", "to: X1:9"), "utf-8")
    (tmp_path / UNTIDY).write_text("format: 1\nsplices:\n  J2: {}\n  J1: {}\n", "utf-8")
    return tmp_path


def test_the_hooks_are_those_the_readme_names():
    assert set(HOOKS) == {"wiregen-check", "wiregen-tidy", "wiregen-draw"}
    named = set(re.findall(r"\{id: ([\w-]+), files: \^designs/\}", README))
    assert named == set(HOOKS)
    for one in HOOKS.values():
        assert (one["language"], one["types"]) == ("python", ["yaml"])


@pytest.mark.parametrize(
    ("name", "files", "code", "said"),
    [
        ("wiregen-check", (GOOD,), 0, ""),
        ("wiregen-check", (GOOD, BAD), 1, "CAV101"),
        ("wiregen-tidy", (GOOD, BAD), 0, ""),
        ("wiregen-tidy", (GOOD, UNTIDY), 1, "un tidy.yaml: not tidy"),
        ("wiregen-draw", (GOOD,), 0, "out/Zündung ß/Zündung ß-sheet-01.svg"),
        ("wiregen-draw", (BAD, GOOD), 1, "out/Zündung ß/Zündung ß-sheet-01.svg"),
    ],
)
def test_a_hook_passes_and_fails_as_the_designs_are(shop, name, files, code, said):
    beside = "Werkstatt Süd/Zündung ß.layout.yaml"
    done = hook(shop, name, beside, *files)
    assert done.returncode == code, done.stdout + done.stderr
    assert said in done.stdout
    assert done.stderr == ""


def test_a_second_run_of_the_draw_hook_changes_no_file(shop):
    assert hook(shop, "wiregen-draw", GOOD).returncode == 0
    files = {path: path.read_bytes() for path in shop.rglob("*") if path.is_file()}
    assert hook(shop, "wiregen-draw", GOOD).returncode == 0
    assert files == {path: path.read_bytes() for path in shop.rglob("*") if path.is_file()}


def steps() -> list[dict[str, object]]:
    (job,) = WORKFLOW["jobs"].values()
    return [step for step in job["steps"] if "run" in step and "pip" not in step["run"]]


def test_the_workflow_is_one_that_can_run():
    assert WORKFLOW[True] == "pull_request"  # `on` is a flag in YAML 1.1; GitHub reads the word
    assert WORKFLOW["permissions"] == {"contents": "read", "pull-requests": "write"}
    assert [step.get("name", "") for step in steps()] == ["what changes", "comment", "", ""]


def test_a_comment_too_long_for_the_web_page_is_cut_between_letters(tmp_path, tools):
    (tmp_path / "change.md").write_text("x" + "ä" * 40_000, "utf-8")
    (comment,) = (step["run"] for step in steps() if step.get("name") == "comment")
    assert run(tmp_path, "bash", "-e", "-c", str(comment)).returncode == 0
    assert (tools / "comment.md").read_text("utf-8") == "x" + "ä" * 29_999
    (tmp_path / "change.md").write_text("", "utf-8")
    (tools / "asked.txt").unlink()
    assert run(tmp_path, "bash", "-e", "-c", str(comment)).returncode == 0
    assert not (tools / "asked.txt").exists()


def test_the_workflow_says_what_a_pull_request_changes(shop, tools, monkeypatch):
    designs = shop / "designs"
    designs.mkdir()
    for old, new in ((GOOD, "Zündung ß.yaml"), (UNTIDY, "un tidy.yaml")):
        (designs / new).write_bytes((shop / old).read_bytes())
    (designs / "old name.yaml").write_text(LAMP.replace("Work lamp", "Bell"), "utf-8")
    (designs / "gone.yaml").write_text("format: 1\nsplices: {J7: {}}\n", "utf-8")
    run(shop, "git", "init", "-q", "-b", "main")
    run(shop, "git", "add", "designs")
    run(shop, "git", "commit", "-q", "-m", "base")
    run(shop, "git", "update-ref", "refs/remotes/origin/main", "HEAD")
    (designs / "Zündung ß.yaml").write_text(LAMP.replace("to: X1:1", "to: X1:9"), "utf-8")
    (designs / "Zündung ß.layout.yaml").write_text("layout: 1\nsheets: {}\n", "utf-8")
    (designs / "new.yaml").write_text("format: 1\nsplices: {J8: {}}\n", "utf-8")
    (designs / "old name.yaml").rename(designs / "new name.yaml")
    (designs / "gone.yaml").unlink()
    run(shop, "git", "add", "designs")
    run(shop, "git", "commit", "-q", "-m", "change")
    monkeypatch.setenv("GITHUB_BASE_REF", "main")
    monkeypatch.setenv("GITHUB_STEP_SUMMARY", str(shop / "summary.md"))
    monkeypatch.setenv("NUMBER", "7")
    done = [run(shop, "bash", "-e", "-c", str(step["run"])) for step in steps()]
    assert [one.returncode for one in done] == [0, 0, 1, 1], done
    comment = (tools / "comment.md").read_text("utf-8")
    assert comment == (shop / "summary.md").read_text("utf-8")
    heads = re.findall(r"(?m)^\*\*(.*)\*\*: \d+ change", comment)
    assert [head.replace("\\", "") for head in heads] == [
        "origin/main → designs/Zündung ß.yaml",
        "origin/main:designs/gone.yaml → nothing",
        "nothing → designs/new.yaml",
    ]
    assert "- W2 moved: X1:1 -\\> X1:9" in comment
    assert "- J7 removed" in comment
    assert "- J8 new" in comment
    assert (tools / "asked.txt").read_text("utf-8").splitlines() == [
        "pr comment 7 --edit-last -F comment.md",
        "pr comment 7 -F comment.md",
    ]
    assert "::error file=designs/Zündung ß.yaml,line=" in done[2].stdout
    assert "designs/un tidy.yaml: not tidy" in done[3].stdout
