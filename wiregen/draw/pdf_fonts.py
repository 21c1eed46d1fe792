"""The part of a font that a document uses, embedded so that its text can be searched and copied.

Text stands in a page as UTF-16; a table of the document leads from there to the glyphs.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Set

from wiregen.draw.number import number
from wiregen.draw.pdf_file import PdfFile
from wiregen.draw.typeface import typeface
from wiregen.sheet.metrics import text_width_mm

_TO_UNICODE = """\
/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def
/CMapName /Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000> <ffff>
endcodespacerange
{}
endcmap
CMapName currentdict /CMap defineresource pop
end
end
"""
_ROWS = 100  # as many lines as a block of that table may have
_STEMS = (80, 140)
"""Width of upright strokes, thousandths of the font size: wanted, though the font is embedded."""


def embed_font(file: PdfFile, characters: Set[str], bold: bool) -> int:
    """Write the regular or the bold font as far as it is used.

    Args:
        file: the document.
        characters: those used; all are in the font.
        bold: the bold font.

    Returns:
        The number of the font's object.
    """
    face = typeface(bold)
    used = sorted(characters)
    name = f"{_tag(used)}+{face.name}"
    program = face.only(used)
    data = file.add_stream(program, f" /Length1 {len(program)}")
    about = file.add(
        f"<< /Type /FontDescriptor /FontName /{name} /Flags 4 /ItalicAngle 0 "
        f"/FontBBox [{' '.join(map(str, face.box))}] /Ascent {face.ascent} "
        f"/Descent {face.descent} /CapHeight {face.cap_height} /StemV {_STEMS[bold]} "
        f"/FontFile2 {data} 0 R >>"
    )
    codes = bytearray(2 * (ord(used[-1]) + 1))
    for char in used:
        struct.pack_into(">H", codes, 2 * ord(char), face.glyphs[char])
    glyphs = file.add_stream(bytes(codes))
    widths = " ".join(f"{ord(char)} [{number(text_width_mm(char, 1000, bold))}]" for char in used)
    inner = file.add(
        f"<< /Type /Font /Subtype /CIDFontType2 /BaseFont /{name} "
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >> "
        f"/FontDescriptor {about} 0 R /W [{widths}] /CIDToGIDMap {glyphs} 0 R >>"
    )
    unicode = file.add_stream(_to_unicode(used).encode("ascii"))
    return file.add(
        f"<< /Type /Font /Subtype /Type0 /BaseFont /{name} /Encoding /Identity-H "
        f"/DescendantFonts [{inner} 0 R] /ToUnicode {unicode} 0 R >>"
    )


def _to_unicode(used: list[str]) -> str:
    """The table that leads from the codes of a page back to characters."""
    blocks = []
    for start in range(0, len(used), _ROWS):
        rows = [f"<{ord(char):04x}> <{ord(char):04x}>" for char in used[start : start + _ROWS]]
        blocks.append("\n".join((f"{len(rows)} beginbfchar", *rows, "endbfchar")))
    return _TO_UNICODE.format("\n".join(blocks))


def _tag(used: list[str]) -> str:
    """Six capitals that tell this part of a font from others.

    Example:
        >>> _tag(["A", "B"])
        'BVDJJQ'
    """
    value = zlib.crc32("".join(used).encode())
    letters = []
    for _ in range(6):
        value, letter = divmod(value, 26)
        letters.append(chr(ord("A") + letter))
    return "".join(letters)
