"""What hangs together: nets joined by metal, and the parts that lie between nets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from wiregen.connect.halves import Halves, split_node
from wiregen.source import Span

LinkKind = Literal["fuse", "contact", "load", "diode", "source"]


@dataclass(frozen=True, slots=True)
class CircuitUse:
    """A circuit name, and the pin that says it."""

    name: str
    node: str
    span: Span


@dataclass(frozen=True, slots=True)
class Link:
    """A part that lies between nets and is not metal through and through.

    Attributes:
        kind: `fuse`; `contact` (switch, relay contact, isolator); `load` (anything that takes
            current, coils too; a unit between its supply and its earth pins); `diode`; `source`
            (battery, alternator).
        id: the fuse or device; for a part inside a unit `A1.P1`.
        device: the fuse or device record it belongs to (the unit for a part inside it).
        nodes: its terminals; plus side or supply side first where the part has one.
        when: switch positions, `at rest` or `pulled in`, in which a contact is closed;
            empty when not said.
    """

    kind: LinkKind
    id: str
    device: str
    nodes: tuple[str, ...]
    when: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Joint:
    """One metal joint seen from one of its nodes: the wire, or empty for mates, bars and links."""

    node: str
    wire: str = ""


@dataclass(frozen=True, slots=True)
class Net:
    """Everything that is one piece of metal.

    Attributes:
        index: place in `Network.nets`.
        nodes: in natural order.
        wires: ids in natural order.
        circuits: circuit names with the pins that say them, in order of the nodes.
        kind: `earth`, `supply` (holds the plus side of a source), `sensor return`, `screen`, or
            empty for the rest.
    """

    index: int
    nodes: tuple[str, ...]
    wires: tuple[str, ...] = ()
    circuits: tuple[CircuitUse, ...] = ()
    kind: str = ""

    @property
    def name(self) -> str:
        """The circuit name, empty when no pin says one."""
        return self.circuits[0].name if self.circuits else ""


@dataclass(frozen=True, slots=True)
class FarEnd:
    """Where a wire in a cavity goes.

    Attributes:
        wire: its id.
        node: the other end as written in the file; empty for a wire with one end.
        title: title of the plug, device, fuse, splice or earth there; the fate of a wire without
            a second end; may be empty.
    """

    wire: str
    node: str
    title: str


@dataclass(frozen=True, slots=True)
class Network:
    """The design as nets and links. Made by `connect`; see `wiregen.connect.follow` for ways.

    Attributes:
        nets: in natural order of their first node.
        net_index: node -> index of its net.
        links: every part between nets, in order of the file's sections and natural order.
        links_at: node -> places in `links`.
        joints: node -> the metal joints it has.
        halves: which plug pushes into which.
        own_pins: terminal -> pin of the device's own plug that is this terminal.
        wires_on: node that wires end on -> wire ids, natural order.
        ends_of: wire id -> nodes its ends are on, `from` first (on the loom half).
        written: wire id -> its ends as written in the file, `from` first.
        titles: id -> title of everything a wire can end at.
        fates: wire id -> its fate, where it has one.
        circuits: circuit name -> indexes of the nets that carry it.
        sources: live poles of the sources: plus, or minus where plus is joined to an earth.
        returns: their other poles.
        earth_points: ids of the earths.
        bus_bars: ids of the bus bars.
    """

    nets: tuple[Net, ...]
    net_index: Mapping[str, int]
    links: tuple[Link, ...]
    links_at: Mapping[str, tuple[int, ...]]
    joints: Mapping[str, tuple[Joint, ...]]
    halves: Halves
    own_pins: Mapping[str, str]
    wires_on: Mapping[str, tuple[str, ...]]
    ends_of: Mapping[str, tuple[str, ...]]
    written: Mapping[str, tuple[str, ...]]
    titles: Mapping[str, str]
    fates: Mapping[str, str]
    circuits: Mapping[str, tuple[int, ...]]
    sources: tuple[str, ...]
    returns: tuple[str, ...]
    earth_points: frozenset[str]
    bus_bars: frozenset[str]

    def net_of(self, node: str) -> Net | None:
        """Return the net a node is on, None for a node the design does not have."""
        index = self.net_index.get(node)
        return None if index is None else self.nets[index]

    def mate(self, plug_id: str) -> str | None:
        """Return the half a plug pushes into, whichever half says so; None when not said."""
        return self.halves.mates.get(plug_id)

    def loom_half(self, plug_id: str) -> str | None:
        """Return the half that wires of this plug end on; see `Halves.loom_half`."""
        return self.halves.loom_half(plug_id)

    def wires_at(self, node: str) -> tuple[str, ...]:
        """Return the wires that end at a pin, natural order.

        A pin of a half built into a device shows the wires of the loom half that pushes into it.
        """
        return self.wires_on.get(self.halves.wire_node(node), ())

    def links_on(self, nodes: Iterable[str]) -> Iterator[tuple[Link, str]]:
        """Yield every link at some nodes, with the node it is met at."""
        for node in nodes:
            for place in self.links_at.get(node, ()):
                yield self.links[place], node

    def far_ends(self, plug_id: str, cavity: str) -> tuple[FarEnd, ...]:
        """Return where each wire in a cavity goes, followed for one wire."""
        node = self.halves.wire_node(f"{plug_id}:{cavity}")
        return tuple(self._far_end(node, wire) for wire in self.wires_on.get(node, ()))

    def _far_end(self, node: str, wire: str) -> FarEnd:
        nodes, written = self.ends_of[wire], self.written[wire]
        if len(nodes) < 2:
            return FarEnd(wire, "", self.fates.get(wire, ""))
        far = written[0] if nodes[1] == node else written[1]
        return FarEnd(wire, far, self.titles.get(split_node(far)[0], ""))

    def protecting_fuses(self, node: str) -> tuple[str, ...]:
        """Return the nearest fuses towards supply; for an earth-side pin those of its loads."""
        from wiregen.connect.follow import protecting_fuses

        return protecting_fuses(self, node)

    def circuit_wires(self, name: str) -> tuple[str, ...]:
        """Return the wires of a named circuit, followed through fuses and contacts."""
        from wiregen.connect.follow import circuit_wires

        return circuit_wires(self, name)

    @property
    def circuit_names(self) -> tuple[str, ...]:
        """Every circuit name, natural order."""
        return tuple(self.circuits)
