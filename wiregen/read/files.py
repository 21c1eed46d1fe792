"""Opening a design file: bytes to text, or a plain word about why not."""

from __future__ import annotations

import codecs
import os
import re
from pathlib import Path

from wiregen.problems import Problem, Unreadable
from wiregen.read import codes
from wiregen.source import Span

MAX_BYTES = 20_000_000
_HIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff"
    "\ufeff\ufffe\uffff]"
)
_TAB = re.compile(r"^ *\t[ \t]*(?=[^\s#])", re.MULTILINE)
_OTHER = {
    b"%PDF": "this is a PDF",
    b"\x89PNG": "this is a picture",
    b"\xff\xd8\xff": "this is a picture",
    b"PK\x03\x04": "this is a workbook or an archive",
}
_WIDE = (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def read_text(path: str | Path, name: str) -> str:
    """Return the text of a design file with `\\n` line ends.

    Args:
        path: where the file is.
        name: what to call it in spans.

    Raises:
        Unreadable: FMT101 or FMT102.
    """
    return decode(_read_bytes(path, name), name)


def decode(data: bytes, name: str) -> str:
    """Return UTF-8 bytes as text with `\\n` line ends, free of characters that do not show."""
    if data.startswith(_WIDE):
        said = "the file is saved as UTF-16 or UTF-32; save it as UTF-8"
        raise _unreadable(codes.TEXT, said, name)
    other = next((words for mark, words in _OTHER.items() if data.startswith(mark)), "")
    if other:
        raise _unreadable(codes.TEXT, f"{other}, not a design file", name)
    data = data.removeprefix(codecs.BOM_UTF8)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        found = data[error.start]
        said = f"not UTF-8 text (byte 0x{found:02X}); save the file as UTF-8"
        raise _unreadable(codes.TEXT, said, name, _plain_ends(before)) from None
    return plain_text(text, name)


def plain_text(text: str, name: str) -> str:
    """Return a text with `\\n` line ends, free of characters that do not show.

    Raises:
        Unreadable: FMT102 or FMT103.
    """
    text = _plain_ends(text)
    hidden = _HIDDEN.search(text)
    if hidden:
        said = f"a character that does not show (U+{ord(hidden[0]):04X}); delete it"
        raise _unreadable(codes.TEXT, said, name, text[: hidden.start()])
    tab = _TAB.search(text)
    if tab:
        before = text[: text.index("\t", tab.start())]
        raise _unreadable(codes.YAML, "a tab in the indentation; use spaces", name, before)
    return text


def _plain_ends(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _read_bytes(path: str | Path, name: str) -> bytes:
    try:
        if os.path.isdir(path):
            raise _unreadable(codes.FILE, "this is a folder, not a design file", name)
        with open(path, "rb") as file:
            data = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        said = "there is no such file; look at its name and folder"
        raise _unreadable(codes.FILE, said, name) from None
    except PermissionError:
        raise _unreadable(codes.FILE, "the file may not be read (permission)", name) from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise _unreadable(codes.FILE, f"the file cannot be read: {reason}", name) from None
    if len(data) > MAX_BYTES:
        said = f"the file is larger than {MAX_BYTES // 1_000_000} MB"
        raise _unreadable(codes.FILE, said, name)
    return data


def _unreadable(code: str, message: str, name: str, before: str = "") -> Unreadable:
    """Make the error for the place behind `before`."""
    line = before.count("\n") + 1
    column = len(before) - (before.rfind("\n") + 1) + 1
    return Unreadable([Problem(code, "error", message, Span(name, line, column))])
