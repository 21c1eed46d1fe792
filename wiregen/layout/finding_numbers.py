"""Numbers of the findings on a sheet: a finding keeps its own while others come and go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import count

Key = tuple[str, str, int]
"""Rule code, what the finding is about, and which one of several such it is, from 1."""


def finding_keys(findings: Sequence[tuple[str, str]]) -> list[Key]:
    """Return a key for each finding of a sheet.

    Args:
        findings: rule code and what it is about.

    Example:
        >>> finding_keys([("COL104", "W5"), ("COL104", "W5")])
        [('COL104', 'W5', 1), ('COL104', 'W5', 2)]
    """
    seen: dict[tuple[str, str], int] = {}
    keys = []
    for code, subject in findings:
        seen[code, subject] = seen.get((code, subject), 0) + 1
        keys.append((code, subject, seen[code, subject]))
    return keys


def finding_numbers(keys: Sequence[Key], before: Mapping[Key, int]) -> list[int]:
    """Return a number for each finding: the one it had, else the lowest that is free.

    A finding about something else takes the number of one of its rule that is gone.

    Args:
        keys: from `finding_keys`.
        before: numbers on the sheet as it was drawn before.

    Example:
        >>> finding_numbers([("COL104", "W6", 1), ("SAF102", "W5", 1)], {("SAF102", "W5", 1): 1})
        [2, 1]
    """
    known: dict[int, Key] = {}
    for key, number in before.items():
        known.setdefault(number, key)
    here = frozenset(keys)
    found = {key: number for number, key in known.items() if key in here}
    gone = [key for key in known.values() if key not in here]
    for key in keys:
        like = next((old for old in gone if old[0] == key[0]), None)
        if key not in found and like is not None:
            found[key] = before[like]
            gone.remove(like)
    taken = {*found.values()}
    free = (number for number in count(1) if number not in taken)
    return [found[key] if key in found else next(free) for key in keys]
