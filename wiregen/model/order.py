"""Natural order of ids: W2 before W10, everywhere."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import TypeVar

_DIGITS = re.compile(r"([0-9]{1,18})")
T = TypeVar("T")


@lru_cache(maxsize=1 << 16)
def natural_key(text: str) -> tuple[tuple[int, int, str], ...]:
    """Return a sort key that compares digit runs as numbers.

    Example:
        >>> sorted(["W10", "W2", "W1a", "A"], key=natural_key)
        ['A', 'W1a', 'W2', 'W10']
    """
    parts = enumerate(_DIGITS.split(text))
    return tuple((0, int(part), part) if at & 1 else (1, 0, part) for at, part in parts if part)


def in_order(names: Iterable[str]) -> list[str]:
    """Return the names in natural order."""
    return sorted(names, key=natural_key)


def sorted_map(records: Mapping[str, T]) -> dict[str, T]:
    """Return the mapping with its keys in natural order."""
    return {name: records[name] for name in in_order(records)}
