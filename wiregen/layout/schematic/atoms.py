"""The smallest things that stay on one sheet, and what holds them together.

A splice, a fuse, a switch, a lamp, an earth point is one atom; a plug or a unit is one atom per pin
(or per pins that its inside joins), so that a large plug may appear on several sheets with the pins
used there. Atoms of one circuit go onto one sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from wiregen.connect import Network, node_of, split_node
from wiregen.layout.schematic.circuits import smallest
from wiregen.layout.schematic.ends import Ends, WireEnd
from wiregen.model import Design

SMALL_PLUG = 6
"""A plug with no more wired cavities than this is never torn apart."""
MOST_ON_NODE = 24
"""A splice or terminal with more wires than this is drawn in parts, each with its name."""
MANY_CIRCUITS = 3
"""A unit whose pins cannot be parted and serve more circuits than this is a subject of its own."""
WIRE_BOND = 8
NEIGHBOUR_BOND = 1

Kind = Literal["power", "earth", "circuit"]
"""What a sheet is for: power distribution, earth distribution, circuits."""


@dataclass(frozen=True, slots=True)
class Atoms:
    """The design as atoms.

    Attributes:
        of_end: key of a wire end -> its atom; loose ends have none.
        bonds: atom -> atom -> how strongly they want one sheet.
        wires: atom -> wires that end on it, natural order.
        kinds: atom -> kind of the sheet it belongs on. Power: sources, isolators, fuse boxes.
            Earth: earth points, and what joins the earths of several circuits.
        circuits: atom -> the circuit it belongs to, see `net_circuits`; empty for none.
        shared: atoms that join the earths of several circuits.
    """

    of_end: Mapping[str, str]
    bonds: Mapping[str, Mapping[str, int]]
    wires: Mapping[str, tuple[str, ...]]
    kinds: Mapping[str, Kind]
    circuits: Mapping[str, str]
    shared: frozenset[str]


def find_atoms(
    design: Design, network: Network, ends: Ends, circuit_of: Mapping[int, str]
) -> Atoms:
    """Cut a design into atoms.

    Args:
        design: the design.
        network: from `connect`.
        ends: from `find_ends`, gathered at their earth points.
        circuit_of: from `net_circuits`.
    """
    glue = _Glue()
    shown = [end for pair in ends.of_wire.values() for end in pair if end.node]
    raw = _raw_atoms(design, network, shown)
    for atom in raw.values():
        glue.add(atom)
    _glue_insides(design, network, glue)
    _glue_small_blocks(design, glue, shown, raw)
    for terminal, lug in ends.fitted.values():
        glue.join((terminal.block, lug.block))
    of_end = {end.key: glue.root(raw[end.key]) for end in shown}
    wires: dict[str, dict[str, None]] = {}
    bonds: dict[str, dict[str, int]] = {}
    for wire, (first, second) in ends.of_wire.items():
        if not first.node and not second.node:
            of_end[first.key] = f"loose {wire}"
        a, b = of_end.get(first.key, ""), of_end.get(second.key, "")
        for atom in (a, b):
            if atom:
                wires.setdefault(atom, {})[wire] = None
        if a and b and a != b:
            _bond(bonds, a, b, WIRE_BOND)
    _bond_neighbours(shown, of_end, bonds)
    kinds: dict[str, Kind] = dict.fromkeys(wires, "circuit")
    for end in shown:
        if _is_power(design, end):
            kinds[of_end[end.key]] = "power"
        elif end.owner in design.earths:
            kinds[of_end[end.key]] = "earth"
    circuits = _circuits(network, shown, of_end, kinds, circuit_of)
    shared = _share_out(bonds, kinds, circuits)
    wires_of = {atom: tuple(found) for atom, found in wires.items()}
    return Atoms(of_end, bonds, wires_of, kinds, circuits, frozenset(shared))


def _circuits(
    network: Network,
    shown: Iterable[WireEnd],
    of_end: Mapping[str, str],
    kinds: Mapping[str, Kind],
    circuit_of: Mapping[int, str],
) -> dict[str, str]:
    """Return atom -> circuit; atoms on earths only have none yet.

    A relay belongs to what its contacts switch, not to what moves its coil.
    """
    touched: dict[str, dict[str, None]] = {}
    switched: dict[str, dict[str, None]] = {}
    blocks: dict[str, str] = {}
    for end in shown:
        atom = of_end[end.key]
        circuit = circuit_of.get(network.net_index.get(end.node, -1), "")
        if circuit and kinds[atom] == "circuit":
            touched.setdefault(atom, {})[circuit] = None
            if any(link.kind == "contact" for link, _ in network.links_on((end.node,))):
                switched.setdefault(atom, {})[circuit] = None
            blocks[atom] = end.block
    size: dict[str, int] = {}
    for candidates in touched.values():
        for circuit in candidates:
            size[circuit] = size.get(circuit, 0) + 1
    return {
        atom: f"at {blocks[atom]}"
        if len(candidates) > MANY_CIRCUITS
        else smallest(switched.get(atom, candidates), size)
        for atom, candidates in touched.items()
    }


def _share_out(
    bonds: Mapping[str, Mapping[str, int]], kinds: dict[str, Kind], circuits: dict[str, str]
) -> list[str]:
    """Give atoms without a circuit to the only one they are wired to.

    Where there are several they are earths the circuits share, and returned; where there is none,
    feeds.
    """
    shared: list[str] = []
    seen: set[str] = set()
    for start, kind in tuple(kinds.items()):
        if start in seen or kind != "circuit" or start in circuits:
            continue
        group, around, fed = [start], dict[str, None](), False
        seen.add(start)
        for atom in group:
            for other, bond in bonds.get(atom, {}).items():
                if bond < WIRE_BOND:
                    continue
                if other in circuits:
                    around[circuits[other]] = None
                elif kinds[other] == "circuit" and other not in seen:
                    seen.add(other)
                    group.append(other)
                fed = fed or kinds[other] == "power"
        if len(around) == 1:
            circuits |= dict.fromkeys(group, *around)
        elif around:
            kinds |= dict.fromkeys(group, "earth")
            shared += group
        elif fed:
            kinds |= dict.fromkeys(group, "power")
    return shared


class _Glue:
    """Sets of raw atoms that must not be parted; the first one added names the set."""

    def __init__(self) -> None:
        self.parent: dict[str, str] = {}

    def add(self, name: str) -> None:
        self.parent.setdefault(name, name)

    def root(self, name: str) -> str:
        while self.parent[name] != name:
            self.parent[name] = self.parent[self.parent[name]]
            name = self.parent[name]
        return name

    def join(self, names: Iterable[str]) -> None:
        known = [self.root(name) for name in names if name in self.parent]
        for other in known[1:]:
            first = self.root(known[0])
            self.parent[self.root(other)] = first


def _raw_atoms(design: Design, network: Network, shown: Iterable[WireEnd]) -> dict[str, str]:
    """Return the atom of every end; a node with very many wires is several atoms."""
    count: dict[str, int] = {}
    raw: dict[str, str] = {}
    for end in shown:
        part = count.get(end.node, 0) // MOST_ON_NODE
        count[end.node] = count.get(end.node, 0) + 1
        name = _raw_atom(design, network, end)
        raw[end.key] = f"{name} {part}" if part else name
    return raw


def _raw_atom(design: Design, network: Network, end: WireEnd) -> str:
    """Return the atom of one end before atoms are glued: mated cavities are one."""
    owner, point = end.owner, end.point
    if owner in design.plugs:
        mate = network.mate(owner)
        if mate in design.plugs:
            owner = min(owner, str(mate))
        return f"{owner}:{point}"
    if owner in design.fuses:
        return owner
    if owner in design.boxes:
        return f"{owner}:{point}"
    return end.block


def _glue_insides(design: Design, network: Network, glue: _Glue) -> None:
    """Pins joined by a part inside a unit stay together."""
    for device in design.devices.values():
        for part in device.inside.values():
            ends = [end for end in (part.start, part.end, *part.join) if end is not None]
            names = []
            for end in ends:
                owner, point = split_node(node_of(end))
                if owner in design.plugs:
                    mate = network.mate(owner)
                    owner = min(owner, str(mate)) if mate in design.plugs else owner
                    names.append(f"{owner}:{point}")
            glue.join(names)


def _glue_small_blocks(
    design: Design, glue: _Glue, shown: Iterable[WireEnd], raw: Mapping[str, str]
) -> None:
    """Small plugs and small units are not torn apart."""
    groups: dict[str, dict[str, None]] = {}
    for end in shown:
        if end.owner in design.plugs:
            groups.setdefault(end.block, {})[raw[end.key]] = None
    for atoms in groups.values():
        if len(atoms) <= SMALL_PLUG:
            glue.join(atoms)


def _bond(bonds: dict[str, dict[str, int]], a: str, b: str, strength: int) -> None:
    bonds.setdefault(a, {})[b] = bonds.get(a, {}).get(b, 0) + strength
    bonds.setdefault(b, {})[a] = bonds.get(b, {}).get(a, 0) + strength


def _bond_neighbours(
    shown: Iterable[WireEnd], of_end: Mapping[str, str], bonds: dict[str, dict[str, int]]
) -> None:
    """Cavities of one plug that follow each other hold together a little."""
    last: dict[str, str] = {}
    for end in shown:
        atom = of_end[end.key]
        before = last.get(end.block)
        if before is not None and before != atom:
            _bond(bonds, before, atom, NEIGHBOUR_BOND)
        last[end.block] = atom


def _is_power(design: Design, end: WireEnd) -> bool:
    if end.owner in design.boxes or end.owner in design.fuses:
        return True
    device = design.devices.get(end.owner)
    return device is not None and device.kind in ("battery", "alternator", "isolator", "bus bar")
