"""Designs as git keeps them: files of a revision, read without touching the working tree."""

from __future__ import annotations

import os
import re
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath

from wiregen.problems import Unreadable
from wiregen.read import Loaded, load
from wiregen.read.companions import LAYOUT, MEASURED
from wiregen.read.files import MAX_BYTES, read_text
from wiregen.read.yaml_tree import Seq, read_tree, text_of

_MAX_FILES = 100


class RevisionError(ValueError):
    """Git cannot give what was asked for; one line for the user."""


@dataclass(frozen=True, slots=True)
class Stored:
    """A design file in a revision.

    Attributes:
        folder: where git is asked.
        revision: as the user wrote it.
        commit: full name of the commit.
        path: from the top of the repository, with `/`.
        renamed: the file has another name now.
    """

    folder: str
    revision: str
    commit: str
    path: str
    renamed: bool = False

    @property
    def name(self) -> str:
        """As the user would write it."""
        return f"{self.revision}:{self.path}"


class NotThere(RevisionError):
    """A revision has no file of that name; `earlier` is what it was called there."""

    def __init__(self, said: str, earlier: Stored | None) -> None:
        super().__init__(said)
        self.earlier = earlier


def stored(revision: str, path: str, folder: str, later: str = "") -> Stored:
    """Find a file in a revision.

    Args:
        revision: anything git understands as a commit.
        path: of the file as seen from `folder`, or from the top of the repository.
        folder: where to ask; inside the repository.
        later: the commit in which it is called `path`; empty for the working tree.

    Raises:
        RevisionError: no repository, no such revision, or no such file in it.
    """
    top = run_git(folder, "rev-parse", "--show-prefix").rstrip("\n")
    try:
        commit = run_git(
            folder, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}"
        ).strip()
    except RevisionError:
        shallow = run_git(folder, "rev-parse", "--is-shallow-repository").strip() == "true"
        hint = "; this is a shallow clone, fetch more of it: git fetch --unshallow"
        raise RevisionError(
            f"git knows no revision '{revision}'{hint if shallow else ''}"
        ) from None
    here = _plain_path(f"{top}{_slashes(path)}")
    for full in dict.fromkeys((here, _plain_path(_slashes(path)))):
        if full and exists(folder, commit, full):
            return Stored(folder, revision, commit, full)
    name = _earlier_name(folder, commit, here, later)
    hint = f"; it was called '{name}' there" if name else ""
    raise NotThere(
        f"'{path}' is not in revision {revision}{hint}",
        Stored(folder, revision, commit, name, renamed=True) if name else None,
    )


def read_stored(file: Stored, scratch: Path) -> Loaded:
    """Read a design of a revision with the files it includes.

    Args:
        file: the design.
        scratch: an empty folder; what the design includes and what stands beside it in that
            revision, its kept layout and what was measured, is copied there with it.

    Raises:
        RevisionError: a file in it is too large, or there are too many.
        Unreadable: it is no design; places are named `REVISION:FILE`.
    """
    root = PurePosixPath(file.path).parent
    beside = [str(PurePosixPath(file.path).with_suffix(ending)) for ending in (LAYOUT, MEASURED)]
    waiting, seen = [*beside, file.path], set[str]()
    while waiting and len(seen) < _MAX_FILES:
        path = waiting.pop()
        if path in seen or not exists(file.folder, file.commit, path):
            continue
        seen.add(path)
        target = Path(scratch, *PurePosixPath(path).parts)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(blob(file, path))
        if path not in beside:
            waiting += _included(target, path, root)
    name = str(Path(scratch, *PurePosixPath(file.path).parts))
    return _named(name, str(scratch), file.revision)


def _named(name: str, scratch: str, revision: str) -> Loaded:
    """Read the copy, and name its places after the revision."""

    def said(path: str) -> str:
        inner = os.path.relpath(path, scratch).replace(os.sep, "/")
        return f"{revision}:{inner}"

    try:
        loaded = load(name)
    except Unreadable as error:
        raise Unreadable(
            replace(p, span=p.span._replace(file=said(p.span.file))) for p in error.problems
        ) from None
    return loaded


