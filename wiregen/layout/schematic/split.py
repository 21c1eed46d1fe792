"""Which sheets a large design needs, and which wires are on each."""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import get_args

from wiregen.layout.schematic.atoms import WIRE_BOND, Atoms, Kind
from wiregen.model.order import in_order, natural_key

ONE_SHEET = 60
"""A design with no more wires than this is tried on one sheet first."""
MOST_ON_A3 = 45
"""More wires than this never were readable on one A3 sheet, so that it is not tried."""
MOST_ON_A4 = 16
"""More wires than this are not tried on A4."""
PER_SHEET = 28
"""Wires on one sheet of a larger design, those that go on elsewhere included."""
FEW = 12
"""Sheets with fewer wires than this are put together where they fit."""
KINDS: tuple[Kind, ...] = get_args(Kind)
"""Kinds of sheets in the order they are bound."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """Atoms of one sheet and the wires that touch them."""

    atoms: tuple[str, ...]
    wires: frozenset[str]
    kind: Kind


def new_clusters(atoms: Atoms, names: Sequence[str], per_sheet: int) -> list[Cluster]:
    """Return the sheets of some atoms: power and earth distribution first, then circuits.

    A circuit stays on one sheet where there is room; small ones share a sheet with others.

    Args:
        atoms: from `find_atoms`.
        names: atoms to put on sheets, natural order.
        per_sheet: most wires on one sheet.
    """
    groups: dict[str, list[str]] = {}
    for name in names:
        groups.setdefault(atoms.circuits.get(name, name), []).append(name)
    seeds: list[Sequence[str]] = []
    for group in groups.values():
        if len(cluster_of(atoms, group).wires) <= per_sheet:
            seeds.append(group)
        else:
            seeds += _grow(atoms, [[name] for name in group], per_sheet)
    return _pack([cluster_of(atoms, part) for part in _grow(atoms, seeds, per_sheet)], per_sheet)


def with_own_earths(atoms: Atoms, clusters: Sequence[Cluster], per_sheet: int) -> list[Cluster]:
    """Return the clusters, joints of earths moved to the one sheet of circuits all they join is on.

    Args:
        atoms: from `find_atoms`.
        clusters: all sheets.
        per_sheet: most wires on one sheet.
    """
    home = {name: at for at, cluster in enumerate(clusters) for name in cluster.atoms}
    members = [list(cluster.atoms) for cluster in clusters]
    for name in in_order(atoms.shared):
        around = {
            home[other]
            for other, bond in atoms.bonds.get(name, {}).items()
            if bond >= WIRE_BOND and atoms.kinds[other] != "earth"
        }
        if len(around) == 1:
            (at,) = around
            if len(cluster_of(atoms, [*members[at], name]).wires) <= per_sheet:
                members[home[name]].remove(name)
                members[at].append(name)
                home[name] = at
    return [cluster_of(atoms, names) for names in members if names]


def smaller_clusters(atoms: Atoms, cluster: Cluster) -> list[Cluster]:
    """Return a cluster in two parts or more; itself when it is a single atom."""
    if len(cluster.atoms) == 1:
        return [cluster]
    most = max(1, len(cluster.wires) * 3 // 5)
    names = in_order(cluster.atoms)
    parts = new_clusters(atoms, names, most)
    if len(parts) > 1:
        return parts
    halves = names[: len(names) // 2], names[len(names) // 2 :]
    return [cluster_of(atoms, half) for half in halves]


def merged(atoms: Atoms, one: Cluster, other: Cluster) -> Cluster:
    """Return two clusters as one."""
    return cluster_of(atoms, [*one.atoms, *other.atoms])


def cluster_of(atoms: Atoms, names: Sequence[str]) -> Cluster:
    """Return some atoms as the cluster of one sheet."""
    wires = frozenset(wire for name in names for wire in atoms.wires[name])
    found = [atoms.kinds[name] for name in names]
    return Cluster(tuple(names), wires, max(KINDS, key=found.count))


def _grow(atoms: Atoms, seeds: Sequence[Sequence[str]], per_sheet: int) -> list[Sequence[str]]:
    """Merge groups of atoms, the strongest bond for its size first, while the sheet has room."""
    members = {i: list(seed) for i, seed in enumerate(seeds)}
    wires = {i: {w for name in seed for w in atoms.wires[name]} for i, seed in members.items()}
    kinds = {i: atoms.kinds[seed[0]] for i, seed in members.items()}
    bonds = _bonds_between(atoms, members)
    heap: list[tuple[float, int, int, int, int]] = []

    def offer(a: int, b: int) -> None:
        if kinds[a] == kinds[b]:
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
    return [members[i] for i in sorted(members)]


def _bonds_between(atoms: Atoms, members: Mapping[int, Sequence[str]]) -> dict[int, dict[int, int]]:
    """Return group -> group -> how strongly their atoms hold together."""
    home = {name: i for i, group in members.items() for name in group}
    bonds: dict[int, dict[int, int]] = {}
    for name, a in home.items():
        for other, value in atoms.bonds.get(name, {}).items():
            b = home.get(other, a)
            if a != b:
                mine = bonds.setdefault(a, {})
                mine[b] = mine.get(b, 0) + value
    return bonds


def _pack(clusters: Sequence[Cluster], per_sheet: int) -> list[Cluster]:
    """Put small clusters on shared sheets, those of one kind together."""
    packed: list[Cluster] = []
    for kind in KINDS:
        open_sheets: list[tuple[list[str], set[str]]] = []
        mine = [cluster for cluster in clusters if cluster.kind == kind]
        for cluster in sorted(mine, key=lambda c: (-len(c.wires), natural_key(c.atoms[0]))):
            best = _best_sheet(cluster, open_sheets, per_sheet)
            if best is None:
                open_sheets.append((list(cluster.atoms), set(cluster.wires)))
            else:
                open_sheets[best][0].extend(cluster.atoms)
                open_sheets[best][1].update(cluster.wires)
        packed += [Cluster(tuple(a), frozenset(w), kind) for a, w in open_sheets]
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
