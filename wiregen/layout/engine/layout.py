"""The engine's one entry: a graph in, a placement out."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import chain, pairwise

from wiregen.layout.engine.compose import Group, lay_group
from wiregen.layout.engine.facing import Tie
from wiregen.layout.engine.graph import (
    Box,
    Graph,
    KeptLayout,
    Link,
    PinRef,
    Placement,
    Point,
    Room,
)
from wiregen.layout.engine.keep import lay_kept
from wiregen.layout.engine.resume import Task
from wiregen.layout.engine.trace import move
from wiregen.model.order import natural_key


def lay_out(graph: Graph, keep: KeptLayout | None = None, room: Room | None = None) -> Placement:
    """Return the places of boxes, pins, wires and labels.

    The result depends on nothing but the graph, and not on the order of its boxes and links.

    Args:
        graph: boxes and links; every link ends on pins of the graph, a pin has one link at most.
        keep: an earlier layout; what is in it stays in its place as far as the graph allows.
        room: how far the sheet of the earlier layout reaches; as far as needed where not given.

    Raises:
        ValueError: an id is used twice, a link ends at no pin, a pin has two links, a box has
            both free and fixed pins, or too few places for its free pins.

    Example:
        >>> from wiregen.layout.engine.graph import Pin
        >>> left = Box("X1", 20, 10, (Pin("1", "E", 20, 5),))
        >>> right = Box("X2", 20, 10, (Pin("1", "W", 0, 5),))
        >>> lay_out(Graph((left, right), (Link("W1", ("X1", "1"), ("X2", "1"), 18),))).routes
        {'W1': ((20.0, 5.0), (49.0, 5.0))}
    """
    if keep is not None:
        return repeat([(graph, keep)], room)[1]
    groups = _groups(graph)
    return _pack([lay_group(group, graph) for group in groups], graph)


def repeat(
    choices: Iterable[tuple[Graph, KeptLayout]], room: Room | None = None
) -> tuple[int, Placement]:
    """Return which of some graphs moves least of an earlier layout, and the places of all in it.

    Args:
        choices: graphs of the same boxes, the best first, each with what holds for it of the
            earlier layout; one at least. Those after the first that moves nothing are not asked.
        room: how far the sheet of the earlier layout reaches; as far as needed where not given.
    """
    rest = iter(choices)
    graph, keep = next(rest)
    if not any(box.id in keep.boxes for box in graph.boxes):
        return 0, lay_out(graph)
    return lay_kept(
        Task(_whole(graph), graph, keep, room or Room())
        for graph, keep in chain([(graph, keep)], rest)
    )


def _whole(graph: Graph) -> Group:
    """Return all boxes as one group, in natural order."""
    boxes = sorted(graph.boxes, key=lambda box: natural_key(box.id))
    links = sorted(graph.links, key=lambda link: natural_key(link.id))
    _check(boxes, links)
    return _group(boxes, links)


def _groups(graph: Graph) -> list[Group]:
    """Return the boxes that hang together, groups by their first box."""
    whole = _whole(graph)
    boxes, links = whole.boxes, whole.links
    near: dict[str, list[str]] = {box.id: [] for box in boxes}
    for link in links:
        near[link.a[0]].append(link.b[0])
        near[link.b[0]].append(link.a[0])
    group_of: dict[str, int] = {}
    count = 0
    for box in boxes:
        if box.id in group_of:
            continue
        todo = [box.id]
        group_of[box.id] = count
        while todo:
            for other in near[todo.pop()]:
                if other not in group_of:
                    group_of[other] = count
                    todo.append(other)
        count += 1
    members: list[list[Box]] = [[] for _ in range(count)]
    wires: list[list[Link]] = [[] for _ in range(count)]
    for box in boxes:
        members[group_of[box.id]].append(box)
    for link in links:
        wires[group_of[link.a[0]]].append(link)
    return [_group(own, tied) for own, tied in zip(members, wires, strict=True)]


def _group(boxes: Sequence[Box], links: Sequence[Link]) -> Group:
    number = {box.id: index for index, box in enumerate(boxes)}
    pin = {(box.id, p.name): index for box in boxes for index, p in enumerate(box.pins)}
    ties = tuple(
        Tie(number[link.a[0]], pin[link.a], number[link.b[0]], pin[link.b]) for link in links
    )
    return Group(tuple(boxes), tuple(links), ties)


def _check(boxes: Sequence[Box], links: Sequence[Link]) -> None:
    """Raise ValueError for a graph the engine cannot draw."""
    for kind, ids in (("box", [b.id for b in boxes]), ("link", [e.id for e in links])):
        for one, other in pairwise(ids):
            if one == other:
                raise ValueError(f"two entries with the {kind} id {one!r}")
    pins = {(box.id, pin.name) for box in boxes for pin in box.pins}
    for box in boxes:
        if len({pin.free for pin in box.pins}) > 1:
            raise ValueError(f"box {box.id!r} has both free and fixed pins")
        if box.pins and box.pins[0].free and 2 * len({pin.dy for pin in box.pins}) < len(box.pins):
            raise ValueError(f"box {box.id!r} has too few places for its free pins")
        if len({pin.name for pin in box.pins}) < len(box.pins):
            raise ValueError(f"box {box.id!r} has two pins of one name")
    taken: dict[PinRef, str] = {}
    for link in links:
        for ref in (link.a, link.b):
            if ref not in pins:
                raise ValueError(f"link {link.id!r} ends at no pin: {ref!r}")
            if ref in taken:
                raise ValueError(f"links {taken[ref]!r} and {link.id!r} share the pin {ref!r}")
            taken[ref] = link.id


def _pack(parts: Sequence[Placement], graph: Graph) -> Placement:
    """Set the groups side by side in rows, in the row width that needs the smallest sheet."""
    gap = 2 * graph.pitch
    widest = max((part.width for part in parts), default=0.0)
    limits = [widest]
    run = -gap
    for part in parts:
        run += part.width + gap
        if run > limits[-1] + gap:
            limits.append(run)

    def sheet(limit: float) -> float:
        corners = _corners(parts, limit, gap)
        return max(
            max((x + part.width) / graph.aspect, y + part.height)
            for (x, y), part in zip(corners, parts, strict=True)
        )

    corners = _corners(parts, min(limits, key=sheet) if parts else 0.0, gap)
    placed: list[Placement] = []
    layers = 0
    for part, (x, y) in zip(parts, corners, strict=True):
        layers = layers if x else 0
        placed.append(move(part, x, y, layers))
        layers += 1 + max(box.layer for box in part.kept.boxes.values())
    return Placement(
        {k: v for part in placed for k, v in part.boxes.items()},
        {k: v for part in placed for k, v in part.pins.items()},
        {k: v for part in placed for k, v in part.routes.items()},
        {k: v for part in placed for k, v in part.labels.items()},
        max((x + part.width for (x, _), part in zip(corners, parts, strict=True)), default=0.0),
        max((y + part.height for (_, y), part in zip(corners, parts, strict=True)), default=0.0),
        KeptLayout(
            {k: v for part in placed for k, v in part.kept.boxes.items()},
            {k: v for part in placed for k, v in part.kept.links.items()},
        ),
    )


def _corners(parts: Sequence[Placement], limit: float, gap: float) -> list[Point]:
    """Return the corners of groups set side by side in rows no wider than `limit` mm."""
    corners = []
    x = y = row = 0.0
    for part in parts:
        if x and x + part.width > limit + 1e-9:
            x, y, row = 0.0, y + row + gap, 0.0
        corners.append((x, y))
        row = max(row, part.height)
        x += math.ceil(part.width * 100 - 1e-6) / 100 + gap
    return corners
