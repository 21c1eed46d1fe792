"""Which block each wire end belongs to: mated halves, a unit and its plugs, a box and its fuses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from wiregen.connect import Network, find_halves, split_node
from wiregen.model import Design, Wire
from wiregen.model.order import natural_key


@dataclass(frozen=True, slots=True)
class WireEnd:
    """One end of a wire on the drawing.

    Attributes:
        key: unique, `W12:0` for the `from` end and `W12:1` for the `to` end.
        wire: id of the wire.
        node: the pin it is drawn to, on the loom half where one is known; empty for no end.
        owner: id before the colon.
        point: cavity or terminal.
        block: id of the block it lands on.
    """

    key: str
    wire: str
    node: str
    owner: str
    point: str
    block: str


def link_keys(link: str) -> tuple[str, str]:
    """Return the two wire ends of a link.

    Example:
        >>> link_keys("W5:1 W5:1>"), link_keys("under F1:0 under F1:1")
        (('W5:1', 'W5:1>'), ('under F1:0', 'under F1:1'))
    """
    half = (len(link) - 1) // 2
    return link[:half], link[half + 1 :]


@dataclass(frozen=True, slots=True)
class Ends:
    """Every wire end of a design.

    Attributes:
        of_wire: wire id -> its two ends, `from` first.
        block_of: plug, device, fuse, box, splice -> id of the block that shows it.
        fitted: metal between a terminal and the fuse that is fitted on it: name -> its two ends.
    """

    of_wire: Mapping[str, tuple[WireEnd, WireEnd]]
    block_of: Mapping[str, str]
    fitted: Mapping[str, tuple[WireEnd, WireEnd]]

    def pair(self, name: str) -> tuple[WireEnd, WireEnd]:
        """Return the two ends of a wire, or of the metal under a fuse."""
        return self.of_wire[name] if name in self.of_wire else self.fitted[name]


def find_ends(design: Design, network: Network) -> Ends:
    """Return where both ends of every wire are drawn."""
    blocks = block_names(design)
    of_wire = {
        wire.id: (
            _end(wire, 0, design, network, blocks),
            _end(wire, 1, design, network, blocks),
        )
        for wire in design.wires.values()
    }
    return Ends(of_wire, blocks, _fitted(design, blocks))


def gathered(design: Design, ends: Ends) -> Ends:
    """Return the ends with one block for every earth point, where each wire had one of its own.

    Args:
        design: the design.
        ends: from `find_ends`.
    """

    def at_point(end: WireEnd) -> WireEnd:
        return replace(end, block=end.owner) if end.owner in design.earths else end

    of_wire = {name: (at_point(a), at_point(b)) for name, (a, b) in ends.of_wire.items()}
    return replace(ends, of_wire=of_wire)


def _fitted(design: Design, blocks: Mapping[str, str]) -> dict[str, tuple[WireEnd, WireEnd]]:
    """Return the metal between terminals and the fuses fitted on them."""
    found = {}
    for fuse in design.fuses.values():
        on = fuse.fitted_on
        if on is None or on.owner not in design.devices or blocks[fuse.id] != fuse.id:
            continue
        name = f"under {fuse.id}"
        terminal = WireEnd(
            f"{name}:0", name, f"{on.owner}:{on.point}", on.owner, on.point, blocks[on.owner]
        )
        lug = WireEnd(f"{name}:1", name, f"{fuse.id}:in", fuse.id, "in", fuse.id)
        found[name] = (terminal, lug)
    return found


def block_names(design: Design) -> dict[str, str]:
    """Return the block of every object that wires can end on, earths left out."""
    halves = find_halves(design)
    names: dict[str, str] = {}
    for plug in design.plugs.values():
        unit = _unit_of(design, plug.id)
        mate = halves.mates.get(plug.id, "")
        if not unit and mate:
            unit = _unit_of(design, mate)
        if unit:
            names[plug.id] = unit
        else:
            pair = [plug.id, mate] if mate in design.plugs else [plug.id]
            names[plug.id] = min(pair, key=natural_key)
    for box in design.boxes.values():
        names[box.id] = box.id
        for fuses in box.bars.values():
            for fuse in fuses:
                names.setdefault(fuse, box.id)
    for owner in (*design.fuses, *design.splices, *design.devices):
        names.setdefault(owner, owner)
    return names


def _unit_of(design: Design, plug_id: str) -> str:
    """Return the device a plug is built into, empty when there is none."""
    owner = design.plugs[plug_id].of
    return owner if owner in design.devices else ""


def _end(
    wire: Wire, index: int, design: Design, network: Network, blocks: Mapping[str, str]
) -> WireEnd:
    """Return one end, on the half that the wire really reaches."""
    key = f"{wire.id}:{index}"
    end = (wire.start, wire.end)[index]
    if end is None or not end.owner:
        return WireEnd(key, wire.id, "", "", "", f"end {key}")
    node = network.halves.wire_node(f"{end.owner}:{end.point}" if end.point else end.owner)
    owner, point = split_node(node)
    block = f"earth {key}" if owner in design.earths else blocks.get(owner, owner)
    return WireEnd(key, wire.id, node, owner, point, block)
