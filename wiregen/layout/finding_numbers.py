"""Numbers of the findings on a sheet: a finding keeps its own while others come and go."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import count

Key = tuple[str, str, int]
"""Rule code, what the finding is about, and which one of several such it is, from 1."""

_NAMED = 3
"""So many ids name a finding: the one it is marked at, and the first of its others."""


def finding_words(place: str, subjects: Iterable[str]) -> str:
    """Return what a finding is about, which tells it from others marked at the same place.

    Args:
        place: id or pin it is marked at.
        subjects: all ids and pins it is about.

    Example:
        >>> finding_words("G2", ("S1", "A1.P1", "K1", "G2"))
        'G2 S1 A1.P1'
    """
    return " ".join(list(dict.fromkeys((place, *subjects)))[:_NAMED])


def finding_place(words: str) -> str:
    """Return the place a finding is marked at, as `finding_words` says it.

    Example:
        >>> finding_place("G2 S1 A1.P1")
        'G2'
    """
    return words.partition(" ")[0]


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


def found_again(keys: Sequence[Key], before: Iterable[Key]) -> dict[Key, Key]:
    """Return the findings that were on a sheet before: key -> the key it had then.

    A finding that is about something else in part is the one of its rule at the same place.

    Args:
        keys: from `finding_keys`.
        before: keys of the sheet as it was drawn before.

    Example:
        >>> found_again([("NET119", "X2 X3", 1)], [("NET119", "X2 X4", 1), ("SAF102", "X2", 1)])
        {('NET119', 'X2 X3', 1): ('NET119', 'X2 X4', 1)}
    """
    known = dict.fromkeys(before)
    here = frozenset(keys)
    found = {key: key for key in keys if key in known}
    gone: dict[tuple[str, str], list[Key]] = {}
    for old in known:
        if old not in here:
            gone.setdefault((old[0], finding_place(old[1])), []).append(old)
    for key in keys:
        alike = gone.get((key[0], finding_place(key[1])))
        if key not in found and alike:
            found[key] = alike.pop(0)
    return found


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
    again = found_again(keys, known.values())
    found = {key: before[old] for key, old in again.items()}
    gone = [key for key in known.values() if key not in frozenset(again.values())]
    for key in keys:
        like = next((old for old in gone if old[0] == key[0]), None)
        if key not in found and like is not None:
            found[key] = before[like]
            gone.remove(like)
    taken = {*found.values()}
    free = (number for number in count(1) if number not in taken)
    return [found[key] if key in found else next(free) for key in keys]
