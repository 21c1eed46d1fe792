"""The overview map: plugs and devices as boxes, bundles as lines with wire counts (mm).

It is drawn and routed by the own engine, which also chooses the columns unless `dot` is asked
for: so its bytes are the same on every machine, with Graphviz and without.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.connect import Network
from wiregen.layout.dot_columns import dot_columns
from wiregen.layout.earth_list import earth_lines, earth_list, earth_users
from wiregen.layout.engine import Box, Graph, Link, Pin, Placement, lay_out
from wiregen.layout.kept import KeptMap
from wiregen.layout.overview_map import Bundle, Overview, find_overview
from wiregen.layout.schematic.block import NOTE_MM, body, number, words
from wiregen.layout.schematic.ends import find_ends
from wiregen.layout.schematic.flow import Flow, find_flow
from wiregen.layout.schematic.page import clean, run_length
from wiregen.layout.schematic.scale import scaled
from wiregen.layout.title import title_block
from wiregen.model import Design
from wiregen.sheet import style
from wiregen.sheet.frame import A1, A2, A3, PAPERS, Area, Frame, Paper, framed
from wiregen.sheet.items import Group, Item, Path, Pen, Point, Sheet
from wiregen.sheet.metrics import fit, text_width_mm, wrap

_SUBHEADING = (
    "every line is a bundle: number of wires, and the looms they belong to · a splice is counted "
    "into the place that feeds it, a small device into the one it is wired to"
)
_ROW_MM = 5.0
_WIDEST_MM = 44.0
_LEAST_SCALE = 0.82
_LABEL_RISE_MM = 1.2
_SLACK_MM = 0.05
_LONG_LINE_MM = 60.0
_ANY_SHEET = 88
"""Stands in for the number of a sheet while the room for it is measured."""


@dataclass(frozen=True, slots=True)
class _Place:
    """A box of the map and its pins at each edge: bundle -> row, counted from the top."""

    id: str
    width: float
    height: float
    west: Mapping[str, int]
    east: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class MapPage:
    """The overview laid out but not numbered.

    Attributes:
        found: what it shows.
        places: its boxes.
        placement: where they stand.
        earths: earth -> its users as printed, line by line.
        paper: its size.
        corner: where the layout's top left corner stands on the page, mm.
        scale: at which the layout is drawn.
    """

    found: Overview
    places: Mapping[str, _Place]
    placement: Placement
    earths: Mapping[str, tuple[str, ...]]
    paper: Paper
    corner: Point
    scale: float

    @property
    def kept(self) -> KeptMap:
        """Where everything stands, to be repeated after a change of the design."""
        return KeptMap(
            self.paper.name,
            self.corner,
            self.scale,
            self.placement.kept,
            self.found.into,
            {name: (place.width, place.height) for name, place in self.places.items()},
            {name: len(lines) for name, lines in self.earths.items() if len(lines) > 1},
        )


def lay_overview(
    design: Design,
    network: Network,
    counts: Mapping[str, int],
    *,
    dot: bool = False,
    keep: KeptMap | None = None,
) -> MapPage:
    """Return the overview map of a design, laid out.

    Args:
        design: the design.
        network: from `connect`.
        counts: plug, device or box id -> number of sheets that show it.
        dot: let Graphviz's `dot` choose the columns, where it is installed.
        keep: the map as it was drawn; what is in it stays in its place.
    """
    ends = find_ends(design, network)
    before = None if dot else keep
    found = find_overview(design, network, ends, before)
    ways = _ways(found, find_flow(design, ends, network), before)
    columns = dot_columns(found.places, ways) if dot else {}
    places = _places(found, ways, counts, before)
    users = earth_users(design, ends)
    known = before.earths if before is not None else {}
    placement = _lay_out(found, places, columns, _frame(design, A3, (1, 1), False).area, before)
    if before is not None:
        paper = next(paper for paper in PAPERS if paper.name == before.paper)
        area, earths = _area(design, users, paper, known)
        dx, dy = (start * before.scale for start in placement.origin)
        corner = (round(before.corner[0] - dx, 2), round(before.corner[1] - dy, 2))
        if _holds(area, corner, placement, before.scale):
            return MapPage(found, places, placement, earths, paper, corner, before.scale)
    for paper in (A3, A2, A1):
        area, earths = _area(design, users, paper, known)
        scale = _scale(placement, area)
        if scale >= _LEAST_SCALE:
            break
    x = area.x + max(0.0, (area.width - placement.width * scale) / 2)
    y = area.y + max(0.0, (area.height - placement.height * scale) / 2)
    return MapPage(found, places, placement, earths, paper, (round(x, 2), round(y, 2)), scale)


def overview_sheet(
    design: Design,
    laid: MapPage,
    sheets: Mapping[str, tuple[int, ...]],
    number_of: tuple[int, int] = (1, 1),
    *,
    mono: bool = False,
) -> Sheet:
    """Return the overview map of a design.

    Args:
        design: the design.
        laid: from `lay_overview`.
        sheets: plug, device or box id -> numbers of the sheets that show it.
        number_of: number of this sheet and count of all.
        mono: for printing without colours.
    """
    frame = _frame(design, laid.paper, number_of, mono)
    earths, _ = earth_list(design, laid.earths, frame.area)
    items = (scaled(item, laid.scale, *laid.corner) for item in _draw(design, laid, sheets))
    return frame.sheet("overview", "Overview", (*items, *earths))


def _area(
    design: Design, users: Mapping[str, tuple[str, ...]], paper: Paper, lines: Mapping[str, int]
) -> tuple[Area, dict[str, tuple[str, ...]]]:
    """Return the room for the map above the list of earths, and the lines of that list."""
    area = _frame(design, paper, (1, 1), False).area
    earths = earth_lines(users, area, lines)
    return replace(area, height=area.height - earth_list(design, earths, area)[1]), earths


def _holds(area: Area, corner: Point, placement: Placement, scale: float) -> bool:
    right, bottom = corner[0] + placement.width * scale, corner[1] + placement.height * scale
    return (
        corner[0] >= area.x - _SLACK_MM
        and corner[1] >= area.y - _SLACK_MM
        and right <= area.right + _SLACK_MM
        and bottom <= area.bottom + _SLACK_MM
    )


def _frame(design: Design, paper: Paper, number_of: tuple[int, int], mono: bool) -> Frame:
    block = replace(title_block(design), sheet=number_of[0], sheets=number_of[1])
    return framed(
        paper,
        block,
        heading="Overview",
        subheading=_SUBHEADING,
        mono=mono,
    )


def _scale(placement: Placement, area: Area) -> float:
    width, height = max(placement.width, 1.0), max(placement.height, 1.0)
    return math.floor(min(1.0, area.width / width, area.height / height) * 1e4) / 1e4


def _label(bundle: Bundle) -> tuple[str, str]:
    """Return count and looms of a bundle as printed."""
    count = len(bundle.wires)
    looms = bundle.looms[:2]
    more = f" +{len(bundle.looms) - 2}" if len(bundle.looms) > 2 else ""
    return str(count), fit(", ".join(looms) + more, 34.0, NOTE_MM)


def _label_mm(bundle: Bundle) -> float:
    count, looms = _label(bundle)
    return text_width_mm(count, style.TEXT_PIN, bold=True) + 1.5 + text_width_mm(looms, NOTE_MM)


def _ways(found: Overview, flow: Flow, keep: KeptMap | None) -> dict[tuple[str, str], int]:
    """Return (left place, right place) -> number of wires, in the order of the bundles."""
    known = keep.layout.links if keep is not None else {}
    ways = {}
    for bundle in found.bundles:
        turned = flow.at(bundle.a) > flow.at(bundle.b)
        if bundle.key in known:
            turned = known[bundle.key].sides[0] == "W"
        pair = (bundle.b, bundle.a) if turned else (bundle.a, bundle.b)
        ways[pair] = len(bundle.wires)
    return ways


def _places(
    found: Overview,
    ways: Mapping[tuple[str, str], int],
    counts: Mapping[str, int],
    keep: KeptMap | None,
) -> dict[str, _Place]:
    """Return the boxes; each bundle leaves towards the side its other place stands on."""
    west: dict[str, list[str]] = {name: [] for name in found.places}
    east: dict[str, list[str]] = {name: [] for name in found.places}
    for bundle, (left, right) in zip(found.bundles, ways, strict=True):
        east[left].append(bundle.key)
        west[right].append(bundle.key)
    places = {}
    for name in found.places:
        lines = _lines(found, name, (_ANY_SHEET,) * counts.get(name, 0))
        widest = max(
            text_width_mm(name, style.TEXT_REFERENCE, bold=True),
            *(text_width_mm(line, NOTE_MM if grey else style.TEXT_PIN) for line, grey in lines),
            0.0,
        )
        text_mm = 7.5 + 3.2 * len(lines)
        least = (0.0, 0.0)
        edges = west[name], east[name]
        if keep is not None and name in keep.layout.boxes:
            rows = [_rows_before(name, keys, keep) for keys in edges]
            lowest = max((row for own in rows for row in own.values()), default=1)
            height = _up(max(text_mm, (lowest + 1) * _ROW_MM))
            least = keep.sizes.get(name, least)
        else:
            height = _up(max(text_mm, (max(1, *map(len, edges)) + 1) * _ROW_MM))
            rows = [_rows(height, keys) for keys in edges]
        width = round(min(max(widest + 6.0, 18.0), _WIDEST_MM), 2)
        places[name] = _Place(name, max(width, least[0]), max(height, least[1]), *rows)
    return places


def _up(height: float) -> float:
    """Return a height on the grid, mm."""
    return -(-height // _ROW_MM) * _ROW_MM


def _rows(height: float, keys: Sequence[str]) -> dict[str, int]:
    """Return the rows of the pins of one edge, about its middle."""
    first = max(1, round((height - (len(keys) - 1) * _ROW_MM) / 2 / _ROW_MM))
    return {key: first + index for index, key in enumerate(keys)}


def _rows_before(name: str, keys: Sequence[str], keep: KeptMap) -> dict[str, int]:
    """Return the rows of the pins of one edge as they were, new ones in the first free rows."""
    rows = {}
    for key in keys:
        link = keep.layout.links.get(key)
        if link is not None:
            y = link.ends[0 if key.startswith(f"{name} ") else 1]
            rows[key] = round((y - keep.layout.boxes[name].y) / _ROW_MM)
    free = (row for row in itertools.count(1) if row not in {*rows.values()})
    return {key: rows[key] if key in rows else next(free) for key in keys}


def _lines(found: Overview, name: str, seen: tuple[int, ...]) -> list[tuple[str, bool]]:
    """Return what stands in a box below its name: words, and whether they are grey."""
    members = found.members.get(name, ())
    notes = [
        f"with {', '.join(members)}" if members else "",
        _further_words(name, found.further.get(name, ())),
        _sheet_words(seen),
    ]
    room = _WIDEST_MM - 6.0
    title = found.places[name]
    lines = [(line, False) for line in wrap(title, room, style.TEXT_PIN, max_lines=2) if line]
    for note in notes:
        lines += [(line, True) for line in wrap(note, room, NOTE_MM, max_lines=2) if line]
    return lines


def _further_words(name: str, bundles: Sequence[Bundle]) -> str:
    """Name the small bundles of a place that are not drawn as lines."""
    if not bundles:
        return ""
    ends = [bundle.b if bundle.a == name else bundle.a for bundle in bundles]
    count = sum(len(bundle.wires) for bundle in bundles)
    return f"{count} more to {', '.join(ends)}"


def _sheet_words(numbers: tuple[int, ...]) -> str:
    if not numbers:
        return ""
    return f"sheet{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"


def _lay_out(
    found: Overview,
    places: Mapping[str, _Place],
    columns: Mapping[str, int],
    area: Area,
    keep: KeptMap | None,
) -> Placement:
    boxes = []
    for place in places.values():
        pins = [Pin(key, "W", 0.0, row * _ROW_MM) for key, row in place.west.items()]
        pins += [Pin(key, "E", place.width, row * _ROW_MM) for key, row in place.east.items()]
        rank = columns.get(place.id)
        boxes.append(
            Box(place.id, place.width, place.height, tuple(pins), rank=rank, margin_below=2.0)
        )
    links = tuple(
        Link(b.key, (b.a, b.key), (b.b, b.key), _label_mm(b) + 2.0) for b in found.bundles
    )
    graph = Graph(
        tuple(boxes),
        links,
        pitch=_ROW_MM,
        track=3.0,
        max_height=round(area.height / _LEAST_SCALE, 2),
        aspect=area.width / area.height,
    )
    return clean(lay_out(graph, keep.layout if keep is not None else None))


def _draw(design: Design, laid: MapPage, sheets: Mapping[str, tuple[int, ...]]) -> tuple[Item, ...]:
    lines = (_bundle_group(bundle, laid.placement) for bundle in laid.found.bundles)
    boxes = (
        _place_group(design, place, laid.placement, _lines(laid.found, name, sheets.get(name, ())))
        for name, place in laid.places.items()
    )
    return (*lines, *boxes)


def _bundle_group(bundle: Bundle, placement: Placement) -> Group:
    run = placement.routes[bundle.key]
    width = min(0.45 + 0.06 * len(bundle.wires), 1.8)
    pen = Pen(style.INK if bundle.new else style.SECONDARY, width)
    items: list[Item] = [Path(run, pen, cls="line")]
    items.extend(_bundle_label(bundle, placement))
    data = (("from", bundle.a), ("to", bundle.b), ("wires", " ".join(bundle.wires)))
    count = len(bundle.wires)
    title = f"{count} wire{'s' if count > 1 else ''}, {bundle.a} to {bundle.b}"
    return Group(tuple(items), "bundle", data=data, title=title)


def _bundle_label(bundle: Bundle, placement: Placement) -> Iterator[Item]:
    """The number of wires and their looms, at both ends of a long line where there is room."""
    strips = placement.labels[bundle.key]
    if run_length(placement.routes[bundle.key]) < _LONG_LINE_MM:
        strips = strips[:1]
    count, looms = _label(bundle)
    for strip in strips:
        x, y = strip.x + 1.0, strip.y - _LABEL_RISE_MM
        yield words(x, y, count, style.TEXT_PIN, bold=True)
        x += text_width_mm(count, style.TEXT_PIN, bold=True) + 1.5
        yield words(x, y, looms, NOTE_MM, colour=style.SECONDARY)


def _place_group(
    design: Design, place: _Place, placement: Placement, lines: Sequence[tuple[str, bool]]
) -> Group:
    at = placement.boxes[place.id]
    new = any(
        design.looms[plug.loom].status == "new"
        for plug in design.plugs.values()
        if plug.id == place.id and plug.loom in design.looms
    )
    name = fit(place.id, place.width - 4.0, style.TEXT_REFERENCE, bold=True)
    items: list[Item] = [
        body(at.x, at.y, place.width, place.height, new=new),
        words(at.x + 3.0, at.y + 5.2, name, style.TEXT_REFERENCE, bold=True),
    ]
    y = at.y + 8.8
    for line, grey in lines:
        size, colour = (NOTE_MM, style.SECONDARY) if grey else (style.TEXT_PIN, style.INK)
        items.append(words(at.x + 3.0, y, line, size, colour=colour))
        y += 3.2
    data = (("place", place.id), ("x", number(at.x)), ("y", number(at.y)))
    return Group(tuple(items), "place", data=data)