def _included(file: Path, path: str, root: PurePosixPath) -> list[str]:
    """Return the files a copy includes, as paths in the repository; only those below its folder."""
    try:
        node = read_tree(read_text(file, path), path).get("include")
    except Unreadable:
        return []
    written = [text_of(item) for item in node] if isinstance(node, Seq) else [text_of(node)]
    found = []
    for name in written:
        full = _plain_path(str(PurePosixPath(path).parent / name))
        if name and full and PurePosixPath(full).is_relative_to(root):
            found.append(full)
    return found


def _plain_path(path: str) -> str:
    """Return a path without `.` and `..`; empty when it leads out of the repository."""
    parts: list[str] = []
    if path.startswith("/"):
        return ""
    for part in path.split("/"):
        if part == "..":
            if not parts:
                return ""
            parts.pop()
        elif part not in ("", "."):
            parts.append(part)
    return "/".join(parts)


def _slashes(path: str) -> str:
    return path.replace("\\", "/") if os.sep == "\\" else path


def exists(folder: str, commit: str, path: str) -> bool:
    """Tell whether a commit has a file of that path."""
    try:
        return run_git(folder, "cat-file", "-t", f"{commit}:{path}").strip() == "blob"
    except RevisionError:
        return False


def blob(file: Stored, path: str) -> bytes:
    """Return the bytes of a file in the same commit as `file`.

    Raises:
        RevisionError: it is too large.
    """
    name = f"{file.commit}:{path}"
    if int(run_git(file.folder, "cat-file", "-s", name)) > MAX_BYTES:
        raise RevisionError(f"{file.revision}:{path} is larger than {MAX_BYTES // 1_000_000} MB")
    return _run(file.folder, ("cat-file", "blob", name))


def _earlier_name(folder: str, commit: str, path: str, later: str) -> str:
    """Return what a file was called in a commit, when git sees that it got another name."""
    words = (
        "diff",
        "-M",
        "--diff-filter=R",
        "--name-status",
        "-z",
        commit,
        *filter(None, (later,)),
    )
    try:
        listed = run_git(folder, *words, "--")
    except RevisionError:
        return ""
    for before, after in re.findall(r"R\d+\0([^\0]+)\0([^\0]+)\0", listed):
        if after == path:
            return str(before)
    return ""


def run_git(folder: str, *words: str) -> str:
    """Run git in a folder and return what it prints.

    Raises:
        RevisionError: git is missing or says no.
    """
    return _run(folder, words).decode("utf-8", "surrogateescape")


def _run(folder: str, words: Sequence[str]) -> bytes:
    """Run git and return what it prints.

    Raises:
        RevisionError: git is missing or says no.
    """
    command = ["git", "-C", folder, "-c", "core.quotepath=off", *words]
    env = {**_environment(), "LC_ALL": "C", "GIT_OPTIONAL_LOCKS": "0", "GIT_TERMINAL_PROMPT": "0"}
    try:
        done = subprocess.run(
            command, env=env, stdin=subprocess.DEVNULL, capture_output=True, check=False
        )
    except (OSError, ValueError):
        raise RevisionError("git cannot be run; is it installed?") from None
    if done.returncode:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        raise RevisionError(f"git: {said[0].removeprefix('fatal: ')}" if said else "git says no")
    return done.stdout


def _environment() -> dict[str, str]:
    """Return the environment in which git finds the repository of the folder it is asked in.

    A hook in a second working tree gets GIT_DIR alone, which makes any folder look like the top.
    """
    env = dict(os.environ)
    if "GIT_WORK_TREE" not in env:
        env.pop("GIT_DIR", None)
    for name in ("GIT_DIR", "GIT_WORK_TREE"):
        if name in env:
            env[name] = os.path.abspath(env[name])
    return env
