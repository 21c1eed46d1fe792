"""Colour keys: which letters stand for which colour, and every way to read a marking."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from itertools import product
from types import MappingProxyType
from typing import NamedTuple

from wiregen.facts.tables import rows

COLOUR_KEYS = ("iec-60757", "japanese", "german", "bs-au-7", "us-2", "us-3")
EXPLAINED_KEYS = (*COLOUR_KEYS, "swedish", "italian")

_LONGEST_MARKING = 40  # characters
_MOST_COLOURS = 5  # read, so that a marking with too many can be named; a wire has up to three
_SHADES = {"LT": "light", "DK": "dark"}
_SHADED_KEYS = ("iec-60757", "us-2", "us-3")
_SEPARATOR = re.compile(r"\s*[/-]\s*")


class Reading(NamedTuple):
    """One way to read letters.

    Attributes:
        tints: canonical texts, base first: `("LT BU", "WH")`.
        status: `confirmed` or `from memory`.
        note: the key's own word, or where practice differs; empty when there is nothing to say.
    """

    tints: tuple[str, ...]
    status: str = "confirmed"
    note: str = ""


Vocabulary = Mapping[str, tuple[Reading, ...]]


@cache
def vocabulary(key: str) -> Vocabulary:
    """Return letters in capitals without spaces -> meanings, for a key of `EXPLAINED_KEYS`."""
    found: dict[str, tuple[Reading, ...]] = {}
    if key == "iec-60757":
        found = {row["code"]: (Reading((row["code"],)),) for row in rows("colours") if row["order"]}
    for row in rows("colour_keys"):
        if row["key"] == key:
            reading = Reading(tuple(row["meaning"].split("/")), row["status"], row["note"])
            found[row["letters"]] = (*found.get(row["letters"], ()), reading)
    if key in _SHADED_KEYS:
        found = _shaded(found) | found
    return MappingProxyType(_names_outside_iec() | found)


@cache
def own_vocabulary(entries: tuple[tuple[str, str], ...]) -> Vocabulary:
    """Return the vocabulary of a design's own colour key.

    Args:
        entries: letters and meaning of each line, such as `("SB", "sky blue")`.

    Raises:
        KeyError: a meaning is not a colour; its argument is the meaning.
    """
    found: dict[str, tuple[Reading, ...]] = {}
    for letters, words in entries:
        known = found.get(letters_of(letters), ())
        found[letters_of(letters)] = (*known, Reading((tint_of_words(words),)))
    return MappingProxyType(_names_outside_iec() | found)


def tint_of_words(text: str) -> str:
    """Return the canonical text of a colour in words or in letters of IEC 60757.

    Raises:
        KeyError: it is not a colour.

    Example:
        >>> tint_of_words("sky blue"), tint_of_words("dark green"), tint_of_words("BK")
        ('LT BU', 'DK GN', 'BK')
    """
    words = " ".join(text.split()).lower()
    found = _words().get(words) or vocabulary("iec-60757").get(words.replace(" ", "").upper())
    if not found:
        raise KeyError(text)
    return found if isinstance(found, str) else found[0].tints[0]


def letters_of(text: str) -> str:
    """Return letters as the vocabularies spell them: capitals without spaces."""
    return "".join(text.split()).upper()


def readings(text: str, known: Vocabulary) -> tuple[Reading, ...]:
    """Return every way to read a marking with the fewest colours.

    Args:
        text: marking; colours apart at `/` or `-`, or run together.
        known: vocabulary of its key.

    Returns:
        No reading when it is unknown, one when it is clear, more when it is ambiguous. Letters
        run together are split into as few colours as possible, so that LG is light green
        before it is L and G.

    Example:
        >>> readings("UGW", vocabulary("bs-au-7"))
        (Reading(tints=('BU', 'GN', 'WH'), status='confirmed', note=''),)
        >>> len(readings("LGR", vocabulary("japanese")))
        2
    """
    if not text.strip() or len(text) > _LONGEST_MARKING:
        return ()
    parts = [_splits(part, known) for part in _SEPARATOR.split(text.strip())]
    if not all(parts) or sum(len(splits[0]) for splits in parts) > _MOST_COLOURS:
        return ()
    found = []
    for split in product(*parts):
        for choice in product(*(known[letters] for part in split for letters in part)):
            found.append(_joined(choice))
    return tuple(dict.fromkeys(found))


def _splits(part: str, known: Vocabulary) -> list[tuple[str, ...]]:
    """Return the ways to split letters run together into the fewest known ones."""
    letters = letters_of(part)
    if letters in known:
        return [(letters,)]
    if not letters or " " in part:
        return []
    best: list[list[tuple[str, ...]]] = [[()]]
    for end in range(1, len(letters) + 1):
        ways = [
            (*way, letters[start:end])
            for start in range(end)
            if letters[start:end] in known
            for way in best[start]
        ]
        fewest = min((len(way) for way in ways), default=0)
        best.append([way for way in ways if len(way) == fewest])
    return best[-1]


def _joined(choice: tuple[Reading, ...]) -> Reading:
    tints = tuple(tint for reading in choice for tint in reading.tints)
    sure = all(reading.status == "confirmed" for reading in choice)
    notes = dict.fromkeys(reading.note for reading in choice if reading.note)
    return Reading(tints, "confirmed" if sure else "from memory", "; ".join(notes))


def _shaded(plain: Vocabulary) -> dict[str, tuple[Reading, ...]]:
    """Return `LTBU`, `DKBU` and the like for every plain colour that has shades."""
    shadeable = {row["code"] for row in rows("colours") if row["shades"] == "yes"}
    return {
        shade + letters: tuple(
            Reading((f"{shade} {one.tints[0]}",), one.status, one.note) for one in meanings
        )
        for letters, meanings in plain.items()
        for shade in _SHADES
        if all(one.tints[0] in shadeable for one in meanings)
    }


@cache
def _names_outside_iec() -> dict[str, tuple[Reading, ...]]:
    """Return the colours that are kept by name, and their shades."""
    names = {
        row["code"].upper(): (Reading((row["code"],)),)
        for row in rows("colours")
        if not row["order"]
    }
    return names | _shaded(names)


@cache
def _words() -> Mapping[str, str]:
    """Return every known name in words -> canonical text."""
    found = {}
    for row in rows("colours"):
        found[row["name"]] = row["code"]
        if row["shades"] == "yes":
            found |= {
                f"{word} {row['name']}": f"{sh} {row['code']}" for sh, word in _SHADES.items()
            }
    for row in rows("colour_words"):
        found[row["word"]] = row["meaning"]
        if " " not in row["meaning"] and row["meaning"] != "natural":
            found |= {
                f"{word} {row['word']}": f"{sh} {row['meaning']}" for sh, word in _SHADES.items()
            }
    return MappingProxyType(found)
