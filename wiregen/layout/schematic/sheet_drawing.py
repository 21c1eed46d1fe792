"""Laid out schematic sheets drawn, numbered, with references between them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from wiregen.layout.schematic.heads import with_faces
from wiregen.layout.schematic.page import draw_page
from wiregen.layout.schematic.rings import ring_groups
from wiregen.layout.schematic.scale import scaled
from wiregen.layout.schematic.scene import Cut
from wiregen.layout.schematic.sheet_page import Maker, Page
from wiregen.layout.schematic.state_marks import state_legend, with_state
from wiregen.sheet.items import Sheet


def draw_pages(
    pages: Sequence[Page], maker: Maker, first: int, count: int, faces: Mapping[str, int]
) -> Iterator[Sheet]:
    """Yield the finished sheets, each drawn when it is asked for.

    Args:
        pages: from `schematic_pages`.
        maker: from `schematic_pages`.
        first: number of the first sheet.
        count: number of all sheets of the set.
        faces: plug id -> number of its face sheet, printed over the plugs.
    """
    where = {
        cut.here.key: (number, page)
        for number, page in enumerate(pages, start=first)
        for cut in page.plan.cuts
    }
    for number, page in enumerate(pages, start=first):
        targets = _targets(page.plan.cuts, where)
        yield _draw(page, maker, number, count, targets=targets, faces=faces)


def _targets(
    cuts: Sequence[Cut], where: Mapping[str, tuple[int, Page]]
) -> dict[str, tuple[str, str]]:
    found = {}
    for cut in cuts:
        number, page = where[cut.there.key]
        found[cut.here.key] = (str(number), page.zone(cut.there.key))
    return found


def _draw(
    page: Page,
    maker: Maker,
    number: int,
    count: int,
    *,
    targets: Mapping[str, tuple[str, str]],
    faces: Mapping[str, int],
) -> Sheet:
    frame = maker.frame(
        page.plan, page.paper, page.marks, (number, count), reach=page.reach, before=page.foot
    )
    x, y = page.corner
    room = page.room(frame.area)
    items = with_faces(draw_page(page.laid, 0.0, 0.0, targets, maker.mono), faces)
    items = (*items, *(bundle.drawn for bundle in page.bundles), *ring_groups(page.rings))
    if maker.state is not None:
        items = with_state(maker.state, items, room, mono=maker.mono)
    placed = tuple(scaled(item, page.scale, x, y) for item in items)
    if maker.state is not None:
        placed = (*placed, *state_legend(maker.state, frame.area, placed))
    return frame.sheet(f"sheet-{number:02d}", page.plan.title, placed)
