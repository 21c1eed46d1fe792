"""Every example of the README is run, and what it shows is what comes out.

`WIREGEN_PYTHON` names the Python of an installed wheel to run them with. Run as a program, this
writes what comes out now into the README.
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
FENCE = re.compile(r"^```(\w+)(?: (\S+))?\n(.*?)^```$", re.S | re.M)

Block = tuple[str, str, str]
"""Language, name and text of a block in the README."""


def blocks(text: str) -> list[Block]:
    return [(found[1], found[2] or "", found[3]) for found in FENCE.finditer(text)]


BEFORE, WALK, AFTER = re.split(r"(?ms)^(## One change, reviewed\n.*?)(?=^## )", README)
BLOCKS = blocks(BEFORE + AFTER)


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    return lay_out(tmp_path_factory.mktemp("desk"))


def lay_out(folder: Path) -> Path:
    """Fill a folder with the demo designs and the files the README tells to save."""
    shutil.copytree(ROOT / "designs", folder / "designs")
    for language, name, text in BLOCKS:
        if language in ("yaml", "csv") and name:
            (folder / name).write_text(text, encoding="utf-8")
    return folder


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    installed = os.environ.get("WIREGEN_PYTHON", "")
    here = "" if installed else str(ROOT)
    env = {**os.environ, "PYTHONPATH": here, "COLUMNS": "100", "NO_COLOR": "1"}
    command = [installed or sys.executable, *words]
    return subprocess.run(
        command, cwd=folder, env=env, capture_output=True, text=True, encoding="utf-8", check=False
    )


def commands(text: str) -> list[tuple[str, str]]:
    """The commands of a console block, each with the output shown."""
    _, *parts = re.split(r"^\$ ", text, flags=re.M)
    return [(command, output) for command, _, output in (p.partition("\n") for p in parts)]


def sessions() -> list[tuple[str, str]]:
    """The commands of the console blocks, each with the output shown."""
    found = []
    for language, _, text in BLOCKS:
        if language == "console":
            found += commands(text)
    return found


def answer(folder: Path, command: str) -> str:
    """Return what a command of the console blocks prints, or the last lines of it."""
    command, _, last = command.partition(" | tail -n ")
    name, *words = shlex.split(command)
    assert name == "wiregen"
    done = run(folder, "-m", "wiregen", *words)
    assert "Traceback" not in done.stderr
    lines = (done.stdout + done.stderr).splitlines(keepends=True)
    return "".join(lines[-int(last) :] if last else lines)


def walked(folder: Path) -> list[tuple[str, str, str]]:
    """Work through the section on git in a repository made there: command, shown, what came."""
    tools = folder.parent / "tools"
    tools.mkdir()
    python = os.environ.get("WIREGEN_PYTHON", "") or sys.executable
    (tools / "wiregen").write_text(f'#!/bin/sh\nexec "{python}" -m wiregen "$@"\n', "utf-8")
    (tools / "wiregen").chmod(0o755)
    who = "[user]\n\tname = Workshop\n\temail = workshop@example.org\n"
    (tools / "config").write_text(f"{who}[init]\n\tdefaultBranch = main\n", "utf-8")
    env = {**os.environ, "COLUMNS": "100", "NO_COLOR": "1"}
    env |= {"PATH": f"{tools}{os.pathsep}{env['PATH']}", "PYTHONPATH": str(ROOT)}
    env |= {"GIT_CONFIG_GLOBAL": str(tools / "config"), "GIT_CONFIG_NOSYSTEM": "1"}
    if "WIREGEN_PYTHON" in os.environ:
        del env["PYTHONPATH"]

    def shell(*words: str, text: str = "") -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            words,
            cwd=folder,
            env=env,
            input=text,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )

    found = []
    for language, name, text in blocks(WALK):
        if language == "yaml" and name:
            (folder / name).write_text(text, encoding="utf-8")
        elif language == "diff":
            shell("git", "apply", "-", text=text).check_returncode()
        elif language == "console":
            for command, shown in commands(text):
                done = shell("sh", "-c", command)
                found.append((command, shown, done.stdout + done.stderr))
    return found


@pytest.fixture(scope="module")
def answers(desk):
    """What comes out of a command by its number; those before it in the README are run first."""
    found = []

    def answer_to(number: int) -> str:
        for command, _ in sessions()[len(found) : number + 1]:
            found.append(answer(desk, command))
        return found[number]

    return answer_to


@pytest.mark.parametrize("number", range(len(sessions())), ids=[c for c, _ in sessions()])
def test_console_examples(answers, number):
    assert answers(number) == sessions()[number][1]


def test_one_change_reviewed_in_a_real_repository(tmp_path):
    folder = tmp_path / "work lamp"
    folder.mkdir()
    steps = walked(folder)
    assert len(steps) >= 8
    for command, shown, came in steps:
        assert command.split()[0] in ("git", "wiregen")
        assert (command, came) == (command, shown)
    log = subprocess.run(
        ["git", "log", "--format=%s"], cwd=folder, capture_output=True, text=True, check=True
    )
    assert log.stdout == "work lamp: 55 W, revision B\nwork lamp as found\n"
    assert (folder / "rev-B" / "work-lamp-pack.pdf").is_file()


def test_python_example(desk):
    (code,) = [text for language, _, text in BLOCKS if language == "python"]
    done = run(desk, "-c", code)
    assert (done.returncode, done.stderr) == (0, "")
    assert (desk / "engine-plug.svg").read_text(encoding="utf-8").startswith("<svg ")


def test_the_two_commands_are_those_of_the_checks():
    shell = [text.strip() for language, _, text in BLOCKS if language == "sh"]
    assert len(shell) == 2
    assert "pip install" in shell[0]
    assert "wiregen draw designs/tractor.yaml" in shell[0]
    assert shell[1].split()[0].endswith("pytest")


def test_links_lead_somewhere():
    targets = re.findall(r"\]\(([^)#]+)\)", README)
    assert "DEVELOPERS.md" in targets
    missing = [target for target in targets if not (ROOT / target).exists()]
    assert missing == []


def test_every_command_is_listed():
    from typer.main import get_command

    from wiregen.cli.app import app

    names = set(get_command(app).commands)
    listed = set(re.findall(r"^\| `wiregen (\w+)", README, re.M))
    assert listed == names


def refresh() -> None:
    """Write what the console examples print now into the README."""
    text = README
    with tempfile.TemporaryDirectory() as name:
        folder = lay_out(Path(name))
        for command, output in sessions():
            text = text.replace(f"$ {command}\n{output}", f"$ {command}\n{answer(folder, command)}")
        walk = Path(name, "walk")
        walk.mkdir()
        for command, shown, came in walked(walk):
            text = text.replace(f"$ {command}\n{shown}", f"$ {command}\n{came}", 1)
    (ROOT / "README.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    refresh()
