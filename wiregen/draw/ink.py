"""A sheet as the drawing operators of a PDF page."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

from wiregen.draw.number import number
from wiregen.sheet.items import Arc, Circle, Group, Item, Path, Pen, Point, Rect, Sheet, Text
from wiregen.sheet.metrics import printable, text_width_mm
from wiregen.sheet.style import PAPER

POINTS_PER_MM = 72 / 25.4
FONTS = ("R", "B")
"""Names the page knows the regular and the bold font by."""

_CAPS = {"butt": 0, "round": 1}
_PAINT = {(True, True): "B", (True, False): "S", (False, True): "f", (False, False): "n"}
"""With a line or without, filled or not -> operator."""


class Ink:
    """What is drawn on one page, operator by operator, in millimetres with y down.

    Args:
        used: the characters used so far, regular and bold; those of this page are added.
    """

    def __init__(self, used: tuple[set[str], set[str]]) -> None:
        self._used = used
        self._words: tuple[set[str], set[str]] = set(), set()
        self._out: list[str] = []
        self._pens: dict[Pen, str] = {}
        self._pen = self._fill = ""

    def content(self, sheet: Sheet) -> bytes:
        """Return the operators of a sheet, back to front."""
        scale = f"{POINTS_PER_MM:.5f}"
        height = f"{sheet.height * POINTS_PER_MM:.3f}"
        self._out = [f"{scale} 0 0 -{scale} 0 {height} cm", "1 j"]
        self._pen = self._fill = ""
        self._rect(Rect(0, 0, sheet.width, sheet.height, Pen(fill=PAPER)))
        self._draw(sheet.items)
        for characters, words in zip(self._used, self._words, strict=True):
            characters.update(*words)
            words.clear()
        return "\n".join(self._out).encode("ascii")

    def _draw(self, items: Iterable[Item]) -> None:
        for item in items:
            match item:
                case Group():
                    self._draw(item.items)
                case Text():
                    self._text(item)
                case Path():
                    self._path(item)
                case Rect():
                    self._rect(item)
                case Circle():
                    curves = _curves(item.centre, item.radius, 0, 360)
                    self._paint(curves, item.pen, closed=True)
                case Arc():
                    curves = _curves(item.centre, item.radius, item.start, item.end)
                    self._paint(curves, item.pen)

    def _path(self, path: Path) -> None:
        (x, y), *rest = path.points
        strokes = [f"{number(x)} {number(y)} m"]
        strokes += [f"{number(x)} {number(y)} l" for x, y in rest]
        self._paint(strokes, path.pen, path.closed)

    def _rect(self, rect: Rect) -> None:
        x, y, width, height = rect.x, rect.y, rect.width, rect.height
        corner = min(rect.corner, width / 2, height / 2)
        if corner <= 0:
            outline = f"{number(x)} {number(y)} {number(width)} {number(height)} re"
            self._paint([outline], rect.pen)
            return
        strokes = [f"{number(x + corner)} {number(y)} m"]
        for turn, cx, cy in (
            (270, x + width - corner, y + corner),
            (0, x + width - corner, y + height - corner),
            (90, x + corner, y + height - corner),
            (180, x + corner, y + corner),
        ):
            begin, curve = _curves((cx, cy), corner, turn, turn + 90)
            strokes += [begin.replace("m", "l"), curve]
        self._paint(strokes, rect.pen, closed=True)

    def _paint(self, strokes: list[str], pen: Pen, closed: bool = False) -> None:
        """Draw an outline with a pen."""
        lined = bool(pen.stroke and pen.width)
        if lined:
            self._take(pen)
        if pen.fill:
            self._dip(pen.fill)
        self._out += strokes
        if closed:
            self._out.append("h")
        self._out.append(_PAINT[lined, bool(pen.fill)])

    def _take(self, pen: Pen) -> None:
        """Set colour, width, dashes and ends of lines, where they differ from the last."""
        wanted = self._pens.get(pen) or self._pens.setdefault(pen, _line(pen))
        if wanted != self._pen:
            self._pen = wanted
            self._out.append(wanted)

    def _dip(self, colour: str) -> None:
        """Set the colour of areas and text, where it differs from the last."""
        if colour != self._fill:
            self._fill = colour
            self._out.append(f"{_colour(colour)} rg")

    def _text(self, text: Text) -> None:
        parts = [(printable(words), bold, colour) for words, bold, colour in text.parts]
        back = 0.0
        if text.anchor != "start":
            width = sum(text_width_mm(words, text.size, bold) for words, bold, _ in parts)
            back = width if text.anchor == "end" else width / 2
        if text.upright:
            place = f"0 -1 -1 0 {number(text.x)} {number(text.y + back)} Tm"
        else:
            place = f"1 0 0 -1 {number(text.x - back)} {number(text.y)} Tm"
        self._out.append(f"BT {place}")
        for words, bold, colour in parts:
            self._dip(colour)
            self._words[bold].add(words)
            self._out.append(f"/{FONTS[bold]} {number(text.size)} Tf <{_code(words)}> Tj")
        self._out.append("ET")


@lru_cache(maxsize=1 << 14)
def _code(words: str) -> str:
    return words.encode("utf-16-be").hex()


def _line(pen: Pen) -> str:
    """Colour, width, dashes and ends of lines."""
    dash = " ".join(map(number, pen.dash))
    return f"{_colour(pen.stroke)} RG {number(pen.width)} w [{dash}] 0 d {_CAPS[pen.cap]} J"


def _curves(centre: Point, radius: float, start: float, end: float) -> list[str]:
    """A part of a circle as curves of a quarter at most; degrees clockwise from three o'clock."""
    share, (begin, *turns) = _turns(start, end)
    reach = share * radius
    cos, sin = begin
    x, y = centre[0] + radius * cos, centre[1] + radius * sin
    out = [f"{number(x)} {number(y)} m"]
    for next_cos, next_sin in turns:
        nx, ny = centre[0] + radius * next_cos, centre[1] + radius * next_sin
        out.append(
            f"{number(x - reach * sin)} {number(y + reach * cos)} "
            f"{number(nx + reach * next_sin)} {number(ny - reach * next_cos)} "
            f"{number(nx)} {number(ny)} c"
        )
        cos, sin, x, y = next_cos, next_sin, nx, ny
    return out


@lru_cache(maxsize=1 << 12)
def _turns(start: float, end: float) -> tuple[float, tuple[Point, ...]]:
    """Cosine and sine where the curves of a part of a circle meet, and the reach of their ends.

    Returns:
        The reach as a share of the radius, then the cosine and sine of each meeting.
    """
    pieces = max(1, math.ceil(abs(end - start) / 90 - 1e-9))
    step = math.radians((end - start) / pieces)
    angle = math.radians(start)
    meetings = [(math.cos(angle), math.sin(angle))]
    for _ in range(pieces):
        angle += step
        meetings.append((math.cos(angle), math.sin(angle)))
    return 4 / 3 * math.tan(step / 4), tuple(meetings)


@lru_cache(maxsize=1 << 10)
def _colour(colour: str) -> str:
    """A colour `#rrggbb` as shares of red, green and blue."""
    return " ".join(f"{int(colour[at : at + 2], 16) / 255:.3f}" for at in (1, 3, 5))
