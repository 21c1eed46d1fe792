"""Which sheets a large design needs, and which wires are on each."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from wiregen.connect import Network
from wiregen.layout.schematic.atoms import Atoms
from wiregen.layout.schematic.ends import Ends, WireEnd
from wiregen.layout.schematic.scene import Cut, Plan
from wiregen.model import Design
from wiregen.model.order import in_order, natural_key

ONE_SHEET = 60
"""A design with no more wires than this is tried on one sheet first."""
MOST_ON_A3 = 45
"""More wires than this never were readable on one A3 sheet, so that it is not tried."""
PER_SHEET = 36
"""Wires on one sheet of a larger design, those that go on elsewhere included."""
FEW = 12
"""Sheets with fewer wires than this are put together where they fit."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """Atoms of one sheet and the wires that touch them."""

    atoms: tuple[str, ...]
    wires: frozenset[str]
    power: bool


def new_clusters(atoms: Atoms, names: Sequence[str], per_sheet: int) -> list[Cluster]:
    """Return the sheets of some atoms: power distribution first, then circuits and plugs.

    Args:
        atoms: from `find_atoms`.
        names: atoms to put on sheets, natural order.
        per_sheet: most wires on one sheet.
    """
    return _pack(_grow(atoms, names, per_sheet), per_sheet)


def smaller_clusters(atoms: Atoms, cluster: Cluster) -> list[Cluster]:
    """Return a cluster in two parts or more; itself when it is a single atom."""
    if len(cluster.atoms) == 1:
        return [cluster]
    most = max(1, len(cluster.wires) * 3 // 5)
    parts = new_clusters(atoms, in_order(cluster.atoms), most)
    if len(parts) > 1:
        return parts
    names = in_order(cluster.atoms)
    halves = names[: len(names) // 2], names[len(names) // 2 :]
    return [cluster_of(atoms, half, cluster.power) for half in halves]


def merged(atoms: Atoms, one: Cluster, other: Cluster) -> Cluster:
    """Return two clusters as one."""
    return cluster_of(atoms, [*one.atoms, *other.atoms], one.power)


def cluster_of(atoms: Atoms, names: Sequence[str], power: bool) -> Cluster:
    """Return some atoms as the cluster of one sheet."""
    wires = frozenset(wire for name in names for wire in atoms.wires[name])
    return Cluster(tuple(names), wires, power)


def plan_for(design: Design, network: Network, ends: Ends, atoms: Atoms, cluster: Cluster) -> Plan:
    """Return what the sheet of a cluster shows: its wires whole, or cut where they leave it."""
    mine = frozenset(cluster.atoms)
    whole: list[str] = []
    cuts: list[Cut] = []
    for wire in in_order(cluster.wires):
        first, second = ends.of_wire[wire]
        inside = [atoms.of_end[end.key] in mine for end in (first, second)
                  if end.key in atoms.of_end]  # fmt: skip
        if all(inside):
            whole.append(wire)
        elif atoms.of_end[first.key] in mine:
            cuts.append(Cut(first, second))
        else:
            cuts.append(Cut(second, first))
    return _titled(design, network, ends, cluster, wires=tuple(whole), cuts=tuple(cuts))


def strap_plans(ends: Ends, atoms: Atoms, per_sheet: int) -> list[Plan]:
    """Return sheets for wires that end on no plug, device, fuse or splice at all."""
    loose = [
        wire
        for wire, pair in ends.of_wire.items()
        if not any(end.key in atoms.of_end for end in pair)
    ]
    return [
        Plan("Earth straps", "wires from earth to earth", tuple(loose[i : i + per_sheet]))
        for i in range(0, len(loose), per_sheet)
    ]


def _grow(atoms: Atoms, names: Sequence[str], per_sheet: int) -> list[Cluster]:
    """Merge atoms, the strongest bond for its size first, while the sheet has room."""
    wires = {i: set(atoms.wires[name]) for i, name in enumerate(names)}
    number = {name: i for i, name in enumerate(names)}
    members = {i: [name] for i, name in enumerate(names)}
    power = {i: name in atoms.power for i, name in enumerate(names)}
    bonds: dict[int, dict[int, int]] = {
        number[a]: {number[b]: value for b, value in found.items() if b in number}
        for a, found in atoms.bonds.items()
        if a in number
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


def _pack(clusters: Sequence[Cluster], per_sheet: int) -> list[Cluster]:
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
    *,
    wires: tuple[str, ...],
    cuts: tuple[Cut, ...],
) -> Plan:
    """Name a sheet after the circuits and plugs on it."""
    shown = [end for wire in wires for end in ends.of_wire[wire]] + [cut.here for cut in cuts]
    if not cluster.atoms:
        title = "Earth straps"
    elif cluster.power:
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
