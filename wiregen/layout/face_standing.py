"""Where everything of a plug stands on its pages, chosen anew or as it stood before (mm)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from wiregen.layout.face_arrange import BETWEEN, Arrangement
from wiregen.layout.face_fit import NUMBERS_ONLY, WAYS, WITH_CODES, Way, box_of, in_box
from wiregen.layout.face_head import head_items
from wiregen.layout.face_picture import Picture, picture_height
from wiregen.layout.face_plan import GOOD, Plan, choose_plan
from wiregen.layout.face_subject import FaceSubject, Foot
from wiregen.layout.face_views import GAP, face_head_of, find_fits, pictures_of
from wiregen.layout.kept import FaceBox, KeptFace, KeptFoot
from wiregen.layout.pin_table import ALL_DENSITIES, PinTable, repeated_table, rows_that_fit
from wiregen.sheet.frame import A4_PORTRAIT, FINDING_PITCH, FOOT_GAP, PAPERS, Cells, FootPlace

_PLAIN_ROWS = len(WAYS)
"""Stands for plain rows where a way of drawing is kept."""
_NO_PLACE = FootPlace(0.0, Cells(1, 0))
_SLACK_MM = 0.05
_COMING_MM = FINDING_PITCH + FOOT_GAP + 1.0
"""Room in the foot for one more finding, mm."""
_LITTLE = 0.92
"""Pictures are made so much smaller for it at most."""
_MOST_GAP = 4.0
"""More free space between the pictures and the table, mm."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Where everything of a plug stands.

    Attributes:
        pictures: its views.
        chosen: how they stand.
        table: its pin table.
        begun: how many of its rows stand below the pictures.
        foot: around every page.
        listed: findings with a number up to this stand in it.
        kept: what is kept of it.
    """

    pictures: Sequence[Picture]
    chosen: Arrangement
    table: PinTable
    begun: int
    foot: Foot
    listed: int
    kept: KeptFace


def find_standing(subject: FaceSubject, keep: KeptFace | None) -> Standing:
    """Return where everything of a plug stands: as before, as long as all of it can be read.

    Args:
        subject: the plug.
        keep: how it was drawn before.
    """
    before = _stand(subject, keep, keep.foot.place) if keep is not None else None
    found = before or _stand(subject, _first(subject, choose_plan(subject)), None)
    assert found is not None, "a face stands as it was planned"
    return found


def _first(subject: FaceSubject, plan: Plan) -> KeptFace:
    """Return a plan in the numbers that are kept of it."""
    way = _PLAIN_ROWS if plan.strip else WAYS.index(plan.way)
    boxes = tuple(box_of(fit) for fit in find_fits(subject, plan.way, plan.strip))
    chosen = replace(plan.chosen, grown=math.floor(plan.chosen.grown * 1e4) / 1e4)
    pictures = _pictures(subject, way, boxes)
    assert pictures is not None, "a box holds the fit it was made from"
    area = subject.area(chosen.paper)
    _, bottom = head_items(face_head_of(subject, pictures[0].fit, chosen.grown), area)
    top = round(bottom + GAP, 2)
    table = subject.table(chosen.paper, plan.density)
    ends = pictures_end(pictures, chosen, top)
    spare = area.bottom - ends - GAP - table.height
    whole = chosen.shared and spare >= -_SLACK_MM
    if whole:
        chosen = _with_room(pictures, chosen, plan.way, _COMING_MM - spare)
        spare += ends - pictures_end(pictures, chosen, top)
        ends = pictures_end(pictures, chosen, top)
    return KeptFace(
        chosen.paper.name,
        "whole" if whole else _kind(chosen),
        chosen.columns,
        chosen.grown,
        way,
        ALL_DENSITIES.index(plan.density),
        top,
        round(ends + GAP + min(max(0.3 * spare, 0.0), _MOST_GAP), 2),
        boxes,
        _widths(table),
        {},
        KeptFoot(_NO_PLACE, {}, {}),
    )


def _with_room(
    pictures: Sequence[Picture], chosen: Arrangement, way: Way, missing: float
) -> Arrangement:
    """Return an arrangement with pictures a little smaller, where that gains what is missing (mm).

    A finding that comes then has a place in the foot, and nothing moves.
    """
    high = pictures_end(pictures, replace(chosen, grown=1.0), 0.0)
    high -= pictures_end(pictures, replace(chosen, grown=0.0), 0.0)
    grown = math.floor((chosen.grown - missing / high) * 1e4) / 1e4
    least = max(_LITTLE * chosen.grown, 1.25 if way == NUMBERS_ONLY else GOOD)
    return replace(chosen, grown=grown) if missing > 0 and grown >= least else chosen


def _stand(subject: FaceSubject, keep: KeptFace, place: FootPlace | None) -> Standing | None:
    """Return a plug as it stood above a foot; None where it does not fit any more."""
    paper = next(one for one in PAPERS if one.name == keep.paper and one != A4_PORTRAIT)
    pictures = _pictures(subject, keep.way, keep.boxes)
    if pictures is None:
        return None
    shared = keep.kind in ("whole", "shared")
    chosen = Arrangement(paper, keep.columns, keep.grown, shared, keep.kind == "apart")
    area = subject.area(paper)
    _, head_end = head_items(face_head_of(subject, pictures[0].fit, keep.grown), area)
    ends = pictures_end(pictures, chosen, keep.top)
    bottom = area.bottom if place is None else place.top - FOOT_GAP
    fitted = subject.table(paper, ALL_DENSITIES[keep.density])
    table = repeated_table(fitted, area.width, widths=keep.widths, lines=keep.lines)
    begun = rows_that_fit(table, 0, bottom - keep.table) if shared else 0
    crowded = head_end + GAP > keep.top + _SLACK_MM
    crowded |= (keep.table if shared else bottom) < ends - _SLACK_MM
    if crowded or (keep.kind == "whole" and begun < len(table.rows)):
        return None
    reach = keep.table + table.height if keep.kind == "whole" else bottom
    foot = replace(subject.foot, reach=reach - _SLACK_MM, before=place)
    frame = foot.frame(paper)
    if frame.area.bottom < reach - 2 * _SLACK_MM:
        return None
    listed = {k: n for k, n in subject.numbers.items() if n <= frame.foot.cells.count}
    kept = replace(
        keep,
        widths=_widths(table),
        lines={row.facts.name: row.lines for row in table.rows if row.lines > 1},
        foot=KeptFoot(frame.foot, listed, {}),
    )
    foot = replace(foot, before=frame.foot)
    return Standing(pictures, chosen, table, begun, foot, frame.listed, kept)


def _pictures(subject: FaceSubject, way: int, boxes: Sequence[FaceBox]) -> list[Picture] | None:
    strip = way == _PLAIN_ROWS
    fits = find_fits(subject, WITH_CODES[2] if strip else WAYS[way], strip)
    if len(fits) != len(boxes):
        return None
    held = [in_box(fit, box) for fit, box in zip(fits, boxes, strict=True)]
    known = [fit for fit in held if fit is not None]
    return pictures_of(subject, known) if len(known) == len(fits) else None


def _kind(chosen: Arrangement) -> str:
    return "apart" if chosen.apart else "shared" if chosen.shared else "together"


def _widths(table: PinTable) -> dict[str, float]:
    titles = [column.title for column in table.columns]
    return dict(zip(titles, table.widths, strict=True))


def pictures_end(pictures: Sequence[Picture], chosen: Arrangement, top: float) -> float:
    """Return where the pictures of the first page end that begin at `top`, mm."""
    here = pictures[:1] if chosen.apart else pictures
    columns = min(chosen.columns, len(here))
    rows = [here[begin : begin + columns] for begin in range(0, len(here), columns)]
    heights = [max(picture_height(picture, chosen.grown) for picture in row) for row in rows]
    return top + sum(heights) + BETWEEN * (len(rows) - 1)
