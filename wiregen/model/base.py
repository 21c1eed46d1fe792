"""What every record carries: the place it came from, and the ends that point at other objects."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wiregen.source import Span


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a record and each of its keys stand in the file.

    Attributes:
        span: the key that names the record (`W12:` of a wire), or its first character.
        keys: key name -> span of that key's value.
    """

    span: Span
    keys: Mapping[str, Span] = field(default_factory=dict, hash=False)

    def at(self, key: str) -> Span:
        """Return the place of a key's value, or of the record when the key is not written."""
        return self.keys.get(key, self.span)


@dataclass(frozen=True, slots=True)
class End:
    """One end of a wire, or any other pointer to a pin.

    Attributes:
        text: as written in the file, `X1:3`.
        owner: id before the colon.
        point: cavity or terminal after the colon; empty for splices, earths and boxes without one.
        span: the place of the text.
    """

    text: str
    owner: str
    point: str
    span: Span


@dataclass(frozen=True, slots=True)
class Drawn:
    """Where an object is wished for on the schematic.

    Attributes:
        side: `left` or `right` of the sheet; empty when not said.
        column: of the sheet, counted from the left, 1 or more; it goes before `side`.
        wires: `left` or `right`: the side the wires of a plug leave by; empty when not said.
    """

    side: str = ""
    column: int | None = None
    wires: str = ""


@dataclass(frozen=True, slots=True)
class Range:
    """A closed range such as `0.5..2.5`."""

    low: float
    high: float
    text: str
