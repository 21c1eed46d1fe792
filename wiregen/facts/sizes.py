"""Conductor sizes as they are bought: mm2, AWG, SAE, and the pairs of the trade."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

SizeSystem = Literal["mm2", "AWG", "SAE"]


@dataclass(frozen=True, slots=True)
class WireSize:
    """The size of a conductor.

    Attributes:
        area_mm2: copper area in mm2 of the size that was bought.
        text: as written in the file.
        system: system of the bought size: `mm2`, `AWG` (ASTM B258) or `SAE` (J1127, J1128).
        label: the bought size in canonical form: `0.75`, `18 AWG`, `SAE 18`.
        also: canonical form of the second size of a trade pair, empty when there is none.
    """

    area_mm2: float
    text: str
    system: SizeSystem
    label: str
    also: str = ""


@dataclass(frozen=True, slots=True)
class SizeRange:
    """The sizes a contact takes, the smaller one first."""

    low: WireSize
    high: WireSize
    text: str


def read_size(value: object) -> WireSize:
    """Read `0.75`, `0.75 mm2`, `18 AWG`, `1/0 AWG`, `SAE 18` or `10 mm2 / 8 AWG`."""
    raise NotImplementedError


def read_size_range(value: object) -> SizeRange:
    """Read `0.5..2.5` or `20 AWG..14 AWG`."""
    raise NotImplementedError
