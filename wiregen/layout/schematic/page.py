"""One sheet: blocks placed, wires routed, labels set (mm)."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from wiregen.connect import node_name, split_node
from wiregen.layout.engine import (
    Box,
    Graph,
    KeptLayout,
    Link,
    Pin,
    Placement,
    Room,
    Strip,
    lay_out,
    repeat,
)
from wiregen.layout.kept import KeptSheet
from wiregen.layout.schematic import earths
from wiregen.layout.schematic.block import Block, Port, line, placed_groups
from wiregen.layout.schematic.build import make_blocks
from wiregen.layout.schematic.ends import WireEnd
from wiregen.layout.schematic.held import grown_in_place
from wiregen.layout.schematic.keeping import DECIMALS, link_id, rounded, still_true
from wiregen.layout.schematic.scene import Scene
from wiregen.layout.schematic.small import reference_part, splice_part
from wiregen.layout.schematic.variants import marked
from wiregen.model import Design, Wire
from wiregen.model.faces import face_layout
from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Point
from wiregen.sheet.metrics import text_width_mm
from wiregen.sheet.wire import LabelSpot, label_words, wire_group

Keys = tuple[str, str]
"""The two wire ends a run joins, see `WireEnd.key`."""

LEAST_SCALE = 0.82
"""A layout is printed at this scale or larger; the smallest text is then 1.8 mm high. The layout
engine is told sizes at this scale, so that its least distances hold on paper."""

LABEL_HEIGHT_MM = 3.0
TRACK_MM = 3.0
_LABEL_RISE_MM = 1.2
_LABEL_FREE_MM = 2.5
_LABEL_SPARE_MM = 2.5
"""Of the free room, what may be given up to a wire that comes later."""
_LABEL_STEP_MM = 2.0
_MARK_MM = 10.0
"""Room beside the label for the mark of a screen or twist."""
_LONG_RUN_MM = 90.0


@dataclass(frozen=True, slots=True)
class Laid:
    """A sheet whose places are known; drawn once the other sheets are laid out too.

    Attributes:
        scene: what it shows.
        blocks: its blocks.
        placement: where the engine put them.
        stops: key of a cut wire end -> where it stops on this sheet, mm from the layout's corner.
    """

    scene: Scene
    blocks: tuple[Block, ...]
    placement: Placement
    stops: Mapping[str, Point]


def lay_page(scene: Scene, max_height_mm: float, aspect: float) -> Laid:
    """Place the blocks of a scene and route its wires.

    Args:
        scene: what to show.
        max_height_mm: wanted greatest height.
        aspect: wanted width divided by height.
    """
    blocks = make_blocks(scene)
    graph = _graph(scene, blocks, max_height_mm, aspect, settled=False)
    return _laid(scene, blocks, lay_out(graph))


def lay_again(
    scenes: Iterable[Scene], max_height_mm: float, aspect: float, keep: KeptSheet, room: Room
) -> Laid:
    """Lay out a sheet that was drawn before; what is still true of it stays in its place.

    Args:
        scenes: what to show in different ways, the best first: the one that moves least is taken.
        max_height_mm: wanted greatest height.
        aspect: wanted width divided by height.
        keep: the sheet as it was drawn before.
        room: how far its paper reaches, in the lengths of the layout engine.
    """
    asked: list[tuple[Scene, tuple[Block, ...]]] = []

    def choices() -> Iterator[tuple[Graph, KeptLayout]]:
        for scene in scenes:
            blocks = make_blocks(scene)
            asked.append((scene, blocks))
            graph = _graph(scene, blocks, max_height_mm, aspect, settled=True)
            yield graph, _before(scene, keep, blocks)

    number, found = repeat(choices(), room)
    return _laid(*asked[number], found)


def _before(scene: Scene, keep: KeptSheet, blocks: Sequence[Block]) -> KeptLayout:
    """Return what is still true of a sheet drawn before."""
    now = {key: end.node for key, end in scene.ends_here.items()}
    layout = still_true(keep.layout, keep.nodes, now, scene.before.same)
    return grown_in_place(layout, blocks, keep.sizes, LEAST_SCALE)


def _laid(scene: Scene, blocks: tuple[Block, ...], found: Placement) -> Laid:
    placement = enlarged(clean(found), 1 / LEAST_SCALE)
    home = _homes(blocks)
    stops = {}
    for cut in scene.plan.cuts:
        key = f"{cut.here.key}>"
        pin = placement.pins[home[key], key]
        stops[cut.here.key] = (pin.x, pin.y)
    return Laid(scene, blocks, placement, stops)


def _homes(blocks: tuple[Block, ...]) -> dict[str, str]:
    """Return wire end -> its block."""
    return {port.key: block.id for block in blocks for port in block.ports}


def _graph(
    scene: Scene,
    blocks: tuple[Block, ...],
    max_height_mm: float,
    aspect: float,
    *,
    settled: bool,
) -> Graph:
    """Return the blocks and wires of a sheet as the layout engine is given them."""
    home = _homes(blocks)
    boxes = tuple(_box(scene, block, settled=settled) for block in blocks)
    links = [_link(scene, wire, home, f"{wire}:0", f"{wire}:1") for wire in scene.plan.wires]
    links += [
        _link(scene, cut.here.wire, home, cut.here.key, f"{cut.here.key}>")
        for cut in scene.plan.cuts
    ]
    for name in scene.fitted:
        a, b = f"{name}:0", f"{name}:1"
        links.append(Link(link_id(a, b), (home[a], a), (home[b], b)))
    return Graph(
        boxes,
        tuple(links),
        pitch=scene.row_mm * LEAST_SCALE,
        track=TRACK_MM * LEAST_SCALE,
        label_height=LABEL_HEIGHT_MM * LEAST_SCALE,
        max_height=max_height_mm,
        aspect=aspect,
    )


def clean(placement: Placement) -> Placement:
    """Return a placement free of the noise of its arithmetic, so that a repeated one is equal."""

    def tidy(value: float) -> float:
        return round(value, DECIMALS)

    return replace(
        placement,
        boxes={k: replace(at, x=tidy(at.x), y=tidy(at.y)) for k, at in placement.boxes.items()},
        pins={k: replace(at, x=tidy(at.x), y=tidy(at.y)) for k, at in placement.pins.items()},
        routes={
            k: tuple((tidy(x), tidy(y)) for x, y in run) for k, run in placement.routes.items()
        },
        labels={
            k: tuple(Strip(tidy(s.x), tidy(s.y), s.width) for s in strips)
            for k, strips in placement.labels.items()
        },
        width=tidy(placement.width),
        height=tidy(placement.height),
        origin=(tidy(placement.origin[0]), tidy(placement.origin[1])),
        kept=rounded(placement.kept),
    )


def enlarged(placement: Placement, by: float) -> Placement:
    """Return a placement with all lengths multiplied."""
    return replace(
        placement,
        boxes={key: replace(at, x=at.x * by, y=at.y * by) for key, at in placement.boxes.items()},
        pins={key: replace(at, x=at.x * by, y=at.y * by) for key, at in placement.pins.items()},
        routes={
            key: tuple((x * by, y * by) for x, y in run) for key, run in placement.routes.items()
        },
        labels={
            key: tuple(Strip(s.x * by, s.y * by, s.width * by) for s in strips)
            for key, strips in placement.labels.items()
        },
        width=placement.width * by,
        height=placement.height * by,
        origin=(placement.origin[0] * by, placement.origin[1] * by),
    )


def _box(scene: Scene, block: Block, *, settled: bool) -> Box:
    """Return a block as the engine sees it; wires of one pin keep their places once drawn."""
    free = block.id in scene.design.splices
    k = LEAST_SCALE
    pins = [
        Pin(p.key, p.side, p.x * k, p.y * k, free, "" if free or settled else p.node)
        for p in block.ports
    ]
    if free:  # places of wires that are gone
        rest = [port for part in block.parts for port in part.ports if not port.key]
        pins += [Pin(f"free {n}", p.side, p.x * k, p.y * k, True) for n, p in enumerate(rest)]
    width, height = block.width * k, block.height * k
    rank = scene.flow.ranks.get(block.id)
    margin = 0.0 if block.id.startswith("ref ") else k
    spare = 0.0 if settled else _spare_row(scene, block) * k
    return Box(
        block.id,
        width,
        height,
        tuple(pins),
        rank=rank,
        margin_above=margin,
        margin_below=margin + spare,
        spare=spare,
        shrinks=free,
        yields=block.id.startswith(("ref ", "earth ", "end ")),
    )


def _spare_row(scene: Scene, block: Block) -> float:
    """Return the height kept clear below a block for a pin to come: a row, where one may, mm."""
    for node in {port.node for port in block.ports}:
        plug, _ = split_node(node)
        if plug in scene.design.plugs and any(
            not scene.network.wires_at(node_name(plug, cavity))
            for cavity in face_layout(scene.design, plug).cavities
        ):
            return scene.row_mm
    return 0.0


def _link(scene: Scene, wire_id: str, home: Mapping[str, str], a: str, b: str) -> Link:
    width = label_room(scene.design, wire_id) + scene.grouped.get(wire_id, 0) * _MARK_MM
    spare = _LABEL_SPARE_MM * LEAST_SCALE
    return Link(link_id(a, b), (home[a], a), (home[b], b), width * LEAST_SCALE, spare)


def label_room(design: Design, wire_id: str) -> float:
    """Return the room for a wire's label, in steps: a colour as long needs no more, mm."""
    width = label_width(design, wire_id) + _LABEL_FREE_MM
    return math.ceil(width / _LABEL_STEP_MM) * _LABEL_STEP_MM


