"""Teaching git, in one repository, to show what changed electrically."""

from __future__ import annotations

import os
import re
import shlex
import sys
from dataclasses import dataclass
from pathlib import Path

from wiregen.history.revisions import RevisionError, run_git

_MARK = " diff=wiregen"


@dataclass(frozen=True, slots=True)
class Plan:
    """What is to be written, and where.

    Attributes:
        folder: inside the repository.
        settings: keys of the repository's own configuration with their values.
        attributes: the file of the repository that says which files are designs.
        lines: of that file, afterwards.
    """

    folder: str
    settings: tuple[tuple[str, str], ...]
    attributes: Path
    lines: tuple[str, ...]


def plan_install(folder: str, patterns: list[str]) -> Plan:
    """Plan the settings that make git call wiregen for design files.

    Args:
        folder: inside the repository.
        patterns: names of the design files from the top of the repository, as git writes them in
            attributes: `designs/*.yaml`.

    Raises:
        RevisionError: this is no repository, or a pattern cannot be written.
    """
    attributes = _attributes(folder)
    for pattern in patterns:
        if not pattern or not pattern.isprintable() or '"' in pattern or pattern[0] in "!#[":
            raise RevisionError(f"'{pattern}' cannot be written as a pattern of file names")
    kept = [line for line in _lines(attributes) if not line.endswith(_MARK)]
    added = [f"{_quoted(pattern)}{_MARK}" for pattern in dict.fromkeys(patterns)]
    call = f"{shlex.quote(Path(sys.executable).as_posix())} -m wiregen git"
    settings = (
        ("diff.wiregen.command", f"{call} driver"),
        ("diff.wiregen.textconv", f"{call} facts"),
    )
    return Plan(folder, settings, attributes, (*kept, *added))


def install(plan: Plan) -> None:
    """Write what was planned; other settings and other lines stay."""
    for key, value in plan.settings:
        run_git(plan.folder, "config", "--local", key, value)
    _write(plan.attributes, plan.lines)


def uninstall(folder: str) -> None:
    """Take the settings out of the repository again; all else stays."""
    attributes = _attributes(folder)
    known = run_git(folder, "config", "--local", "--list", "--name-only").splitlines()
    for key in ("diff.wiregen.command", "diff.wiregen.textconv"):
        if key in known:
            run_git(folder, "config", "--local", "--unset-all", key)
    lines = _lines(attributes)
    kept = [line for line in lines if not line.endswith(_MARK)]
    if kept != lines:
        _write(attributes, tuple(kept))


def _attributes(folder: str) -> Path:
    name = run_git(folder, "rev-parse", "--git-path", "info/attributes").rstrip("\n")
    return Path(os.path.join(folder, name))


def _lines(path: Path) -> list[str]:
    return path.read_text("utf-8").splitlines() if path.is_file() else []


def _write(path: Path, lines: tuple[str, ...]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("".join(f"{line}\n" for line in lines), "utf-8")


def _quoted(pattern: str) -> str:
    if not re.search(r"\s|\\", pattern):
        return pattern
    return '"' + pattern.replace("\\", "\\\\") + '"'
