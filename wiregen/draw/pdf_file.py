"""A PDF file as numbered objects, written one after another."""

from __future__ import annotations

import zlib
from io import BytesIO


class PdfFile:
    """Objects go in one by one; nothing that was added is held but its place.

    A number may be handed out before its object is there, so that objects can lead to later ones.
    """

    def __init__(self) -> None:
        self._out = BytesIO()
        self._out.write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
        self._places: list[int] = []

    def reserve(self) -> int:
        """Return the number of an object that is written later."""
        self._places.append(0)
        return len(self._places)

    def write(self, number: int, body: str) -> None:
        """Write an object under a number that was handed out."""
        self._begin(number)
        self._out.write(f"{body}\nendobj\n".encode("ascii"))

    def add(self, body: str) -> int:
        """Write an object and return its number."""
        number = self.reserve()
        self.write(number, body)
        return number

    def add_stream(self, content: bytes, entries: str = "") -> int:
        """Write content, packed, with further entries of its dictionary; return its number."""
        packed = zlib.compress(content)
        number = self.reserve()
        self._begin(number)
        head = f"<< /Length {len(packed)} /Filter /FlateDecode{entries} >>\nstream\n"
        self._out.write(head.encode("ascii"))
        self._out.write(packed)
        self._out.write(b"\nendstream\nendobj\n")
        return number

    def finish(self, root: int, info: int) -> bytes:
        """Return the whole file, given the numbers of its root and of its description."""
        start = self._out.tell()
        count = len(self._places) + 1
        self._out.write(f"xref\n0 {count}\n0000000000 65535 f \n".encode("ascii"))
        self._out.write("".join(f"{p:010d} 00000 n \n" for p in self._places).encode("ascii"))
        trailer = f"<< /Size {count} /Root {root} 0 R /Info {info} 0 R >>"
        self._out.write(f"trailer\n{trailer}\nstartxref\n{start}\n%%EOF\n".encode("ascii"))
        return self._out.getvalue()

    def _begin(self, number: int) -> None:
        self._places[number - 1] = self._out.tell()
        self._out.write(f"{number} 0 obj\n".encode("ascii"))


def words(text: str) -> str:
    """Return text as a string object: hexadecimal, so that nothing in it can mean anything.

    Example:
        >>> words("A)")
        '<feff00410029>'
    """
    return f"<feff{text.encode('utf-16-be').hex()}>"
