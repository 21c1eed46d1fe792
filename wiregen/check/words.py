"""Lists in messages: as long as a person reads them, never longer."""

from __future__ import annotations

from collections.abc import Sequence


def listed(names: Sequence[str], most: int = 8, between: str = ", ") -> str:
    """Return names as a list, cut after some.

    Args:
        names: what to list.
        most: how many are written out.
        between: what stands between two names.

    Example:
        >>> listed(["A", "B", "C"], 2), listed(["A", "B", "C"], 2, "; ")
        ('A, B and 1 more', 'A; B and 1 more')
    """
    if len(names) <= most:
        return between.join(names)
    return f"{between.join(names[:most])} and {len(names) - most} more"


def cavities(names: Sequence[str]) -> str:
    """Return `cavity 3`, or `cavities 3, 4` for more than one.

    Example:
        >>> cavities(["3"]), cavities(["3", "4"])
        ('cavity 3', 'cavities 3, 4')
    """
    return f"{'cavity' if len(names) == 1 else 'cavities'} {listed(names, 32)}"
