"""Fuses: the colour that tells a rating, and the ratings there are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, cast

from wiregen.facts.colours import Tint, parse_colour
from wiregen.facts.tables import rows

_STYLE_OF_TYPE = {"type c": "blade", "type f": "blade", "type e": "large blade"}


@dataclass(frozen=True, slots=True)
class FuseColour:
    """Colour of a fuse of one rating.

    Attributes:
        style: `blade` (ISO 8820-3 types C and F), `large blade` (type E) or `cartridge`.
        rating_a: rated current in A.
        colour: in words, as the trade names it.
        tint: nearest wire colour, for drawing.
        status: `confirmed`, `from memory` or `disagreement`.
        note: what to look at; empty when there is nothing to say.
    """

    style: str
    rating_a: float
    colour: str
    tint: Tint
    status: Literal["confirmed", "from memory", "disagreement"]
    note: str


def fuse_colours(style: str = "blade") -> tuple[FuseColour, ...]:
    """Return the colours of a style by rating, lowest first; none for a style without colours.

    Args:
        style: `blade`, `large blade`, `cartridge`, or the types of ISO 8820-3 (`type C`).

    Source:
        ISO 8820-3 colours as copied, table `fuse_colours`.
    """
    plain = style.strip().lower().removeprefix("iso 8820-3 ")
    wanted = _STYLE_OF_TYPE.get(plain, plain)
    return tuple(
        FuseColour(
            style=row["style"],
            rating_a=float(row["rating_a"]),
            colour=row["colour"],
            tint=parse_colour(row["code"]).base,
            status=cast(Literal["confirmed", "from memory", "disagreement"], row["status"]),
            note=row["note"],
        )
        for row in rows("fuse_colours")
        if row["style"] == wanted
    )


def fuse_colour(rating_a: float, style: str = "blade") -> FuseColour | None:
    """Return the colour of a fuse, or None when the table does not have the rating.

    Args:
        rating_a: rated current in A; never rounded to a neighbour.
        style: as for `fuse_colours`.

    Example:
        >>> fuse_colour(7.5).colour, fuse_colour(8) is None
        ('brown', True)
    """
    return next((one for one in fuse_colours(style) if one.rating_a == rating_a), None)