def colour_text(wire: Wire) -> str:
    """Return the colour of a wire in its IEC form, empty when unknown."""
    return wire.colour.iec if wire.colour else ""


def size_text(wire: Wire) -> str:
    """Return the size of a wire as it is printed, empty when unknown."""
    return wire.size.printed if wire.size else ""


def label_width(design: Design, wire_id: str) -> float:
    """Return the printed width of a wire's label, mm."""
    wire = design.wires[wire_id]
    words = (*label_words(colour_text(wire), size_text(wire)), marked(design, wire.only))
    grey = " " + " ".join(word for word in words if word)
    bold = text_width_mm(wire.id, style.TEXT_WIRE, bold=True)
    return bold + text_width_mm(grey, style.TEXT_WIRE)


def draw_page(
    laid: Laid, x: float, y: float, targets: Mapping[str, tuple[str, str]], mono: bool
) -> tuple[Item, ...]:
    """Return the display list of a laid sheet whose corner stands at (x, y), mm.

    Args:
        laid: the sheet.
        x: left of the layout on the page, mm.
        y: top of the layout on the page, mm.
        targets: key of a cut wire end here -> sheet number and zone where the wire goes on.
        mono: ink patterns in place of colours.
    """
    scene, corner = laid.scene, (x, y)
    wires = [
        _wire(laid, wire_id, (f"{wire_id}:0", f"{wire_id}:1"), corner, mono=mono)
        for wire_id in scene.plan.wires
    ]
    wires += [
        _wire(laid, cut.here.wire, (cut.here.key, f"{cut.here.key}>"), corner, mono=mono)
        for cut in scene.plan.cuts
    ]
    metal = [_metal(laid, name, corner) for name in scene.fitted]
    there = {cut.here.key: cut.there for cut in scene.plan.cuts}
    blocks = [
        group
        for block in laid.blocks
        for group in _block_groups(laid, block, corner, there, targets)
    ]
    return (*wires, *metal, *blocks)


