"""A sheet as PNG: the page of the PDF as it would be printed, in pixels."""

from __future__ import annotations

import struct
import zlib

from wiregen.draw.pdf import to_pdf
from wiregen.sheet.items import Sheet

_RGB = 2


def to_png(sheet: Sheet, ppi: float = 96) -> bytes:
    """Return one sheet as PNG at `ppi` pixels per inch."""
    import pypdfium2

    document = pypdfium2.PdfDocument(to_pdf((sheet,), sheet.title))
    try:
        picture = document[0].render(scale=ppi / 72, rev_byteorder=True)
        data = bytes(picture.buffer)
        return _png(data, picture.width, picture.height, picture.stride, ppi)
    finally:
        document.close()


def _png(data: bytes, width: int, height: int, stride: int, ppi: float) -> bytes:
    """Rows of red, green and blue, each `stride` bytes long, as a file."""
    rows = (data[start : start + 3 * width] for start in range(0, stride * height, stride))
    head = struct.pack(">IIBBBBB", width, height, 8, _RGB, 0, 0, 0)
    per_metre = round(ppi / 0.0254)
    return b"".join(
        (
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", head),
            _chunk(b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1)),
            _chunk(b"IDAT", zlib.compress(b"".join(b"\0" + row for row in rows))),
            _chunk(b"IEND", b""),
        )
    )


def _chunk(name: bytes, content: bytes) -> bytes:
    check = zlib.crc32(name + content)
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", check)
