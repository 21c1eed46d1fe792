"""Reference letters of IEC 81346-2: X for what connects, F for what protects."""

from __future__ import annotations

from dataclasses import dataclass

from wiregen.facts.tables import rows


@dataclass(frozen=True, slots=True)
class Letter:
    """One main class.

    Attributes:
        letter: such as `K`.
        meaning: main class; `reserved` for letters not in use.
        examples: from vehicles; empty when there are none.
        older_meaning: of the same letter in DIN 40719-2, still met in vehicle diagrams.
    """

    letter: str
    meaning: str
    examples: str
    older_meaning: str


def letter(text: str) -> Letter | None:
    """Return what a reference letter stands for, or None when there is no such class.

    Source:
        IEC 81346-2:2009 main classes, table `letters`.

    Example:
        >>> letter("F").meaning
        'direct protection'
    """
    for row in rows("letters"):
        if row["letter"] == text:
            return Letter(text, row["meaning"], row["examples"], row["older_meaning"])
    return None
