"""From a plan to blocks: which builder draws which object."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from dataclasses import replace

from wiregen.connect import Network, split_node
from wiregen.connect.links import terminals_of
from wiregen.layout.kept import KeptSheet
from wiregen.layout.schematic import earths
from wiregen.layout.schematic.bare import level_block, upright_block
from wiregen.layout.schematic.block import Block, Part, Port, Side, body, words
from wiregen.layout.schematic.boxes import device_block
from wiregen.layout.schematic.ends import Ends, WireEnd
from wiregen.layout.schematic.flow import Flow
from wiregen.layout.schematic.fuses import box_block, fuse_block
from wiregen.layout.schematic.half_lines import HalfLine, find_halves, with_halves
from wiregen.layout.schematic.heads import head, up_to_grid
from wiregen.layout.schematic.keeping_rows import Before, blocks_left, on_lines
from wiregen.layout.schematic.parts import CONTACT_KINDS, facts, symbol_kind
from wiregen.layout.schematic.plugs import pair_block
from wiregen.layout.schematic.scene import Cut, Plan, Scene
from wiregen.layout.schematic.sides import across_one, majority, two_ended, upright_order
from wiregen.layout.schematic.small import (
    earth_block,
    loose_block,
    reference_block,
    splice_block,
)
from wiregen.layout.schematic.variants import variant_note
from wiregen.model import Design, Device
from wiregen.model.order import in_order
from wiregen.sheet import style
from wiregen.sheet.items import Anchor, Item
from wiregen.sheet.moves import shifted

_ACROSS_KINDS = ("capacitor", "diode", "resistor", "terminator")
_BOXED_KINDS = ("unit", "alternator", "converter", "bus bar", "socket")


def make_scene(
    design: Design,
    network: Network,
    ends: Ends,
    flow: Flow,
    *,
    plan: Plan,
    row_mm: float,
    keep: KeptSheet | None = None,
    full: AbstractSet[str] = frozenset(),
) -> Scene:
    """Return the scene of one sheet: every wire end it shows, by the node it lands on.

    Where the sheet was drawn before, pins keep their edges and rows also without their wires, and
    a further wire stands half a row below the one at its pin unless it is to have a `full` row.
    """
    shown: list[WireEnd] = []
    for wire in plan.wires:
        shown.extend(ends.of_wire[wire])
    shown.extend(cut.here for cut in plan.cuts)
    blocks = {end.block for end in shown}
    if keep is not None:
        blocks.update(blocks_left(design, network, ends, blocks, keep))
    fitted = [
        name for name, pair in ends.fitted.items() if all(end.block in blocks for end in pair)
    ]
    shown.extend(end for name in fitted for end in ends.fitted[name])
    at: dict[str, list[WireEnd]] = {}
    for end in shown:
        if end.node:
            at.setdefault(end.node, []).append(end)
    before = Before()
    halves: dict[str, HalfLine] = {}
    if keep is not None:
        halves = find_halves(design, at, keep, full)
        at = {node: [end for end in mine if end.key not in halves] for node, mine in at.items()}
        at, before = on_lines(design, network, ends, at=at, blocks=blocks, keep=keep)
    ordered = {node: tuple(at[node]) for node in in_order(at)}
    grouped = Counter(wire for group in design.groups.values() for wire in group.wires)
    return Scene(
        design,
        network,
        ends,
        flow,
        plan,
        ordered,
        row_mm,
        grouped,
        tuple(fitted),
        before=before,
        sizes=keep.sizes if keep is not None else {},
        halves=halves,
    )


def make_blocks(scene: Scene) -> tuple[Block, ...]:
    """Return every block of the sheet, natural order of their ids."""
    wanted = [
        end
        for wire in scene.plan.wires
        for end in scene.ends.of_wire[wire]
    ] + [cut.here for cut in scene.plan.cuts]  # fmt: skip
    single = {end.block: end for end in wanted if end.block.startswith(("earth ", "end "))}
    drawn = (end for found in scene.at.values() for end in found)
    names = in_order(dict.fromkeys(end.block for end in (*wanted, *drawn)))
    big, sides = _settled(scene, [name for name in names if name not in single])
    small = [_single(scene, single[name], sides) for name in names if name in single]
    marks = [_mark(scene, cut, _facing(_edge(scene, cut.here, sides))) for cut in scene.plan.cuts]
    return (*big, *small, *marks)


def _mark(scene: Scene, cut: Cut, side: Side) -> Block:
    """The mark where a wire goes on to another sheet; one to earth has the symbol of its point."""
    if cut.there.owner in scene.design.earths:
        return earths.reference_block(scene, cut.here, cut.there, side)
    return reference_block(scene, cut.here, cut.there, side)


def _settled(scene: Scene, names: list[str]) -> tuple[list[Block], dict[str, Side]]:
    """Return the blocks of owners, and the edge each wire end leaves by.

    Fuse boxes are settled first, then plugs and units, so that what hangs on them faces them.
    What lies across another part comes last. Relays keep the way of the current, and splices have
    their sides from the layout engine.
    """
    design = scene.design
    pinned = {plug.of for plug in design.plugs.values()} | design.plugs.keys()
    blocks: dict[str, Block] = {}
    sides: dict[str, Side] = {}
    rows: dict[str, tuple[str, float]] = {}
    across = frozenset(name for name in names if _kind(design, name) in _ACROSS_KINDS)
    others = frozenset(names) - across
    for stage in (design.boxes.keys(), pinned, others, across):
        facing = replace(scene, facing=dict(sides), rows=rows)
        for name in names:
            if name in stage and name not in blocks:
                device = design.devices.get(name)
                keeps = device is not None and device.coil is not None
                block = _block(scene if keeps else facing, name)
                blocks[name] = with_halves(block, scene.halves)
                rows |= {p.key: (name, p.y) for p in blocks[name].ports if p.key}
        sides |= {
            port.key: port.side
            for name, block in blocks.items()
            if name not in design.splices
            for port in block.ports
        }
    return [blocks[name] for name in names], sides


def _kind(design: Design, name: str) -> str:
    device = design.devices.get(name)
    return device.kind if device is not None else ""


def _edge(scene: Scene, end: WireEnd, sides: Mapping[str, Side]) -> Side:
    """Return the edge a wire end leaves by; at a splice wires are read from left to right."""
    comes = end.key == scene.ends.of_wire[end.wire][1].key
    return sides.get(end.key) or ("W" if comes else "E")


def _facing(side: Side) -> Side:
    return "W" if side == "E" else "E"


def _single(scene: Scene, end: WireEnd, sides: Mapping[str, Side]) -> Block:
    """An earth or a loose end: it faces the pin its wire comes from."""
    first, second = scene.ends.of_wire[end.wire]
    other = second if end.key == first.key else first
    default: Side = "W" if end.key == second.key else "E"
    side = _facing(sides[other.key]) if other.key in sides else default
    if end.block.startswith("earth "):
        return earth_block(scene, end, side)
    return loose_block(scene, end, side)


def _block(scene: Scene, block_id: str) -> Block:
    design = scene.design
    if block_id in design.plugs:
        return pair_block(scene, block_id)
    if block_id in design.boxes:
        return box_block(scene, design.boxes[block_id])
    if block_id in design.fuses:
        known = (f"{block_id}:in", f"{block_id}:out")
        named = all(node in known for node in scene.at if split_node(node)[0] == block_id)
        return fuse_block(scene, design.fuses[block_id]) if named else _unknown(scene, block_id)
    if block_id in design.splices:
        return splice_block(scene, block_id)
    if block_id in design.earths:
        return earths.point_block(scene, block_id)
    if block_id in design.devices:
        return _device(scene, design.devices[block_id])
    return _unknown(scene, block_id)


def _device(scene: Scene, device: Device) -> Block:
    """A device: as a bare symbol where two wires at most reach it, else as a box."""
    has_plug = any(plug.of == device.id for plug in scene.design.plugs.values())
    nodes = [node for node in scene.at if split_node(node)[0] == device.id]
    names = terminals_of(device, [split_node(node)[1] for node in nodes])
    bare = not has_plug and device.kind not in _BOXED_KINDS and device.coil is None
    if (
        bare
        and len(names) <= 2
        and len(nodes) <= 2
        and all(node in [f"{device.id}:{name}" for name in names] for node in nodes)
    ):
        return _bare_symbol(scene, device, names, nodes)
    return device_block(scene, device)


def _bare_symbol(scene: Scene, device: Device, names: tuple[str, ...], nodes: list[str]) -> Block:
    kind = symbol_kind(device.kind)
    only = variant_note(scene.design, device.id)
    notes = (device.title, facts(device), _closed_words(device), only)
    order = [f"{device.id}:{name}" for name in names]
    if len(nodes) == 1:
        return _one_ended(scene, device, order, nodes[0], notes)
    first, second = order
    side, flip = two_ended(scene, first, second)
    if device.kind in _ACROSS_KINDS and across_one(scene, first, second):
        flip = not flip
    if side:
        upper, lower = upright_order(scene, first, second)
        return upright_block(
            scene, device.id, kind, "device", upper=(upper, scene.at[upper]),
            lower=(lower, scene.at[lower]), side=side, notes=notes, turned=upper != first,
        )  # fmt: skip
    west, east = (second, first) if flip else (first, second)
    return level_block(
        scene, device.id, kind, "device", west=(west, scene.at[west]), east=(east, scene.at[east]),
        notes=notes,        mirror=flip,
    )  # fmt: skip


def _one_ended(
    scene: Scene, device: Device, order: list[str], node: str, notes: tuple[str, ...]
) -> Block:
    """A symbol with one wire: its other terminal is its case, or is not wired here."""
    kind = symbol_kind(device.kind)
    ends = scene.at[node]
    flip = majority(scene, ends) == "E"
    other = next((n for n in order if n != node), "")
    west, east = ((other, ()), (node, ends)) if flip else ((node, ends), (other, ()))
    first_is_west = not order or west[0] == order[0] or not other
    return level_block(
        scene, device.id, kind, "device", west=west, east=east, notes=notes,
        mirror=not first_is_west, case=device.case,
    )  # fmt: skip


def _closed_words(device: Device) -> str:
    """Say when a two-ended switch is closed."""
    if device.kind not in CONTACT_KINDS:
        return ""
    closed = [position for position, pairs in device.positions.items() if pairs]
    return f"closed: {', '.join(closed)}" if closed else ""


def _unknown(scene: Scene, owner: str) -> Block:
    """A box for an owner or points the design does not have, so that wires are still drawn."""
    nodes = [node for node in scene.at if split_node(node)[0] == owner]
    ends = [(node, end) for node in nodes for end in scene.at[node]]
    side = majority(scene, (end for _, end in ends), "W")
    fuse = owner in scene.design.fuses
    title = head(owner, "", ("its ends are in and out" if fuse else "not in the design",), 34.0)
    step = scene.row_mm
    top = up_to_grid(title.height + 3.5, step)
    width = max(title.width, 22.0)
    height = top + (len(ends) - 1) * step + 3.5
    x = 0.0 if side == "W" else width
    items: list[Item] = [shifted(item, 0.0, top - 3.5) for item in title.items]
    items.append(body(0.0, top - 3.5, width, height - top + 3.5, new=False))
    ports = []
    for index, (node, end) in enumerate(ends):
        y = top + index * step
        label = split_node(node)[1]
        at = 3.0 if side == "W" else width - 3.0
        anchor: Anchor = "start" if side == "W" else "end"
        mark = words(at, y + 1.0, label, style.TEXT_PIN_NUMBER, bold=True, anchor=anchor)
        ports.append(Port(node, x, y, side, end.key, (mark,)))
    kind = "fuse" if fuse else "device"
    part = Part(kind, ((kind, owner),), tuple(items), tuple(ports))
    return Block(owner, width, height, (part,), scene.flow.at(owner))
