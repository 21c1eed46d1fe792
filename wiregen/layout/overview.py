"""The overview map: plugs and devices as boxes, bundles as lines with wire counts (mm).

It is drawn and routed by the own engine, which also chooses the columns unless `dot` is asked
for: so its bytes are the same on every machine, with Graphviz and without.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.connect import Network
from wiregen.layout.dot_columns import dot_columns
from wiregen.layout.earth_list import earth_list, earth_users
from wiregen.layout.engine import Box, Graph, Link, Pin, Placement, lay_out
from wiregen.layout.overview_map import Bundle, Overview, find_overview
from wiregen.layout.schematic.block import NOTE_MM, body, number, words
from wiregen.layout.schematic.ends import find_ends
from wiregen.layout.schematic.flow import Flow, find_flow
from wiregen.layout.schematic.scale import scaled
from wiregen.layout.title import title_block
from wiregen.model import Design
from wiregen.sheet import style
from wiregen.sheet.frame import A1, A2, A3, Area, Frame, Paper, framed
from wiregen.sheet.items import Group, Item, Path, Pen, Sheet
from wiregen.sheet.metrics import fit, text_width_mm, wrap

_SUBHEADING = (
    "every line is a bundle: number of wires, and the looms they belong to · splices and small "
    "devices are counted into the place they are wired to"
)
_ROW_MM = 5.0
_WIDEST_MM = 44.0
_LEAST_SCALE = 0.82
_LABEL_RISE_MM = 1.2


@dataclass(frozen=True, slots=True)
class _Place:
    """A box of the map: its lines (text, grey) and its pins at each edge, one a bundle."""

    id: str
    lines: tuple[tuple[str, bool], ...]
    width: float
    height: float
    west: tuple[str, ...]
    east: tuple[str, ...]


def overview_sheet(
    design: Design,
    network: Network,
    sheets: Mapping[str, tuple[int, ...]],
    number_of: tuple[int, int] = (1, 1),
    *,
    mono: bool = False,
    dot: bool = False,
) -> Sheet:
    """Return the overview map of a design.

    Args:
        design: the design.
        network: from `connect`.
        sheets: plug, device or box id -> numbers of the sheets that show it.
        number_of: number of this sheet and count of all.
        mono: for printing without colours.
        dot: let Graphviz's `dot` choose the columns, where it is installed.
    """
    ends = find_ends(design, network)
    found = find_overview(design, ends)
    ways = _ways(found, find_flow(design, ends))
    columns = dot_columns(found.places, ways) if dot else {}
    places = _places(found, ways, sheets)
    users = earth_users(design, ends)
    placement = _lay_out(found, places, columns, _frame(design, A3, number_of, mono).area)
    for paper in (A3, A2, A1):
        frame = _frame(design, paper, number_of, mono)
        earths, taken = earth_list(design, users, frame.area)
        area = replace(frame.area, height=frame.area.height - taken)
        scale = _scale(placement, area)
        if scale >= _LEAST_SCALE:
            break
    x = area.x + max(0.0, (area.width - placement.width * scale) / 2)
    y = area.y + max(0.0, (area.height - placement.height * scale) / 2)
    items = (scaled(item, scale, x, y) for item in _draw(design, found, places, placement))
    return frame.sheet("overview", "Overview", (*items, *earths))


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
    return min(
        1.0, area.width / max(placement.width, 1.0), area.height / max(placement.height, 1.0)
    )


def _label(bundle: Bundle) -> tuple[str, str]:
    """Return count and looms of a bundle as printed."""
    count = len(bundle.wires)
    looms = bundle.looms[:2]
    more = f" +{len(bundle.looms) - 2}" if len(bundle.looms) > 2 else ""
    return str(count), fit(", ".join(looms) + more, 34.0, NOTE_MM)


def _label_mm(bundle: Bundle) -> float:
    count, looms = _label(bundle)
    return text_width_mm(count, style.TEXT_PIN, bold=True) + 1.5 + text_width_mm(looms, NOTE_MM)


def _key(bundle: Bundle) -> str:
    return f"{bundle.a} {bundle.b}"


def _ways(found: Overview, flow: Flow) -> dict[tuple[str, str], int]:
    """Return (left place, right place) -> number of wires, in the order of the bundles."""
    ways = {}
    for bundle in found.bundles:
        pair = (bundle.a, bundle.b)
        if flow.at(bundle.a) > flow.at(bundle.b):
            pair = (bundle.b, bundle.a)
        ways[pair] = len(bundle.wires)
    return ways


def _places(
    found: Overview, ways: Mapping[tuple[str, str], int], sheets: Mapping[str, tuple[int, ...]]
) -> dict[str, _Place]:
    """Return the boxes; each bundle leaves towards the side its other place stands on."""
    west: dict[str, list[str]] = {name: [] for name in found.places}
    east: dict[str, list[str]] = {name: [] for name in found.places}
    for bundle, (left, right) in zip(found.bundles, ways, strict=True):
        east[left].append(_key(bundle))
        west[right].append(_key(bundle))
    further: dict[str, list[Bundle]] = {}
    for bundle in found.further:
        further.setdefault(bundle.a, []).append(bundle)
        further.setdefault(bundle.b, []).append(bundle)
    places = {}
    for name, title in found.places.items():
        members = found.members.get(name, ())
        seen = sheets.get(name, ())
        notes = [
            f"with {', '.join(members)}" if members else "",
            _further_words(name, further[name]) if name in further else "",
            _sheet_words(seen),
        ]
        room = _WIDEST_MM - 6.0
        lines = [(line, False) for line in wrap(title, room, style.TEXT_PIN, max_lines=2) if line]
        for note in notes:
            lines += [(line, True) for line in wrap(note, room, NOTE_MM, max_lines=2) if line]
        widest = max(
            text_width_mm(name, style.TEXT_REFERENCE, bold=True),
            *(text_width_mm(line, NOTE_MM if grey else style.TEXT_PIN) for line, grey in lines),
            0.0,
        )
        rows = max(1, len(west[name]), len(east[name]))
        height = max(7.5 + 3.2 * len(lines), (rows + 1) * _ROW_MM)
        height = -(-height // _ROW_MM) * _ROW_MM
        places[name] = _Place(
            name,
            tuple(lines),
            min(max(widest + 6.0, 18.0), _WIDEST_MM),
            height,
            tuple(west[name]),
            tuple(east[name]),
        )
    return places


def _further_words(name: str, bundles: Sequence[Bundle]) -> str:
    """Name the small bundles of a place that are not drawn as lines."""
    ends = [bundle.b if bundle.a == name else bundle.a for bundle in bundles]
    count = sum(len(bundle.wires) for bundle in bundles)
    return f"{count} more to {', '.join(ends)}"


def _sheet_words(numbers: tuple[int, ...]) -> str:
    if not numbers:
        return ""
    return f"sheet{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"


def _lay_out(
    found: Overview, places: Mapping[str, _Place], columns: Mapping[str, int], area: Area
) -> Placement:
    boxes = []
    for place in places.values():
        pins = [
            Pin(key, "W", 0.0, _pin_y(place, len(place.west), index))
            for index, key in enumerate(place.west)
        ]
        pins += [
            Pin(key, "E", place.width, _pin_y(place, len(place.east), index))
            for index, key in enumerate(place.east)
        ]
        rank = columns.get(place.id)
        boxes.append(
            Box(place.id, place.width, place.height, tuple(pins), rank=rank, margin_below=2.0)
        )
    links = tuple(
        Link(_key(b), (b.a, _key(b)), (b.b, _key(b)), _label_mm(b) + 2.0) for b in found.bundles
    )
    return lay_out(
        Graph(
            tuple(boxes),
            links,
            pitch=_ROW_MM,
            track=3.0,
            max_height=area.height / _LEAST_SCALE,
            aspect=area.width / area.height,
        )
    )


def _pin_y(place: _Place, count: int, index: int) -> float:
    """Pins stand about the middle of their edge, on the grid."""
    first = round((place.height - (count - 1) * _ROW_MM) / 2 / _ROW_MM) * _ROW_MM
    return max(_ROW_MM, first) + index * _ROW_MM


def _draw(
    design: Design, found: Overview, places: Mapping[str, _Place], placement: Placement
) -> tuple[Item, ...]:
    lines = (_bundle_group(bundle, placement) for bundle in found.bundles)
    boxes = (_place_group(design, place, placement) for place in places.values())
    return (*lines, *boxes)


def _bundle_group(bundle: Bundle, placement: Placement) -> Group:
    run = placement.routes[_key(bundle)]
    width = min(0.45 + 0.06 * len(bundle.wires), 1.8)
    pen = Pen(style.INK if bundle.new else style.SECONDARY, width)
    items: list[Item] = [Path(run, pen, cls="line")]
    items.extend(_bundle_label(bundle, placement))
    data = (("from", bundle.a), ("to", bundle.b), ("wires", " ".join(bundle.wires)))
    count = len(bundle.wires)
    title = f"{count} wire{'s' if count > 1 else ''}, {bundle.a} to {bundle.b}"
    return Group(tuple(items), "bundle", data=data, title=title)


def _bundle_label(bundle: Bundle, placement: Placement) -> Iterator[Item]:
    strips = placement.labels[_key(bundle)]
    if not strips:
        return
    count, looms = _label(bundle)
    x, y = strips[0].x + 1.0, strips[0].y - _LABEL_RISE_MM
    yield words(x, y, count, style.TEXT_PIN, bold=True)
    x += text_width_mm(count, style.TEXT_PIN, bold=True) + 1.5
    yield words(x, y, looms, NOTE_MM, colour=style.SECONDARY)


def _place_group(design: Design, place: _Place, placement: Placement) -> Group:
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
    for line, grey in place.lines:
        size, colour = (NOTE_MM, style.SECONDARY) if grey else (style.TEXT_PIN, style.INK)
        items.append(words(at.x + 3.0, y, line, size, colour=colour))
        y += 3.2
    data = (("place", place.id), ("x", number(at.x)), ("y", number(at.y)))
    return Group(tuple(items), "place", data=data)
