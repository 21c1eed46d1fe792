"""The lines of the pins of a sheet that was drawn before: known ones stay, free ones are taken."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field

from wiregen.connect import Network, split_node
from wiregen.connect.links import terminals_of
from wiregen.layout.engine.graph import Side
from wiregen.layout.kept import KeptSheet
from wiregen.layout.schematic.ends import Ends, WireEnd, link_keys
from wiregen.layout.schematic.half_lines import kept_halves, kept_lines
from wiregen.model import Design
from wiregen.model.faces import NOT_RECORDED, face_layout
from wiregen.model.order import in_order

Line = tuple[float, str]
"""Height and wire end of a line; no wire end for one that is free."""


@dataclass(frozen=True, slots=True)
class Before:
    """How the pins of a sheet stood when it was drawn before.

    Attributes:
        sides: pin -> edge of its box.
        heights: pin -> height of its first line, in the lengths of the layout engine. A pin that
            took up the line of another has its side and height.
        same: wire ends that stand on their old line at another pin.
    """

    sides: Mapping[str, Side] = field(default_factory=dict)
    heights: Mapping[str, float] = field(default_factory=dict)
    same: frozenset[str] = frozenset()

    def sequence(self, rows: Mapping[str, Sequence[str]]) -> list[str]:
        """Return rows from top to bottom as they stood, new ones last.

        Args:
            rows: name of a row -> its pins, in natural order.
        """
        places: dict[str, float] = {}
        above = -math.inf
        for name, nodes in rows.items():
            known = [self.heights[node] for node in nodes if node in self.heights]
            if known:
                above = places[name] = min(known)
            else:
                drawn = not self.sides or any(node in self.sides for node in nodes)
                places[name] = above if drawn else math.inf
        return sorted(rows, key=lambda name: places[name])

    def side_of(self, nodes: Sequence[str]) -> Side | None:
        """Return the edge that one of some pins was drawn at."""
        return next((self.sides[node] for node in nodes if node in self.sides), None)


def blocks_left(
    design: Design, network: Network, ends: Ends, here: AbstractSet[str], keep: KeptSheet
) -> tuple[str, ...]:
    """Return the blocks of a sheet that have lost all their wires there but are still to be drawn.

    Args:
        design: the design.
        network: from `connect`.
        ends: from `find_ends`.
        here: the blocks that wires of the sheet end on.
        keep: the sheet as it was drawn.
    """
    found: dict[str, None] = {}
    for node in _lines(keep):
        block = _block_of(design, ends, node)
        free = block in keep.layout.boxes and block not in here and block not in design.splices
        if free and not network.wires_at(node) and _is_there(design, network, node):
            found[block] = None
    return tuple(in_order(found))


def bare_pins(network: Network, keep: KeptSheet) -> tuple[str, ...]:
    """Return the pins of a sheet drawn before that no wire reaches any more.

    Args:
        network: from `connect`.
        keep: the sheet as it was drawn.
    """
    pins = dict.fromkeys((*keep.pins, *keep.nodes.values()))
    return tuple(node for node in pins if node and not network.wires_at(node))


def on_lines(
    design: Design,
    network: Network,
    ends: Ends,
    *,
    at: Mapping[str, Sequence[WireEnd]],
    blocks: AbstractSet[str],
    keep: KeptSheet,
) -> tuple[dict[str, list[WireEnd]], Before]:
    """Return the ends of every pin from top to bottom as they were drawn, and how the pins stood.

    An end without a wire stands in for every wire that a pin lost, so that the lines below stay
    where they are; a wire that is new to a pin takes up such a line. A pin that is new to an
    object takes up the line its wire had at another pin of it, else the nearest that is free.

    Args:
        design: the design.
        network: from `connect`.
        ends: from `find_ends`.
        at: node -> wire ends on the sheet.
        blocks: the blocks of the sheet.
        keep: the sheet as it was drawn.
    """
    lines = _lines(keep)
    found = {node: list(mine) for node, mine in at.items()}
    for node, mine in lines.items():
        owner, point = split_node(node)
        block = _block_of(design, ends, node)
        gone = not at.get(node) and (network.wires_at(node) or not _is_there(design, network, node))
        if block in blocks and not gone:
            empty = WireEnd("", "", node, owner, point, block)
            found[node] = _in_lines(at.get(node, ()), [key for _, key in mine], empty)
            if owner in design.splices:  # its wires choose their places themselves
                spare = len(found[node]) - len(at.get(node, ()))
                found[node] = [*at.get(node, ()), *[empty] * spare]
    rows = _Rows(design, ends, keep, lines, found)
    for node in in_order(at):
        for _ in range(len(at[node]) - rows.had(node)):
            rows.take(node, at[node])
    return {node: mine for node, mine in found.items() if mine}, rows.before()


class _Rows:
    """The rows of a sheet as pins that are new take up free ones."""

    def __init__(
        self,
        design: Design,
        ends: Ends,
        keep: KeptSheet,
        lines: Mapping[str, Sequence[Line]],
        found: dict[str, list[WireEnd]],
    ) -> None:
        self.design, self.ends, self.keep = design, ends, keep
        self.lines, self.found = lines, found
        self.sides = _pin_sides(keep)
        self.heights = {node: pin.row for node, pin in keep.pins.items()}
        self.heights |= {node: mine[0][0] for node, mine in lines.items()}
        self.same: set[str] = set()
        self.rows: dict[str, list[str]] = {}
        for node in in_order({*lines, *found}):
            self.rows.setdefault(self._row(node), []).append(node)
        self.free: dict[str, list[str]] = {}
        for nodes in self.rows.values():
            mine = [end for node in nodes for end in found.get(node, ())]
            if mine and not any(end.key for end in mine):
                self.free.setdefault(_block_of(design, ends, nodes[0]), []).append(nodes[0])

    def _row(self, node: str) -> str:
        """Name the row of a pin; the two halves of a mated pair share theirs."""
        block = _block_of(self.design, self.ends, node)
        return f"{block}:{split_node(node)[1]}" if block in self.design.plugs else node

    def had(self, node: str) -> int:
        """Return how many lines the row of a pin had."""
        return max(len(self.lines.get(other, ())) for other in self.rows[self._row(node)])

    def take(self, node: str, ends: Sequence[WireEnd]) -> None:
        """Let a pin that needs a line have one that is free, of an object's own plug or half."""
        owner = split_node(node)[0]
        block = _block_of(self.design, self.ends, node)
        free = [
            other
            for other in self.free.get(block, ())
            if block in self.design.plugs or split_node(other)[0] == owner
        ]
        if not free:
            return
        keys = [end.key for end in ends]
        mine = {self.keep.nodes[key]: key for key in keys if key in self.keep.nodes}
        order = {name: place for place, name in enumerate(in_order({*free, node}))}
        other = min(
            free, key=lambda name: (name not in mine, abs(order[name] - order[node]), order[name])
        )
        self._give(node, other, mine.get(other, ""))

    def _give(self, node: str, other: str, key: str) -> None:
        """Give the row of a pin without wires to another pin; `key` is a wire that had its line."""
        lines = self.lines[other]
        if node not in self.lines:
            self.heights[node] = self.heights[other]
            self.sides[node] = self.sides[other]
            if key and len(lines) == 1:
                self.same.add(key)
        row = self.rows[self._row(other)]
        most = max(len(self.found.get(name, ())) for name in row)
        for name in row:
            if len(self.found.get(name, ())) == most:
                self.found[name].pop()
        if most == 1:
            block = _block_of(self.design, self.ends, node)
            self.free[block].remove(other)

    def before(self) -> Before:
        """Return how the pins stood."""
        return Before(self.sides, self.heights, frozenset(self.same))


