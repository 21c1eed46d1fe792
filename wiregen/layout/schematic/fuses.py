"""Fuses by themselves, and fuse boxes with their bars (mm)."""

from __future__ import annotations

from collections.abc import Sequence

from wiregen.layout.kept import KeptSize
from wiregen.layout.schematic.bare import level_block, upright_block
from wiregen.layout.schematic.block import NOTE_MM, Block, Part, Port, body, line, stamp, words
from wiregen.layout.schematic.ends import WireEnd
from wiregen.layout.schematic.heads import head, up_to_grid
from wiregen.layout.schematic.held import held_top, held_width
from wiregen.layout.schematic.scene import Scene
from wiregen.layout.schematic.sides import two_ended, upright_order
from wiregen.layout.schematic.small import stud
from wiregen.layout.schematic.variants import variant_note
from wiregen.model import Box, Fuse
from wiregen.sheet import style
from wiregen.sheet.items import Item, Pen, Rect
from wiregen.sheet.metrics import fit, text_width_mm
from wiregen.sheet.moves import shifted
from wiregen.sheet.symbols import placed, symbol

_EDGE_MM = 3.5
_BAR_X = 13.0
_FUSE_X = 17.0
_TITLE_MM = 28.0
_SYMBOLS = {"link": "fusible link", "breaker": "breaker"}


def fuse_symbol(fuse: Fuse) -> str:
    """Return the symbol of a fuse, fusible link or breaker."""
    return _SYMBOLS.get(fuse.style, "fuse")


def rating_text(fuse: Fuse) -> str:
    """Return the rating as printed, `10 A`; says so when it is missing."""
    return f"{fuse.rating_a:g} A" if fuse.rating_a is not None else "A?"


def fuse_block(scene: Scene, fuse: Fuse) -> Block:
    """Return a fuse that sits in no box: what feeds it is written below."""
    fed = fuse.fitted_on.text if fuse.fitted_on else ""
    drawn = any(end.wire in scene.fitted for end in scene.at.get(f"{fuse.id}:in", ()))
    feed, output = ((node, scene.at.get(node, ())) for node in (f"{fuse.id}:in", f"{fuse.id}:out"))
    notes = (
        rating_text(fuse),
        fuse.title,
        f"on {fed}" if fed and not drawn else "",
        variant_note(scene.design, fuse.id),
    )
    side, turned = None, False
    if feed[1] and output[1]:
        side, turned = two_ended(scene, feed[0], output[0])
    if side:
        upper, lower = upright_order(scene, feed[0], output[0])
        return upright_block(
            scene, fuse.id, fuse_symbol(fuse), "fuse", upper=(upper, scene.at[upper]),
            lower=(lower, scene.at[lower]), side=side, notes=notes, turned=upper != feed[0],
        )  # fmt: skip
    return level_block(
        scene,
        fuse.id,
        fuse_symbol(fuse),
        "fuse",
        west=output if turned else feed,
        east=feed if turned else output,
        notes=notes,
    )


def box_block(scene: Scene, box: Box) -> Block:
    """Return a fuse box: each bar with its feed at the left and its fuses to the right."""
    step = scene.row_mm
    groups: list[tuple[str, Sequence[WireEnd], list[str]]] = [
        (bar, _feeds(scene, box, bar, fuses), [f for f in fuses if scene.at.get(f"{f}:out")])
        for bar, fuses in _own_bars(scene, box).items()
    ]
    groups += [(point, ends, []) for point, ends in _misnamed(scene, box).items()]
    groups = [group for group in groups if group[1] or group[2]]
    names = [_fuse_title(scene, f) for _, _, fuses in groups for f in fuses]
    title_mm = min(max((text_width_mm(n, NOTE_MM) for n in names), default=0), _TITLE_MM)
    width = held_width(scene, box.id, _FUSE_X + 15.0 + 13.0 + title_mm + 4.0)
    notes = (box.where or scene.loom_title(box.loom), variant_note(scene.design, box.id))
    title = head(box.id, box.title, (" · ".join(note for note in notes if note),), width)
    y = held_top(scene, box.id, up_to_grid(title.height + _EDGE_MM + 2.0, step))
    size = KeptSize(width, 0.0, y)
    top = y - _EDGE_MM - 2.0
    box_items: list[Item] = [shifted(item, 0.0, top) for item in title.items]
    inner: list[Item] = []
    box_ports: list[Port] = []
    parts: list[Part] = []
    for bar, feeds, fuses in groups:
        at = y
        for fuse_id in fuses:
            parts.append(_fuse_row(scene, fuse_id, at, width))
            at += step * len(scene.at[f"{fuse_id}:out"])
        last = parts[-1].ports[0].y if fuses else y
        inner.extend(_bar(bar, y, max(last, y + (len(feeds) - 1) * step)))
        for index, end in enumerate(feeds):
            feed_y = y + index * step
            inner.append(line((0.0, feed_y), (_BAR_X, feed_y)))
            box_ports.append(Port(end.node, 0.0, feed_y, "W", end.key, (stud(0.0, feed_y),)))
        y += step + max(at - y, step * max(1, len(feeds)))
    bottom = y - 2 * step + _EDGE_MM
    box_items.append(body(0.0, top, width, bottom - top, new=scene.is_new(box.loom)))
    own = Part("box", (("box", box.id),), (*box_items, *inner), tuple(box_ports), box.title)
    flow = scene.flow.at(box.id)
    return Block(box.id, width, bottom, (own, *parts), flow, ((box.id, size),))


