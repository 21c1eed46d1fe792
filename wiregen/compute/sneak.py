"""Circuits that are alive behind an open switch, and loads that lie in series by accident."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from wiregen.compute.elements import Element
from wiregen.compute.gather import grouped
from wiregen.compute.guard import METAL, poles_of
from wiregen.compute.states import Point

ALIVE_V = 0.3
"""A circuit that should be dead is alive above this voltage."""
MOST_LOADS = 4
_LOW_OHM = 1.0
_CONSUMERS = ("load", "coil", "diode")


@dataclass(frozen=True)
class Alive:
    """A load that gets something from a back-feed.

    Attributes:
        id: of the load.
        volts_v: across it.
        share: of its nominal voltage; 0 when that is not known.
        held: a relay that is in, or would stay in.
    """

    id: str
    volts_v: float
    share: float
    held: bool


@dataclass(frozen=True)
class BackFeed:
    """A circuit that is alive although its switch is open.

    Attributes:
        state: name.
        switches: open contacts and fuses that should keep it dead.
        node: a node of the circuit.
        volts_v: against 0 V.
        source: what feeds it.
        steps: node, branch, node, branch ... node from the source to the circuit.
        through: loads and diodes on the way.
        alive: what gets something.
    """

    state: str
    switches: tuple[str, ...]
    node: str
    volts_v: float
    source: str
    steps: tuple[str, ...]
    through: tuple[str, ...]
    alive: tuple[Alive, ...]

    @property
    def path(self) -> str:
        """The way pin by pin, the parts between the pins in brackets."""
        words = [self.steps[0]] if self.steps else []
        for branch, node in zip(self.steps[1::2], self.steps[2::2], strict=True):
            words += [f"({branch})", node] if " = " not in branch else [node]
        return " ".join(words)


class _Pieces:
    """The pieces of a point that metal, closed contacts and whole fuses join."""

    def __init__(self, point: Point) -> None:
        at = point.circuit.at
        self.point = point
        joined = [
            (at(e.a), at(e.b))
            for e in point.elements
            if e.part in (*METAL, "fuse") and e.ohm < _LOW_OHM
        ]
        self.group = grouped(joined)
        poles = poles_of(point.circuit, point.elements, self.of)
        self.fed = {self.of(node) for node in poles.live.values()}
        others = (e for e in point.elements if e.part == "source" and e.id not in poles.live)
        self.own = {self.of(e.a) for e in others}
        self.zero = {self.of(node) for node in poles.earth}
        self.ends: dict[str, list[tuple[Element, str, str, int]]] = {}
        for e in point.elements:
            self.ends.setdefault(at(e.b), []).append((e, e.b, e.a, 1))
            self.ends.setdefault(at(e.a), []).append((e, e.a, e.b, -1))

    def of(self, node: str) -> str:
        """Return the piece a node is on."""
        own = self.point.circuit.at(node)
        return self.group.get(own, own)


def back_feeds(point: Point) -> tuple[BackFeed, ...]:
    """Return the circuits that are alive behind open contacts, removed fuses and open relays.

    Args:
        point: a state with an operating point.
    """
    pieces = _Pieces(point)
    behind: dict[str, dict[str, str]] = {}
    for element in point.circuit.elements:
        if element.part not in ("contact", "fuse") or point.is_present(element):
            continue
        for here, there in ((element.a, element.b), (element.b, element.a)):
            piece = pieces.of(there)
            if pieces.of(here) in pieces.fed and piece not in pieces.fed | pieces.zero:
                behind.setdefault(piece, {}).setdefault(element.id, there)
    found = []
    for piece, switches in behind.items():
        node = next(iter(switches.values()))
        volts = point.volts(node)
        if volts is None or abs(volts) <= ALIVE_V or piece in pieces.own or point.is_loose(node):
            continue
        entry = _entry(pieces, piece)
        if entry is None:
            continue
        source, steps, through = _upstream(pieces, piece, entry)
        alive = tuple(_alive(pieces, piece, through))
        found.append(
            BackFeed(point.name, tuple(switches), node, volts, source, steps, through, alive)
        )
    return tuple(found)


def _entry(pieces: _Pieces, piece: str) -> tuple[Element, str, str] | None:
    """Return the branch a piece is fed by, its near and its far node."""
    best: tuple[float, Element, str, str] | None = None
    for element in pieces.point.elements:
        if element.part in METAL or element.part == "fuse":
            continue
        for near, far, sign in ((element.b, element.a, 1), (element.a, element.b, -1)):
            if pieces.of(near) == piece and pieces.of(far) != piece:
                amps = sign * pieces.point.amps(element.id)
                if best is None or amps > best[0]:
                    best = (amps, element, near, far)
    return None if best is None else best[1:]


def _upstream(
    pieces: _Pieces, piece: str, entry: tuple[Element, str, str]
) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """Follow the largest current from a piece up to its source.

    Returns:
        The source, the steps from it to the piece, and the loads on the way.
    """
    point = pieces.point
    at = point.circuit.at
    element, near, far = entry
    steps, through = [near, element.id, far], [element.id]
    seen = {at(near), at(far)}
    here, came, source = far, element, ""
    while True:
        best: tuple[float, Element, str, str] | None = None
        for other, end, away, sign in pieces.ends.get(at(here), ()):
            amps = sign * point.amps(other.id)
            if other is not came and amps > 0 and (best is None or amps > best[0]):
                best = (amps, other, end, away)
        if best is None:
            break
        _, other, end, away = best
        if end != here:
            steps += ["", end]
        if other.part == "source":
            source = other.id
            break
        steps += [other.id, away]
        if at(away) in seen:
            break
        seen.add(at(away))
        if other.part in _CONSUMERS:
            through.append(other.id)
        here, came = away, other
    cleaned = tuple(reversed([s for s in _merged(steps) if s]))
    return source or cleaned[0], cleaned, tuple(reversed(through))


def _merged(steps: list[str]) -> list[str]:
    """Drop the empty branches between nodes that are one piece of metal, and one of the nodes."""
    result: list[str] = []
    for step, following in pairwise([*steps, "end"]):
        if step and not (following == "" and result):
            result.append(step)
    return result


def _alive(pieces: _Pieces, piece: str, through: tuple[str, ...]) -> Iterator[Alive]:
    point = pieces.point
    limits = {p.id: p for p in point.circuit.pulls}
    for element in point.elements:
        if element.part not in ("load", "coil") or element.id in through:
            continue
        if piece not in (pieces.of(element.a), pieces.of(element.b)):
            continue
        volts = abs(point.across(element))
        if volts <= ALIVE_V:
            continue
        pull = limits.get(element.id.partition(":")[0]) if element.part == "coil" else None
        held = pull is not None and volts >= pull.drops_out_v
        share = volts / element.rated_v if element.rated_v else 0.0
        yield Alive(element.id, volts, share, held)


def series_paths(point: Point) -> tuple[tuple[str, ...], ...]:
    """Return the routes from supply through two to four loads to earth, whatever the values.

    Between the loads lie pieces that neither a source nor earth is joined to. A diode, a resistor,
    a sender or a sensor counts as part of its load.

    Args:
        point: a state with an operating point.

    Returns:
        Ids of the loads from supply to earth, each route once.
    """
    pieces = _Pieces(point)
    near: dict[str, list[tuple[str, Element]]] = {}
    for element in point.elements:
        if element.part in _CONSUMERS:
            near.setdefault(pieces.of(element.a), []).append((pieces.of(element.b), element))
            near.setdefault(pieces.of(element.b), []).append((pieces.of(element.a), element))
    found: dict[tuple[str, ...], None] = {}
    for start in sorted(pieces.fed - pieces.zero):
        _search(pieces, near, [start], [], found)
    return tuple(sorted(found))


def _search(
    pieces: _Pieces,
    near: dict[str, list[tuple[str, Element]]],
    visited: list[str],
    taken: list[Element],
    found: dict[tuple[str, ...], None],
) -> None:
    loads = [e for e in taken if e.rated_v]
    for there, element in near.get(visited[-1], ()):
        count = len(loads) + bool(element.rated_v)
        if there in visited or there in pieces.fed or count > MOST_LOADS:
            continue
        if len(taken) + 1 > 2 * MOST_LOADS:
            continue
        if there in pieces.zero:
            if count > 1:
                found[tuple(e.id for e in [*loads, element] if e.rated_v)] = None
            continue
        _search(pieces, near, [*visited, there], [*taken, element], found)
