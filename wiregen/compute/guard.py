"""Which fuse protects which wire and load, judged on what can be joined, whatever is switched."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from wiregen.compute.elements import Element
from wiregen.compute.gather import grouped
from wiregen.compute.network import Circuit
from wiregen.model import in_order

_LOW_OHM = 1.0
SOLID = ("wire", "joint")
METAL = (*SOLID, "contact", "driver")


@dataclass(frozen=True)
class Guards:
    """Who protects whom.

    Attributes:
        of_wire: wire -> nearest fuses towards the sources; empty when there is none or no source.
        unfused: wire -> sources it is reached from without passing a fuse.
        returns: wires on the earth side; their fuses are those of the loads they serve, and in
            the lead of a source the first ones it feeds.
        leads: wire that alone is the minus lead of a source -> the first fuses of the source,
            behind which a short to earth comes back through it.
        of_load: load -> its fuses.
        wires: fuse -> wires it protects.
        loads: fuse -> loads behind it, down to the next fuse.
        above: fuse -> fuses that come before it on the way from a source.
        parallel: fuses that feed the same piece side by side.
    """

    of_wire: Mapping[str, tuple[str, ...]]
    unfused: Mapping[str, tuple[str, ...]]
    returns: frozenset[str]
    leads: Mapping[str, tuple[str, ...]]
    of_load: Mapping[str, tuple[str, ...]]
    wires: Mapping[str, tuple[str, ...]]
    loads: Mapping[str, tuple[str, ...]]
    above: Mapping[str, tuple[str, ...]]
    parallel: tuple[tuple[str, ...], ...]


def find_guards(circuit: Circuit) -> Guards:
    """Return who protects whom; every contact is taken as one that can be closed.

    A contact to earth is so only where no fuse or source can feed its other side: one that
    reverses a motor joins supply or earth, never both.

    Args:
        circuit: from `build`.
    """
    solid = _Region(circuit.at, (e for e in circuit.elements if e.part in SOLID))
    poles = poles_of(circuit, circuit.elements, solid)
    zero = {solid(node) for node in poles.earth}
    contacts = [e for e in circuit.elements if e.part in METAL and e.by and e.ohm < _LOW_OHM]
    to_earth = [e for e in contacts if {solid(e.a), solid(e.b)} & zero]
    region = _Region(solid, (e for e in contacts if not {solid(e.a), solid(e.b)} & zero))
    zero = {region(node) for node in poles.earth}
    feeding, unfused_regions, _, _, _ = _feeds(circuit, region, zero, poles.live)
    fed = feeding.keys() | unfused_regions.keys()
    region = _Region(region, [e for e in to_earth if not {region(e.a), region(e.b)} & fed])
    zero = {region(node) for node in poles.earth}
    feeding, unfused_regions, parallel, above, reached = _feeds(circuit, region, zero, poles.live)
    wires = [e for e in circuit.elements if e.part == "wire"]
    of_wire: dict[str, tuple[str, ...]] = {}
    unfused: dict[str, tuple[str, ...]] = {}
    for wire in wires:
        place = region(wire.a)
        if place not in zero:
            of_wire[wire.id] = tuple(in_order(feeding.get(place, ())))
            unfused[wire.id] = tuple(in_order(unfused_regions.get(place, ())))
    loads = [e for e in circuit.elements if e.part in ("load", "coil")]
    of_load = {
        e.id: tuple(in_order({f for n in (e.a, e.b) for f in feeding.get(region(n), ())}))
        for e in loads
    }
    near = _earth_side(circuit, region, zero)
    returns = frozenset(w.id for w in wires if w.id not in of_wire)
    back = _returns(circuit, region, zero, near, of_load)
    strong = {name: _opened(circuit, name, fuses) for name, fuses in reached.items()}
    short = _returns(circuit, region, zero, near, strong)
    leads = {w: short[w] for w in in_order(returns) if short.get(w) and _alone(circuit, near, w)}
    of_wire.update({w: tuple(in_order({*back.get(w, ()), *leads.get(w, ())})) for w in returns})
    return Guards(
        of_wire=of_wire,
        unfused={w: s for w, s in unfused.items() if s},
        returns=returns,
        leads=leads,
        of_load=of_load,
        wires=_turned({w: f for w, f in of_wire.items() if w not in returns}),
        loads=_turned(of_load),
        above={f: tuple(in_order(found)) for f, found in above.items()},
        parallel=parallel,
    )


class _Region:
    """Node -> the piece of metal and closed contacts it is on: finer pieces and what joins them."""

    def __init__(self, finer: Callable[[str], str], joining: Iterable[Element]) -> None:
        self.finer = finer
        self.group = grouped([(finer(e.a), finer(e.b)) for e in joining])
        self.known: dict[str, str] = {}

    def __call__(self, node: str) -> str:
        found = self.known.get(node)
        if found is None:
            own = self.finer(node)
            found = self.known[node] = self.group.get(own, own)
        return found


def main_sources(circuit: Circuit) -> frozenset[str]:
    """Return the sources that can feed a fault: batteries and alternators."""
    kinds = ("battery", "alternator")
    own = {d.id for d in circuit.design.devices.values() if d.kind in kinds}
    inner = {
        f"{d.id}.{p.id}"
        for d in circuit.design.devices.values()
        for p in d.inside.values()
        if p.kind in kinds
    }
    return frozenset(own | inner)


@dataclass(frozen=True, slots=True)
class Poles:
    """The poles of the sources that can feed a fault.

    Attributes:
        live: source -> its live pole: plus, or minus where plus is earthed.
        earth: 0 V and the other poles, without those in the middle of a string.
    """

    live: Mapping[str, str]
    earth: tuple[str, ...]


def poles_of(circuit: Circuit, present: Iterable[Element], piece: Callable[[str], str]) -> Poles:
    """Return the live poles and what is earth.

    Args:
        circuit: from `build`.
        present: the branches that are there.
        piece: node -> what stands for the metal it is on.
    """
    main = main_sources(circuit)
    zero = piece(circuit.zero)
    live: dict[str, str] = {}
    back: dict[str, str] = {}
    live_on: dict[str, set[str]] = {}
    for e in present:
        if e.part == "source" and e.id in main:
            swap = piece(e.a) == zero and piece(e.b) != zero
            live[e.id], back[e.id] = (e.b, e.a) if swap else (e.a, e.b)
            live_on.setdefault(piece(live[e.id]), set()).add(e.id)
    earth = (
        node
        for name, node in back.items()
        if piece(node) == zero or not live_on.get(piece(node), set()) - {name}
    )
    return Poles(live, (circuit.zero, *earth))


def _feeds(
    circuit: Circuit, region: _Region, zero: set[str], live: Mapping[str, str]
) -> tuple[
    dict[str, set[str]],
    dict[str, set[str]],
    tuple[tuple[str, ...], ...],
    dict[str, set[str]],
    dict[str, set[str]],
]:
    """Search outward from every source.

    Returns:
        Region -> fuses that feed it; region -> sources that feed it without one; fuses side by
        side; fuse -> those before it; source -> the first fuses behind it.
    """
    across: dict[str, list[tuple[str, str]]] = {}
    for element in circuit.elements:
        if element.part == "fuse":
            one, other = region(element.a), region(element.b)
            if one != other:
                across.setdefault(one, []).append((element.id, other))
                across.setdefault(other, []).append((element.id, one))
    feeding: dict[str, set[str]] = {}
    unfused: dict[str, set[str]] = {}
    above: dict[str, set[str]] = {}
    reached: dict[str, set[str]] = {}
    pairs: dict[tuple[str, ...], None] = {}
    for source, pole in live.items():
        start = region(pole)
        if start in zero:
            continue
        unfused.setdefault(start, set()).add(source)
        depth = {start: 0}
        entered: dict[str, set[str]] = {}
        queue = deque([start])
        while queue:
            here = queue.popleft()
            for fuse, there in across.get(here, ()):
                if there in zero:
                    continue
                if there not in depth:
                    depth[there] = depth[here] + 1
                    queue.append(there)
                if depth[there] > depth[here]:
                    entered.setdefault(there, set()).add(fuse)
                    above.setdefault(fuse, set()).update(entered.get(here, ()))
        for place, fuses in entered.items():
            feeding.setdefault(place, set()).update(fuses)
            reached.setdefault(source, set()).update(fuses if depth[place] == 1 else ())
            if len(fuses) > 1:
                pairs[tuple(in_order(fuses))] = None
    return feeding, unfused, tuple(sorted(pairs)), above, reached


_Near = Mapping[str, list[tuple[str, Element]]]
"""Node -> the nodes it is joined to by low resistance, and what joins them."""


def _earth_side(circuit: Circuit, region: _Region, zero: set[str]) -> _Near:
    """Return what is joined on the earth side; a shunt in the lead of a source is part of it."""
    at = circuit.at
    near: dict[str, list[tuple[str, Element]]] = {}
    for element in circuit.elements:
        part_of_lead = element.part == "load" and region(element.b) in zero
        if (element.part in METAL or part_of_lead) and (
            element.ohm < _LOW_OHM and region(element.a) in zero
        ):
            near.setdefault(at(element.a), []).append((at(element.b), element))
            near.setdefault(at(element.b), []).append((at(element.a), element))
    return near


def _opened(circuit: Circuit, source: str, fuses: Iterable[str]) -> list[str]:
    """Return the fuses that a source can open: it gives more into a short than they are rated."""
    element = circuit.elements[circuit.place[source]]
    most_a = element.amps_a if element.law != "source" else element.volts_v / element.ohm
    ratings = {name: circuit.design.fuses[name].rating_a for name in fuses}
    return [name for name, rating in ratings.items() if rating is None or rating < most_a]


def _alone(circuit: Circuit, near: _Near, wire: str) -> bool:
    """Tell whether the ends of a wire are joined by it alone: beside others it has only a share."""
    element = circuit.elements[circuit.place[wire]]
    start, end = circuit.at(element.a), circuit.at(element.b)
    seen, queue = {start}, deque([start])
    while queue:
        for other, by in near.get(queue.popleft(), ()):
            if by.id != wire and other not in seen:
                seen.add(other)
                queue.append(other)
    return end not in seen


def _returns(
    circuit: Circuit,
    region: _Region,
    zero: set[str],
    near: _Near,
    behind: Mapping[str, Iterable[str]],
) -> dict[str, tuple[str, ...]]:
    """Return earth-side wire -> fuses of what it brings back.

    Args:
        circuit: from `build`.
        region: node -> its piece of metal and closed contacts.
        zero: regions that are earth.
        near: from `_earth_side`.
        behind: load or source -> its fuses: those before a load; the first ones behind a source,
            since a short to earth behind any of them comes back to it.
    """
    at = circuit.at
    order, parent = _tree(circuit, near)
    brought: dict[str, set[str]] = {}
    for name, fuses in behind.items():
        element = circuit.elements[circuit.place[name]]
        for node in (element.a, element.b):
            if region(node) in zero:
                brought.setdefault(at(node), set()).update(fuses)
    found: dict[str, set[str]] = {}
    for node in reversed(order):
        up = parent.get(node)
        if up is None:
            continue
        mine = brought.get(node, set())
        brought.setdefault(up, set()).update(mine)
        for other, element in near.get(node, ()):
            if other == up or parent.get(other) != node:
                found.setdefault(element.id, set()).update(mine)
    return {name: tuple(in_order(fuses)) for name, fuses in found.items()}


def _tree(circuit: Circuit, near: _Near) -> tuple[list[str], dict[str, str]]:
    """Walk outward from 0 V, then from the minus of sources that are not joined to it."""
    at = circuit.at
    minus = [e.b for e in circuit.elements if e.part == "source"]
    seen: dict[str, None] = {}
    parent: dict[str, str] = {}
    for start in (at(circuit.zero), *map(at, minus)):
        if start in seen:
            continue
        seen[start] = None
        queue = deque([start])
        while queue:
            here = queue.popleft()
            for other, _ in near.get(here, ()):
                if other not in seen:
                    seen[other] = None
                    parent[other] = here
                    queue.append(other)
    return list(seen), parent


def _turned(found: Mapping[str, Iterable[str]]) -> dict[str, tuple[str, ...]]:
    """Return fuse -> what it protects."""
    result: dict[str, list[str]] = {}
    for name, fuses in found.items():
        for fuse in fuses:
            result.setdefault(fuse, []).append(name)
    return {fuse: tuple(in_order(names)) for fuse, names in result.items()}