def _own_bars(scene: Scene, box: Box) -> dict[str, list[str]]:
    """Return bar -> fuses on it, each fuse once and in one box, whatever else names it."""
    home: dict[str, str] = {}
    for bar, fuses in box.bars.items():
        for fuse in fuses:
            if scene.ends.block_of.get(fuse, box.id) == box.id:
                home.setdefault(fuse, bar)
    return {bar: [fuse for fuse, at in home.items() if at == bar] for bar in box.bars}


def _misnamed(scene: Scene, box: Box) -> dict[str, tuple[WireEnd, ...]]:
    """Return the points of a box, or of fuses in it, that wires name and it does not have."""
    known = {box.id, *(f"{box.id}:{bar}" for bar in box.bars)}
    known |= {
        f"{fuse}:{end}" for fuses in box.bars.values() for fuse in fuses for end in ("in", "out")
    }
    return {
        node.removeprefix(f"{box.id}:"): ends
        for node, ends in scene.at.items()
        if node not in known and any(end.block == box.id for end in ends)
    }


def _feeds(scene: Scene, box: Box, bar: str, fuses: Sequence[str]) -> list[WireEnd]:
    nodes = [f"{box.id}:{bar}", *(f"{fuse}:in" for fuse in fuses)]
    if bar == next(iter(box.bars)):  # a wire that names no bar
        nodes.append(box.id)
    return [end for node in nodes for end in scene.at.get(node, ())]


def _bar(name: str, first: float, last: float) -> list[Item]:
    bar = Rect(_BAR_X - 0.6, first - 1.6, 1.2, last - first + 3.2, Pen(fill=style.INK), 0.6)
    label = fit(name, 10.0, style.TEXT_PIN_NUMBER, bold=True)
    return [
        bar,
        words(_BAR_X, first - 2.2, label, style.TEXT_PIN_NUMBER, bold=True, anchor="middle"),
    ]


def _fuse_title(scene: Scene, fuse_id: str) -> str:
    """Return the title of a fuse and its variants."""
    fuse = scene.design.fuses.get(fuse_id)
    if fuse is None:
        return "not in the design"
    return f"{fuse.title} {variant_note(scene.design, fuse_id)}".strip()


def _fuse_row(scene: Scene, fuse_id: str, y: float, width: float) -> Part:
    """One fuse between its bar and the right edge, with number, rating and what it feeds."""
    fuse = scene.design.fuses.get(fuse_id)
    ends = scene.at.get(f"{fuse_id}:out", ())
    shape = symbol(fuse_symbol(fuse) if fuse else "fuse")
    drawn = placed(shape, _BAR_X + 1.0, y, at=shape.anchors[0][0])
    right = _BAR_X + 16.0
    base = y - 0.9
    title = fit(_fuse_title(scene, fuse_id), _TITLE_MM, NOTE_MM)
    name = fit(fuse_id, 12.0, style.TEXT_PIN, bold=True)
    name_mm = text_width_mm(name, style.TEXT_PIN, bold=True)
    rating = rating_text(fuse) if fuse else ""
    rating_x = right + 1.0 + name_mm + 1.0
    items: list[Item] = [
        Rect(_BAR_X + 4.5, y - 1.5, 8.0, 3.0, Pen(), cls="body"),
        stamp(drawn),
        line((right, y), (width, y)),
        words(right + 1.0, base, name, style.TEXT_PIN, bold=True),
        words(rating_x, base, rating, style.TEXT_PIN),
        words(
            rating_x + text_width_mm(rating, style.TEXT_PIN) + 1.5,
            base,
            title,
            NOTE_MM,
            colour=style.SECONDARY,
        ),
    ]
    ports = [Port(f"{fuse_id}:in", _BAR_X, y, "W")]
    for index, end in enumerate(ends):
        at = y + index * scene.row_mm
        ports.append(Port(f"{fuse_id}:out", width, at, "E", end.key, (stud(width, at),)))
    if len(ends) > 1:
        items.append(line((width, y), (width, ports[-1].y), width=style.LINE_HEAVY))
    return Part("fuse", (("fuse", fuse_id),), tuple(items), tuple(ports), title)
