"""Quantities as a person writes them: a number, or a number with its unit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Dimension = Literal[
    "length",
    "position",
    "area",
    "volts",
    "amps",
    "watts",
    "ohms",
    "temperature",
    "drop",
    "angle",
    "frequency",
    "time",
    "capacitance",
    "factor",
]


class UnitError(ValueError):
    """A quantity that cannot be read; the text is the message for the person who wrote it."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in the base unit of its dimension.

    Attributes:
        value: the number in `unit`.
        unit: base unit: mm, mm2, V, A, W, ohm, degC, %, deg, Hz, s, F, or empty for a factor.
        text: as written in the file.
    """

    value: float
    unit: str
    text: str


@dataclass(frozen=True, slots=True)
class Range:
    """Two ends of one dimension, the lower one first."""

    low: Quantity
    high: Quantity
    text: str


def read_quantity(value: object, dimension: Dimension) -> Quantity:
    """Read a number, or a text such as `1.2 m`, in the base unit of its dimension."""
    raise NotImplementedError


def read_range(value: object, dimension: Dimension) -> Range:
    """Read a range such as `0.5..2.5` or `8..16 V`."""
    raise NotImplementedError
