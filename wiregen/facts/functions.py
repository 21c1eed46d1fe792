"""What a pin carries, as concepts of the trade that hold in every language."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache

from wiregen.facts.tables import rows
from wiregen.facts.trade_words import normal

MODIFIERS = frozenset({"left", "right", "front", "rear", "plus", "minus", "supply"})
"""Concepts that say which one, and nothing of what it does; a supply of unknown kind is one."""
GENERIC = frozenset({"gauge", "warning", "sensor", "relay", "command", "generic"})
"""Concepts that say what sort of thing it is, but not which."""
EARTHS = frozenset({"earth", "sensor earth", "signal earth", "screen"})
FEEDS = frozenset(
    {
        "permanent supply",
        "ignition supply",
        "ignition supply dead while cranking",
        "ignition supply live while cranking",
        "accessory supply",
        "supply",
    }
)
_LETTERS = 3
_TAIL_PARTS = frozenset({"marker", "plate", "side lamp", "position lamp"})
_PREFIX = re.compile(
    r"(?<!\w)(?:klemme|kl|terminal|term|borne|morsetto|din)\.?\s*([\w+-]+)", re.IGNORECASE
)
_PLUS = re.compile(r"\+")
_MINUS = re.compile(r"(?:(?<=\s)|(?<=^))[-–−](?=\s|$|12|24)|(?<=\w)[-–−](?=$|\s*\()|(?<=\s)[-–−]$")
_ELISION = re.compile(r"\b([dl])['’](?=\w)", re.IGNORECASE)


@lru_cache(maxsize=50_000)
def concepts(text: str) -> frozenset[str]:
    """Return what words say a pin carries.

    Args:
        text: free words in one of the languages of table `function_words`.

    Returns:
        Concepts such as `left` and `indicator`; a word that is not known stands as `?word`, so
        that texts are equal only when nothing in them differs. Empty when the text says nothing.

    Example:
        >>> sorted(concepts("Blinker links")), sorted(concepts("left turn signal"))
        (['indicator', 'left'], ['indicator', 'left'])
        >>> sorted(concepts("wiper heater"))
        ['?heater', 'wiper']
    """
    terminal = _PREFIX.search(text)
    if terminal and terminal_concepts(terminal[1]):
        rest = f"{text[: terminal.start()]} {text[terminal.end() :]}"
        return _settled(set(terminal_concepts(terminal[1]) | concepts(rest)))
    spoken = _MINUS.sub(" minus ", _PLUS.sub(" plus ", _ELISION.sub(r"\1 ", text)))
    words = normal(spoken).split()[:40]
    found: set[str] = set()
    place = 0
    while place < len(words):
        length, concept = _longest(words, place)
        found |= {concept} if concept else _compound(words[place]) or {f"?{words[place]}"}
        place += length or 1
    found.discard("noise")
    return _settled(found)


def tells(meaning: frozenset[str]) -> bool:
    """Return whether concepts name a function, and not only a side, a sort or a number.

    Example:
        >>> tells(concepts("left horn")), tells(concepts("left")), tells(concepts("input 3"))
        (True, False, False)
    """
    return any(_names_something(concept) for concept in meaning - MODIFIERS - GENERIC)


def _names_something(concept: str) -> bool:
    word = concept.removeprefix("?")
    return word == concept or (len(word) >= _LETTERS and not word.isdigit())


def terminal_concepts(name: str) -> frozenset[str]:
    """Return what a terminal designation of DIN 72552 says a pin carries; empty when unknown.

    Example:
        >>> sorted(terminal_concepts("58L")), sorted(terminal_concepts("30"))
        (['left', 'tail'], ['permanent supply'])
    """
    return _terminals().get(name, frozenset())


def state_kind(name: str) -> str:
    """Return `off`, `accessory`, `run` or `crank` for the name of an operating state; or empty.

    Example:
        >>> state_kind("key off"), state_kind("Starten"), state_kind("towing")
        ('off', 'crank', '')
    """
    return _states().get(normal(name), "")


def _longest(words: list[str], place: int) -> tuple[int, str]:
    known, most = _words()
    for length in range(min(most, len(words) - place), 0, -1):
        concept = known.get(" ".join(words[place : place + length]))
        if concept:
            return length, concept
    return 0, ""


def _compound(word: str) -> set[str]:
    """Return what a word in one piece says, such as `öldruckschalter`; empty when not known."""
    known, _ = _words()
    for cut in range(_LETTERS, len(word) - _LETTERS):
        head, sort = known.get(word[:cut], "noise"), known.get(word[cut:], "")
        if sort in GENERIC and head not in GENERIC | MODIFIERS | {"noise"}:
            return {head, sort}
    return set()


def _settled(found: set[str]) -> frozenset[str]:
    """Drop what is said already: plate lamps with the tail lamp, a feed of something named."""
    if "start signal" in found:
        found -= {"starter"}
    if "tail" in found:
        found -= _TAIL_PARTS
    if found == {"plus"}:
        return frozenset({"supply"})
    if found == {"minus"}:
        return frozenset({"earth"})
    if "supply" in found and any(c not in MODIFIERS and not c.startswith("?") for c in found):
        found -= {"supply", "plus"}
    if found & (EARTHS | FEEDS):
        found -= {"plus", "minus"}
    return frozenset(found)


@cache
def _words() -> tuple[Mapping[str, str], int]:
    known: dict[str, str] = {}
    for row in rows("function_words"):
        for phrase in row["words"].split(";"):
            known.setdefault(normal(phrase), row["concept"])
    return known, max(len(phrase.split()) for phrase in known)


@cache
def _terminals() -> Mapping[str, frozenset[str]]:
    return {
        row["terminal"]: frozenset(row["concepts"].split(";")) for row in rows("function_terminals")
    }


@cache
def _states() -> Mapping[str, str]:
    return {
        normal(words): row["kind"]
        for row in rows("state_words")
        for words in row["words"].split(";")
    }
