"""Drawing lint: what a careful reader would find wrong with a finished schematic sheet (mm).

Works on the display list alone, so that it sees what is really drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from wiregen.layout.lint_view import Ink, Stroke, View, overlap, view_of
from wiregen.sheet.items import Sheet

LEAST_TEXT_MM = 1.8
LEAST_GAP_MM = 2.0
_EPS = 0.02


@dataclass(frozen=True, slots=True)
class Flaw:
    """One thing that is wrong on a sheet.

    Attributes:
        kind: `overlap`, `touch`, `wire through box`, `wire through text`, `line through text`,
            `text over text`, `box over box`, `symbol over edge`, `ring over text`,
            `ring over wire`, `ring over mark`, `ring over ring`, `loose end`, `slanted`,
            `narrow gap`, `no label`, `small text`, `outside frame`, `outside page`,
            `dangling reference`.
        what: the objects, best known first.
        x: place, mm.
        y: place, mm.
    """

    kind: str
    what: tuple[str, ...]
    x: float
    y: float

    def __str__(self) -> str:
        return f"{self.kind}: {', '.join(self.what)} at ({self.x:.1f}, {self.y:.1f})"


@dataclass(frozen=True, slots=True)
class Lint:
    """All measures of one sheet.

    Attributes:
        sheet: its name.
        wires: number of wires on it.
        crossings: places where two wires cross.
        bends: corners of all wires.
        flaws: everything that is wrong; a good sheet has none.
    """

    sheet: str
    wires: int
    crossings: int
    bends: int
    flaws: tuple[Flaw, ...]


def lint(sheet: Sheet) -> Lint:
    """Measure a sheet.

    Args:
        sheet: any finished sheet; sheets without wires are measured for their texts only.
    """
    view = view_of(sheet)
    crossings, wire_flaws = _wire_against_wire(view)
    flaws = [
        *wire_flaws,
        *_wire_against_body(view),
        *_through_text(view),
        *_text_over_text(view),
        *_body_over_body(view),
        *_symbol_over_edge(view),
        *_rings(view),
        *_ends(view),
        *_slanted(view),
        *_labels(view),
        *_small(view),
        *_outside(view),
    ]
    bends = sum(max(0, len(run.points) - 2) for run in view.runs)
    return Lint(sheet.name, len({run.wire for run in view.runs}), crossings, bends, tuple(flaws))


def _wire_against_wire(view: View) -> tuple[int, list[Flaw]]:
    """Count crossings; find shared strokes, touches and lanes too close to each other."""
    crossings = 0
    flaws: list[Flaw] = []
    for one, other in view.strokes.close_pairs(LEAST_GAP_MM):
        if one.wire == other.wire:
            continue
        if one.level == other.level:
            flaws.extend(_parallel(one, other))
            continue
        level, upright = (one, other) if one.level else (other, one)
        if not (
            level.left - _EPS <= upright.left <= level.right + _EPS
            and upright.top - _EPS <= level.top <= upright.bottom + _EPS
        ):
            continue
        inner = (
            level.left + _EPS < upright.left < level.right - _EPS
            and upright.top + _EPS < level.top < upright.bottom - _EPS
        )
        if inner:
            crossings += 1
        else:
            what = (one.wire, other.wire)
            flaws.append(Flaw("touch", what, upright.left, level.top))
    return crossings, flaws


def _parallel(one: Stroke, other: Stroke) -> Iterator[Flaw]:
    """Two parallel strokes: on one line, or beside each other with too small a gap."""
    if one.level:
        apart = abs(one.top - other.top)
        shared = min(one.right, other.right) - max(one.left, other.left)
    else:
        apart = abs(one.left - other.left)
        shared = min(one.bottom, other.bottom) - max(one.top, other.top)
    x, y = max(one.left, other.left), max(one.top, other.top)
    if apart < _EPS and shared > -_EPS:
        yield Flaw("overlap" if shared > _EPS else "touch", (one.wire, other.wire), x, y)
    elif apart < LEAST_GAP_MM - _EPS and shared > _EPS:
        yield Flaw("narrow gap", (one.wire, other.wire), x, y)


def _wire_against_body(view: View) -> Iterator[Flaw]:
    for stroke in view.strokes.items:
        for box in view.bodies.near(stroke):
            if overlap(stroke, box, 0.1):
                yield Flaw("wire through box", (stroke.wire, box.name), stroke.left, stroke.top)


def _through_text(view: View) -> Iterator[Flaw]:
    """Wires, with their printed width, and other lines that run through a text."""
    for label in view.texts.items:
        for stroke in view.strokes.near(label):
            if overlap(stroke.grown(stroke.width / 2), label, 0.05):
                yield Flaw("wire through text", (stroke.wire, label.text), label.left, label.top)
        if any(_holds(plate, label) for plate in view.plates.near(label)):
            continue
        for line in (*view.lines.near(label), *view.edges.near(label)):
            if overlap(line, label, 0.15):
                yield Flaw("line through text", (label.text,), label.left, label.top)


def _text_over_text(view: View) -> Iterator[Flaw]:
    for one, other in view.texts.close_pairs(0.0):
        if overlap(one, other, 0.1):
            yield Flaw("text over text", (one.text, other.text), other.left, other.top)


def _body_over_body(view: View) -> Iterator[Flaw]:
    """Bodies that overlap without one lying wholly in the other."""
    for one, other in view.bodies.close_pairs(0.0):
        if overlap(one, other, 0.1) and not (_holds(one, other) or _holds(other, one)):
            yield Flaw("box over box", (one.name, other.name), other.left, other.top)


def _symbol_over_edge(view: View) -> Iterator[Flaw]:
    """Symbols that stick out of the box of their thing."""
    for sign in view.symbols:
        for box in view.boxes.near(sign):
            if box.name == sign.name and overlap(box, sign) and not _holds(box, sign):
                yield Flaw("symbol over edge", (sign.name,), sign.left, sign.top)


def _rings(view: View) -> Iterator[Flaw]:
    """Rings of findings that hide a text, a wire, a mark of the drawing or another ring."""
    for ring in view.rings.items:
        for label in view.texts.near(ring):
            if _covers(ring, label) and not _holds(ring, label):
                yield Flaw("ring over text", (ring.name, label.text), ring.left, ring.top)
        for stroke in view.strokes.near(ring):
            if _covers(ring, stroke.grown(stroke.width / 2)):
                yield Flaw("ring over wire", (ring.name, stroke.wire), ring.left, ring.top)
        for plate in view.plates.near(ring):
            if plate.name and _covers(ring, plate):
                yield Flaw("ring over mark", (ring.name, plate.name), ring.left, ring.top)
    for one, other in view.rings.close_pairs(0.0):
        if overlap(one, other, 0.1):
            yield Flaw("ring over ring", (one.name, other.name), other.left, other.top)


def _covers(ring: Ink, ink: Ink) -> bool:
    """Whether a round thing lies over a rectangle by more than 0.1 mm."""
    x, y = (ring.left + ring.right) / 2, (ring.top + ring.bottom) / 2
    across = max(ink.left - x, x - ink.right, 0.0)
    down = max(ink.top - y, y - ink.bottom, 0.0)
    return across**2 + down**2 < ((ring.right - ring.left) / 2 - 0.1) ** 2


def _holds(outer: Ink, inner: Ink) -> bool:
    by = 0.1
    return (
        outer.left <= inner.left + by
        and outer.right >= inner.right - by
        and outer.top <= inner.top + by
        and outer.bottom >= inner.bottom - by
    )


def _ends(view: View) -> Iterator[Flaw]:
    """Wire ends that lie on no pin, no reference and no end mark of their own."""
    for run in view.runs:
        for point, node in zip((run.points[0], run.points[-1]), run.nodes, strict=True):
            if run.wire in view.stops_at(point):
                continue
            pins = view.pins_at(point)
            if not pins or (node and node not in pins):
                yield Flaw("loose end", (run.wire, node), *point)


def _slanted(view: View) -> Iterator[Flaw]:
    for run in view.runs:
        for (ax, ay), (bx, by) in pairwise(run.points):
            if abs(ax - bx) > _EPS and abs(ay - by) > _EPS:
                yield Flaw("slanted", (run.wire,), ax, ay)


def _labels(view: View) -> Iterator[Flaw]:
    labelled = {text.wire for text in view.texts.items if text.wire}
    seen: set[str] = set()
    for run in view.runs:
        if run.wire not in labelled and run.wire not in seen:
            seen.add(run.wire)
            yield Flaw("no label", (run.wire,), *run.points[0])


def _small(view: View) -> Iterator[Flaw]:
    for label in view.texts.items:
        if label.size < LEAST_TEXT_MM - 0.005:
            yield Flaw("small text", (label.text,), label.left, label.top)


def _outside(view: View) -> Iterator[Flaw]:
    """Everything that belongs to the drawing lies within the frame, all else on the page."""
    frame = view.frame
    groups: Sequence[Iterable[Ink]] = (
        view.strokes.items,
        view.bodies.items,
        (label for label in view.texts.items if label.content),
    )
    for inks in groups:
        for ink in inks:
            if not _holds(frame, ink):
                yield Flaw("outside frame", (ink.name,), ink.left, ink.top)
    for label in view.texts.items:
        if not _holds(view.page, label):
            yield Flaw("outside page", (label.text,), label.left, label.top)
