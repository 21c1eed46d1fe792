"""Labels to print, cut out and wrap round the wire ends (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from wiregen.layout.table_pages import TablePage
from wiregen.layout.title import title_block
from wiregen.model import Design
from wiregen.sheet import style
from wiregen.sheet.frame import A4_PORTRAIT, Area, framed
from wiregen.sheet.items import Group, Item, Path, Pen, Rect, Text
from wiregen.sheet.metrics import shrink

WIDTH = 56.0
HEIGHT = 9.0
_COLUMNS = 3
_CUT = Pen(style.SECONDARY, style.LINE_TABLE, dash=(1.2, 0.8))


def label_pages(
    design: Design, labels: Sequence[tuple[str, str]], *, mono: bool = False
) -> tuple[TablePage, ...]:
    """Return pages of labels, 56 x 9 mm each, with lines to cut along.

    Args:
        design: for the title block.
        labels: strong word (the wire) and the rest of each label.
        mono: for printing without colours.
    """
    block = replace(title_block(design), revisions=())
    area = framed(A4_PORTRAIT, block, heading="Labels", subheading="Labels", cautions=()).area
    rows = max(1, int((area.height - 4.0) // HEIGHT))
    fill = rows * _COLUMNS
    pages = [labels[at : at + fill] for at in range(0, len(labels), fill)]
    return tuple(
        TablePage(
            design,
            f"labels-{number:02}",
            "Labels",
            ("Labels",) if number == 1 else (),
            A4_PORTRAIT,
            tuple(_grid(area, page, rows)),
            mono,
        )
        for number, page in enumerate(pages, start=1)
    )


def _grid(area: Area, labels: Sequence[tuple[str, str]], rows: int) -> Iterator[Item]:
    words = "Print at 100 %: each label is 56 x 9 mm. Cut along the broken lines."
    yield Text(area.x, area.y + 1.0, ((words, False, style.SECONDARY),), style.TEXT_SMALL)
    top = area.y + 4.0
    for number, label in enumerate(labels):
        column, row = divmod(number, rows)
        yield _label(area.x + column * WIDTH, top + row * HEIGHT, label)


def _label(x: float, y: float, label: tuple[str, str]) -> Group:
    strong, rest = label
    text, size = shrink(rest, WIDTH - 22.0, 3.0, 1.9)
    name, name_size = shrink(strong, 17.0, 3.6, 1.9, True)
    return Group(
        (
            Rect(x, y, WIDTH, HEIGHT, _CUT),
            Text(x + 2.0, y + 5.8, ((name, True, style.INK),), name_size),
            Path(((x + 19.5, y + 1.5), (x + 19.5, y + HEIGHT - 1.5)), style.TABLE_PEN),
            Text(x + 21.0, y + 5.6, ((text, False, style.INK),), size),
        ),
        cls="label",
        data=(("wire", strong),),
    )
