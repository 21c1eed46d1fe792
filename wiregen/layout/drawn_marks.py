"""How a change looks on a sheet: bands and dashes, signs in a ring, labels in both states (mm).

Nothing is told by colour alone: what came has a full edge and a plus, what went is dashed and
crossed, what says something else has a dotted edge and the triangle of a revision.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from wiregen.sheet import style
from wiregen.sheet.items import Circle, Group, Item, Path, Pen, Point, Rect, Text
from wiregen.sheet.metrics import text_width_mm

Kind = Literal["added", "removed", "changed"]
KINDS: tuple[Kind, ...] = ("added", "removed", "changed")

INKS: dict[Kind, str] = {"added": "#005fa8", "removed": "#b03a00", "changed": "#7a5c00"}
TINTS: dict[Kind, str] = {"added": "#d3e8fa", "removed": "#fbe3d8", "changed": "#fff1b8"}
EDGES: dict[Kind, tuple[float, ...]] = {
    "added": (),
    "removed": (2.4, 1.6),
    "changed": (0.7, 0.7),
}
FADED_LINE = "#c3c8ce"
FADED_TEXT = "#949ba3"
FADED_FILL = "#f6f7f8"

_BAND = 3.0
_EDGE = 0.35
_SIGN = 1.7
_LINE = 1.3
"""Lines of a label in both states, as a multiple of its text size."""
_PAD = 0.5


@dataclass(frozen=True, slots=True)
class Tag:
    """A label that says something else: what it said, what it says; either may be empty."""

    kind: Kind
    before: Text | None
    after: Text | None


def faded(item: Item) -> Item:
    """Return an item in pale grey: it is as it was."""
    if isinstance(item, Group):
        return replace(item, items=tuple(map(faded, item.items)))
    if isinstance(item, Text):
        return replace(item, parts=tuple((w, bold, FADED_TEXT) for w, bold, _ in item.parts))
    return replace(item, pen=_faded_pen(item.pen))


def _faded_pen(pen: Pen) -> Pen:
    stroke = FADED_LINE if pen.stroke and pen.stroke != style.PAPER else pen.stroke
    fill = FADED_FILL if pen.fill and pen.fill != style.PAPER else pen.fill
    return replace(pen, stroke=stroke, fill=fill)


def ghost(item: Item) -> Item | None:
    """Return an item as it stood there before: dashed outlines, struck texts; None when hidden."""
    ink = INKS["removed"]
    if isinstance(item, Group):
        parts = tuple(part for part in map(ghost, item.items) if part is not None)
        data = (("change", "removed"), *item.data)
        return Group(parts, f"was {item.cls}".strip(), "", data, item.title)
    if isinstance(item, Text):
        return replace(item, parts=tuple((w, bold, ink) for w, bold, _ in item.parts))
    if item.cls in ("casing", "tracer"):
        return None
    width = 0.5 if item.cls == "run" else 0.3
    return replace(item, pen=Pen(ink, width, dash=EDGES["removed"]))


def band(points: tuple[Point, ...], kind: Kind) -> Iterator[Item]:
    """Yield the tinted band along a run; its edge tells what happened."""
    cls = f"band {kind}"
    edge = Pen(INKS[kind], _BAND, dash=EDGES[kind])
    yield Path(points, edge, cls=cls)
    yield Path(points, Pen(TINTS[kind], _BAND - 2 * _EDGE), cls=cls)


def outline(box: tuple[float, float, float, float], kind: Kind, by: float = 0.9) -> Rect:
    """Return the frame around a thing."""
    left, top, right, bottom = box
    pen = Pen(INKS[kind], 0.7, dash=EDGES[kind])
    width, height = right - left + 2 * by, bottom - top + 2 * by
    return Rect(left - by, top - by, width, height, pen, corner=1.0, cls=f"band {kind}")


def tinted(box: tuple[float, float, float, float], kind: Kind, by: float = 0.9) -> Rect:
    """Return the tint under a thing."""
    left, top, right, bottom = box
    width, height = right - left + 2 * by, bottom - top + 2 * by
    pen = Pen(fill=TINTS[kind])
    return Rect(left - by, top - by, width, height, pen, corner=1.0, cls=f"band {kind}")


def sign(at: Point, kind: Kind) -> Group:
    """Return the sign of a change in a ring: plus, cross or triangle."""
    x, y = at
    pen = Pen(INKS[kind], 0.45)
    r = 0.9
    strokes: dict[Kind, tuple[tuple[Point, ...], ...]] = {
        "added": (((x - r, y), (x + r, y)), ((x, y - r), (x, y + r))),
        "removed": (((x - r, y - r), (x + r, y + r)), ((x - r, y + r), (x + r, y - r))),
        "changed": (((x - r, y + 0.65), (x, y - r), (x + r, y + 0.65), (x - r, y + 0.65)),),
    }
    ring = Circle(at, _SIGN, Pen(INKS[kind], 0.35, fill=style.PAPER))
    return Group((ring, *(Path(s, pen) for s in strokes[kind])), cls=f"sign {kind}")


def sign_on(runs: Sequence[tuple[Point, ...]]) -> Point:
    """Return the middle of the longest stroke of some runs."""
    strokes = [(a, b) for run in runs for a, b in pairwise(run)]
    (ax, ay), (bx, by) = max(strokes, key=lambda s: abs(s[0][0] - s[1][0]) + abs(s[0][1] - s[1][1]))
    return (ax + bx) / 2, (ay + by) / 2


@dataclass(frozen=True, slots=True)
class _Card:
    """A tag with its place."""

    tag: Tag
    lines: tuple[tuple[str, bool, Kind], ...]
    size: float
    x: float
    y: float
    width: float
    height: float
    upright: bool


def tags(found: Iterable[Tag], width: float, height: float) -> Iterator[Item]:
    """Yield labels that changed, both states one above the other, none on top of another.

    Args:
        found: the labels.
        width: of the page, mm.
        height: of the page, mm.
    """
    placed: list[_Card] = []
    for tag in found:
        card = _card(tag)
        x = min(max(card.x, 1.0), width - card.width - 1.0)
        card = replace(card, x=x)
        for step in range(24):
            shift = (step + 1) // 2 * (1 if step % 2 else -1) * 1.5
            moved = replace(card, y=min(max(card.y + shift, 1.0), height - card.height - 1.0))
            if not any(_touch(moved, other) for other in placed):
                card = moved
                break
        placed.append(card)
        yield _drawn(card)


def _touch(one: _Card, other: _Card) -> bool:
    return (
        one.x < other.x + other.width
        and other.x < one.x + one.width
        and one.y < other.y + other.height
        and other.y < one.y + one.height
    )


def _card(tag: Tag) -> _Card:
    """Lay a tag out where its label stands; text that runs up the sheet is turned level."""
    text = tag.after or tag.before
    assert text is not None
    size = max(text.size, style.TEXT_SMALLEST)
    lines: list[tuple[str, bool, Kind]] = []
    if tag.before is not None:
        lines.append((tag.before.plain.strip(), False, "removed"))
    if tag.after is not None:
        lines.append((tag.after.plain.strip(), True, tag.kind))
    width = max(text_width_mm(w, size, bold=bold) for w, bold, _ in lines) + 2 * _PAD + 0.6
    height = len(lines) * size * _LINE + 2 * _PAD
    left = {"start": 0.0, "middle": width / 2, "end": width}[text.anchor]
    x = text.x - (width / 2 if text.upright else left)
    y = text.y + size * 0.3 + _PAD - height
    return _Card(
        tag, tuple(lines), size, x - (_PAD if left == 0.0 else 0.0), y, width, height, False
    )


def _drawn(card: _Card) -> Group:
    kind = card.tag.kind
    edge = Pen(INKS[kind], 0.25, fill=style.PAPER, dash=EDGES[kind])
    items: list[Item] = [Rect(card.x, card.y, card.width, card.height, edge, corner=0.4)]
    for number, (words, bold, ink) in enumerate(card.lines):
        base = card.y + _PAD + (number * _LINE + 1.0) * card.size
        x = card.x + _PAD + 0.3
        items.append(Text(x, base, ((words, bold, INKS[ink]),), card.size, cls=_STATES[ink]))
        if ink == "removed":
            end = x + text_width_mm(words, card.size)
            y = base - card.size * 0.33
            items.append(Path(((x, y), (end, y)), Pen(INKS[ink], 0.25), cls="struck"))
    return Group(tuple(items), cls=f"tag {kind}")


_STATES: dict[Kind, str] = {"removed": "before", "added": "after", "changed": "after"}

STRIP = 15.0
"""Height of the strip below the page, mm."""


def strip(width: float, top: float, before: str, after: str, note: str) -> Iterator[Item]:
    """Yield the strip below a page: what the marks mean, and which two states are compared.

    Args:
        width: of the page, mm.
        top: of the strip, mm.
        before: what the old state is called.
        after: what the new state is called.
        note: a word on the whole sheet; empty for none.
    """
    x, y = 20.0, top + 3.4
    for kind in KINDS:
        run = ((x, y), (x + 14.0, y))
        if kind == "removed":
            yield Path(run, Pen(INKS[kind], 0.5, dash=EDGES[kind]), cls=f"band {kind}")
        else:
            yield from band(run, kind)
        yield sign((x + 7.0, y), kind)
        yield Text(x + 16.0, y + 0.8, ((kind, True, INKS[kind]),), style.TEXT_PIN)
        x += 19.0 + text_width_mm(kind, style.TEXT_PIN, bold=True)
    yield Path(((x, y), (x + 10.0, y)), Pen(FADED_LINE, 1.0))
    yield Text(x + 12.0, y + 0.8, (("as before", False, FADED_TEXT),), style.TEXT_PIN)
    said = (
        ("before:", False, style.SECONDARY),
        (before, True, INKS["removed"]),
        ("after:", False, style.SECONDARY),
        (after, True, INKS["added"]),
        (note, True, style.INK),
    )
    wide = sum(text_width_mm(w, style.TEXT_PIN, bold=bold) for w, bold, _ in said)
    size = style.TEXT_PIN * min(1.0, (width - 45.0) / wide)
    x = 20.0
    for part in said:
        yield Text(x, y + 6.6, (part,), size, cls="state")
        x += text_width_mm(part[0], size, bold=part[1]) + (2.0 if not part[1] else 6.0)
