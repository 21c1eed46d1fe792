"""A sheet before and after a change as one drawing: what is as it was is grey, the rest marked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from wiregen.layout.drawn_marks import (
    STRIP,
    Kind,
    Tag,
    band,
    faded,
    ghost,
    outline,
    sign,
    sign_on,
    strip,
    tags,
    tinted,
)
from wiregen.layout.drawn_pairs import (
    Key,
    Renames,
    Thing,
    ends_of,
    extent,
    is_changed,
    key_of,
    pair_texts,
    pair_things,
    things,
)
from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Path, Point, Rect, Sheet, Text, walk
from wiregen.sheet.metrics import fit
from wiregen.sheet.moves import scaled, shifted

_PAGE = ("zone", "frame", "heading", "plug-reference", "plug-title")
"""Classes of what belongs to the page itself and stays in ink."""
_HEADS = ("heading", "plug-reference", "plug-title")
_BOXED = ("plug", "device", "fuse", "splice", "earth", "place", "cavity", "pin-row", "finding-row")
_SMALL = ("wire", "cavity", "pin-row")
"""Things that stand out as a whole where only a text of theirs says something else."""
_ON_PAGE = ("plug", "device", "fuse", "splice", "place", "face")
_QUIET = ("finding-row", "finding")
_Box: TypeAlias = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing on a sheet that is not as it was.

    Attributes:
        kind: what happened.
        key: sort and names of the thing: `("wire", "W12")`.
    """

    kind: Kind
    key: Key


@dataclass(frozen=True, slots=True)
class DrawnDiff:
    """Two states of a sheet in one.

    Attributes:
        sheet: the drawing, with a strip below it that explains the marks.
        marks: what is marked, in the order of the sheet; empty when only places differ.
    """

    sheet: Sheet
    marks: tuple[Mark, ...]


def drawn_diff(
    old: Sheet | None,
    new: Sheet | None,
    names: tuple[str, str] = ("before", "after"),
    renames: Renames | None = None,
) -> DrawnDiff:
    """Return two states of one sheet as one drawing.

    A thing is known by its class and its names, see the SVG contract; one that only stands
    elsewhere is as it was.

    Args:
        old: the sheet as it was; None when it is new.
        new: the sheet as it is; None when it is gone. One of both is there.
        names: what the two states are called.
        renames: id of an object on the old sheet -> its id on the new one.
    """
    page = new or old
    assert page is not None
    if old is None or new is None:
        return _whole(page, "added" if old is None else "removed", names)
    own, inner = things(new.items)
    before, gone_from = things(old.items)
    job = _Job(renames or {}, _shift(gone_from, inner, renames or {}))
    furniture = [item for item in own if _is_page(item)]
    job.compare(gone_from, inner)
    job.faded += [item for item in own if not _is_page(item)]
    job.heads(before, own, min((extent(t.group.items)[1] for t in inner), default=0.0))
    items = (
        *job.without_tagged(_both_titles(before, furniture)),
        *map(faded, job.without_tagged(job.faded)),
        *job.ghosts,
        *job.under,
        *job.without_tagged(job.strong),
        *job.over,
        *tags(job.tags, page.width, page.height),
        *strip(page.width, page.height, *names, ""),
    )
    return DrawnDiff(replace(page, height=page.height + STRIP, items=items), tuple(job.marks))


def _whole(page: Sheet, kind: Kind, names: tuple[str, str]) -> DrawnDiff:
    """A sheet that is all new or all gone: drawn as it is, in a frame that says so."""
    edge = 4.0
    frame = outline((edge, edge, page.width - edge, page.height - edge), kind)
    note = f"this sheet is {'new' if kind == 'added' else 'gone'}"
    items = page.items
    if kind == "removed":
        corners = ((edge, edge), (page.width - edge, page.height - edge))
        items = (*map(faded, items), Path(corners, replace(frame.pen, fill=""), cls=frame.cls))
    whole = (*items, frame, *strip(page.width, page.height, *names, note))
    sheet = replace(page, height=page.height + STRIP, items=whole)
    return DrawnDiff(sheet, (Mark(kind, ("sheet", page.name)),))


def on_paper(sheet: Sheet, height: float) -> Sheet:
    """Return a drawing with its strip on paper of the size the sheet itself has.

    Args:
        sheet: of a `DrawnDiff`.
        height: of the paper, mm.
    """
    by = height / sheet.height
    edge = (sheet.width - sheet.width * by) / 2
    items = tuple(shifted(scaled(item, by), edge, 0.0) for item in sheet.items)
    return replace(sheet, height=height, items=items)


