"""What is the same on two sheets: groups by their names, texts by their words and place."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import dist
from typing import TypeAlias, TypeVar

from wiregen.sheet.items import Group, Item, Point, Text, walk
from wiregen.sheet.metrics import text_width_mm
from wiregen.sheet.moves import bounds

T = TypeVar("T")
Key: TypeAlias = tuple[str, ...]
"""Sort of a group and the names it is known by."""
Renames: TypeAlias = Mapping[str, str]
"""Id of an object on the old sheet -> its id on the new one."""

_KNOWN_BY: Mapping[str, tuple[str, ...]] = {
    "wire": ("wire",),
    "plug": ("plug",),
    "device": ("device",),
    "fuse": ("fuse",),
    "splice": ("splice",),
    "earth": ("earth",),
    "place": ("place",),
    "bundle": ("from", "to"),
    "reference": ("wire", "to"),
    "face": ("plug", "side"),
    "cavity": ("pin",),
    "pin-row": ("pin",),
    "finding": ("code",),
    "finding-row": ("code",),
}
_IDS = ("wire", "from", "to", "plug", "device", "fuse", "splice", "earth", "place", "pin", "wires")
_PLACES = frozenset({"x", "y", "sheet", "zone", "number"})
"""Data that say where something stands, not what it is."""
_ELSEWHERE = re.compile(r"\bsheets? \d+(?: [A-Z]\d+)?(?:, \d+)*")
_ID = re.compile(r"[\w.]+")
_NEAR_MM = 14.0
_LINES = 3
_ENOUGH = 48
"""Letters of a finding that tell it: the end may be cut where there is little room."""


@dataclass(frozen=True, slots=True)
class Thing:
    """A group that has a name, with what belongs to it.

    Attributes:
        group: as it stands on the sheet.
        own: its items, without those of named groups within it.
        inner: the named groups within it.
    """

    group: Group
    own: tuple[Item, ...]
    inner: tuple[Thing, ...]

    @property
    def sort(self) -> str:
        """The class that says what it is: `wire`, `plug`."""
        return self.group.cls.partition(" ")[0]

    @property
    def texts(self) -> tuple[Text, ...]:
        """Its own texts."""
        return tuple(texts_of(self.own))


def things(items: Iterable[Item]) -> tuple[tuple[Item, ...], tuple[Thing, ...]]:
    """Part items into those without a name and the named groups among them."""
    own: list[Item] = []
    found: list[Thing] = []
    for item in items:
        if not isinstance(item, Group):
            own.append(item)
        elif item.cls.partition(" ")[0] in _KNOWN_BY:
            found.append(Thing(item, *things(item.items)))
        else:
            mine, inner = things(item.items)
            own.append(Group(mine, item.cls, item.id, item.data, item.title) if inner else item)
            found += inner
    return tuple(own), tuple(found)


def key_of(thing: Thing, renames: Renames) -> Key:
    """Return what a group is known by, with the ids of the new sheet."""
    data = dict(facts_of(thing, renames))
    names = tuple(data.get(name, "") for name in _KNOWN_BY[thing.sort])
    more = ("mate",) if "mate" in thing.group.cls.split() else ()
    rows = thing.texts if thing.sort == "finding-row" else ()
    said = " ".join(with_new_ids(words_of(text), renames) for text in rows)
    return (thing.sort, *names, *more, *([said[:_ENOUGH]] if rows else []))


def facts_of(thing: Thing, renames: Renames) -> tuple[tuple[str, str], ...]:
    """Return the data of a group but where it stands, with the ids of the new sheet."""
    return tuple(
        (name, with_new_ids(value, renames) if name in _IDS else value)
        for name, value in thing.group.data
        if name not in _PLACES
    )


def _not_broken_anew(gone: Sequence[Text], came: Sequence[Text]) -> tuple[list[Text], list[Text]]:
    """Leave out what says the same in other lines."""
    before, after = _runs_of(gone), _runs_of(came)
    same = [words for words in before if words in after]
    first = {place for words in same for place in before[words]}
    second = {place for words in same for place in after[words]}
    return _left(gone, first), _left(came, second)


def _runs_of(texts: Sequence[Text]) -> dict[str, range]:
    """Return what up to three lines in a row say together -> their places."""
    said = [words_of(text).removeprefix("· ") for text in texts]
    return {
        " ".join(said[start:end]): range(start, end)
        for start in range(len(said))
        for end in range(start + 1, min(start + _LINES, len(said)) + 1)
    }


def with_new_ids(words: str, renames: Renames) -> str:
    """Return a text with every id in it replaced.

    Example:
        >>> with_new_ids("earth W5:1", {"W5": "W7", "W": "X"})
        'earth W7:1'
    """
    return _ID.sub(lambda found: renames.get(found[0], found[0]), words) if renames else words


def pair_things(
    old: Sequence[Thing], new: Sequence[Thing], renames: Renames
) -> tuple[list[tuple[Thing, Thing]], list[Thing], list[Thing]]:
    """Return the pairs, what is gone and what came; of several alike the nearest are one."""
    before: dict[Key, list[Thing]] = {}
    after: dict[Key, list[Thing]] = {}
    for thing in old:
        before.setdefault(key_of(thing, renames), []).append(thing)
    for thing in new:
        after.setdefault(key_of(thing, {}), []).append(thing)
    pairs: list[tuple[Thing, Thing]] = []
    gone: list[Thing] = []
    came: list[Thing] = []
    for key in dict.fromkeys([*before, *after]):
        olds, news = before.get(key, []), after.get(key, [])
        found = _nearest([_corner(t) for t in olds], [_corner(t) for t in news])
        pairs += [(olds[one], news[other]) for one, other in found]
        gone += _left(olds, {one for one, _ in found})
        came += _left(news, {other for _, other in found})
    return pairs, gone, came


def _left(items: Sequence[T], taken: set[int]) -> list[T]:
    return [item for place, item in enumerate(items) if place not in taken]


def _nearest(olds: Sequence[Point], news: Sequence[Point]) -> list[tuple[int, int]]:
    """Pair points, the nearest first."""
    if len(olds) == len(news) == 1:
        return [(0, 0)]
    ways = sorted(
        (dist(one, other), i, j) for i, one in enumerate(olds) for j, other in enumerate(news)
    )
    first: set[int] = set()
    second: set[int] = set()
    found = []
    for _, i, j in ways:
        if i not in first and j not in second:
            first.add(i)
            second.add(j)
            found.append((i, j))
    return found


def _corner(thing: Thing) -> Point:
    left, top, _, _ = extent(thing.group.items)
    return left, top


def extent(items: tuple[Item, ...]) -> tuple[float, float, float, float]:
    """Return left, top, right, bottom of items with their texts, mm."""
    spots = tuple(spot for text in texts_of(items) for spot in _spots(text))
    if spots or any(not isinstance(item, Group) for item in walk(items)):
        return bounds(items, spots)
    return 0.0, 0.0, 0.0, 0.0


def _spots(text: Text) -> tuple[Point, Point]:
    """Return two corners of a text."""
    width = sum(text_width_mm(words, text.size, bold=bold) for words, bold, _ in text.parts)
    before = {"start": 0.0, "middle": width / 2, "end": width}[text.anchor]
    if text.upright:
        return (text.x - text.size * 0.8, text.y + before), (text.x, text.y + before - width)
    return (text.x - before, text.y - text.size * 0.8), (text.x - before + width, text.y)


def is_changed(old: Thing, new: Thing, renames: Renames) -> bool:
    """Tell whether a thing says something else, its texts left out, wherever it stands."""
    if new.sort in ("finding", "finding-row"):
        return False
    return _said(old, renames) != _said(new, {}) or _symbols(old) != _symbols(new)


def ends_of(thing: Thing, renames: Renames) -> frozenset[str]:
    """Return the ends of a wire, with the ids of the new sheet."""
    return frozenset(value for name, value in facts_of(thing, renames) if name in ("from", "to"))


def _said(thing: Thing, renames: Renames) -> tuple[object, ...]:
    """Return class, data and title; a wire has no direction, and its title names it again."""
    cls = frozenset(thing.group.cls.split())
    facts = facts_of(thing, renames)
    if thing.sort != "wire":
        return cls, facts, with_new_ids(_elsewhere(thing.group.title), renames)
    return cls, ends_of(thing, renames), *(f for f in facts if f[0] not in ("from", "to"))


def _symbols(thing: Thing) -> Counter[tuple[str, tuple[tuple[str, str], ...]]]:
    groups = (item for item in thing.own if isinstance(item, Group))
    return Counter((group.cls, group.data) for group in groups if group.cls == "symbol")


def texts_of(items: Iterable[Item]) -> Iterator[Text]:
    """Yield the texts among some items and in their groups."""
    for item in items:
        if isinstance(item, Text):
            yield item
        elif isinstance(item, Group):
            yield from texts_of(item.items)


def words_of(text: Text) -> str:
    """Return what a text says; the number of another sheet is no part of it."""
    return _elsewhere(text.plain)


def _elsewhere(words: str) -> str:
    return _ELSEWHERE.sub("sheet", words)


def pair_texts(
    old: Iterable[Text], new: Iterable[Text]
) -> tuple[list[tuple[Text, Text]], list[Text], list[Text]]:
    """Return the texts that say something else than before, those that went, those that came.

    A text that is there as often as needed to be read is no change: a wire may carry its label
    once or twice.
    """
    before, after = list(old), list(new)
    common = {words_of(text) for text in before} & {words_of(text) for text in after}
    gone = [text for text in before if words_of(text) not in common]
    came = [text for text in after if words_of(text) not in common]
    gone, came = _not_broken_anew(gone, came)
    ways = sorted(
        (dist((one.x, one.y), (other.x, other.y)), i, j)
        for i, one in enumerate(gone)
        for j, other in enumerate(came)
        if one.cls == other.cls
    )
    first: dict[int, int] = {}
    for far, i, j in ways:
        alone = len(gone) == len(came) == 1
        if (far <= _NEAR_MM or alone) and i not in first and j not in first.values():
            first[i] = j
    pairs = [(gone[i], came[first[i]]) for i in sorted(first)]
    return (
        pairs,
        [text for i, text in enumerate(gone) if i not in first],
        [text for j, text in enumerate(came) if j not in first.values()],
    )