def _block_groups(
    laid: Laid,
    block: Block,
    corner: Point,
    there: Mapping[str, WireEnd],
    targets: Mapping[str, tuple[str, str]],
) -> tuple[Group, ...]:
    """The groups of a block; splices and references take the form their place asks for."""
    if block.id in laid.scene.design.splices:
        ports = tuple(_engine_port(laid, block, port, corner) for port in block.ports)
        part = splice_part(laid.scene, block.id, ports)
    elif block.id.startswith("ref "):
        port = _engine_port(laid, block, block.ports[0], corner)
        key = port.key.removesuffix(">")
        if there[key].owner in laid.scene.design.earths:
            part = earths.reference_part(laid.scene.design, there[key], port, *targets[key])
        else:
            part = reference_part(there[key], port, *targets[key])
    else:
        at = laid.placement.boxes[block.id]
        return placed_groups(block, at.x + corner[0], at.y + corner[1])
    return placed_groups(Block(block.id, 0, 0, (part,)), 0.0, 0.0)


def _engine_port(laid: Laid, block: Block, port: Port, corner: Point) -> Port:
    pin = laid.placement.pins[block.id, port.key]
    return replace(port, x=pin.x + corner[0], y=pin.y + corner[1], side=pin.side)


def _wire(laid: Laid, wire_id: str, keys: Keys, corner: Point, *, mono: bool) -> Group:
    """The group of one wire: its run, its labels in their strips."""
    design = laid.scene.design
    wire = design.wires[wire_id]
    run = _route(laid, keys, corner)
    if keys[0] == f"{wire_id}:1":
        run = run[::-1]
    spots = _spots(laid, keys, run, corner, label_width(design, wire_id))
    ends = [wire.start, wire.end]
    return wire_group(
        wire_id,
        start=ends[0].text if ends[0] else "",
        end=ends[1].text if ends[1] else "",
        colour=colour_text(wire),
        size=size_text(wire),
        runs=(run,),
        labels=spots,
        fate=design.status_of(wire),  # type: ignore[arg-type]
        mono=mono,
        only=marked(design, wire.only),
    )


