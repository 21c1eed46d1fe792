"""One cavity of a face: opening, colour with tracers, number on a white disc, code below."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from wiregen.layout.cavity_facts import CavityFacts
from wiregen.sheet import style
from wiregen.sheet.items import Circle, Group, Item, Path, Pen, Point, Rect, Text
from wiregen.sheet.metrics import shrink, text_width_mm

SMALLEST_TEXT = 1.8
CODE_LINE = 1.2
"""Distance of two code lines, in text sizes."""
_CAPITAL = 0.73
"""Height of capitals and figures, in text sizes."""
_SIDES = 40
_BAND = 0.3
"""Half width of a tracer band, as a share of the radius."""
_MONO_TRACERS = ("#aab1b9", "#d7dbe0")
_UNUSED = {
    "empty": Pen(style.SECONDARY, 0.25, style.PAPER, (0.9, 0.7)),
    "blocked": Pen(style.SECONDARY, 0.3, style.HAIRLINE),
    "reserved": Pen(style.SECONDARY, 0.25, style.PAPER),
    "unknown": Pen(style.ATTENTION, 0.3, style.PAPER, (0.25, 0.75)),
}
"""Outline and fill of cavities without a wire, distinct in black and white too."""
_SCREEN_DASH = (0.7, 0.4)
"""Of the ring in a cavity that holds bare metal and no wire: not to be taken for a white wire."""
_SLOT = 0.62
"""Width of a blade's slot, as a share of its length."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where and how large a cavity stands on the sheet.

    Attributes:
        x: centre, mm.
        y: centre, mm.
        radius: of the opening, mm.
        number_size: text size of its name, mm.
        code_size: text size of the code below, mm.
        codes: lines below; empty where there is no room and the table says it.
        blade_angle_deg: 0 across, 90 upright, None round.
        corner: -1 or 1 marks the first cavity at its upper left or right; 0 for the others.
    """

    x: float
    y: float
    radius: float
    number_size: float
    code_size: float
    codes: tuple[str, ...]
    blade_angle_deg: float | None = None
    corner: int = 0


def cavity_group(facts: CavityFacts, spot: Spot, mono: bool = False) -> Group:
    """Return one cavity as readers of the SVG know it: class `cavity`, its pin, place and state."""
    items: list[Item] = list(_opening(facts, spot, mono))
    items.extend(_number(facts, spot))
    items.extend(_codes(facts, spot))
    if spot.corner:
        items.append(_corner(spot))
    state = "empty" if facts.state in ("reserved", "unknown") else facts.state
    words = " ".join(part for part in (*facts.colours, *facts.sizes) if part)
    return Group(
        tuple(items),
        cls="cavity",
        data=(
            ("pin", facts.node),
            ("x", f"{spot.x:.2f}"),
            ("y", f"{spot.y:.2f}"),
            ("state", state),
        ),
        title=": ".join(part for part in (facts.node, facts.carries, words) if part),
    )


def _opening(facts: CavityFacts, spot: Spot, mono: bool) -> Iterator[Item]:
    if facts.state == "used":
        yield from _fill(facts, spot, mono)
        if facts.bare and not facts.colours:
            inner = replace(spot, radius=spot.radius * 0.8)
            yield _opened(inner, Pen(style.INK, 0.2, dash=_SCREEN_DASH))
        return
    yield _opened(spot, _UNUSED[facts.state])
    if facts.state == "blocked":
        reach = spot.radius * math.sqrt(0.5)
        bar = ((spot.x - reach, spot.y - reach), (spot.x + reach, spot.y + reach))
        yield Path(bar, Pen(style.SECONDARY, 0.4))
    if facts.state == "reserved":
        inner = replace(spot, radius=spot.radius * 0.8)
        yield _opened(inner, Pen(style.SECONDARY, 0.25))


def _fill(facts: CavityFacts, spot: Spot, mono: bool) -> Iterator[Item]:
    """Colours of the wires in the contact, each a sector when there are several."""
    fills = [_paints(code, mono) for code in facts.colours] or [(style.PAPER,)]
    if len(fills) == 1:
        base, *tracers = fills[0]
        yield _opened(spot, Pen(fill=base))
        for paint, (low, high) in zip(tracers, _bands(len(tracers)), strict=True):
            band = _between(_outline(spot), spot, low * spot.radius, high * spot.radius)
            if band:
                yield Path(band, Pen(fill=paint), closed=True, cls="tracer")
    else:
        yield from _sectors(_outline(spot), spot, fills)
    yield _opened(spot, Pen(style.INK, 0.45))


def _paints(code: str, mono: bool) -> tuple[str, ...]:
    """Base and tracers; without colours the tracers are greys and the code says the rest."""
    paints = style.paints(code)
    return (style.PAPER, *_MONO_TRACERS[: len(paints) - 1]) if mono else paints


def _bands(count: int) -> tuple[tuple[float, float], ...]:
    """Lower and upper edge of each tracer band, in radii from the middle."""
    if count <= 1:
        return ((-_BAND, _BAND),)[:count]
    step = 1.5 / count
    return tuple((-0.75 + step * (n + 0.12), -0.75 + step * (n + 0.88)) for n in range(count))


def _opened(spot: Spot, pen: Pen) -> Item:
    """The opening: round, or a slot for a blade."""
    if spot.blade_angle_deg is None:
        return Circle((spot.x, spot.y), spot.radius, pen)
    return Path(_outline(spot), pen, closed=True)


def _outline(spot: Spot) -> tuple[Point, ...]:
    """The opening as a polygon: round, or a slot for a blade that lies across or stands."""
    if spot.blade_angle_deg is None:
        turns = [2 * math.pi * n / _SIDES for n in range(_SIDES)]
        return tuple(
            (spot.x + spot.radius * math.cos(a), spot.y + spot.radius * math.sin(a)) for a in turns
        )
    angle = math.radians(spot.blade_angle_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    long, short = spot.radius, spot.radius * _SLOT
    corners = ((-long, -short), (long, -short), (long, short), (-long, short))
    return tuple((spot.x + x * cos - y * sin, spot.y + x * sin + y * cos) for x, y in corners)


def _between(outline: Sequence[Point], spot: Spot, low: float, high: float) -> tuple[Point, ...]:
    """The part of the opening between two lines that rise to the right."""
    share = math.sqrt(0.5)

    def offset(point: Point) -> float:
        return ((point[0] - spot.x) + (point[1] - spot.y)) * share

    part = _clipped(outline, [offset(p) - low for p in outline])
    return _clipped(part, [high - offset(p) for p in part])


def _sectors(
    outline: Sequence[Point], spot: Spot, fills: Sequence[tuple[str, ...]]
) -> Iterator[Path]:
    """One sector a wire, the first from the top to the left; tracers lie within their sector."""
    step = 360.0 / len(fills)
    for number, (base, *tracers) in enumerate(fills):
        begin = 270.0 - step * (number + 1)
        yield Path(_sector(outline, spot, begin, begin + step), Pen(fill=base), closed=True)
        for place, paint in enumerate(tracers):
            width = step * 0.4 / len(tracers)
            low = begin + step * 0.3 + width * place
            part = _sector(outline, spot, low, low + width)
            yield Path(part, Pen(fill=paint), closed=True, cls="tracer")
    for number in range(len(fills)):
        angle = math.radians(270.0 - step * number)
        edge = (spot.x + spot.radius * math.cos(angle), spot.y + spot.radius * math.sin(angle))
        yield Path(((spot.x, spot.y), edge), Pen(style.INK, 0.3))


def _sector(outline: Sequence[Point], spot: Spot, begin: float, end: float) -> tuple[Point, ...]:
    """The part of the opening between two rays at most half a turn apart (degrees)."""

    def left_of(degrees: float, points: Sequence[Point]) -> list[float]:
        cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        return [(y - spot.y) * cos - (x - spot.x) * sin for x, y in points]

    part = _clipped(outline, left_of(begin, outline))
    return _clipped(part, [-side for side in left_of(end, part)])


def _clipped(points: Sequence[Point], inside: Sequence[float]) -> tuple[Point, ...]:
    """Cut a convex outline where the signed distances `inside` turn negative."""
    kept: list[Point] = []
    for here, (point, side) in enumerate(zip(points, inside, strict=True)):
        before, other = points[here - 1], inside[here - 1]
        if (side >= 0) != (other >= 0):
            share = other / (other - side)
            kept.append(
                (
                    before[0] + (point[0] - before[0]) * share,
                    before[1] + (point[1] - before[1]) * share,
                )
            )
        if side >= 0:
            kept.append(point)
    return tuple(kept)


def number_size_mm(name: str, spot: Spot) -> tuple[float, float]:
    """Return the printed width and height of a cavity's name."""
    name, size = _printed(name, spot)
    return text_width_mm(name, size, bold=True), size * _CAPITAL


