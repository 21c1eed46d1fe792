"""Writing a set of files: all of them or none."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path


class CannotWrite(Exception):
    """The files could not be written; the text says which and why, nothing was changed."""


def _nothing() -> None:
    """Do nothing."""


def write_files(
    folder: str | Path,
    files: Mapping[str, bytes],
    replaces: Sequence[str] = (),
    last: Callable[[], object] = _nothing,
) -> list[Path]:
    """Write a set of files into one folder, whole or not at all.

    Everything is first written under passing names in the folder, then renamed. When a step fails,
    what stood there before is put back.

    Args:
        folder: made when missing.
        files: plain file name -> content.
        replaces: regular expressions of whole file names; files of an earlier set that match one
            of them and are not in `files` are removed.
        last: called when all stand in their places; what it raises puts everything back as well.

    Returns:
        The paths written, in the order of `files`.

    Raises:
        CannotWrite: one line for the user.
        ValueError: a name is not a plain file name.
    """
    for name in files:
        if name in ("", ".", "..") or Path(name).name != name or "\0" in name:
            raise ValueError(f"not a plain file name: {name!r}")
    target = Path(folder)
    made = _make_folder(target)
    try:
        _refuse_folders(target, files)
        with tempfile.TemporaryDirectory(prefix=".wiregen-", dir=target) as passing:
            _exchange(target, Path(passing), files, _stale(target, files, replaces), last)
    except BaseException as error:
        for path in reversed(made):
            with suppress(OSError):
                path.rmdir()
        if isinstance(error, OSError):
            raise CannotWrite(f"cannot write into {target}: {_reason(error)}") from error
        raise
    return [target / name for name in files]


def _make_folder(target: Path) -> list[Path]:
    """Make the folder and its parents; return those that were new, outermost first."""
    missing = [path for path in (target, *target.parents) if not _exists(path)]
    made: list[Path] = []
    try:
        for path in reversed(missing):
            path.mkdir()
            made.append(path)
        if not target.is_dir():
            raise CannotWrite(f"cannot write into {target}: it is a file, not a folder")
    except (OSError, ValueError) as error:
        for path in reversed(made):
            with suppress(OSError):
                path.rmdir()
        raise CannotWrite(f"cannot make the folder {target}: {_reason(error)}") from error
    return made


def _exists(path: Path) -> bool:
    try:
        return os.path.lexists(path)
    except ValueError:
        return False


def _refuse_folders(target: Path, files: Iterable[str]) -> None:
    for name in files:
        if (target / name).is_dir():
            raise CannotWrite(f"cannot write {target / name}: there is a folder of that name")


def _stale(target: Path, files: Mapping[str, bytes], replaces: Sequence[str]) -> list[str]:
    """Names of an earlier set that the new one does not have."""
    if not replaces:
        return []
    old = re.compile("|".join(f"(?:{pattern})" for pattern in replaces))
    return sorted(
        path.name
        for path in target.iterdir()
        if path.name not in files and old.fullmatch(path.name) and path.is_file()
    )


def _exchange(
    target: Path,
    passing: Path,
    files: Mapping[str, bytes],
    stale: list[str],
    last: Callable[[], object],
) -> None:
    """Write everything aside, then swap it in; on a failure swap everything back."""
    fresh, old = passing / "new", passing / "old"
    fresh.mkdir()
    old.mkdir()
    for name, content in files.items():
        (fresh / name).write_bytes(content)
    kept: list[str] = []
    placed: list[str] = []
    try:
        for name in (*files, *stale):
            if os.path.lexists(target / name):
                os.replace(target / name, old / name)
                kept.append(name)
            if name in files:
                os.replace(fresh / name, target / name)
                placed.append(name)
        last()
    except BaseException:
        for name in placed:
            with suppress(OSError):
                (target / name).unlink()
        for name in kept:
            os.replace(old / name, target / name)
        raise


def _reason(error: BaseException) -> str:
    """The system's words, without numbers and paths."""
    if isinstance(error, OSError) and error.strerror:
        return error.strerror.lower()
    return str(error)
