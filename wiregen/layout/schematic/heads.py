"""Headings of blocks: reference, title, and the grey lines that say where a thing belongs (mm)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from wiregen.layout.schematic.block import NOTE_MM, words
from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Text
from wiregen.sheet.metrics import fit, text_width_mm, wrap

WIDEST_MM = 48.0
FACE_MM = 13.5
"""Room for the number of a face sheet."""
_REFERENCE_DROP = 1.2
_LINE_SUB = 2.9
_LINE_TITLE = 3.5
_GAP = 2.0


@dataclass(frozen=True, slots=True)
class Head:
    """A heading that ends just above a body.

    Attributes:
        items: drawn with the body's top left corner at (0, 0), so all y are negative.
        width: mm.
        height: mm.
        cut: whether words are missing.
    """

    items: tuple[Item, ...]
    width: float
    height: float
    cut: bool = False


def head(
    reference: str,
    title: str,
    notes: tuple[str, ...],
    room_mm: float,
    *,
    size: float = style.TEXT_REFERENCE,
    face: str = "",
) -> Head:
    """Return a heading no wider than the larger of `room_mm` and what one word needs.

    Args:
        reference: `X1`; printed large.
        title: printed beside it, or below it where that does not fit.
        notes: grey lines below.
        room_mm: width it may take, mm.
        size: text size of the reference, mm.
        face: plug whose face sheet is named after the last note; see `with_faces`.
    """
    room = max(min(room_mm, 90.0), 14.0)
    reference = fit(reference, max(room, WIDEST_MM), size, bold=True)
    reference_width = text_width_mm(reference, size, bold=True)
    beside = room - reference_width - _GAP
    inline = bool(title) and text_width_mm(title, style.TEXT_PIN_NUMBER, bold=True) <= beside
    titles = () if inline or not title else _lines(title, room, style.TEXT_PIN_NUMBER, bold=True)
    greys = [line for note in notes if note for line in _lines(note, room, NOTE_MM)]
    cut = bool(titles) and titles[-1] != wrap(title, room, style.TEXT_PIN_NUMBER, True)[-1]
    items: list[Item] = []
    y = -_REFERENCE_DROP
    if face:
        used = text_width_mm(greys[-1], NOTE_MM) if greys else 0.0
        if used + FACE_MM > max(room, FACE_MM):
            greys.append("")
            used = 0.0
        if not greys:
            greys.append("")
        dot, gap = ("· ", text_width_mm(" ", NOTE_MM)) if used else ("", 0.0)
        late = words(used + gap, y, dot, NOTE_MM, colour=style.SECONDARY)
        items.append(replace(late, data=(("face", face),)))
    for text in reversed(greys):
        items.append(words(0, y, text, NOTE_MM, colour=style.SECONDARY))
        y -= _LINE_SUB
    for text in reversed(titles):
        items.append(words(0, y, text, style.TEXT_PIN_NUMBER, bold=True))
        y -= _LINE_TITLE
    y -= 0.3 if greys or titles else 0.0
    items.append(words(0, y, reference, size, bold=True))
    widths = [reference_width]
    if inline:
        x = reference_width + _GAP
        items.append(words(x, y, title, style.TEXT_PIN_NUMBER, bold=True))
        widths.append(x + text_width_mm(title, style.TEXT_PIN_NUMBER, bold=True))
    widths += [text_width_mm(text, NOTE_MM) for text in greys]
    if face:
        widths.append((text_width_mm(greys[-1], NOTE_MM) if greys else 0.0) + FACE_MM)
    widths += [text_width_mm(text, style.TEXT_PIN_NUMBER, bold=True) for text in titles]
    return Head(tuple(items), max(widths), -y + size * 0.75, cut)


def with_faces(items: Iterable[Item], faces: Mapping[str, int]) -> tuple[Item, ...]:
    """Return the items with the numbers of the face sheets printed where headings left room."""
    out: list[Item] = []
    for item in items:
        if isinstance(item, Group):
            inner = with_faces(item.items, faces)
            out.append(Group(inner, item.cls, item.id, item.data, item.title))
        elif isinstance(item, Text) and item.data and item.data[0][0] == "face":
            number = faces.get(item.data[0][1])
            if number is not None:
                dot, bold, colour = item.parts[0]
                parts = ((f"{dot}sheet {number}", bold, colour),)
                out.append(replace(item, parts=parts, data=()))
        elif not (isinstance(item, Text) and not item.plain):
            out.append(item)
    return tuple(out)


def _lines(text: str, room_mm: float, size: float, bold: bool = False) -> tuple[str, ...]:
    return wrap(text, room_mm, size, bold, max_lines=2)


def up_to_grid(value_mm: float, grid_mm: float) -> float:
    """Return the next multiple of the grid that is not below the value, mm.

    Example:
        >>> up_to_grid(12.1, 5.0), up_to_grid(15.0, 5.0)
        (15.0, 15.0)
    """
    return float(-(-round(value_mm, 6) // grid_mm) * grid_mm)
