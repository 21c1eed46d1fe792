"""Wire colours: what a marking says, under the colour key it was written in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise
from typing import Literal, NamedTuple

from wiregen.facts.colour_keys import (
    COLOUR_KEYS,
    EXPLAINED_KEYS,
    Vocabulary,
    own_vocabulary,
    readings,
    tint_of_words,
    vocabulary,
)
from wiregen.facts.tables import rows
from wiregen.facts.trade_words import colour_of_words
from wiregen.problems import did_you_mean

__all__ = [
    "COLOUR_KEYS",
    "Colour",
    "ColourError",
    "Meaning",
    "Tint",
    "check_own_key",
    "explain",
    "parse_colour",
]

Shade = Literal["", "light", "dark"]

_PREFIX: Mapping[str, str] = {"": "", "light": "LT ", "dark": "DK "}
_SHADE_OF_PREFIX: Mapping[str, Shade] = {"LT": "light", "DK": "dark"}
_PROTECTIVE = "GNYE"
_MOST_TRACERS = 2
_LIGHTEN = 0.5
_DARKEN = 0.4


class ColourError(ValueError):
    """A marking that cannot be read; the text is the message for the person who wrote it."""


@dataclass(frozen=True, slots=True)
class Tint:
    """One plain colour.

    Attributes:
        code: letters of IEC 60757, or the name of a colour outside it (`tan`, `natural`, `bare`).
        shade: `light`, `dark` or empty.
    """

    code: str
    shade: Shade = ""

    @property
    def iec(self) -> str:
        """Canonical text: `BU`, `LT BU`, `DK GN`, `tan`."""
        return _PREFIX[self.shade] + self.code

    @property
    def name(self) -> str:
        """In words: `light blue`."""
        return f"{self.shade} {_names()[self.code]}".lstrip()

    @property
    def paint(self) -> str:
        """Paint for drawings, `#rrggbb`; light and dark differ visibly from the plain colour."""
        plain = _paints()[self.code]
        if not self.shade:
            return plain
        towards, part = (255, _LIGHTEN) if self.shade == "light" else (0, _DARKEN)
        channels = (int(plain[i : i + 2], 16) for i in (1, 3, 5))
        return "#" + "".join(f"{round(c + (towards - c) * part):02x}" for c in channels)


@dataclass(frozen=True, slots=True)
class Colour:
    """The colour of one wire; equal when base and tracers are equal, however it was written.

    Attributes:
        base: colour of the insulation.
        tracers: colours of up to two stripes, in the order written.
        text: as written in the file.
        key: colour key it was read with.
    """

    base: Tint
    tracers: tuple[Tint, ...] = ()
    text: str = field(default="", compare=False)
    key: str = field(default="iec-60757", compare=False)

    @property
    def iec(self) -> str:
        """Canonical text: `BU`, `BU/WH`, `LT BU/WH/RD`, `GNYE`."""
        return "/".join(tint.iec for tint in (self.base, *self.tracers))

    @property
    def name(self) -> str:
        """In words: `blue with white tracer`."""
        if not self.tracers:
            return self.base.name
        stripes = " and ".join(tint.name for tint in self.tracers)
        return f"{self.base.name} with {stripes} tracer{'s' if len(self.tracers) > 1 else ''}"

    @property
    def paint(self) -> tuple[str, tuple[str, ...]]:
        """Paint of the base and of each tracer, `#rrggbb`; green-and-yellow paints as a stripe."""
        tracers = (Tint("YE"),) if self.base.code == _PROTECTIVE else self.tracers
        return self.base.paint, tuple(tint.paint for tint in tracers)


class Meaning(NamedTuple):
    """What a marking means under one key; `note` has the key's word or where practice differs."""

    key: str
    colour: Colour
    status: str
    note: str = ""


def parse_colour(
    text: object, key: str = "iec-60757", own: Mapping[str, str] | None = None
) -> Colour:
    """Read a marking under the named key.

    Args:
        text: marking such as `BU/WH`; `BU-WH`, `BUWH` and lower case are read too.
        key: one of `COLOUR_KEYS`, or the name of the design's own key.
        own: letters -> colour in words (or in IEC letters) of the design's own key.

    Returns:
        The colour; it keeps the text and the key. The first colour is the base.

    Raises:
        ColourError: unknown or ambiguous letters, more than two tracers, a tracer that cannot be
            seen, or an unknown key.

    Source:
        IEC 60757 for letters; base before tracer is common practice, no source.

    Example:
        >>> parse_colour("lt bu/wh").name
        'light blue with white tracer'
        >>> parse_colour("UGS", "bs-au-7").iec
        'BU/GN/GY'
        >>> parse_colour("GNYE").name, parse_colour("GN/YE").name
        ('green-and-yellow', 'green with yellow tracer')
    """
    if not isinstance(text, str):
        raise ColourError(f"expected a colour such as BU/WH, found {_shown(text)}")
    if own is None and key not in COLOUR_KEYS:
        raise ColourError(_unknown_key(key))
    return _parse(text.strip(), key, None if own is None else tuple(own.items()))