def _printed(name: str, spot: Spot) -> tuple[str, float]:
    """Return the name as it fits into the opening, and its size, mm."""
    return shrink(name, spot.radius * 1.9, spot.number_size, SMALLEST_TEXT, bold=True)


def _number(facts: CavityFacts, spot: Spot) -> Iterator[Item]:
    name, size = _printed(facts.name, spot)
    width = text_width_mm(name, size, bold=True)
    if facts.state == "used":
        high = size * 1.3
        wide = max(high, width + size * 0.4)
        corner = high / 2
        plate = Pen(style.INK, 0.2, style.PAPER)
        yield Rect(spot.x - wide / 2, spot.y - high / 2, wide, high, plate, corner)
    colour = style.INK if facts.state in ("used", "blocked") else style.SECONDARY
    yield Text(spot.x, spot.y + size * 0.36, ((name, True, colour),), size, "middle", cls="number")


def _codes(facts: CavityFacts, spot: Spot) -> Iterator[Text]:
    colour = {"used": style.INK, "unknown": style.ATTENTION}.get(facts.state, style.SECONDARY)
    reach = spot.radius * (_SLOT if spot.blade_angle_deg == 0 else 1.0)
    for line, code in enumerate(spot.codes):
        y = spot.y + reach + spot.code_size * (1.15 + CODE_LINE * line)
        yield Text(spot.x, y, ((code, False, colour),), spot.code_size, "middle", cls="code")


def _corner(spot: Spot) -> Path:
    """The mark of the first cavity: a corner in the free space beside the opening."""
    reach = spot.radius * (1.0 if spot.blade_angle_deg is None else 1.15)
    x, y = spot.x + spot.corner * reach, spot.y - reach
    arm = spot.radius * 0.36
    points = ((x, y + arm), (x, y), (x - spot.corner * arm, y))
    return Path(points, Pen(style.INK, 0.45), cls="first")
