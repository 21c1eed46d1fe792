"""Which sheets a large design needs, and which wires are on each."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from wiregen.connect import Network
from wiregen.layout.schematic.atoms import Atoms, find_atoms
from wiregen.layout.schematic.ends import Ends, WireEnd
from wiregen.layout.schematic.scene import Cut, Plan
from wiregen.model import Design
from wiregen.model.order import in_order, natural_key

ONE_SHEET = 60
"""A design with no more wires than this is tried on one sheet first."""
PER_SHEET = 36
"""Wires on one sheet of a larger design, those that go on elsewhere included."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """Atoms of one sheet and the wires that touch them."""

    atoms: tuple[str, ...]
    wires: frozenset[str]
    power: bool


def split_plans(design: Design, network: Network, ends: Ends, per_sheet: int) -> tuple[Plan, ...]:
    """Return the sheets of a design: power distribution first, then circuits and plugs.

    Args:
        design: the design.
        network: from `connect`.
        ends: from `find_ends`.
        per_sheet: most wires on one sheet.
    """
    atoms = find_atoms(design, network, ends)
    clusters = _pack(_grow(atoms, per_sheet), atoms, per_sheet)
    home: dict[str, int] = {}
    for index, cluster in enumerate(clusters):
        home |= dict.fromkeys(cluster.atoms, index)
    whole: list[list[str]] = [[] for _ in clusters]
    cuts: list[list[Cut]] = [[] for _ in clusters]
    loose: list[str] = []
    for wire, (first, second) in ends.of_wire.items():
        places = [home[atoms.of_end[e.key]] if e.key in atoms.of_end else None
                  for e in (first, second)]  # fmt: skip
        known = [place for place in places if place is not None]
        if not known:
            loose.append(wire)
        elif len(known) == 1 or known[0] == known[1]:
            whole[known[0]].append(wire)
        else:
            cuts[known[0]].append(Cut(first, second))
            cuts[known[1]].append(Cut(second, first))
    plans = [
        _titled(design, network, ends, cluster, tuple(in_order(wires)), tuple(cut))
        for cluster, wires, cut in zip(clusters, whole, cuts, strict=True)
    ]
    plans += [
        Plan("Earth straps", "wires from earth to earth", tuple(loose[i : i + per_sheet]))
        for i in range(0, len(loose), per_sheet)
    ]
    return tuple(plan for plan in plans if plan.wires or plan.cuts)


def _grow(atoms: Atoms, per_sheet: int) -> list[Cluster]:
    """Merge atoms, the strongest bond for its size first, while the sheet has room."""
    names = in_order(atoms.wires)
    wires = {i: set(atoms.wires[name]) for i, name in enumerate(names)}
    number = {name: i for i, name in enumerate(names)}
    members = {i: [name] for i, name in enumerate(names)}
    power = {i: name in atoms.power for i, name in enumerate(names)}
    bonds: dict[int, dict[int, int]] = {
        number[a]: {number[b]: value for b, value in found.items()}
        for a, found in atoms.bonds.items()
    }
    heap: list[tuple[float, int, int, int, int]] = []

    def offer(a: int, b: int) -> None:
        if power[a] == power[b]:
            size = max(1, len(wires[a] | wires[b]))
            heapq.heappush(heap, (-bonds[a][b] / size, min(a, b), max(a, b), len(members[a]),
                                  len(members[b])))  # fmt: skip

    for a in sorted(bonds):
        for b in sorted(bonds[a]):
            if a < b:
                offer(a, b)
    while heap:
        _, a, b, size_a, size_b = heapq.heappop(heap)
        stale = a not in members or b not in members
        if stale or {len(members[a]), len(members[b])} != {size_a, size_b}:
            continue
        if len(wires[a] | wires[b]) > per_sheet:
            continue
        members[a] += members.pop(b)
        wires[a] |= wires.pop(b)
        for other, value in bonds.pop(b, {}).items():
            bonds[other].pop(b, None)
            if other != a:
                bonds[a][other] = bonds[a].get(other, 0) + value
                bonds[other][a] = bonds[a][other]
        for other in sorted(bonds[a]):
            offer(*sorted((a, other)))
    return [Cluster(tuple(members[i]), frozenset(wires[i]), power[i]) for i in sorted(members)]


def _pack(clusters: Sequence[Cluster], atoms: Atoms, per_sheet: int) -> list[Cluster]:
    """Put small clusters on shared sheets, power distribution first."""
    packed: list[Cluster] = []
    for power in (True, False):
        open_sheets: list[tuple[list[str], set[str]]] = []
        mine = [cluster for cluster in clusters if cluster.power == power]
        for cluster in sorted(mine, key=lambda c: (-len(c.wires), natural_key(c.atoms[0]))):
            best = _best_sheet(cluster, open_sheets, per_sheet)
            if best is None:
                open_sheets.append((list(cluster.atoms), set(cluster.wires)))
            else:
                open_sheets[best][0].extend(cluster.atoms)
                open_sheets[best][1].update(cluster.wires)
        packed += [Cluster(tuple(a), frozenset(w), power) for a, w in open_sheets]
    return packed


def _best_sheet(
    cluster: Cluster, sheets: Sequence[tuple[list[str], set[str]]], per_sheet: int
) -> int | None:
    """Return the sheet with room that shares most wires with a cluster."""
    best, best_shared = None, -1
    for index, (_, wires) in enumerate(sheets):
        together = len(wires | cluster.wires)
        shared = len(wires) + len(cluster.wires) - together
        if together <= per_sheet and shared > best_shared:
            best, best_shared = index, shared
    return best


def _titled(
    design: Design,
    network: Network,
    ends: Ends,
    cluster: Cluster,
    wires: tuple[str, ...],
    cuts: tuple[Cut, ...],
) -> Plan:
    """Name a sheet after the circuits and plugs on it."""
    shown = [end for wire in wires for end in ends.of_wire[wire]] + [cut.here for cut in cuts]
    if cluster.power:
        title = "Power distribution"
    else:
        title = _circuit_title(network, shown) or _owner_title(design, shown)
    subtitle = "circuit sheet · a wire that goes on names its end, sheet and zone"
    return Plan(title, subtitle, wires, cuts)


def _circuit_title(network: Network, shown: Iterable[WireEnd]) -> str:
    """Return the circuit names most wire ends of a sheet are on, `Glow command, charge`."""
    votes: dict[str, int] = {}
    for end in shown:
        net = network.net_of(end.node) if end.node else None
        if net is not None and net.name and net.kind != "earth":
            votes[net.name] = votes.get(net.name, 0) + 1
    names = sorted(votes, key=lambda name: (-votes[name], natural_key(name)))[:3]
    text = ", ".join(names)
    return text[:1].upper() + text[1:]


def _owner_title(design: Design, shown: Iterable[WireEnd]) -> str:
    """Return the titles of the devices and plugs most wires of a sheet end on."""
    votes: dict[str, int] = {}
    for end in shown:
        if end.owner:
            votes[end.block] = votes.get(end.block, 0) + 1
    names = sorted(
        (name for name in votes if not name.startswith("earth ")),
        key=lambda name: (-votes[name], natural_key(name)),
    )
    return ", ".join(f"{name} {title_of(design, name)}".strip() for name in names[:2])


def title_of(design: Design, owner: str) -> str:
    """Return the title of any object of a design, empty when it has none."""
    sections: tuple[Mapping[str, object], ...] = (
        design.plugs,
        design.devices,
        design.boxes,
        design.fuses,
        design.splices,
        design.earths,
    )
    for section in sections:
        if owner in section:
            return str(getattr(section[owner], "title", ""))
    return ""
