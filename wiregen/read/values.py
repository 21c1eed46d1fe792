"""Values of one object of the file: texts, quantities, colours and ends, each with its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from wiregen.facts.colours import Colour, ColourError, parse_colour
from wiregen.facts.sizes import WireSize, read_size, read_size_range
from wiregen.model import Drawn, End, Origin, Range
from wiregen.problems import Collector
from wiregen.read import codes
from wiregen.read.yaml_tree import Map, Node, Place, Seq, text_of
from wiregen.source import Span
from wiregen.units import Dimension, UnitError, read_quantity, read_range

T = TypeVar("T")


@dataclass(slots=True)
class Reading:
    """What one load gathers: faults that stop it, findings that do not, and values seen before.

    Attributes:
        unreadable: FMT problems.
        findings: problems that a design may have and still be drawn.
        own_keys: the design's own colour keys.
    """

    unreadable: Collector = field(default_factory=Collector)
    findings: Collector = field(default_factory=Collector)
    own_keys: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    _numbers: dict[tuple[str, Dimension], float] = field(default_factory=dict)
    _sizes: dict[str, WireSize] = field(default_factory=dict)
    _colours: dict[tuple[str, str], Colour] = field(default_factory=dict)

    def number(self, text: str, dimension: Dimension) -> float:
        """Return a quantity in the base unit of its dimension; raises UnitError."""
        known = self._numbers.get((text, dimension))
        if known is None:
            known = read_quantity(text, dimension).value
            self._numbers[text, dimension] = known
        return known

    def size(self, text: str) -> WireSize:
        """Return a wire size; raises UnitError."""
        known = self._sizes.get(text)
        if known is None:
            known = self._sizes[text] = read_size(text)
        return known

    def colour(self, text: str, key: str) -> Colour:
        """Return a colour; raises ColourError."""
        known = self._colours.get((text, key))
        if known is None:
            known = self._colours[text, key] = parse_colour(text, key, self.own_keys.get(key))
        return known


@dataclass(frozen=True, slots=True, eq=False)
class Spans(Mapping[str, Span]):
    """The places of the values of one mapping; most of them are never asked for."""

    file: str
    places: Mapping[str, Place]

    def __getitem__(self, key: str) -> Span:
        return Span(self.file, *self.places[key])

    def get(self, key: str, default: Any = None) -> Any:
        """Return a place; as any mapping does, without a fault raised and caught."""
        place = self.places.get(key)
        return default if place is None else Span(self.file, *place)

    def __iter__(self) -> Iterator[str]:
        return iter(self.places)

    def __len__(self) -> int:
        return len(self.places)


@dataclass(frozen=True, slots=True)
class Fields:
    """One mapping of the file, read key by key.

    Attributes:
        reading: what the load gathers.
        node: the mapping.
        file: file name for spans.
        path: where it is, in words for messages: `wires.W3`.
        place: of the key that names it.
        colour_key: how colours are written in it.
    """

    reading: Reading
    node: Map
    file: str
    path: str
    place: Place
    colour_key: str = "iec-60757"

    @property
    def origin(self) -> Origin:
        """The place of the object and of each of its values."""
        return Origin(Span(self.file, *self.place), Spans(self.file, self.node.value_at))

    def at(self, key: str) -> Span:
        """Place of a value; of the object when the key is not written."""
        return Span(self.file, *self.node.value_at.get(key, self.place))

    def fault(self, code: str, key: str, message: str) -> None:
        """Record something that stops the load."""
        self.reading.unreadable.add(code, "error", f"{self._name(key)}: {message}", self.at(key))

    def text(self, key: str, default: str = "") -> str:
        """A text on one line; cavity and terminal names stay as written."""
        node = self.node.get(key)
        return default if node is None else " ".join(text_of(node).split())

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts; a bare text is a list of one."""
        return tuple(" ".join(text_of(item).split()) for item, _ in self._items(key))

    def flag(self, key: str) -> bool:
        """True only where `true` is written."""
        return self.node.get(key) is True

    def number(self, key: str, dimension: Dimension) -> float | None:
        """A quantity in the base unit of its dimension."""
        for node, at in self._items(key):
            return self._tried(lambda text: self.reading.number(text, dimension), key, node, at)
        return None

    def whole(self, key: str) -> int | None:
        """A whole number."""
        node = self.node.get(key)
        return None if node is None else int(node)

    def drawn(self) -> Drawn:
        """The wish where an object is to stand on the schematic."""
        f = self.inner("drawn")
        return Drawn(f.text("side"), f.whole("column"), f.text("wires")) if f else Drawn()

    def range(self, key: str, dimension: Dimension) -> Range | None:
        """A range such as `0.5..2.5`; of areas also `20 AWG..14 AWG`."""
        for node, at in self._items(key):
            return self._tried(lambda text: _range(text, dimension), key, node, at)
        return None

    def size(self, key: str) -> WireSize | None:
        """A wire size."""
        sizes = self.sizes(key)
        return sizes[0] if sizes else None

    def sizes(self, key: str) -> tuple[WireSize, ...]:
        """One wire size or a list of them."""
        read = [self._tried(self.reading.size, key, node, at) for node, at in self._items(key)]
        return tuple([size for size in read if size is not None])

    def colour(self, key: str, subject: str) -> Colour | None:
        """A colour; None with a finding when it cannot be read."""
        colours = self.colours(key, subject)
        return colours[0] if colours else None

    def colours(self, key: str, subject: str) -> tuple[Colour, ...]:
        """One colour or a list of them; those that cannot be read are findings."""
        read = []
        for item, at in self._items(key):
            try:
                read.append(self.reading.colour(text_of(item), self.colour_key))
            except ColourError as error:
                self.reading.findings.add(
                    codes.COLOUR,
                    "error",
                    f"{subject}: {error}",
                    Span(self.file, *at),
                    subjects=(subject,),
                )
        return tuple(read)

    def end(self, key: str) -> End | None:
        """An end such as `X1:3`, split at its first colon."""
        node = self.node.get(key)
        return None if node is None else end_of(text_of(node), self.at(key))

    def ends(self, key: str) -> tuple[End, ...]:
        """A list of ends."""
        return tuple(end_of(text_of(n), Span(self.file, *at)) for n, at in self._items(key))

    def pairs(self, key: str) -> tuple[tuple[str, str], ...]:
        """A list of joined terminals."""
        return tuple((text_of(pair[0]), text_of(pair[1])) for pair in self.node.get(key) or ())

    def words(self, key: str) -> dict[str, str]:
        """A mapping of texts."""
        node = self.node.get(key) or {}
        return {name: " ".join(text_of(value).split()) for name, value in node.items()}

    def inner(self, key: str) -> Fields | None:
        """The mapping that is the value of a key."""
        node = self.node.get(key)
        if not isinstance(node, Map):
            return None
        return self._inner(node, f"{self.path}.{key}", self.node.key_at[key])

    def alone(self, key: str, name: str) -> Fields:
        """A value that is no mapping, as if it were the one entry `name` of a mapping."""
        node = Map(self.node.value_at[key])
        node[name] = self.node[key]
        node.key_at[name] = self.node.key_at[key]
        node.value_at[name] = self.node.value_at[key]
        return self._inner(node, f"{self.path}.{key}", self.node.key_at[key])

    def each(self, key: str) -> Iterator[tuple[str, Fields]]:
        """The mappings inside a mapping, by name; values that are none are left out."""
        node = self.node.get(key)
        if isinstance(node, Map):
            for name, value in node.items():
                if isinstance(value, Map):
                    path = f"{self.path}.{key}.{name}"
                    yield name, self._inner(value, path, node.key_at[name])

    def rows(self, key: str) -> Iterator[Fields]:
        """The mappings in a list."""
        node = self.node.get(key)
        if isinstance(node, Seq):
            for number, value in enumerate(node, 1):
                yield self._inner(value, f"{self.path}.{key}[{number}]", value.at)

    def _name(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def _inner(self, node: Map, path: str, place: Place) -> Fields:
        return Fields(self.reading, node, self.file, path.lstrip("."), place, self.colour_key)

    def _items(self, key: str) -> Iterable[tuple[Node, Place]]:
        """The items of a list, or the one value that is no list, each with its place."""
        node = self.node.get(key)
        if node is None:
            return ()
        if isinstance(node, Seq):
            return zip(node, node.value_at, strict=True)
        return ((node, self.node.value_at[key]),)

    def _tried(self, read: Callable[[str], T], key: str, node: Node, at: Place) -> T | None:
        try:
            return read(text_of(node))
        except UnitError as error:
            said = f"{self._name(key)}: {error}"
            self.reading.unreadable.add(codes.QUANTITY, "error", said, Span(self.file, *at))
            return None


def end_of(text: str, span: Span) -> End:
    """Split an end at its first colon.

    Example:
        >>> end = end_of("X1:3", Span("a.yaml"))
        >>> end.owner, end.point
        ('X1', '3')
    """
    owner, _, point = text.partition(":")
    return End(text, owner, point, span)


def _range(text: str, dimension: Dimension) -> Range:
    if dimension == "area":
        sizes = read_size_range(text)
        return Range(sizes.low.area_mm2, sizes.high.area_mm2, text)
    read = read_range(text, dimension)
    return Range(read.low.value, read.high.value, text)