def explain(
    text: str, key: str = "iec-60757", own: Mapping[str, str] | None = None
) -> tuple[Meaning, ...]:
    """List what a marking means: under its own key first, then under every other known key.

    Args:
        text: marking such as `SB` or `BU/WH`.
        key: key to put first.
        own: letters -> colour of the design's own key, when `key` names one.

    Returns:
        One line for each way to read it; several lines of one key mean that it is ambiguous
        there; no line of a key means that it is unknown there. Empty when nobody knows it.

    Raises:
        ColourError: unknown key, or a meaning of the own key is not a colour.

    Example:
        >>> [(one.key, one.colour.name) for one in explain("PPL")]
        [('us-3', 'violet')]
    """
    entries = None if own is None else tuple(own.items())
    keys = dict.fromkeys((key, *EXPLAINED_KEYS))
    return tuple(
        Meaning(name, _colour(one.tints, text, name), one.status, one.note)
        for name in keys
        for one in readings(text, _vocabulary(name, entries if name == key else None))
        if not _fault(one.tints, text)
    )


def check_own_key(name: str, own: Mapping[str, str]) -> None:
    """Check that every meaning of a design's own colour key is a colour.

    Raises:
        ColourError: naming the first one that is not.
    """
    _vocabulary(name, tuple(own.items()))


@cache
def _parse(text: str, key: str, own: tuple[tuple[str, str], ...] | None) -> Colour:
    found = readings(text, _vocabulary(key, own))
    if not found:
        raise ColourError(_unknown(text, key, own))
    if len(found) > 1:
        raise ColourError(_ambiguous(text, key, [_colour(one.tints, text, key) for one in found]))
    fault = _fault(found[0].tints, text)
    if fault:
        raise ColourError(fault)
    return _colour(found[0].tints, text, key)


def _fault(tints: tuple[str, ...], text: str) -> str:
    """Say why colours cannot be those of one wire; empty when they can."""
    if len(tints) > 1 + _MOST_TRACERS:
        return f"'{text}' has {len(tints)} colours; a wire has up to two tracers"
    if _PROTECTIVE in tints and len(tints) > 1:
        return (
            f"protective green-and-yellow stands alone, found '{text}'; "
            "write GN/YE for green with a yellow tracer"
        )
    if any(one == other for one, other in pairwise(tints)):
        return f"'{text}' has a tracer of the colour it lies on"
    return ""


def _vocabulary(key: str, own: tuple[tuple[str, str], ...] | None) -> Vocabulary:
    if own is not None:
        try:
            return own_vocabulary(own)
        except KeyError as error:
            raise ColourError(
                f"'{error.args[0]}' in colour key '{key}' is not a colour; write a name such as "
                "light blue, or letters of IEC 60757"
                + did_you_mean(error.args[0], _names().values())
            ) from None
    if key not in EXPLAINED_KEYS:
        raise ColourError(_unknown_key(key))
    return vocabulary(key)


def _unknown_key(key: str) -> str:
    return (
        f"unknown colour key '{key}'; use {', '.join(COLOUR_KEYS)}, or declare it under "
        "colour_keys" + did_you_mean(key, COLOUR_KEYS)
    )


def _colour(tints: tuple[str, ...], text: str, key: str) -> Colour:
    base, *tracers = (_tint(tint) for tint in tints)
    return Colour(base, tuple(tracers), text, key)


def _tint(canonical: str) -> Tint:
    prefix, _, code = canonical.rpartition(" ")
    return Tint(code, _SHADE_OF_PREFIX[prefix] if prefix else "")


def _unknown(text: str, key: str, own: tuple[tuple[str, str], ...] | None) -> str:
    """Say that a marking is unknown, and what would be read instead."""
    if not text:
        return "expected a colour such as BU/WH, found nothing"
    shown = text if len(text) <= 40 else text[:37] + "..."
    message = f"'{shown}' is not a colour of {key}"
    if key == "iec-60757":
        letters = _letters_of_words(text)
        if letters:
            return f"{message}; write {letters}"
    if " " in text:
        slashed = "/".join(text.upper().split())
        if readings(slashed, _vocabulary(key, own)):
            return f"{message}; write {slashed}"
    elsewhere = _elsewhere(text, key)
    if elsewhere:
        return f"{message}; it means {elsewhere}: name the key with colour_key"
    return message + did_you_mean(text.upper(), _vocabulary(key, own))


def _elsewhere(text: str, key: str) -> str:
    """Say what a marking means under the other keys a design may name, fewest colours first."""
    others = [one for one in explain(text) if one.key in COLOUR_KEYS and one.key != key]
    fewest = min((len(one.colour.tracers) for one in others), default=0)
    keys_of: dict[str, list[str]] = {}
    for one in others:
        if len(one.colour.tracers) == fewest:
            keys_of.setdefault(one.colour.name, []).append(one.key)
    return " or ".join(f"{name} ({', '.join(keys)})" for name, keys in keys_of.items())


def _letters_of_words(text: str) -> str:
    """Return IEC letters of a colour in words of any language, or an empty text."""
    try:
        return "/".join(tint_of_words(word) for word in text.split("/"))
    except KeyError:
        return colour_of_words(text)


def _ambiguous(text: str, key: str, colours: list[Colour]) -> str:
    """Name the meanings of an ambiguous marking."""
    names = " or ".join(dict.fromkeys(colour.name for colour in colours))
    return (
        f"'{text}' is ambiguous in {key}: {names}; "
        "write base and tracer apart with /, or use other letters"
    )


@cache
def _names() -> Mapping[str, str]:
    return {row["code"]: row["name"] for row in rows("colours")}


@cache
def _paints() -> Mapping[str, str]:
    return {row["code"]: row["paint"] for row in rows("colours")}


def _shown(value: object) -> str:
    return "nothing" if value is None else f"{value!r:.40}"
