"""A sheet drawn before: what of it holds for the design as it is now, and what is kept of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from wiregen.connect import Network, split_node
from wiregen.layout.engine import KeptBox, KeptLayout, KeptLink
from wiregen.layout.engine.graph import Side
from wiregen.layout.kept import KeptPin, KeptSheet
from wiregen.layout.schematic.block import Block
from wiregen.layout.schematic.ends import Ends, WireEnd
from wiregen.model import Design
from wiregen.model.order import in_order, natural_key

DECIMALS = 5
"""Lengths of a layout are kept with so many decimals, mm."""


def link_id(a: str, b: str) -> str:
    """Return the id of the link between two wire ends."""
    return f"{a} {b}"


def link_keys(link: str) -> tuple[str, str]:
    """Return the two wire ends of a link.

    Example:
        >>> link_keys("W5:1 W5:1>"), link_keys("under F1:0 under F1:1")
        (('W5:1', 'W5:1>'), ('under F1:0', 'under F1:1'))
    """
    half = (len(link) - 1) // 2
    return link[:half], link[half + 1 :]


def pin_sides(keep: KeptSheet) -> dict[str, Side]:
    """Return the edge at which every pin of a sheet was drawn."""
    sides = {node: pin.side for node, pin in keep.pins.items()}
    for link, kept in keep.layout.links.items():
        for key, side in zip(link_keys(link), kept.sides, strict=True):
            if keep.nodes.get(key):
                sides[keep.nodes[key]] = side
    return sides


def blank_ends(
    design: Design,
    network: Network,
    ends: Ends,
    at: Mapping[str, Sequence[WireEnd]],
    keep: KeptSheet,
) -> Iterator[WireEnd]:
    """Yield an end without a wire for every line of a pin that lost its wire.

    So the pins below stay where they are. A pin that is new to a block takes up the line of one
    that lost its wire.

    Args:
        design: the design.
        network: from `connect`.
        ends: from `find_ends`.
        at: node -> wire ends on the sheet.
        keep: the sheet as it was drawn.
    """
    had = Counter(node for node in keep.nodes.values() if node)
    had.update({node: pin.lines for node, pin in keep.pins.items()})
    here = {end.block for found in at.values() for end in found}
    grown = Counter[str]()
    for node, found in at.items():
        grown[found[0].block] += max(0, len(found) - had[node])
    for node in in_order(had):
        owner, point = split_node(node)
        block = ends.block_of.get(owner, "")
        gone = not at.get(node) and (network.wires_at(node) or not _is_there(design, network, node))
        if block not in here or owner in design.splices or gone:
            continue
        missing = had[node] - len(at.get(node, ()))
        taken = min(grown[block], max(0, missing))
        grown[block] -= taken
        for _ in range(missing - taken):
            yield WireEnd("", "", node, owner, point, block)


def _is_there(design: Design, network: Network, node: str) -> bool:
    """Tell whether a pin is still one of the design; one of a plug without a face may be."""
    plug = design.plugs.get(split_node(node)[0])
    return network.net_of(node) is not None or (plug is not None and plug.face is None)


def still_true(layout: KeptLayout, before: Mapping[str, str], now: Mapping[str, str]) -> KeptLayout:
    """Return a layout without the links of wires that go elsewhere now.

    Args:
        layout: as it was drawn.
        before: wire end -> its pin, as it was drawn.
        now: wire end -> its pin, of all ends on the sheet.
    """
    links = {
        link: kept
        for link, kept in layout.links.items()
        if all(before.get(key, "") == now.get(key, "") for key in link_keys(link))
    }
    return KeptLayout(layout.boxes, links)


def kept_pins(
    design: Design, network: Network, blocks: Sequence[Block], at: Mapping[str, Sequence[WireEnd]]
) -> dict[str, KeptPin]:
    """Return the pins that have a place on a sheet though no wire reaches them there."""
    sides = {port.node: port.side for block in blocks for part in block.parts
             for port in part.ports if port.node}  # fmt: skip
    wired = {port.node for block in blocks for port in block.ports}
    lines = Counter(end.node for found in at.values() for end in found if not end.key)
    pins = {}
    for node in sorted(sides, key=natural_key):
        owner, point = split_node(node)
        plug = design.plugs.get(owner)
        device = owner if plug is None else plug.of
        other = network.mate(owner) if plug is not None else None
        inside = device in design.devices and f"{other}:{point}" not in wired
        if lines[node] or (inside and node not in wired):
            pins[node] = KeptPin(sides[node], lines[node])
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
