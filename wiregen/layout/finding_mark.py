"""The small numbered ring that marks a finding at a cavity and in its row (mm)."""

from __future__ import annotations

from dataclasses import dataclass

from wiregen.sheet import style
from wiregen.sheet.items import Circle, Group, Pen, Text


@dataclass(frozen=True, slots=True)
class Mark:
    """A finding about a cavity.

    Attributes:
        number: as in the foot of the sheet.
        code: of the rule.
        drawn: False when it is about so many cavities that only their rows are marked.
    """

    number: int
    code: str
    drawn: bool = True

    @property
    def radius(self) -> float:
        """Of the ring, mm."""
        return 1.75 + 0.5 * (len(str(self.number)) - 1)


def mark_group(mark: Mark, x: float, y: float, radius: float = 0.0) -> Group:
    """Return the ring around (x, y), mm; `radius` where there is less room than it wants."""
    size = style.TEXT_SMALLEST
    ring = Circle((x, y), radius or mark.radius, Pen(style.ATTENTION, 0.3, style.PAPER))
    words = ((str(mark.number), True, style.ATTENTION),)
    text = Text(x, y + size * 0.36, words, size, "middle")
    data = (("number", str(mark.number)), ("code", mark.code))
    return Group((ring, text), cls="finding", data=data, title=mark.code)
