"""Writing a set of files: all of them or none."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path


class CannotWrite(Exception):
    """The files could not be written; the text says which and why, nothing was changed."""


def _nothing() -> None:
    """Do nothing."""


def write_files(
    folder: str | Path,
    files: Mapping[str, bytes] | Iterable[tuple[str, bytes]],
    replaces: Sequence[str] = (),
    last: Callable[[], object] = _nothing,
) -> list[Path]:
    """Write a set of files into one folder, whole or not at all.

    Everything is first written under passing names in the folder, then renamed. When a step fails,
    what stood there before is put back.

    Args:
        folder: made when missing.
        files: plain file name and content; written one by one as they come, none is held.
        replaces: regular expressions of whole file names; files of an earlier set that match one
            of them and are not in `files` are removed.
        last: called when all stand in their places; what it raises puts everything back as well.

    Returns:
        The paths written, in the order of `files`.

    Raises:
        CannotWrite: one line for the user.
        ValueError: a name is not a plain file name, or there twice.
    """
    contents = files.items() if isinstance(files, Mapping) else files
    target = Path(folder)
    made = _make_folder(target)
    try:
        with _refusing(target):
            passing = tempfile.TemporaryDirectory(
                prefix=".wiregen-", dir=target, ignore_cleanup_errors=True
            )
        with passing:
            aside = Path(passing.name)
            names = _write_aside(target, aside / "new", contents)
            _refuse_folders(target, names)
            with _refusing(target):
                _exchange(target, aside, names, _stale(target, names, replaces), last)
    except BaseException:
        for path in reversed(made):
            with suppress(OSError):
                path.rmdir()
        raise
    return [target / name for name in names]


@contextmanager
def _refusing(target: Path) -> Iterator[None]:
    """Say for the user what the system refuses."""
    try:
        yield
    except OSError as error:
        raise CannotWrite(f"cannot write into {target}: {_reason(error)}") from error


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


def _write_aside(
    target: Path, fresh: Path, contents: Iterable[tuple[str, bytes]]
) -> dict[str, None]:
    """Write files into a folder of their own as they come; return their names in order."""
    with _refusing(target):
        fresh.mkdir()
    names: dict[str, None] = {}
    for name, content in contents:
        if name in ("", ".", "..") or Path(name).name != name or "\0" in name:
            raise ValueError(f"not a plain file name: {name!r}")
        if name in names:
            raise ValueError(f"two files of one name: {name!r}")
        with _refusing(target):
            (fresh / name).write_bytes(content)
        names[name] = None
    return names


def _refuse_folders(target: Path, names: Iterable[str]) -> None:
    for name in names:
        if (target / name).is_dir():
            raise CannotWrite(f"cannot write {target / name}: there is a folder of that name")


def _stale(target: Path, names: Mapping[str, None], replaces: Sequence[str]) -> list[str]:
    """Names of an earlier set that the new one does not have."""
    if not replaces:
        return []
    old = re.compile("|".join(f"(?:{pattern})" for pattern in replaces))
    return sorted(
        path.name
        for path in target.iterdir()
        if path.name not in names and old.fullmatch(path.name) and path.is_file()
    )


def _exchange(
    target: Path,
    aside: Path,
    names: Mapping[str, None],
    stale: Sequence[str],
    last: Callable[[], object],
) -> None:
    """Swap in what was written aside; on a failure swap everything back."""
    fresh, old = aside / "new", aside / "old"
    old.mkdir()
    kept: list[str] = []
    placed: list[str] = []
    try:
        for name in (*names, *stale):
            if os.path.lexists(target / name):
                os.replace(target / name, old / name)
                kept.append(name)
            if name in names:
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
