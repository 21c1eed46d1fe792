"""Wire colours: what a marking says, under the colour key it was written in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

COLOUR_KEYS = ("iec-60757", "japanese", "german", "bs-au-7", "us-2", "us-3")
Shade = Literal["", "light", "dark"]


class ColourError(ValueError):
    """A marking that cannot be read; the text is the message for the person who wrote it."""


@dataclass(frozen=True, slots=True)
class Tint:
    """One plain colour.

    Attributes:
        code: letters of IEC 60757, or the name of a colour outside it (`tan`, `natural`, `bare`).
        shade: `light`, `dark` or empty.
    """

    code: str
    shade: Shade = ""

    @property
    def iec(self) -> str:
        """Canonical text: `BU`, `LT BU`, `DK GN`, `tan`."""
        raise NotImplementedError

    @property
    def name(self) -> str:
        """In words: `light blue`."""
        raise NotImplementedError

    @property
    def paint(self) -> str:
        """Paint for drawings, `#rrggbb`."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Colour:
    """The colour of one wire; equal when base and tracers are equal, however it was written.

    Attributes:
        base: colour of the insulation.
        tracers: colours of up to two stripes, in the order written.
        text: as written in the file.
        key: colour key it was read with.
    """

    base: Tint
    tracers: tuple[Tint, ...] = ()
    text: str = field(default="", compare=False)
    key: str = field(default="iec-60757", compare=False)

    @property
    def iec(self) -> str:
        """Canonical text: `BU`, `BU/WH`, `LT BU/WH/RD`, `GNYE`."""
        raise NotImplementedError

    @property
    def name(self) -> str:
        """In words: `blue with white tracer`."""
        raise NotImplementedError

    @property
    def paint(self) -> tuple[str, tuple[str, ...]]:
        """Paint of the base and of each tracer, `#rrggbb`."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a marking means under one key; `note` says when practice differs."""

    key: str
    colour: Colour
    status: str
    note: str = ""


def parse_colour(
    text: object, key: str = "iec-60757", own: Mapping[str, str] | None = None
) -> Colour:
    """Read a marking under the named key; `own` is the table of that key if the file has one."""
    raise NotImplementedError


def explain(
    text: str, key: str = "iec-60757", own: Mapping[str, str] | None = None
) -> tuple[Meaning, ...]:
    """List what a marking means: under its own key first, then under every other known key."""
    raise NotImplementedError
