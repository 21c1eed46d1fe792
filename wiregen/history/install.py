"""Teaching git, in one repository, to show what changed electrically."""

from __future__ import annotations

import os
import re
import shlex
import sys
from dataclasses import dataclass
from pathlib import Path

from wiregen.history.revisions import RevisionError, run_git

_MARK = b" diff=wiregen"
_KEYS = ("diff.wiregen.command", "diff.wiregen.textconv")


@dataclass(frozen=True, slots=True)
class Plan:
    """What is to be written, and where.

    Attributes:
        folder: inside the repository.
        settings: keys of the repository's own configuration with their values.
        attributes: the file of the repository that says which files are designs.
        lines: to be put at the head of that file, so that lines of others prevail.
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
    lines = tuple(f"{_quoted(pattern)}{_MARK.decode()}" for pattern in dict.fromkeys(patterns))
    return Plan(folder, tuple(zip(_KEYS, _commands(), strict=True)), attributes, lines)


def _commands() -> tuple[str, str]:
    """Return what git runs for a changed file and for one file.

    Where wiregen cannot be run any more, git shows lines, as if nothing had been installed.
    """
    call = f"{shlex.quote(Path(sys.executable).as_posix())} -m wiregen git"
    lines = 'git diff --no-index --no-ext-diff --no-textconv -- "$2" "$5"'
    return (
        f'show() {{ {call} driver "$@" || {lines} || :; }}; show',
        f'show() {{ {call} facts "$1" || cat "$1"; }}; show',
    )


def install(plan: Plan) -> None:
    """Write what was planned; other settings and other lines stay."""
    for key, value in plan.settings:
        run_git(plan.folder, "config", "--local", key, value)
    ours = "".join(f"{line}\n" for line in plan.lines).encode()
    _write(plan.attributes, ours + _of_others(plan.attributes))


def uninstall(folder: str) -> None:
    """Take the settings out of the repository again; every other byte stays."""
    attributes = _attributes(folder)
    known = run_git(folder, "config", "--local", "--list", "--name-only").splitlines()
    for key in _KEYS:
        if key in known:
            run_git(folder, "config", "--local", "--unset-all", key)
    rest = _of_others(attributes)
    if attributes.is_file() and rest != attributes.read_bytes():
        _write(attributes, rest)


def _attributes(folder: str) -> Path:
    name = run_git(folder, "rev-parse", "--git-path", "info/attributes").rstrip("\n")
    return Path(os.path.join(folder, name))


def _of_others(path: Path) -> bytes:
    """Return the lines of a file that are not ours."""
    lines = path.read_bytes().splitlines(keepends=True) if path.is_file() else []
    return b"".join(line for line in lines if not line.rstrip().endswith(_MARK))


def _write(path: Path, data: bytes) -> None:
    """Write a file, or take it away when nothing is left in it."""
    if data:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    else:
        path.unlink(missing_ok=True)


def _quoted(pattern: str) -> str:
    if not re.search(r"\s|\\", pattern):
        return pattern
    return '"' + pattern.replace("\\", "\\\\") + '"'
