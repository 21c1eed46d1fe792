"""How the colours of a table are written: one colour key for all of them, or words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wiregen.facts.colours import COLOUR_KEYS, Colour, ColourError, parse_colour
from wiregen.facts.trade_words import colour_of_words

_ENOUGH = 0.75
"""Share of the markings a key must read before the rest counts as slips."""


@dataclass(frozen=True, slots=True)
class TableColours:
    """The colours of one table.

    Attributes:
        key: the colour key that `letters` are written in.
        letters: marking -> how it stands in a design under that key.
        unread: markings that are no colours under it.
        doubt: why no key was chosen, or what speaks against it; empty when all is clear.
    """

    key: str
    letters: Mapping[str, str]
    unread: tuple[str, ...]
    doubt: str


def read_colours(markings: Iterable[str], key: str = "") -> TableColours:
    """Find the colour key that reads every marking of a table.

    Args:
        markings: as written.
        key: the key to use, when it is known.

    Returns:
        IEC letters where they read all; else the one key that does. Where several keys do and
        mean different colours, or none reads most of them, no letters are read.
    """
    distinct = dict.fromkeys(markings)
    words = {text: letters for text in distinct if (letters := colour_of_words(text))}
    coded = [text for text in distinct if text not in words]
    if key:
        return _under(key, coded, words, "")
    readable = {name: _read(coded, name) for name in COLOUR_KEYS}
    whole = [name for name in COLOUR_KEYS if len(readable[name]) == len(coded)]
    if COLOUR_KEYS[0] in whole:
        return _under(COLOUR_KEYS[0], coded, words, "")
    if whole and all(_same(readable[name], readable[whole[0]]) for name in whole):
        return _under(whole[0], coded, words, "")
    if whole:
        doubt = f"the letters can be read as {' or '.join(whole)} and mean different colours"
        return TableColours(COLOUR_KEYS[0], words, tuple(coded), doubt)
    most = max(COLOUR_KEYS, key=lambda name: len(readable[name]))
    best = [name for name in COLOUR_KEYS if len(readable[name]) == len(readable[most])]
    agreed = all(readable[name] == readable[most] for name in best)
    if not agreed or len(readable[most]) < _ENOUGH * len(coded):
        doubt = "the letters are of no one colour key"
        return TableColours(COLOUR_KEYS[0], words, tuple(coded), doubt)
    return _under(most, coded, words, f"most letters are {most}, some are not")


def _under(key: str, coded: Iterable[str], words: Mapping[str, str], doubt: str) -> TableColours:
    """Letters under one key; where words stand among them, all is written in IEC letters."""
    read = _read(coded, key)
    unread = tuple(text for text in coded if text not in read)
    if words:
        letters = {text: colour.iec for text, colour in read.items()} | dict(words)
        return TableColours(COLOUR_KEYS[0], letters, unread, doubt)
    return TableColours(key, {text: text for text in read}, unread, doubt)


def _read(markings: Iterable[str], key: str) -> dict[str, Colour]:
    found = {}
    for text in markings:
        try:
            found[text] = parse_colour(text, key)
        except ColourError:
            continue
    return found


def _same(one: Mapping[str, Colour], other: Mapping[str, Colour]) -> bool:
    return all(one[text] == other[text] for text in one)
