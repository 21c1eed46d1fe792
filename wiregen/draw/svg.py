"""A sheet as SVG text: one element a line, attributes in fixed order, two decimals at most."""

from __future__ import annotations

import math
import re
from functools import lru_cache
from html import escape

from wiregen.draw.number import number
from wiregen.sheet.items import Arc, Circle, Group, Item, Path, Pen, Point, Rect, Sheet, Text
from wiregen.sheet.metrics import legal, tidy
from wiregen.sheet.style import FONT_FAMILIES, PAPER

_NOT_IN_ID = re.compile(r"[^A-Za-z0-9_.-]")


def to_svg(sheet: Sheet) -> str:
    """Return the sheet as an SVG document in millimetres, ending with a line break.

    Args:
        sheet: the page; `items` are drawn back to front.

    Returns:
        XML that holds no script, no date and no reference to anything outside.
    """
    width, height = number(sheet.width), number(sheet.height)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" font-family="{escape(FONT_FAMILIES)}" '
        'stroke-linejoin="round">',
        f"<title>{escape(legal(sheet.title))}</title>",
        f'<rect width="{width}" height="{height}" fill="{PAPER}"/>',
    ]
    for item in sheet.items:
        _add(item, lines)
    lines.append("</svg>\n")
    return "\n".join(lines)


def _add(item: Item, lines: list[str]) -> None:
    """Append the lines of one item."""
    match item:
        case Path():
            lines.append(_path(item))
        case Text():
            lines.append(_text(item))
        case Rect():
            lines.append(_rect(item))
        case Circle():
            lines.append(_circle(item))
        case Arc():
            lines.append(_arc(item))
        case Group():
            _add_group(item, lines)


def _add_group(group: Group, lines: list[str]) -> None:
    ident = f' id="{_NOT_IN_ID.sub("_", group.id)}"' if group.id else ""
    lines.append(f"<g{_class(group.cls)}{ident}{_data(group.data)}>")
    if group.title:
        lines.append(f"<title>{escape(legal(group.title))}</title>")
    for item in group.items:
        _add(item, lines)
    lines.append("</g>")


def _path(path: Path) -> str:
    return f'<path{_class(path.cls)}{_data(path.data)} d="{_strokes(path)}"{_pen(path.pen)}/>'


def _strokes(path: Path) -> str:
    """Path commands of straight strokes; upright and level ones as V and H."""
    points = [(number(x), number(y)) for x, y in path.points]
    x, y = points[0]
    out = [f"M{x} {y}"]
    for nx, ny in points[1:]:
        if ny == y and nx != x:
            out.append(f"H{nx}")
        elif nx == x and ny != y:
            out.append(f"V{ny}")
        elif nx != x:
            out.append(f"L{nx} {ny}")
        x, y = nx, ny
    if path.closed:
        out.append("Z")
    return " ".join(out)


def _text(text: Text) -> str:
    x, y = number(text.x), number(text.y)
    anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    turn = f' transform="rotate(-90 {x} {y})"' if text.upright else ""
    head = (
        f'<text{_class(text.cls)}{_data(text.data)} x="{x}" y="{y}"{turn} '
        f'font-size="{number(text.size)}"{anchor}'
    )
    if len(text.parts) == 1:
        words, bold, colour = text.parts[0]
        weight = ' font-weight="bold"' if bold else ""
        return f'{head}{weight} fill="{colour}">{_words(words)}</text>'
    spans = "".join(
        f'<tspan{" font-weight=" + chr(34) + "bold" + chr(34) if bold else ""} fill="{colour}">'
        f"{_words(words)}</tspan>"
        for words, bold, colour in text.parts
    )
    return f"{head}>{spans}</text>"


@lru_cache(maxsize=1 << 14)
def _words(text: str) -> str:
    return escape(tidy(text), quote=False)


def _rect(rect: Rect) -> str:
    corner = f' rx="{number(rect.corner)}"' if rect.corner else ""
    return (
        f'<rect{_class(rect.cls)}{_data(rect.data)} x="{number(rect.x)}" y="{number(rect.y)}" '
        f'width="{number(rect.width)}" height="{number(rect.height)}"{corner}{_pen(rect.pen)}/>'
    )


def _circle(circle: Circle) -> str:
    x, y = circle.centre
    return (
        f'<circle{_class(circle.cls)}{_data(circle.data)} cx="{number(x)}" cy="{number(y)}" '
        f'r="{number(circle.radius)}"{_pen(circle.pen)}/>'
    )


def _arc(arc: Arc) -> str:
    x, y = _on_circle(arc, arc.start)
    ex, ey = _on_circle(arc, arc.end)
    radius = number(arc.radius)
    wide = int(abs(arc.end - arc.start) > 180)
    sweep = int(arc.end > arc.start)
    return (
        f'<path{_class(arc.cls)} d="M{number(x)} {number(y)} A{radius} {radius} 0 {wide} '
        f'{sweep} {number(ex)} {number(ey)}"{_pen(arc.pen)}/>'
    )


def _on_circle(arc: Arc, degrees: float) -> Point:
    angle = math.radians(degrees)
    x, y = arc.centre
    return x + arc.radius * math.cos(angle), y + arc.radius * math.sin(angle)


@lru_cache(maxsize=1 << 12)
def _pen(pen: Pen) -> str:
    out = f' fill="{pen.fill or "none"}"'
    if pen.stroke and pen.width:
        out += f' stroke="{pen.stroke}" stroke-width="{number(pen.width)}"'
        if pen.dash:
            out += f' stroke-dasharray="{" ".join(map(number, pen.dash))}"'
        if pen.cap != "butt":
            out += f' stroke-linecap="{pen.cap}"'
    return out


@lru_cache(maxsize=1 << 12)
def _class(name: str) -> str:
    return f' class="{escape(legal(name))}"' if name else ""


def _data(pairs: tuple[tuple[str, str], ...]) -> str:
    if not pairs:
        return ""
    return "".join([f' data-{key}="{_value(value)}"' for key, value in pairs])


@lru_cache(maxsize=1 << 14)
def _value(text: str) -> str:
    """An attribute value: escaped, with line breaks and tabs kept through XML's normalising."""
    out = escape(legal(text))
    return out.replace("\n", "&#10;").replace("\r", "&#13;").replace("\t", "&#9;")