def _metal(laid: Laid, name: str, corner: Point) -> Group:
    """The metal between a terminal and the fuse that sits on it: a plain ink line, no wire."""
    keys = (f"{name}:0", f"{name}:1")
    terminal, lug = laid.scene.ends.fitted[name]
    return Group(
        (line(*_route(laid, keys, corner), width=style.LINE_NEW),),
        cls="metal",
        data=(("from", terminal.node), ("to", lug.node)),
        title=f"{lug.owner} is fitted on {terminal.node}",
    )


def _route(laid: Laid, keys: Keys, corner: Point) -> tuple[Point, ...]:
    route = laid.placement.routes[link_id(*keys)]
    return tuple((x + corner[0], y + corner[1]) for x, y in route)


def _spots(
    laid: Laid, keys: Keys, run: tuple[Point, ...], corner: Point, width: float
) -> tuple[LabelSpot, ...]:
    """Where the label of a wire stands: near its first pin, on a long run near the other too."""
    strips = laid.placement.labels[link_id(*keys)]
    chosen = strips[:1] if run_length(run) < _LONG_RUN_MM else strips[:2]
    spots = []
    for strip in chosen:
        left, right = strip.x + corner[0], strip.x + strip.width + corner[0]
        from_left = min(abs(end[0] - left) for end in (run[0], run[-1]))
        from_right = min(abs(end[0] - right) for end in (run[0], run[-1]))
        free = min(_LABEL_FREE_MM / 2, max(0.0, (strip.width - width) / 2))
        x = left + free if from_left <= from_right else right - free - width
        spots.append(LabelSpot(x, strip.y + corner[1] - _LABEL_RISE_MM))
    return tuple(spots)


def run_length(run: tuple[Point, ...]) -> float:
    """Return the length of a run of level and upright strokes, mm."""
    return sum(abs(bx - ax) + abs(by - ay) for (ax, ay), (bx, by) in pairwise(run))
