"""A sheet drawn before: what of it holds for the design as it is now, and what is kept of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace

from wiregen.connect import Network, split_node
from wiregen.layout.engine import KeptBox, KeptLayout, KeptLink
from wiregen.layout.kept import KeptPin
from wiregen.layout.schematic.block import Block
from wiregen.layout.schematic.ends import WireEnd, link_keys
from wiregen.model import Design
from wiregen.model.order import in_order

DECIMALS = 5
"""Lengths of a layout are kept with so many decimals, mm."""


def link_id(a: str, b: str) -> str:
    """Return the id of the link between two wire ends."""
    return f"{a} {b}"


def still_true(
    layout: KeptLayout,
    before: Mapping[str, str],
    now: Mapping[str, str],
    same: AbstractSet[str],
) -> KeptLayout:
    """Return a layout without the links of wires that go elsewhere now.

    Args:
        layout: as it was drawn.
        before: wire end -> its pin, as it was drawn.
        now: wire end -> its pin, of all ends on the sheet.
        same: wire ends that stand where they stood, though at another pin.
    """
    links = {
        link: kept
        for link, kept in layout.links.items()
        if all(before.get(key, "") == now.get(key, "") or key in same for key in link_keys(link))
    }
    return KeptLayout(layout.boxes, links)


def kept_pins(
    design: Design,
    network: Network,
    blocks: Sequence[tuple[Block, float]],
    at: Mapping[str, Sequence[WireEnd]],
    scale: float,
) -> dict[str, KeptPin]:
    """Return the pins that have a place on a sheet though no wire reaches them there.

    Args:
        design: the design.
        network: from `connect`.
        blocks: on the sheet, each with the height of its top in the lengths of the layout engine.
        at: node -> wire ends on the sheet.
        scale: lengths of the layout engine to those of the blocks.
    """
    ports = [(port, round(top + port.y * scale, DECIMALS))
             for block, top in blocks for part in block.parts for port in part.ports]  # fmt: skip
    sides = {port.node: port.side for port, _ in ports if port.node}
    wired = {port.node for port, _ in ports if port.key}
    free: dict[str, list[float]] = {}
    for port, y in ports:
        if not port.key:
            free.setdefault(port.node, []).append(y)
    lines = Counter(end.node for found in at.values() for end in found if not end.key)
    pins = {}
    for node in in_order(sides):
        owner, point = split_node(node)
        plug = design.plugs.get(owner)
        device = owner if plug is None else plug.of
        other = network.mate(owner) if plug is not None else None
        inside = device in design.devices and f"{other}:{point}" not in wired
        if lines[node] or (inside and node not in wired):
            mine = free.get(node) or [0.0]
            pins[node] = KeptPin(sides[node], mine[0], tuple(mine[: lines[node]]))
    return pins


def rounded(layout: KeptLayout) -> KeptLayout:
    """Return a layout with its lengths as a file keeps them."""
    return KeptLayout(
        {name: _rounded_box(box) for name, box in layout.boxes.items()},
        {name: _rounded_link(link) for name, link in layout.links.items()},
    )


def _rounded_box(box: KeptBox) -> KeptBox:
    return replace(box, x=round(box.x, DECIMALS), y=round(box.y, DECIMALS))


def _rounded_link(link: KeptLink) -> KeptLink:
    return replace(
        link,
        ends=(round(link.ends[0], DECIMALS), round(link.ends[1], DECIMALS)),
        lanes={at: round(y, DECIMALS) for at, y in link.lanes.items()},
        runs={at: tuple(round(x, DECIMALS) for x in xs) for at, xs in link.runs.items() if xs},
    )