def _block_of(design: Design, ends: Ends, node: str) -> str:
    owner, _ = split_node(node)
    return ends.block_of.get(owner, owner if owner in design.earths else "")


def _pin_sides(keep: KeptSheet) -> dict[str, Side]:
    """Return the edge at which every pin of a sheet was drawn."""
    sides = {node: pin.side for node, pin in keep.pins.items()}
    for link, kept in keep.layout.links.items():
        for key, side in zip(link_keys(link), kept.sides, strict=True):
            if keep.nodes.get(key):
                sides[keep.nodes[key]] = side
    return sides


def _lines(keep: KeptSheet) -> dict[str, list[Line]]:
    """Return the lines of every pin from the top, pins in natural order, half lines left out."""
    lines = kept_lines(keep)
    halves = kept_halves(lines)
    return {node: [at for at in lines[node] if at[1] not in halves] for node in in_order(lines)}


def _in_lines(ends: Sequence[WireEnd], lines: Sequence[str], empty: WireEnd) -> list[WireEnd]:
    """Return the ends of one pin on the lines they had, new ones on lines that are free."""
    known = {end.key: end for end in ends}
    new = [end for end in ends if end.key not in lines]
    found = [known[key] if key in known else new.pop(0) if new else empty for key in lines]
    return [*found, *new]


def _is_there(design: Design, network: Network, node: str) -> bool:
    """Tell whether a pin without a wire is still one of the design."""
    owner, point = split_node(node)
    if network.net_of(node) is not None or owner in design.earths or owner in design.splices:
        return True
    if owner in design.plugs:
        face = face_layout(design, owner)
        return face.origin == NOT_RECORDED or point in face.cavities
    if owner in design.devices:
        return point in terminals_of(design.devices[owner], [point])
    return owner in design.boxes or (owner in design.fuses and point in ("in", "out"))
