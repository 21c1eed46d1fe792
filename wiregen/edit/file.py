"""Edits made in a file on the disk: the whole new file takes the place of the old one."""

from __future__ import annotations

import codecs
import os
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path

from wiregen.edit.apply import edit_text
from wiregen.edit.edits import Edit, EditError
from wiregen.read.files import read_text


def edit_file(path: str | Path, edits: Iterable[Edit]) -> None:
    """Make edits in a design file; byte order mark, line ends and rights stay as they were.

    Args:
        path: the design file; a link is followed.
        edits: see `edit_text`.

    Raises:
        EditError: an edit cannot be made, or the file cannot be written; nothing was changed.
        Unreadable: the file cannot be read as a design.
    """
    change_file(path, lambda text: edit_text(text, edits, str(path)))


def change_file(path: str | Path, change: Callable[[str], str]) -> bool:
    """Put another text in the place of a design file; mark, line ends and rights stay.

    Args:
        path: the design file; a link is followed.
        change: from the text of the file, line ends as they are, to the new text.

    Returns:
        Whether the text is another one.

    Raises:
        EditError: the file cannot be written; nothing was changed.
        Unreadable: the file cannot be read as a design.
    """
    read_text(path, str(path))
    real = Path(os.path.realpath(path))
    data = real.read_bytes()
    mark = codecs.BOM_UTF8 if data.startswith(codecs.BOM_UTF8) else b""
    old = data[len(mark) :].decode("utf-8")
    new = change(old)
    if new != old:
        _write(real, mark + new.encode("utf-8"))
    return new != old


def _write(path: Path, data: bytes) -> None:
    passing = ""
    try:
        handle, passing = tempfile.mkstemp(prefix=".wiregen-", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        os.chmod(passing, path.stat().st_mode & 0o7777)
        os.replace(passing, path)
    except OSError as error:
        if passing and os.path.exists(passing):
            os.unlink(passing)
        raise EditError(f"cannot write {path}: {(error.strerror or str(error)).lower()}") from None
