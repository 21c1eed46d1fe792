"""The files of a drawn change: an SVG a sheet, one PDF, one page with both states of each sheet."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from html import escape
from importlib.resources import files

from wiregen.history.words import change_lines
from wiregen.publish.change import Change, ChangedSheet
from wiregen.sheet.items import Group, Item, Sheet
from wiregen.sheet.metrics import legal


def change_files(change: Change, name: str) -> dict[str, bytes]:
    """Return file name -> content; nothing where no sheet shows something else.

    Args:
        change: the two states.
        name: of the design, as the base of the file names.
    """
    from wiregen.draw.pdf import to_pdf
    from wiregen.draw.svg import to_svg

    sheets = change.sheets
    if not sheets:
        return {}
    pages = [_marked(one) for one in sheets]
    found = {f"{name}-diff-{page.name}.svg": to_svg(page).encode() for page in pages}
    title = f"{change.new.document.design.title_block.title or name}: what changed"
    found[f"{name}-diff.pdf"] = to_pdf(pages, title)
    found[f"{name}-diff.html"] = change_page(change, title).encode()
    return found


def _marked(one: ChangedSheet) -> Sheet:
    """Return the drawing with marks, on the paper of the sheet."""
    from wiregen.layout.drawn_diff import on_paper

    return on_paper(one.drawn.sheet, one.page.height)


def own_names(name: str) -> tuple[str, ...]:
    """Return patterns of the files an earlier run may have left."""
    return (rf"{re.escape(name)}-diff(?:-[\w.~-]+)?\.(?:svg|pdf|html)",)


def change_page(change: Change, title: str) -> str:
    """Return one HTML page: every changed sheet with its marks, and both states behind a slider.

    It needs nothing from outside and holds no text of the design that is not escaped.
    """
    shell = files("wiregen.publish").joinpath("change_page.html").read_text("utf-8")
    parts = {
        "TITLE": _text(title),
        "OLD": _text(change.old.title),
        "NEW": _text(change.new.title),
        "CHANGES": "\n".join(_change_items(change)),
        "CONTENTS": "\n".join(_contents(change.sheets)),
        "SHEETS": "\n".join(_section(n, one) for n, one in enumerate(change.sheets, 1)),
    }
    return re.sub(r"\{\{(\w+)\}\}", lambda found: parts[found[1]], shell)


def _text(words: str) -> str:
    return escape(legal(words))


def _change_items(change: Change) -> Iterator[str]:
    for line in change_lines(change.bare.difference):
        yield f"<li><b>{_text(line.id)}</b> {_text(line.text)}</li>"


def _contents(sheets: Iterable[ChangedSheet]) -> Iterator[str]:
    for number, one in enumerate(sheets, 1):
        fate = "new" if one.before is None else "gone" if one.after is None else ""
        note = f' <span class="fate">{fate}</span>' if fate else ""
        yield f'<li><a href="#s{number}">{_text(one.page.title)}</a>{note}</li>'


def _section(number: int, one: ChangedSheet) -> str:
    """Return one sheet: the marked drawing, and both states one over the other."""
    marked = f'<div class="view marked"><div class="stack">{_svg(_marked(one))}</div></div>'
    head = f"<h2>{_text(one.page.title)}</h2>"
    if one.before is None or one.after is None:
        return f'<section id="s{number}">{head}\n{marked}\n</section>'
    slider = (
        '<label class="cut">before <input type="range" min="0" max="100" value="50" '
        f'aria-label="before and after, sheet {number}"> after</label>'
    )
    both = (
        '<div class="view both" style="--cut:50%"><div class="stack">'
        f'{_svg(one.before)}<div class="over">{_svg(one.after)}</div>'
        '<span class="name left">before</span><span class="name right">after</span></div></div>'
    )
    return f'<section id="s{number}" class="two">{head}\n{slider}\n{marked}\n{both}\n</section>'


def _svg(sheet: Sheet) -> str:
    """Return a sheet as SVG within a page: without ids, which would be there several times."""
    from wiregen.draw.svg import to_svg

    bare = replace(sheet, items=tuple(map(_without_ids, sheet.items)))
    return to_svg(bare).strip()


def _without_ids(item: Item) -> Item:
    if not isinstance(item, Group):
        return item
    return replace(item, id="", items=tuple(map(_without_ids, item.items)))
