"""One view of a connector face: caption, outline with key and latch, every cavity (mm)."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from wiregen.layout.cavity_facts import CavityFacts
from wiregen.layout.cavity_mark import Spot, cavity_group, number_size_mm
from wiregen.layout.face_fit import RIM, SIDE_GAP, Fit, growth, spots
from wiregen.layout.face_outline import outline_items, way_of
from wiregen.layout.finding_mark import Mark, mark_group
from wiregen.model.faces import mirrored_words
from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Path, Point, Text, walk
from wiregen.sheet.metrics import fit as fit_text
from wiregen.sheet.metrics import shrink

Side = Literal["wire", "mating"]
Corners: TypeAlias = tuple[float, float, float, float]
"""Left, top, right and bottom of a box, mm."""

CAPTION = 8.6
TAB = 3.2
"""Room above and below the outline for a latch, mm."""


@dataclass(frozen=True, slots=True)
class Picture:
    """What one view shows.

    Attributes:
        plug: id of the half.
        side: from which it is seen.
        title: in words, above it.
        subtitle: which half and its contacts, second line.
        fit: the layout seen from the mating side.
        facts: by cavity.
        strong: True for the outline of a half that is to be built.
        mate: True for the other half drawn beside.
        tabs: room above and below the outline, mm; the same for all pictures of a sheet.
    """

    plug: str
    side: Side
    title: str
    subtitle: str
    fit: Fit
    facts: Mapping[str, CavityFacts]
    strong: bool = True
    mate: bool = False
    tabs: tuple[float, float] = (0.0, 0.0)

    @property
    def around(self) -> float:
        """Height beside the face itself, mm."""
        return CAPTION + sum(self.tabs) + 2 * RIM

    @property
    def key(self) -> str:
        """Where the key is on this side."""
        return self._seen(self.fit.layout.key)

    @property
    def latch(self) -> str:
        """Where the latch is on this side."""
        return self._seen(self.fit.layout.latch)

    def _seen(self, words: str) -> str:
        return words if self.side == "mating" else mirrored_words(words)


def with_tabs(pictures: Sequence[Picture]) -> list[Picture]:
    """Give all pictures of a sheet the room that the latch of any of them needs."""
    ways = [way_of(picture.latch) or (0.0, 0.0) for picture in pictures]
    above = TAB if any(down < 0 for _, down in ways) else 0.8
    below = TAB if any(down > 0 for _, down in ways) else 0.0
    return [replace(picture, tabs=(above, below)) for picture in pictures]


def picture_growth(picture: Picture, width: float, height: float) -> float:
    """Return how much larger than at 1.8 mm text a picture may be drawn in a slot (mm)."""
    return growth(picture.fit, width, height - picture.around)


def picture_height(picture: Picture, grown: float) -> float:
    """Return the height of a picture with its caption, mm."""
    return picture.around + picture.fit.height * grown


def picture_group(
    picture: Picture,
    at: Point,
    width: float,
    grown: float,
    findings: Mapping[str, Mark],
    *,
    mono: bool = False,
) -> Group:
    """Return one view.

    Args:
        picture: what to show.
        at: middle and top of the slot, mm.
        width: of the slot, mm.
        grown: from `picture_growth`.
        findings: the finding to mark at a cavity.
        mono: no colours.
    """
    fit = picture.fit
    x, y = at
    middle = y + CAPTION + picture.tabs[0] + RIM + fit.above * grown
    items: list[Item] = list(_caption(picture, x, y, width))
    marks = (picture.key, picture.latch)
    items.extend(outline_items(fit, (x, middle), grown, marks, picture.strong))
    side = 1 if picture.side == "mating" else -1
    placed = spots(fit, grown, side)
    corner = _corner(fit, side)
    for name, spot in placed.items():
        moved = replace(
            spot, x=spot.x + x, y=spot.y + middle, corner=corner if name == fit.layout.first else 0
        )
        items.append(cavity_group(picture.facts[name], moved, mono))
    keys = [
        _around(item, (x, middle))
        for item in walk(tuple(items))
        if isinstance(item, Path) and item.cls in ("key", "first")
    ]
    items.extend(_rings(fit, placed, findings, (x, middle), grown=grown, keys=keys))
    return Group(
        tuple(items),
        cls="face mate" if picture.mate else "face",
        id=f"face-{picture.plug}-{picture.side}",
        data=(("plug", picture.plug), ("side", picture.side)),
        title=f"{picture.plug} {picture.title}",
    )


def _caption(picture: Picture, x: float, y: float, width: float) -> Iterator[Text]:
    title, size = shrink(picture.title, width, style.TEXT_BLOCK, style.TEXT_PIN, bold=True)
    yield Text(x, y + 3.4, ((title, True, style.INK),), size, "middle")
    subtitle, size = shrink(picture.subtitle, width, style.TEXT_WIRE, style.TEXT_SMALLEST)
    yield Text(x, y + 7.2, ((subtitle, False, style.SECONDARY),), size, "middle")


def _corner(fit: Fit, side: int) -> int:
    """The corner mark of the first cavity points away from the middle of the face."""
    first = fit.layout.cavities.get(fit.layout.first)
    return side if first is not None and first.x > 0 else -side


def _around(item: Path, at: Point) -> Corners:
    """The room a stroke fills, from the middle of the face, mm."""
    xs, ys = zip(*item.points, strict=True)
    return min(xs) - at[0], min(ys) - at[1], max(xs) - at[0], max(ys) - at[1]


def _rings(
    fit: Fit,
    placed: Mapping[str, Spot],
    findings: Mapping[str, Mark],
    at: Point,
    *,
    grown: float,
    keys: Sequence[Corners],
) -> Iterator[Group]:
    """Rings of findings beside their cavities, where they cover nothing else.

    A ring without room is left out here; the pin table always has it.
    """
    taken = [*keys, *(_box(fit, spot, name, grown) for name, spot in placed.items())]
    edge = fit.half_width * grown + RIM
    for name, mark in findings.items():
        if name not in placed or not mark.drawn:
            continue
        spot, radius = placed[name], mark.radius
        own = _box(fit, spot, name, grown)
        wide, high = number_size_mm(name, spot)
        beside = max(spot.radius + 0.55 * radius, wide / 2 + radius + 0.2)
        for across, down in ((1.0, 0.0), (-1.0, 0.0), (0.75, -0.75), (-0.75, -0.75)):
            x = spot.x + across * beside
            y = spot.y + down * (spot.radius + 0.3 * radius)
            ring = (x - radius, y - radius, x + radius, y + radius)
            aside = max(abs(x - spot.x) - wide / 2, 0.0), max(abs(y - spot.y) - high / 2, 0.0)
            clear = math.hypot(*aside) >= radius
            free = not any(_overlap(ring, box) for box in taken if box != own)
            if clear and free and abs(x) + radius < edge:
                taken.append(ring)
                yield mark_group(mark, at[0] + x, at[1] + y)
                break


def _box(fit: Fit, spot: Spot, name: str, grown: float) -> Corners:
    """The room a cavity really fills, mm."""
    half = (fit.rooms[name].half - SIDE_GAP / 2) * grown
    return (
        spot.x - half,
        spot.y - spot.radius,
        spot.x + half,
        spot.y + fit.rooms[name].below * grown,
    )


def _overlap(one: Corners, other: Corners) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def subtitle_words(plug: str, contacts: str, key: str, latch: str) -> str:
    """Return the second line of a caption: half, contacts, key and latch.

    Example:
        >>> subtitle_words("X2", "sockets", "top left", "")
        'X2 sockets · key at the top left'
        >>> subtitle_words("X2", "", "", "")
        'X2 · key not recorded'
    """
    parts = [f"{plug} {contacts}".rstrip()]
    parts += [f"{what} {_at(words)}" for what, words in (("key", key), ("latch", latch)) if words]
    if not key and not latch:
        parts.append("key not recorded")
    return " · ".join(parts)


def _at(words: str) -> str:
    plain = re.fullmatch(r"(top|bottom|left|right)( (left|right))?", words)
    return f"at the {words}" if plain else fit_text(words, 60.0, style.TEXT_WIRE)