@dataclass(slots=True)
class _Job:
    """What is gathered while two sheets are compared, back to front."""

    renames: Renames
    shift: Point
    faded: list[Item] = field(default_factory=list)
    ghosts: list[Item] = field(default_factory=list)
    under: list[Item] = field(default_factory=list)
    strong: list[Item] = field(default_factory=list)
    over: list[Item] = field(default_factory=list)
    tags: list[Tag] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    tagged: set[int] = field(default_factory=set)

    def compare(self, old: Sequence[Thing], new: Sequence[Thing]) -> None:
        """Sort the things of two sheets, or of two things, into what is as it was and what not."""
        pairs, gone, came = pair_things(old, new, self.renames)
        for one, other in pairs:
            self.pair(one, other)
        for thing in gone:
            self.gone(thing)
        for thing in came:
            self.came(thing)

    def pair(self, old: Thing, new: Thing) -> None:
        """Draw a thing that is on both sheets."""
        if old.group == new.group:
            self.faded.append(new.group)
            return
        found = self.texts(old.texts, new.texts) if new.sort not in _QUIET else False
        changed = is_changed(old, new, self.renames)
        lit = changed or (found and new.sort in _SMALL)
        if changed or found:
            self.marks.append(Mark("changed", key_of(new, {})))
        if lit:
            self.emphasise(new, "changed")
            if new.sort == "wire" and ends_of(old, self.renames) != ends_of(new, {}):
                self.ghost(tuple(i for i in old.own if not isinstance(i, Text)))
                if not found:
                    self.texts((), new.texts, "changed")
        bare = replace(new.group, items=new.own)
        (self.strong if lit else self.faded).append(bare)
        self.compare(old.inner, new.inner)

    def gone(self, thing: Thing) -> None:
        """Draw a thing that is no longer there as it stood."""
        if thing.sort in _QUIET:
            return
        self.marks.append(Mark("removed", key_of(thing, self.renames)))
        runs = _runs(thing.group)
        if runs:
            self.texts(thing.texts, ())
        self.ghost(tuple(self.without_tagged((thing.group,))))
        if runs:
            self.over.append(sign(self.placed(sign_on(runs)), "removed"))
        elif thing.sort in _BOXED:
            self.over.append(sign(self.placed(_corner_of(_box_of(thing))), "removed"))

    def came(self, thing: Thing) -> None:
        """Draw a thing that was not there."""
        if thing.sort != "finding-row":
            self.marks.append(Mark("added", key_of(thing, {})))
        self.emphasise(thing, "added")
        if thing.sort == "wire":
            self.texts((), thing.texts)
        self.strong.append(thing.group)

    def emphasise(self, thing: Thing, kind: Kind) -> None:
        """Put the band of a change under a wire, or its frame around a thing."""
        runs = _runs(thing.group)
        if thing.sort == "wire" and runs:
            for run in runs:
                self.under += band(run, kind)
            self.over.append(sign(sign_on(runs), kind))
        elif thing.sort in _BOXED:
            box = _box_of(thing)
            by = 0.0 if thing.sort in ("pin-row", "finding-row") else 0.9
            self.under.append(tinted(box, kind, by))
            self.over.append(outline(box, kind, by))
            if thing.sort == "finding-row":
                self.over.append(sign((box[0] - 1.5, (box[1] + box[3]) / 2), kind))
            elif thing.sort != "pin-row":
                self.over.append(sign(_corner_of(box), kind))

    def ghost(self, items: tuple[Item, ...]) -> None:
        """Draw items as they stood, moved with the drawing as a whole."""
        seen = (item for item in map(ghost, items) if item is not None)
        self.ghosts += (shifted(item, *self.shift) for item in seen)

    def placed(self, point: Point) -> Point:
        """Return where a point of the old sheet is on the new one."""
        return point[0] + self.shift[0], point[1] + self.shift[1]

    def texts(self, old: Sequence[Text], new: Sequence[Text], came_as: Kind = "added") -> bool:
        """Note the texts of a thing that say something else; tell whether there are any."""
        pairs, gone, came = pair_texts(old, new)
        self.tags += [Tag("changed", one, other) for one, other in pairs]
        self.tags += [Tag("removed", _at(text, self.placed), None) for text in gone]
        self.tags += [Tag(came_as, None, text) for text in came]
        self.tagged.update(id(text) for _, text in pairs)
        self.tagged.update(id(text) for text in (*came, *gone))
        return bool(pairs or gone or came)

    def heads(self, old: Sequence[Item], new: Sequence[Item], top: float) -> None:
        """Compare the headings of two sheets: what is said above the drawing."""
        if self.texts(_headings(old, top), _headings(new, top)):
            self.marks.append(Mark("changed", ("sheet", "heading")))

    def without_tagged(self, items: Iterable[Item]) -> Iterator[Item]:
        """Yield items without the texts that stand in a tag."""
        for item in items:
            if isinstance(item, Group):
                yield replace(item, items=tuple(self.without_tagged(item.items)))
            elif id(item) not in self.tagged:
                yield item


