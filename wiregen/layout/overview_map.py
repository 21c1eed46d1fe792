"""What the overview map shows: places (plugs, devices, boxes) and the bundles between them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wiregen.connect import Network
from wiregen.layout.kept import KeptMap
from wiregen.layout.schematic.ends import Ends
from wiregen.model import Design
from wiregen.model.order import in_order, natural_key

MANY_PLACES = 24
"""With more places than this, small ones are counted into the place they are wired to."""
SMALL = 3
"""Wires of a small place."""
MOST_BUNDLES = 80
"""The largest bundles are drawn as lines; smaller ones are named in the boxes."""
LARGE_SPLICE = 12
"""A splice with more wires than this is a place of its own."""


@dataclass(frozen=True, slots=True)
class Bundle:
    """All wires between two places."""

    a: str
    b: str
    wires: tuple[str, ...]
    looms: tuple[str, ...]
    new: bool

    @property
    def key(self) -> str:
        """Its name on the map."""
        return f"{self.a} {self.b}"


@dataclass(frozen=True, slots=True)
class Overview:
    """What the map shows.

    Attributes:
        places: id -> title, natural order.
        bundles: drawn as lines, natural order of their places.
        members: place -> small places counted into it.
        into: splice or small place -> the place it is counted into.
        further: place -> its bundles that are only named in the boxes.
    """

    places: Mapping[str, str]
    bundles: tuple[Bundle, ...]
    members: Mapping[str, tuple[str, ...]]
    into: Mapping[str, str]
    further: Mapping[str, tuple[Bundle, ...]]


def find_overview(
    design: Design, network: Network, ends: Ends, keep: KeptMap | None = None
) -> Overview:
    """Gather wires into bundles; a splice counts as part of the place it is fed from.

    A splice that no one place feeds and that joins several is a place itself. A fuse that is
    fitted on a terminal is part of the thing it is fitted on.

    Args:
        design: the design.
        network: from `connect`.
        ends: from `find_ends`.
        keep: the map as it was drawn; what was a place or part of one stays so.
    """
    lugs = {lug.block: terminal.block for terminal, lug in ends.fitted.values()}
    pairs = [
        (wire, lugs.get(first.block, first.block), lugs.get(second.block, second.block))
        for wire, (first, second) in ends.of_wire.items()
        if not _loose(first.block) and not _loose(second.block)
    ]
    count = _wires_at(pairs)
    homes = _homes(design, pairs, count)
    splices = frozenset(name for name, home in homes.items() if home)
    few = frozenset(name for name, n in count.items() if n <= SMALL and name not in design.splices)
    into = _absorbed(design, pairs, splices, homes)
    for small in (splices | (few - frozenset(design.plugs)), splices | few):
        if len({into.get(b, b) for _, *ab in pairs for b in ab}) > MANY_PLACES:
            into = _absorbed(design, pairs, small, homes)
    into = _between_few(into, pairs, [name for name, home in homes.items() if not home])
    if keep is not None:
        into = _as_before(into, keep, count)
    into = {name: _last(lugs | into, name) for name in lugs} | into
    found: dict[tuple[str, str], list[str]] = {}
    names: dict[str, None] = {}
    for wire, first, second in pairs:
        a, b = into.get(first, first), into.get(second, second)
        names |= {a: None, b: None}
        if a != b:
            key = (a, b) if natural_key(a) <= natural_key(b) else (b, a)
            found.setdefault(key, []).append(wire)
    bundles = tuple(
        _bundle(design, a, b, found[a, b])
        for a, b in sorted(found, key=lambda pair: (natural_key(pair[0]), natural_key(pair[1])))
    )
    known = keep.layout.links if keep is not None else {}
    strongest = sorted(
        range(len(bundles)), key=lambda i: (bundles[i].key not in known, -len(bundles[i].wires), i)
    )
    kept = frozenset(strongest[:MOST_BUNDLES])
    members: dict[str, list[str]] = {}
    for name in in_order(into):
        if name not in design.splices:
            members.setdefault(into[name], []).append(name)
    further: dict[str, list[Bundle]] = {}
    for index, bundle in enumerate(bundles):
        for name in (bundle.a, bundle.b) if index not in kept else ():
            further.setdefault(name, []).append(bundle)
    return Overview(
        {name: _title(design, network, name) for name in in_order(names)},
        tuple(bundle for index, bundle in enumerate(bundles) if index in kept),
        {name: tuple(others) for name, others in members.items()},
        into,
        {name: tuple(small) for name, small in further.items()},
    )


def _loose(block: str) -> bool:
    return block.startswith(("earth ", "end "))


def _wires_at(pairs: Iterable[tuple[str, str, str]]) -> dict[str, int]:
    count: dict[str, int] = {}
    for _, first, second in pairs:
        for block in (first, second):
            count[block] = count.get(block, 0) + 1
    return count


def _homes(
    design: Design, pairs: Iterable[tuple[str, str, str]], count: Mapping[str, int]
) -> dict[str, str]:
    """Return splice -> what it is fed from, empty where it is fed from no one place.

    That is where its only wire comes from, or its only one leads to, or its only plug.
    """
    comes: dict[str, list[str]] = {}
    leads: dict[str, list[str]] = {}
    for _, first, second in pairs:
        comes.setdefault(second, []).append(first)
        leads.setdefault(first, []).append(second)
    homes = {}
    for name in in_order(design.splices):
        if 0 < count.get(name, 0) <= LARGE_SPLICE:
            into, out = comes.get(name, []), leads.get(name, [])
            plugs = dict.fromkeys(other for other in (*into, *out) if other in design.plugs)
            single = [found for found in (into, out, list(plugs)) if len(found) == 1]
            homes[name] = single[0][0] if single else ""
    return homes


def _between_few(
    into: Mapping[str, str], pairs: Iterable[tuple[str, str, str]], hubs: Iterable[str]
) -> dict[str, str]:
    """Count splices without a feed that join two places at most into that with most wires."""
    around: dict[str, dict[str, int]] = {name: {} for name in hubs}
    for _, first, second in pairs:
        for one, other in ((first, second), (second, first)):
            place = into.get(other, other)
            if one in around and place != one:
                around[one][place] = around[one].get(place, 0) + 1
    found = dict(into)
    for name, places in around.items():
        if 0 < len(places) <= 2 and name not in found.values():
            found[name] = min(places, key=lambda other: (-places[other], natural_key(other)))
    return {name: _last(found, name) for name in found}


def _absorbed(
    design: Design,
    pairs: Iterable[tuple[str, str, str]],
    small: frozenset[str],
    homes: Mapping[str, str],
) -> dict[str, str]:
    """Return small block -> the place most of its wires go to, chains followed to their end.

    A splice goes to its home.
    """
    votes: dict[str, dict[str, int]] = {}
    for _, first, second in pairs:
        for one, other in ((first, second), (second, first)):
            if one in small and one != other:
                votes.setdefault(one, {}).setdefault(other, 0)
                votes[one][other] += 1
    into: dict[str, str] = {}
    for name in in_order(votes):
        options = sorted(
            votes[name],
            key=lambda other: (
                other != homes.get(name, other),
                other in small,
                other not in design.plugs,
                -votes[name][other],
                natural_key(other),
            ),
        )
        target = options[0]
        seen = {name}
        while target in into and target not in seen:
            seen.add(target)
            target = into[target]
        if target != name and target not in seen:
            into[name] = target
    return {name: _last(into, name) for name in into}


def _as_before(into: Mapping[str, str], keep: KeptMap, names: Mapping[str, int]) -> dict[str, str]:
    """Return small block -> place with the places and the members of an earlier map."""
    kept = {
        name: place
        for name, place in keep.members.items()
        if name in names and place in names and place in keep.layout.boxes
    }
    new = {
        name: place
        for name, place in into.items()
        if name not in keep.layout.boxes and name not in kept
    }
    found = new | kept
    return {name: _last(found, name) for name in found}


def _last(into: Mapping[str, str], name: str) -> str:
    seen = {name}
    while into.get(name, name) not in seen:
        name = into[name]
        seen.add(name)
    return name


def _bundle(design: Design, a: str, b: str, wires: list[str]) -> Bundle:
    looms: dict[str, int] = {}
    for wire in wires:
        loom = design.wires[wire].loom
        if loom:
            looms[loom] = looms.get(loom, 0) + 1
    names = sorted(looms, key=lambda loom: (-looms[loom], natural_key(loom)))
    new = any(design.status_of(design.wires[wire]) == "new" for wire in wires)
    return Bundle(a, b, tuple(in_order(wires)), tuple(names), new)


def _title(design: Design, network: Network, name: str) -> str:
    title = network.titles.get(name, "")
    mates = [plug.id for plug in design.plugs.values() if plug.mates == name and not plug.of]
    return f"{title} with {mates[0]}" if name in design.plugs and mates else title
