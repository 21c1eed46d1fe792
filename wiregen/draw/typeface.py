"""The bundled font files: their tables, and the part of one that a document needs."""

from __future__ import annotations

import struct
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from importlib.resources import files

_KEPT = ("glyf", "head", "hhea", "hmtx", "loca", "maxp")
"""What a page needs of a font file: outlines and widths; characters are looked up beforehand."""

_WORDS, _SCALE, _MORE, _SCALE_XY, _MATRIX = 0x01, 0x08, 0x20, 0x40, 0x80
"""Flags of a part of a glyph that is put together from others."""


@dataclass(frozen=True, slots=True)
class Typeface:
    """One font file with TrueType outlines.

    Attributes:
        name: as printers know it, such as `WiregenSans-Bold`.
        tables: tag -> content, as they stand in the file.
        glyphs: character -> number of its glyph.
        box: left, foot, right and top of all glyphs, thousandths of the font size.
        ascent: height above the base line that lines are set for, likewise.
        descent: depth below it, likewise, negative.
        cap_height: height of capitals, likewise.
    """

    name: str
    tables: Mapping[str, bytes]
    glyphs: Mapping[str, int]
    box: tuple[int, ...]
    ascent: int
    descent: int
    cap_height: int

    def only(self, characters: Iterable[str]) -> bytes:
        """Return a font file that has the outlines of `characters` alone, numbered as before."""
        outlines = _outlines(self.tables)
        wanted = {0}
        todo = [self.glyphs[char] for char in characters]
        while todo:
            glyph = todo.pop()
            if glyph not in wanted:
                wanted.add(glyph)
                todo.extend(_pieces(outlines[glyph]))
        kept = [outline if glyph in wanted else b"" for glyph, outline in enumerate(outlines)]
        ends = [0]
        for outline in kept:
            ends.append(ends[-1] + len(outline))
        head = bytearray(self.tables["head"])
        struct.pack_into(">I", head, 8, 0)  # the sum over the file, set when it is whole
        struct.pack_into(">h", head, 50, 1)  # places of glyphs in four bytes
        return _font_file(
            {tag: self.tables[tag] for tag in _KEPT}
            | {
                "glyf": b"".join(kept),
                "loca": struct.pack(f">{len(ends)}I", *ends),
                "head": bytes(head),
            }
        )


def typeface(bold: bool) -> Typeface:
    """Read the bundled regular or bold font."""
    name = f"WiregenSans-{'Bold' if bold else 'Regular'}"
    data = files("wiregen.draw").joinpath("fonts", f"{name}.ttf").read_bytes()
    tables = {}
    for place in range(12, 12 + 16 * struct.unpack_from(">H", data, 4)[0], 16):
        tag, _, start, length = struct.unpack_from(">4sIII", data, place)
        tables[tag.decode("ascii")] = data[start : start + length]
    glyphs = _glyph_numbers(tables["cmap"])
    units = struct.unpack_from(">H", tables["head"], 18)[0]
    heights = struct.unpack_from(">2h", tables["hhea"], 4)
    capital = struct.unpack_from(">h", _outlines(tables)[glyphs["H"]], 8)
    box = struct.unpack_from(">4h", tables["head"], 36)
    edges = [round(edge * 1000 / units) for edge in (*box, *heights, *capital)]
    return Typeface(name, tables, glyphs, tuple(edges[:4]), *edges[4:])


def _glyph_numbers(cmap: bytes) -> dict[str, int]:
    """Character -> glyph, from the first table of segments (format 4)."""
    start = struct.unpack_from(">I", cmap, 8)[0]
    count = struct.unpack_from(">H", cmap, start + 6)[0] // 2
    ends = struct.unpack_from(f">{count}H", cmap, start + 14)
    begins = struct.unpack_from(f">{count}H", cmap, start + 16 + 2 * count)
    shifts = struct.unpack_from(f">{count}H", cmap, start + 16 + 4 * count)
    ways = start + 16 + 6 * count
    found = {}
    for segment, (begin, end, shift) in enumerate(zip(begins, ends, shifts, strict=True)):
        place = ways + 2 * segment
        way = struct.unpack_from(">H", cmap, place)[0]
        for code in range(begin, min(end, 0xFFFE) + 1):
            glyph = code
            if way:
                glyph = struct.unpack_from(">H", cmap, place + way + 2 * (code - begin))[0]
            if not way or glyph:
                found[chr(code)] = (glyph + shift) & 0xFFFF
    return found


def _outlines(tables: Mapping[str, bytes]) -> list[bytes]:
    """The outline of each glyph."""
    count = struct.unpack_from(">H", tables["maxp"], 4)[0]
    if struct.unpack_from(">h", tables["head"], 50)[0]:
        places = struct.unpack_from(f">{count + 1}I", tables["loca"])
    else:
        places = tuple(2 * half for half in struct.unpack_from(f">{count + 1}H", tables["loca"]))
    glyf = tables["glyf"]
    return [glyf[places[glyph] : places[glyph + 1]] for glyph in range(count)]


def _pieces(outline: bytes) -> list[int]:
    """The glyphs that one is put together from; none for a plain outline."""
    pieces: list[int] = []
    if not outline or struct.unpack_from(">h", outline)[0] >= 0:
        return pieces
    place, flags = 10, _MORE
    while flags & _MORE:
        flags, glyph = struct.unpack_from(">HH", outline, place)
        pieces.append(glyph)
        place += 8 if flags & _WORDS else 6
        place += 2 * bool(flags & _SCALE) + 4 * bool(flags & _SCALE_XY) + 8 * bool(flags & _MATRIX)
    return pieces


def _font_file(tables: Mapping[str, bytes]) -> bytes:
    """Put tables together as one file."""
    count = len(tables)
    power = count.bit_length() - 1
    head = struct.pack(">IHHHH", 0x10000, count, 16 << power, power, 16 * (count - (1 << power)))
    place = len(head) + 16 * count
    directory, body = [], []
    for tag in sorted(tables):
        content = tables[tag] + b"\0" * (-len(tables[tag]) % 4)
        directory.append(
            struct.pack(">4sIII", tag.encode(), _sum(content), place, len(tables[tag]))
        )
        body.append(content)
        place += len(content)
    whole = bytearray(b"".join((head, *directory, *body)))
    at = struct.unpack_from(">I", directory[sorted(tables).index("head")], 8)[0] + 8
    struct.pack_into(">I", whole, at, (0xB1B0AFBA - _sum(bytes(whole))) & 0xFFFFFFFF)
    return bytes(whole)


def _sum(content: bytes) -> int:
    """The check sum of whole groups of four bytes."""
    total: int = sum(struct.unpack(f">{len(content) // 4}I", content))
    return total & 0xFFFFFFFF
