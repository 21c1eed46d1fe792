"""A design as plain facts: what it says, without how and where it is written.

Every object becomes a mapping from paths (`("pins", "3", "colour")`) to leaves. Units, spelling
of colours, order of keys and the direction in which a wire is written make no difference.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from operator import attrgetter
from typing import Any, NamedTuple, TypeAlias

from wiregen.edit.rename import SECTIONS
from wiregen.facts.colours import Colour
from wiregen.facts.sizes import WireSize
from wiregen.model import Design, End, Range, RouteLeg, Wire, natural_key


class Ref(NamedTuple):
    """A pointer to an object: `space` is `""` for the sections that share one space of ids."""

    space: str
    id: str
    point: str = ""

    def __str__(self) -> str:
        return f"{self.id}:{self.point}" if self.point else self.id


class Bag(tuple["Leaf", ...]):
    """Several leaves whose order says nothing; made by `bag`."""

    __slots__ = ()


def bag(items: Iterable[Leaf]) -> Bag:
    """Return leaves in the one order that stands for all orders."""
    return Bag(sorted(items, key=lambda item: natural_key(leaf_text(item))))


Leaf: TypeAlias = Hashable
"""A text, a number as text with its unit, a flag, a `Ref`, a tuple of leaves or a `Bag`."""
Path: TypeAlias = tuple["str | Ref", ...]
Record: TypeAlias = dict[Path, Leaf]
Plain: TypeAlias = dict[str, dict[str, Record]]
"""Section -> id -> facts."""

NAMED = ("circuits", "states", "variants")
"""Sections with a space of names of their own."""
LISTS = {"route": ("from", " - ", "to"), "accepted": ("rule", " on ", "object")}
"""Sections that are lists in the file: the two facts that name an item."""

_UNITS = {"mm": "mm", "mm2": "mm2", "v": "V", "a": "A", "w": "W", "ohm": "ohm", "c": "degC"}
_KEYS = {"start": "from", "end": "to", "places": "at", "safety": "class"} | {
    "colours": "colour",
    "sizes": "size",
    "drawn_state": "state",
    "on_states": "on_when",
}
_HIDDEN = frozenset({"id", "origin", "name", "on_when"})
_TO = {
    "loom": "",
    "of": "",
    "mates": "",
    "contact": "",
    "like": "",
    "case": "",
    "circuit": "circuits",
}
"""Fields that hold one id -> its space."""
_TO_MANY = {
    "twisted": "",
    "screened": "",
    "multicore": "",
    "terminators": "",
    "active": "",
    "bars": "",
    "cavity": "",
    "closed_in": "states",
    "on_states": "states",
    "only": "variants",
}
"""Fields that hold several ids, as items or as values."""
_KEYED = {"settings": "", "needs": "states", "drop": "states"}
"""Fields whose keys are ids or ends."""
_UNORDERED = frozenset(
    {"twisted", "screened", "multicore", "terminators", "active", "bars", "closed_in", "on_states"}
    | {"only", "members", "join", "apart", "rest", "pulled", "positions", "through"}
)
_PER_WIRE = frozenset({"colours", "sizes"})
_FLAT = frozenset({"settings"})
"""Fields whose entries stand in the object itself in the file."""


def plain(design: Design) -> Plain:
    """Return everything a design says, as facts."""
    found: Plain = {"drawing": {"": record_of(design.title_block)}}
    found["system"] = {"": record_of(design.system)}
    if design.colour_key != "iec-60757":
        found["system"][""][("colour_key",)] = design.colour_key
    for name, letters in design.colour_keys.items():
        for letter, words in letters.items():
            found["system"][""]["colour_keys", name, letter] = words
    for section in (*SECTIONS, "circuits", "states"):
        records: Mapping[str, Any] = getattr(design, section)
        found[section] = {name: record_of(record) for name, record in records.items()}
    found["variants"] = {name: {("title",): words} for name, words in design.variants.items()}
    found["route"] = listed("route", map(record_of, design.route))
    found["accepted"] = listed("accepted", map(record_of, design.waivers))
    return found


def record_of(record: object) -> Record:
    """Return the facts of one record of the model; what is not said is not in it."""
    facts: Record = {}
    _enter(facts, (), record)
    return facts


def listed(section: str, records: Iterable[Record]) -> dict[str, Record]:
    """Name the items of a section that is a list in the file."""
    first, between, second = LISTS[section]
    return _numbered(
        (f"{leaf_text(r.get((first,), ''))}{between}{leaf_text(r.get((second,), ''))}", r)
        for r in records
    )


def point_elsewhere(leaf: Leaf, to: Callable[[Ref], Ref]) -> Leaf:
    """Return a leaf with every pointer in it replaced."""
    if isinstance(leaf, Ref):
        return to(leaf)
    if isinstance(leaf, Bag):
        return bag(point_elsewhere(item, to) for item in leaf)
    if isinstance(leaf, tuple):
        return tuple(point_elsewhere(item, to) for item in leaf)
    return leaf


def wire_ends(facts: Record) -> tuple[Ref, ...]:
    """Return the ends of a wire."""
    ends = facts.get(("ends",), ())
    assert isinstance(ends, tuple)
    return ends


def refs_in(leaf: Leaf) -> Iterator[Ref]:
    """Yield every pointer in a leaf."""
    if isinstance(leaf, Ref):
        yield leaf
    elif isinstance(leaf, tuple):
        for item in leaf:
            yield from refs_in(item)


def leaf_text(leaf: Leaf) -> str:
    """Return a leaf as people write it.

    Example:
        >>> leaf_text((Ref("", "X1", "3"), "a")), leaf_text(True)
        ('[X1:3, a]', 'true')
    """
    if isinstance(leaf, bool):
        return "true" if leaf else "false"
    if isinstance(leaf, tuple) and not isinstance(leaf, Ref):
        return f"[{', '.join(map(leaf_text, leaf))}]"
    return str(leaf)


def _numbered(rows: Iterable[tuple[str, Record]]) -> dict[str, Record]:
    """Give equal names a number, in an order the file does not change."""
    ordered = sorted(rows, key=lambda row: (natural_key(row[0]), repr(sorted_facts(row[1]))))
    found: dict[str, Record] = {}
    for name, record in ordered:
        number, free = 1, name
        while free in found:
            number += 1
            free = f"{name} ({number})"
        found[free] = record
    return found


def sorted_facts(record: Record) -> list[tuple[Path, Leaf]]:
    """Return the facts of a record in natural order of their paths."""
    return sorted(record.items(), key=lambda fact: [natural_key(str(step)) for step in fact[0]])


class _Field(NamedTuple):
    """How one field of a record becomes facts; `plain` is True for texts that point nowhere."""

    name: str
    key: str
    unit: str
    plain: bool


@cache
def _fields(
    sort: type,
) -> tuple[Callable[[Any], tuple[Any, ...]], tuple[Any, ...], tuple[_Field, ...]]:
    """Return how to read the fields of a record type at once, what says nothing, what each is."""
    ends = ("start", "end")
    found: list[_Field] = []
    defaults: list[Any] = []
    for field in fields(sort):
        if field.name in _HIDDEN or (sort is Wire and field.name in ends):
            continue
        stem, _, unit = field.name.rpartition("_")
        known = bool(stem) and unit in _UNITS
        key = stem if known else field.name
        points = field.name in _TO or field.name == "object"
        points = points or (sort is RouteLeg and field.name in ends)
        found.append(
            _Field(
                field.name,
                _KEYS.get(key, key),
                _UNITS[unit] if known else "",
                not points,
            )
        )
        made = field.default_factory
        defaults.append(field.default if made is MISSING else made())
    return attrgetter("__class__", *(f.name for f in found)), tuple(defaults), tuple(found)


def _enter(facts: Record, path: Path, record: Any) -> None:
    getter, defaults, plan = _fields(record.__class__)
    for value, default, field in zip(getter(record)[1:], defaults, plan, strict=True):
        if value is default or value is None or value in (default, ()):
            continue
        if type(value) is str:
            leaf: Leaf = value if field.plain else _pointer(value, _TO.get(field.name, ""))
            facts[*path, field.key] = leaf
        elif field.unit:
            leaf = _leaf(value, "")
            facts[*path, field.key] = f"{leaf} {field.unit}" if _is_number(value) else leaf
        elif field.name in _FLAT:
            _enter_value(facts, path, field.name, value)
        else:
            _enter_value(facts, (*path, field.key), field.name, value)
    if isinstance(record, Wire):
        facts[*path, "ends"] = bag(map(_end, record.ends))


def _enter_value(facts: Record, path: Path, name: str, value: Any) -> None:
    if type(value) in _LEAVES and name != "revisions":
        facts[path] = _leaf(value, name)
    elif isinstance(value, Mapping):
        if name == "pins":
            for cavity, pin in value.items():
                facts[*path, cavity, "state"] = pin.state
                _enter(facts, (*path, cavity), pin)
        else:
            _enter_mapping(facts, path, name, value)
    elif name == "revisions":
        for row, inner in _numbered((r.revision, record_of(r)) for r in value).items():
            facts |= {(*path, row, *inner_path): leaf for inner_path, leaf in inner.items()}
    elif is_dataclass(value):
        _enter(facts, path, value)
    else:
        facts[path] = _leaf(value, name)


def _enter_mapping(facts: Record, path: Path, name: str, value: Mapping[str, Any]) -> None:
    keyed = _KEYED.get(name)
    for key, inner in value.items():
        step = key if keyed is None else _pointer(key, keyed)
        if type(inner) in _LEAVES or not is_dataclass(inner):
            facts[*path, step] = _leaf(inner, name)
            continue
        before = len(facts)
        _enter(facts, (*path, step), inner)
        if len(facts) == before:
            facts[*path, step] = ""


_LEAVES = (str, End, Colour, WireSize, Range, tuple, float, int, bool)


def _leaf(value: Any, name: str) -> Leaf:
    if isinstance(value, str):
        space = _TO.get(name, _TO_MANY.get(name))
        return value if space is None else _pointer(value, space)
    if isinstance(value, Colour):
        return value.iec
    if isinstance(value, WireSize):
        return f"{value.label} / {value.also}" if value.also else value.label
    if isinstance(value, End):
        return _end(value)
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, int | float):
        return _number(value)
    if isinstance(value, Range):
        return f"{_number(value.low)}..{_number(value.high)}"
    if isinstance(value, Mapping):
        return tuple((key, _leaf(inner, "")) for key, inner in value.items())
    if is_dataclass(value):
        return tuple((".".join(map(str, path)), leaf) for path, leaf in record_of(value).items())
    items = [_leaf(item, name) for item in value]
    if name in _PER_WIRE and len(items) == 1:
        return items[0]
    return bag(items) if name in _UNORDERED else tuple(items)


def _end(end: End) -> Ref:
    return Ref("", end.owner, end.point)


def _pointer(text: str, space: str) -> Ref:
    if space:
        return Ref(space, text)
    owner, _, point = text.partition(":")
    return Ref("", owner, point)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _number(value: float) -> str:
    return f"{value:.10g}"
