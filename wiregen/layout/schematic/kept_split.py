"""Which wires are on each sheet of a design that was drawn before."""

from __future__ import annotations

from dataclasses import dataclass, replace

from wiregen.layout.kept import KeptDrawing
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
        if atom in home:
            members[home[atom]].append(atom)
    sheets = _Sheets(atoms, members)
    for atom in in_order(atoms.wires):
        if atom not in home:
            at = sheets.best(atom)
            if at is None:
                new.append(atom)
            else:
                sheets.put(atom, at)
    kept = tuple(cluster_of(atoms, names) for names in members)
    return KeptSplit(kept, tuple(new_clusters(atoms, new, PER_SHEET)))


class _Sheets:
    """The sheets as they fill with atoms that are new."""

    def __init__(self, atoms: Atoms, members: list[list[str]]) -> None:
        self.atoms = atoms
        self.members = members
        self.kinds = [cluster_of(atoms, names).kind if names else "" for names in members]
        self.wires = [{w for name in names for w in atoms.wires[name]} for names in members]
        self.home = {name: at for at, names in enumerate(members) for name in names}
        self.circuits: dict[str, int] = {}
        for name, at in self.home.items():
            self.circuits.setdefault(atoms.circuits.get(name, name), at)

    def best(self, atom: str) -> int | None:
        """Return the sheet of the atom's circuit, else the one it is tied to, else the emptiest."""
        at = self.circuits.get(self.atoms.circuits.get(atom, atom))
        if at is not None:
            return at
        kind = self.atoms.kinds[atom]
        strength: dict[int, int] = {}
        for other, bond in self.atoms.bonds.get(atom, {}).items():
            at = self.home.get(other)
            if at is not None and self.kinds[at] == kind:
                strength[at] = strength.get(at, 0) + bond
        if strength:
            return max(strength, key=lambda sheet: (strength[sheet], -sheet))
        mine = set(self.atoms.wires[atom])
        room = [
            at
            for at, wires in enumerate(self.wires)
            if self.kinds[at] == kind and len(wires | mine) <= PER_SHEET
        ]
        return min(room, key=lambda sheet: (len(self.wires[sheet]), sheet), default=None)

    def put(self, atom: str, at: int) -> None:
        """Add an atom to a sheet."""
        self.members[at].append(atom)
        self.wires[at].update(self.atoms.wires[atom])
        self.home[atom] = at
        self.circuits.setdefault(self.atoms.circuits.get(atom, atom), at)


def parted_atoms(ends: Ends, atoms: Atoms, keep: KeptDrawing) -> Atoms:
    """Return the atoms cut where the drawing was cut, whatever holds them together by now.

    Args:
        ends: from `find_ends`.
        atoms: from `find_atoms`.
        keep: the sheets as they were drawn.
    """
    sheet_of = _sheets_of_ends(ends, keep)
    sheets: dict[str, dict[int, None]] = {}
    for key, atom in atoms.of_end.items():
        if key in sheet_of:
            sheets.setdefault(atom, {})[sheet_of[key]] = None
    torn = {atom for atom, found in sheets.items() if len(found) > 1}
    if not torn:
        return atoms
    of_end, kinds, circuits = {}, dict(atoms.kinds), dict(atoms.circuits)
    for key, atom in atoms.of_end.items():
        of_end[key] = atom
        if atom in torn and key in sheet_of:
            of_end[key] = part = f"{atom} on {sheet_of[key]}"
            kinds[part] = atoms.kinds[atom]
            if atom in atoms.circuits:
                circuits[part] = atoms.circuits[atom]
    wires: dict[str, dict[str, None]] = {}
    for wire, pair in ends.of_wire.items():
        for end in pair:
            if end.key in of_end:
                wires.setdefault(of_end[end.key], {})[wire] = None
    wires_of = {atom: tuple(found) for atom, found in wires.items()}
    return replace(atoms, of_end=of_end, wires=wires_of, kinds=kinds, circuits=circuits)


def _sheets_of_ends(ends: Ends, keep: KeptDrawing) -> dict[str, int]:
    """Return the sheet of every wire end that is where it was, or at a pin that was drawn."""
    pins = _sheets_of_pins(keep)
    drawn = {
        (key, node): at for at, sheet in enumerate(keep.sheets) for key, node in sheet.nodes.items()
    }
    return {
        end.key: drawn.get((end.key, end.node), pins[end.node])
        for pair in ends.of_wire.values()
        for end in pair
        if end.node in pins
    }


def _sheets_of_pins(keep: KeptDrawing) -> dict[str, int]:
    """Return the first sheet that every pin was drawn on."""
    pins: dict[str, int] = {}
    for at, sheet in enumerate(keep.sheets):
        for node in (*sheet.pins, *sheet.nodes.values()):
            pins.setdefault(node, at)
    return pins


def _kept_homes(ends: Ends, atoms: Atoms, keep: KeptDrawing) -> dict[str, int]:
    """Return the sheet every known atom was on: where its pins were, else where its wires were."""
    sheet_of = {key: at for at, sheet in enumerate(keep.sheets) for key in sheet.nodes}
    pins = _sheets_of_pins(keep)
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
