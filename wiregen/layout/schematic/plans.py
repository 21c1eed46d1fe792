"""What a sheet of a large design shows: its wires, where they are cut, and what it is called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wiregen.connect import Network
from wiregen.layout.schematic.atoms import Atoms, find_atoms
from wiregen.layout.schematic.circuits import circuit_words, heading, net_circuits
from wiregen.layout.schematic.ends import Ends
from wiregen.layout.schematic.scene import Cut, Plan
from wiregen.layout.schematic.split import Cluster
from wiregen.model import Design
from wiregen.model.order import in_order, natural_key

_GOES_ON = "a wire that goes on names its end, sheet and zone"
_SUBTITLES = {
    "power": f"supplies, fuses and their feeds · {_GOES_ON}",
    "earth": f"earth points and what returns there · {_GOES_ON}",
    "circuit": f"circuit sheet · {_GOES_ON}",
}
_TITLES = {"power": "Power distribution", "earth": "Earth distribution"}
_MAIN_SHARE = 0.4
"""A unit that so large a share of the wires of a sheet ends on is named first in its heading."""


@dataclass(frozen=True, slots=True)
class Subjects:
    """A design as sheets of it are planned.

    Attributes:
        design: the design.
        network: from `connect`.
        ends: gathered at their earth points.
        atoms: what stays together.
        circuit_of: net -> circuit.
    """

    design: Design
    network: Network
    ends: Ends
    atoms: Atoms
    circuit_of: Mapping[int, str]


def find_subjects(design: Design, network: Network, ends: Ends) -> Subjects:
    """Return the atoms and circuits of a design.

    Args:
        design: the design.
        network: from `connect`.
        ends: from `gathered`.
    """
    circuit_of = net_circuits(design, network)
    atoms = find_atoms(design, network, ends, circuit_of)
    return Subjects(design, network, ends, atoms, circuit_of)


def plan_for(subjects: Subjects, cluster: Cluster, before: str = "") -> Plan:
    """Return what the sheet of a cluster shows: its wires whole, or cut where they leave it.

    Args:
        subjects: from `find_subjects`.
        cluster: the atoms of the sheet.
        before: heading the sheet had in an earlier drawing.
    """
    of_end = subjects.atoms.of_end
    mine = frozenset(cluster.atoms)
    whole: list[str] = []
    cuts: list[Cut] = []
    for wire in in_order(cluster.wires):
        first, second = subjects.ends.of_wire[wire]
        inside = [of_end[end.key] in mine for end in (first, second) if end.key in of_end]
        if all(inside):
            whole.append(wire)
        elif of_end[first.key] in mine:
            cuts.append(Cut(first, second))
        else:
            cuts.append(Cut(second, first))
    title = _TITLES.get(cluster.kind) or heading(_words(subjects, cluster, before), before)
    return Plan(title, _SUBTITLES[cluster.kind], tuple(whole), tuple(cuts))


def _words(subjects: Subjects, cluster: Cluster, before: str) -> list[str]:
    """Return what a sheet is about, the largest first: a unit it is all around, its circuits.

    Where no net serves a known circuit, all it shows is named.
    """
    mine = frozenset(cluster.atoms)
    circuits: dict[str, int] = {}
    units: dict[str, dict[str, None]] = {}
    for wire in cluster.wires:
        for end in subjects.ends.of_wire[wire]:
            atom = subjects.atoms.of_end.get(end.key)
            if atom not in mine:
                continue
            net = subjects.network.net_index.get(end.node, -1)
            circuit = subjects.circuit_of.get(net) or subjects.atoms.circuits.get(atom, "")
            if circuit:
                circuits[circuit] = circuits.get(circuit, 0) + 1
            units.setdefault(f"at {end.block}", {})[wire] = None
    main = [
        unit
        for unit, wires in units.items()
        if unit.removeprefix("at ") in subjects.design.devices
        and (
            len(wires) >= _MAIN_SHARE * len(cluster.wires)
            or circuit_words(subjects.design, subjects.network, unit) in before
        )
    ]
    for unit in main if circuits else units:
        circuits[unit] = 2 * len(cluster.wires) + len(units[unit])
    order = sorted(circuits, key=lambda name: (-circuits[name], natural_key(name)))
    return [circuit_words(subjects.design, subjects.network, circuit) for circuit in order]
