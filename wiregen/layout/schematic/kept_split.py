"""Which wires are on each sheet of a design that was drawn before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wiregen.layout.kept import WHOLE, KeptDrawing
from wiregen.layout.schematic.atoms import Atoms
from wiregen.layout.schematic.ends import Ends
from wiregen.layout.schematic.split import PER_SHEET, Cluster, cluster_of, new_clusters
from wiregen.model.order import in_order


@dataclass(frozen=True, slots=True)
class KeptSplit:
    """Sheets of a design that was drawn before: one cluster a kept sheet, and new ones."""

    kept: tuple[Cluster, ...]
    new: tuple[Cluster, ...]


def kept_clusters(ends: Ends, atoms: Atoms, keep: KeptDrawing) -> KeptSplit:
    """Return the sheets of a design again: what was on a sheet stays there.

    Args:
        ends: from `find_ends`.
        atoms: from `find_atoms`.
        keep: the sheets as they were drawn.
    """
    home = _kept_homes(ends, atoms, keep)
    members: list[list[str]] = [[] for _ in keep.sheets]
    new: list[str] = []
    for atom in in_order(atoms.wires):
        at = home.get(atom)
        if at is None:
            strength: dict[int, int] = {}
            for other, bond in atoms.bonds.get(atom, {}).items():
                if other in home:
                    strength[home[other]] = strength.get(home[other], 0) + bond
            at = max(strength, key=lambda sheet: (strength[sheet], -sheet), default=None)
        if at is None:
            new.append(atom)
        else:
            home[atom] = at
            members[at].append(atom)
    loose = _kept_straps(ends, atoms, keep)
    kept = tuple(
        _with(cluster_of(atoms, names, any(name in atoms.power for name in names)), loose[at])
        for at, names in enumerate(members)
    )
    made = new_clusters(atoms, new, PER_SHEET)
    rest = loose[-1]
    if rest:
        made.append(Cluster((), frozenset(rest), False))
    return KeptSplit(kept, tuple(made))


def _with(cluster: Cluster, wires: Sequence[str]) -> Cluster:
    return Cluster(cluster.atoms, cluster.wires | frozenset(wires), cluster.power)


def _kept_homes(ends: Ends, atoms: Atoms, keep: KeptDrawing) -> dict[str, int]:
    """Return the sheet every known atom was on: where its pins were, else where its wires were."""
    sheet_of = {key: at for at, sheet in enumerate(keep.sheets) for key in sheet.nodes}
    pins: dict[str, int] = {}
    for at, sheet in enumerate(keep.sheets):
        for node in (*sheet.pins, *sheet.nodes.values()):
            pins.setdefault(node, at)
    votes: dict[str, dict[int, int]] = {}
    for pair in ends.of_wire.values():
        for end in pair:
            atom = atoms.of_end.get(end.key)
            if atom is None:
                continue
            mine = votes.setdefault(atom, {})
            if end.key in sheet_of:
                known = keep.sheets[sheet_of[end.key]].nodes[end.key] == end.node
                mine[sheet_of[end.key]] = mine.get(sheet_of[end.key], 0) + (1000 if known else 1)
            if end.node in pins:
                mine[pins[end.node]] = mine.get(pins[end.node], 0) + 100
    return {atom: max(mine, key=lambda at: (mine[at], -at)) for atom, mine in votes.items() if mine}


def _kept_straps(ends: Ends, atoms: Atoms, keep: KeptDrawing) -> list[list[str]]:
    """Return per kept sheet, and last for a new one, the wires from earth to earth on it."""
    found: list[list[str]] = [[] for _ in range(len(keep.sheets) + 1)]
    sheet_of = {key: at for at, sheet in enumerate(keep.sheets) for key in sheet.nodes}
    usual = next((at for at, sheet in enumerate(keep.sheets) if sheet.key == WHOLE), -1)
    for wire, pair in ends.of_wire.items():
        if not any(end.key in atoms.of_end for end in pair):
            found[sheet_of.get(pair[0].key, usual)].append(wire)
    return found
