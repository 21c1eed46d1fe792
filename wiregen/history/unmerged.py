"""A file in the middle of a merge: both versions of it, and where they say something else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from itertools import chain

_OURS, _BASE, _BETWEEN, _THEIRS = "<" * 7, "|" * 7, "=" * 7, ">" * 7


def both_versions(text: str) -> tuple[str, str] | None:
    """Return what two versions of a merge say as whole files; None where there are no marks.

    Example:
        >>> both_versions("a\\n<<<<<<< HEAD\\nb\\n=======\\nc\\n>>>>>>> side\\nd\\n")
        ('a\\nb\\nd\\n', 'a\\nc\\nd\\n')
    """
    sides: tuple[list[str], list[str]] = ([], [])
    inside: tuple[int, ...] = (0, 1)
    marked = False
    for line in text.splitlines(keepends=True):
        mark = line[:7] if line[7:8] in ("", " ", "\n", "\r") else ""
        if mark == _OURS and inside == (0, 1):
            inside, marked = (0,), True
        elif mark == _BASE and inside == (0,):
            inside = ()
        elif mark == _BETWEEN and inside in ((0,), ()):
            inside = (1,)
        elif mark == _THEIRS and inside == (1,):
            inside = (0, 1)
        else:
            for side in inside:
                sides[side].append(line)
    if not marked or inside != (0, 1):
        return None
    return "".join(sides[0]), "".join(sides[1])


def with_marks(ours: Sequence[str], theirs: Sequence[str]) -> Iterator[str]:
    """Yield the lines of two versions, with marks around those that differ.

    Example:
        >>> list(with_marks(["a", "b"], ["a", "c"]))
        ['a', '<<<<<<< ours', 'b', '=======', 'c', '>>>>>>> theirs']
    """
    matcher = SequenceMatcher(None, ours, theirs, autojunk=False)
    for what, start, end, other_start, other_end in matcher.get_opcodes():
        if what == "equal":
            yield from ours[start:end]
        else:
            yield f"{_OURS} ours"
            yield from chain(ours[start:end], [_BETWEEN], theirs[other_start:other_end])
            yield f"{_THEIRS} theirs"