def _is_page(item: Item) -> bool:
    if isinstance(item, Group):
        return item.cls == "title-block"
    return getattr(item, "cls", "") in _PAGE


def _headings(items: Iterable[Item], top: float) -> list[Text]:
    return [
        item
        for item in items
        if isinstance(item, Text) and (item.cls in _HEADS or (not item.cls and item.y < top))
    ]


def _at(text: Text, placed: Callable[[Point], Point]) -> Text:
    x, y = placed((text.x, text.y))
    return replace(text, x=x, y=y)


def _shift(old: Sequence[Thing], new: Sequence[Thing], renames: Renames) -> Point:
    """Return how far the drawing as a whole moved on its page: as most of its boxes did."""
    moves: Counter[Point] = Counter()
    for one, other in pair_things(old, new, renames)[0]:
        if other.sort in _ON_PAGE:
            before, after = _box_of(one), _box_of(other)
            moves[round(after[0] - before[0], 2), round(after[1] - before[1], 2)] += 1
    return max(moves, key=lambda move: (moves[move], move), default=(0.0, 0.0))


def _runs(group: Group) -> list[tuple[Point, ...]]:
    return [
        item.points for item in walk(group.items) if isinstance(item, Path) and item.cls == "run"
    ]


def _box_of(thing: Thing) -> _Box:
    """Return the body of a thing, else all it is drawn with."""
    for item in thing.own:
        if isinstance(item, Rect) and item.cls == "body":
            return item.x, item.y, item.x + item.width, item.y + item.height
    return extent(thing.group.items)


def _corner_of(box: _Box) -> Point:
    return box[2], box[1]


def _both_titles(old: Sequence[Item], new: Sequence[Item]) -> Iterator[Item]:
    """Yield the furniture of the page; the title block says both states where they differ."""
    before = next((fields_of(item) for item in old if _is_block(item)), {})
    for item in new:
        if isinstance(item, Group) and _is_block(item):
            yield replace(item, items=tuple(_filled(item, before)))
        else:
            yield item


def _is_block(item: Item) -> bool:
    return isinstance(item, Group) and item.cls == "title-block"


def fields_of(block: Item) -> dict[str, str]:
    """Return what the cells of a title block say: label -> value."""
    found: dict[str, str] = {}
    label = ""
    for item in block.items if isinstance(block, Group) else ():
        if isinstance(item, Text) and item.cls == "field":
            label = item.plain
        elif isinstance(item, Text) and item.cls == "value":
            found[label] = f"{found[label]} {item.plain}" if label in found else item.plain
    return found


def _filled(block: Group, before: Mapping[str, str]) -> Iterator[Item]:
    """Yield a title block whose cells say `B -> C` where they changed; the sheet number stays."""
    after = fields_of(block)
    edges = [t.x for t in block.items if isinstance(t, Text) and t.cls == "field"]
    label, done = "", set[str]()
    for item in block.items:
        if isinstance(item, Text) and item.cls == "field":
            label = item.plain
        both = label not in ("Sheet", "Title") and before.get(label, "") != after.get(label, "")
        if both and isinstance(item, Text) and item.cls == "value":
            if label in done:
                continue
            done.add(label)
            right = min((x for x in edges if x > item.x + 1), default=item.x + 24.0) - 4.0
            words = f"{before.get(label, '—')} → {after[label]}"
            size = style.TEXT_SMALLEST if len(words) > 12 else item.size
            shown = fit(words, right - item.x, size, bold=True)
            yield replace(item, parts=((shown, True, style.INK),), size=size)
        else:
            yield item
