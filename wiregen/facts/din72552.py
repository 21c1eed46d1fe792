"""Terminal designations of DIN 72552: what 30, 15 or 87a means."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, cast

from wiregen.facts.tables import rows


@dataclass(frozen=True, slots=True)
class Terminal:
    """One designation; `status` says whether its meaning was read or remembered."""

    name: str
    meaning: str
    status: Literal["confirmed", "from memory"]


def terminal(name: str) -> Terminal | None:
    """Return what a terminal name means, or None when the table does not have it.

    Args:
        name: as written; case matters, because L is a lamp and a small letter a branch.

    Source:
        DIN 72552, table `din72552`.

    Example:
        >>> terminal("50").meaning
        'starter control'
        >>> terminal("99") is None
        True
    """
    return _terminals().get(name)


def successors(old_name: str) -> tuple[str, ...]:
    """Return the present names of a terminal name no longer used; none when it is not an old one.

    Example:
        >>> successors("54d")
        ('53',)
    """
    return next(
        (tuple(row["new"].split("; ")) for row in rows("din72552_old") if row["old"] == old_name),
        (),
    )


@cache
def _terminals() -> Mapping[str, Terminal]:
    return MappingProxyType(
        {
            row["terminal"]: Terminal(
                row["terminal"],
                row["meaning"],
                cast(Literal["confirmed", "from memory"], row["status"]),
            )
            for row in rows("din72552")
        }
    )
