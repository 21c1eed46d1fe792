"""Labels for wire ends: on plain paper to cut out, or on sheets of labels (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from wiregen.layout.label_grid import LabelGrid, cut_grid
from wiregen.layout.table_pages import TablePage
from wiregen.layout.title import title_block
from wiregen.model import Design
from wiregen.sheet import style
from wiregen.sheet.frame import A4_PORTRAIT, framed
from wiregen.sheet.items import Group, Item, Path, Pen, Rect, Sheet, Text
from wiregen.sheet.metrics import fit, printable, text_width_mm, wrap

WIDTH, HEIGHT = 42.0, 13.0
_SIZES = (2.6, 2.4, 2.2, 2.0, 1.9)
"""Font sizes that are tried; nothing is printed smaller."""
_PAD = 1.2
_LEADING = 1.22
_BETWEEN = 0.9
_HEAD = 13.0
_RULER = 100.0
_CUT = Pen(style.SECONDARY, style.LINE_TABLE, dash=(1.2, 0.8))
_ROOMY = 60.0
"""On paper with shorter edges a trial sheet says only that it is one."""
_EDGE = Pen(style.HAIRLINE, style.LINE_TABLE)


@dataclass(frozen=True, slots=True)
class WireLabel:
    """What stands on one label.

    Attributes:
        wire: its number, printed strong.
        facts: colour, size, marking.
        ends: this end and the other.
    """

    wire: str
    facts: str
    ends: str


def label_pages(
    design: Design, labels: Sequence[WireLabel], *, mono: bool = False
) -> tuple[TablePage, ...]:
    """Return pages of labels on plain paper with lines to cut along and a ruler.

    Args:
        design: for the title block.
        labels: in order.
        mono: for printing without colours.
    """
    block = replace(title_block(design), revisions=())
    area = framed(A4_PORTRAIT, block, heading="Labels", subheading="Labels", cautions=()).area
    top = area.y + _HEAD
    grid = replace(
        cut_grid(WIDTH, HEIGHT, (area.width, area.bottom - top)), left_mm=area.x, top_mm=top
    )
    return tuple(
        TablePage(
            design,
            f"labels-{number:02}",
            "Labels" if number == 1 else "Labels, continued",
            ("Labels",) if number == 1 else (),
            A4_PORTRAIT,
            (
                *_words(area.x, area.y + 1.0),
                *_ruler(area.x, area.y + 8.0, _RULER),
                *_cuts(grid, len(page)),
                *_filled(grid, page),
            ),
            mono,
        )
        for number, page in enumerate(_pages(labels, grid.count), start=1)
    )


def stock_sheets(labels: Sequence[WireLabel], grid: LabelGrid) -> tuple[Sheet, ...]:
    """Return sheets that fit a stock of labels; none where there are no labels.

    The first sheet is for plain paper: it shows where the labels lie, and a ruler.

    Args:
        labels: in order.
        grid: how the labels lie on the paper.
    """
    width, height = grid.paper_mm
    pages = _pages(labels, grid.count)
    if not pages:
        return ()
    return (
        Sheet("labels-00", "Hold against a sheet of labels", width, height, tuple(_trial(grid))),
        *(
            Sheet(
                f"labels-{number:02}",
                f"Labels {number} of {len(pages)}",
                width,
                height,
                tuple(_filled(grid, page)),
            )
            for number, page in enumerate(pages, start=1)
        ),
    )


def cut_short(labels: Sequence[WireLabel], grid: LabelGrid | None) -> tuple[str, ...]:
    """Return the wires whose labels have no room for all that should stand on them.

    Args:
        labels: in order.
        grid: of the labels; None for those on plain paper.
    """
    size = (grid.width_mm, grid.height_mm) if grid else (WIDTH, HEIGHT)
    return tuple(dict.fromkeys(one.wire for one in labels if _block(one, *size).short))


def _pages(labels: Sequence[WireLabel], fill: int) -> list[Sequence[WireLabel]]:
    return [labels[at : at + fill] for at in range(0, len(labels), fill)]


def _words(x: float, y: float) -> Iterator[Text]:
    said = (
        f"Print at 100 % and check the ruler. Each label is {WIDTH:g} x {HEIGHT:g} mm: cut along "
        "the broken lines,",
        "wrap it round the wire with the letters along the wire, and put clear sleeve over it.",
    )
    for number, line in enumerate(said):
        yield Text(x, y + number * 2.9, ((line, False, style.SECONDARY),), style.TEXT_SMALL)


def _ruler(x: float, y: float, length: float, *, upright: bool = False) -> Iterator[Item]:
    """Yield a ruler in steps of 10 mm that begins at a point and goes right, or down."""
    pen = Pen(style.INK, style.LINE_TABLE)

    def at(along: float, aside: float) -> tuple[float, float]:
        return (x + aside, y + along) if upright else (x + along, y - aside)

    yield Path((at(0, 0), at(length, 0)), pen, cls="ruler")
    for step in range(int(length // 10) + 1):
        yield Path((at(step * 10, 0), at(step * 10, 2.0 if step % 5 == 0 else 1.2)), pen)
    end_x, end_y = at(length, 0)
    words = ((f"{length:g} mm", False, style.INK),)
    if upright:
        yield Text(end_x + 2.6, end_y, words, style.TEXT_SMALL)
    else:
        yield Text(end_x + 2.0, end_y, words, style.TEXT_SMALL)


def _trial(grid: LabelGrid) -> Iterator[Item]:
    """Yield the outlines of the labels, two rulers, and what the sheet is for."""
    width, height = grid.paper_mm
    for x, y in grid.places:
        yield Rect(x, y, grid.width_mm, grid.height_mm, _EDGE, cls="place")
    x, y = grid.left_mm + 2.0, grid.top_mm + 2.0
    said = "Print at 100 %"
    if min(width, height) >= _ROOMY:
        said = (
            f"Labels of {grid.width_mm:g} x {grid.height_mm:g} mm. Print this page at 100 % on "
            "plain paper, check the rulers, and hold it against a sheet of labels to the light: "
            "the lines must lie on the edges of the labels."
        )
    lines = wrap(said, min(width - x - 4.0, 110.0), style.TEXT_SMALL, max_lines=8)
    wide = max(text_width_mm(line, style.TEXT_SMALL) for line in lines)
    yield Rect(x - 1.0, y - 0.5, wide + 2.0, len(lines) * 2.9 + 2.0, Pen(fill=style.PAPER))
    for number, line in enumerate(lines, start=1):
        yield Text(x, y + number * 2.9, ((line, False, style.INK),), style.TEXT_SMALL)
    y += len(lines) * 2.9 + 4.0
    across = min(_RULER, (width - x - 14.0) // 10 * 10)
    down = min(_RULER, (height - y - 4.0) // 10 * 10)
    if across >= 10 and y < height:
        yield from _ruler(x, y, across)
    if down >= 10:
        yield from _ruler(x, y, down, upright=True)


def _cuts(grid: LabelGrid, count: int) -> Iterator[Path]:
    """Yield lines to cut along between labels that lie edge to edge, each once."""
    wide, high = grid.width_mm, grid.height_mm
    edges: dict[tuple[tuple[float, float], tuple[float, float]], None] = {}
    for x, y in islice(grid.places, count):
        right, below = round(x + wide, 3), round(y + high, 3)
        edges |= dict.fromkeys(
            (
                ((x, y), (right, y)),
                ((x, below), (right, below)),
                ((x, y), (x, below)),
                ((right, y), (right, below)),
            )
        )
    yield from (Path(edge, _CUT, cls="cut") for edge in edges)


def _filled(grid: LabelGrid, labels: Sequence[WireLabel]) -> Iterator[Group]:
    for (x, y), label in zip(grid.places, labels, strict=False):
        yield _label(x, y, (grid.width_mm, grid.height_mm), label)


def _label(x: float, y: float, size: tuple[float, float], label: WireLabel) -> Group:
    """Return a label whose words are repeated as often as they fit, to be read all round."""
    width, height = size
    block = _block(label, width, height)
    step = height / block.times
    items: list[Item] = []
    for time in range(block.times):
        line_y = y + time * step + (step - block.height + _BETWEEN) / 2 - block.size * 0.25
        for parts in block.lines:
            line_y += block.size * _LEADING
            items.append(Text(x + _PAD, round(line_y, 3), parts, block.size))
    return Group(tuple(items), cls="label", data=(("wire", label.wire),))


_Line = tuple[tuple[str, bool, str], ...]


@dataclass(frozen=True, slots=True)
class _Block:
    """The words of a label once: lines, font size (mm), how often they fit, what is left out."""

    lines: tuple[_Line, ...]
    size: float
    times: int
    short: bool = False

    @property
    def height(self) -> float:
        """Height of the lines with the space to the next ones, mm."""
        return len(self.lines) * self.size * _LEADING + _BETWEEN


def _block(label: WireLabel, width: float, height: float) -> _Block:
    """Return the words of a label as large as they fit, twice where that can be."""
    room = width - 2 * _PAD
    fitting = []
    for form in (_on_two_lines, _on_one_line, _broken):
        for size in _SIZES:
            lines = form(label, room, size)
            times = int((height + _BETWEEN / 2) // _Block(lines, size, 1).height) if lines else 0
            if times > 1:
                return _Block(lines, size, times)
            if times:
                fitting.append(_Block(lines, size, times))
    return fitting[0] if fitting else _shortened(label, room, height)


def _on_two_lines(label: WireLabel, room: float, size: float) -> tuple[_Line, ...]:
    """Return number and facts above the ends; nothing where that is too wide."""
    first = _line(label.wire, label.facts)
    second = _line("", label.ends)
    return (first, second) if max(_wide(first, size), _wide(second, size)) <= room else ()


def _on_one_line(label: WireLabel, room: float, size: float) -> tuple[_Line, ...]:
    one = _line(label.wire, " · ".join(word for word in (label.ends, label.facts) if word))
    return (one,) if _wide(one, size) <= room else ()


def _broken(label: WireLabel, room: float, size: float) -> tuple[_Line, ...]:
    """Return everything on as many lines as it takes."""
    strong = [_line(line, "") for line in wrap(label.wire, room, size, True)]
    rest = [words for words in (label.ends, label.facts) if words]
    return (*strong, *(_line("", line) for words in rest for line in wrap(words, room, size)))


def _wide(line: _Line, size: float) -> float:
    return sum(text_width_mm(words, size, bold) for words, bold, _ in line)


def _line(strong: str, rest: str) -> _Line:
    bold, words = printable(strong), printable(rest)
    if bold and words:
        words = f" {words}"
    return tuple((text, text is bold, style.INK) for text in (bold, words) if text)


def _shortened(label: WireLabel, room: float, height: float) -> _Block:
    """Return what there is room for: number and ends, each on a line, cut with an ellipsis."""
    size = _SIZES[-1]
    lines = (
        _line(fit(label.wire, room, size, True), ""),
        _line("", fit(label.ends, room, size)),
    )
    most = max(1, int((height + _BETWEEN / 2 - _BETWEEN) // (size * _LEADING)))
    return _Block(lines[:most], size, 1, short=True)
