"""Which edge a wire leaves by: towards the side its other end stands on."""

from __future__ import annotations

from collections.abc import Iterable

from wiregen.layout.schematic.block import Side
from wiregen.layout.schematic.ends import WireEnd
from wiregen.layout.schematic.scene import Scene
from wiregen.layout.schematic.wishes import wished_edge

_FAR = 0.05
"""Places of the flow beyond which another end is merely far."""


def other_end(scene: Scene, end: WireEnd) -> WireEnd:
    """Return the far end of the wire."""
    first, second = scene.ends.pair(end.wire)
    return second if end.key == first.key else first


def pull(scene: Scene, end: WireEnd) -> float:
    """Return how far right the other end stands of this one; 0 when it does not matter.

    A pin whose edge is settled is faced.
    """
    if end.node in scene.before.sides:
        return 1.0 if scene.before.sides[end.node] == "E" else -1.0
    other = other_end(scene, end)
    to_earth = other.owner in scene.design.earths
    if to_earth or other.block.startswith("end ") or other.block == end.block:
        return 0.0
    if other.key in scene.facing:
        return 1.0 if scene.facing[other.key] == "W" else -1.0
    return scene.flow.at(other.block) - scene.flow.at(end.block)


def wire_edge(
    scene: Scene, plugs: Iterable[str], ends: Iterable[WireEnd], otherwise: Side = "W"
) -> Side:
    """Return the edge the wires of a plug leave by: as asked at any of its halves, or as suits."""
    for plug in plugs:
        asked = wished_edge(scene.design.plugs.get(plug))
        if asked:
            return asked
    return majority(scene, ends, otherwise)


def majority(scene: Scene, ends: Iterable[WireEnd], otherwise: Side = "W") -> Side:
    """Return the edge that suits most wires of a block: one that leads far counts as one."""
    total = sum(max(-_FAR, min(_FAR, pull(scene, end))) for end in ends)
    if abs(total) < 1e-9:
        return otherwise
    return "E" if total > 0 else "W"


def two_ended(scene: Scene, first: str, second: str) -> tuple[Side | None, bool]:
    """Return how a part with two wired terminals stands.

    Returns:
        The edge both terminals are at, for an upright part; None for a level one. And whether
        the first terminal of a level part is its right one.
    """
    pulls = [sum(pull(scene, end) for end in scene.at[node]) for node in (first, second)]
    one, other = ((total > 1e-9) - (total < -1e-9) for total in pulls)
    if one == other and one:
        return "E" if one > 0 else "W", False
    return None, one > other


def across_one(scene: Scene, first: str, second: str) -> bool:
    """Tell whether a part lies across one other: over or under it, its ends the same way.

    A part that was drawn before lies as it did, whatever it is across.
    """
    if first in scene.before.sides or second in scene.before.sides:
        return False
    one, other = ({other_end(scene, e).block for e in scene.at[n]} for n in (first, second))
    return one == other and len(one) == 1


def upright_order(scene: Scene, first: str, second: str) -> tuple[str, str]:
    """Return the upper and the lower terminal of an upright part.

    They keep the order they were drawn in; else the wires to one other block do not cross, and
    where none says anything the first terminal is the upper one.
    """
    known = scene.before.heights
    if first in known and second in known:
        return (second, first) if known[second] < known[first] else (first, second)
    places = [_rows_reached(scene, node) for node in (first, second)]
    turns = [
        low - high
        for block, high in places[0].items()
        for other, low in places[1].items()
        if other == block
    ]
    return (second, first) if sum(turns) < 0 else (first, second)


def _rows_reached(scene: Scene, node: str) -> dict[str, float]:
    """Return block -> height of the topmost pin of it that a terminal is wired to, mm."""
    found: dict[str, float] = {}
    for end in scene.at[node]:
        block, y = scene.rows.get(other_end(scene, end).key, ("", 0.0))
        if block:
            found[block] = min(found.get(block, y), y)
    return found
