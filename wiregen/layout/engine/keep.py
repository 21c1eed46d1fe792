"""A layout repeated after a change: what was there stays, what is new finds its place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import islice

from wiregen.layout.engine.berth import berthed
from wiregen.layout.engine.columns import CLEAR, ROUNDING, rounded_up
from wiregen.layout.engine.fitting import Limits, draw
from wiregen.layout.engine.graph import KeptLayout, Placement
from wiregen.layout.engine.insert import insert
from wiregen.layout.engine.lead import Laid, lead
from wiregen.layout.engine.make_room import WAYS, clashes, pushed, widened
from wiregen.layout.engine.resume import Stage, Task, begin, resume
from wiregen.layout.engine.rows import keep_rows
from wiregen.layout.engine.settle import settled
from wiregen.layout.engine.trace import Parts
from wiregen.layout.engine.web import seat

MOST_WIDENED = 6  # ways to widen a channel that are tried


@dataclass(frozen=True, slots=True)
class Trial:
    """A layout with what found its place, and the wires that did not."""

    stage: Stage
    laid: Laid
    missed: tuple[str, ...]


def lay_kept(tasks: Iterable[Task]) -> tuple[int, Placement]:
    """Return which of some tasks is done with least moved, and its layout.

    The first that can be done with no box moved; else the first or last for which few boxes move,
    or all behind a channel as one; else the last, with all moved as little as can be.

    Args:
        tasks: one sheet in different ways, the best first; one at least.
    """
    trials: list[tuple[Task, Trial | None]] = []
    for number, task in enumerate(map(_cleared, tasks)):
        fits = next(clashes(resume(begin(task))), None) is None
        trials.append((task, _tried(task) if fits else None))
        found = _done(trials[-1][1])
        if found and _is_still(task, found):
            return number, found
    last = len(trials) - 1
    for number in dict.fromkeys((0, last)):
        found = _moved(*trials[number])
        if found:
            return number, found
    return last, _loose(trials[last][0])


def _cleared(task: Task) -> Task:
    """Return a task in which marks that boxes have grown into have no place yet."""
    laid = resume(begin(task))
    pairs = ((clash.first, clash.second) for clash in clashes(laid))
    gone = {laid.boxes[box].id for pair in pairs for box in pair if laid.boxes[box].yields}
    if not gone:
        return task
    keep = task.keep
    ends = {link.id: {link.a[0], link.b[0]} for link in task.group.links}
    boxes = {name: box for name, box in keep.boxes.items() if name not in gone}
    links = {name: link for name, link in keep.links.items() if not ends.get(name, set()) & gone}
    return replace(task, keep=KeptLayout(boxes, links))


def _is_still(task: Task, found: Placement) -> bool:
    """Tell whether every box of the earlier layout is in its place, but for those that yield."""
    left, top = found.origin
    marks = {box.id for box in task.group.boxes if box.yields}
    return all(
        abs(at.x - left - before.x) <= ROUNDING and abs(at.y - top - before.y) <= ROUNDING
        for name, at in found.boxes.items()
        for before in [task.keep.boxes.get(name)]
        if before is not None and name not in marks
    )


def _moved(task: Task, trial: Trial | None) -> Placement | None:
    """Return the layout with room made for what found no place; None where there is none.

    Args:
        task: what is to be done.
        trial: with no box moved; None where boxes have grown into each other.
    """
    if trial is None:
        laid = resume(begin(task))
        for way in WAYS:
            keep = pushed(task.keep, laid, way)
            made = _tried(replace(task, keep=keep)) if keep else None
            if made and not made.missed:
                return _finished(made)
            trial = trial or made
    elif not trial.missed:
        return _finished(trial)
    if trial is not None:
        for keep in islice(_wider(task, trial), MOST_WIDENED):
            found = _done(_tried(replace(task, keep=keep)))
            if found:
                return found
    return None


def _loose(task: Task) -> Placement:
    """Return the layout with all that has no place put in, and all else moved for it."""
    stage = begin(task)
    laid = resume(stage)
    done, _ = lead(laid, _new(laid))
    return _finished(Trial(stage, done, ()))


def _wider(task: Task, trial: Trial) -> Iterator[KeptLayout]:
    """Yield the layouts with the channels of the wires that found no way made wider."""
    links = {link.id: link for link in task.graph.links}
    keep = trial.stage.task.keep
    channels = dict.fromkeys(at for name in trial.missed for at in _channels(trial, name))
    track, count = task.graph.track, len(trial.missed)
    width = max(links[name].label_width for name in trial.missed)
    for by in (count * track, (count + 2) * track, width + 2 * CLEAR + track):
        for channel in channels:
            found = widened(keep, trial.laid, channel, rounded_up(by))
            if found:
                yield found


def _channels(trial: Trial, name: str) -> Iterator[int]:
    """Yield the channels a wire passes, by the known column right of each."""
    laid, spread = trial.laid, trial.stage.spread
    wire = next(w for w, link in enumerate(laid.links) if link.id == name)
    columns = [0] * len(laid.web.layers)
    for box, layer in enumerate(laid.web.layer_of[: laid.web.boxes]):
        columns[layer] = spread[box] // 2
    for a, _ in laid.web.hops[wire]:
        channel = laid.web.channel(a)
        yield columns[channel] if channel < len(columns) else columns[-1] + 1


def _tried(task: Task) -> Trial:
    """Return the layout with the boxes that are in place there, and all else where it is free."""
    stage = berthed(begin(task))
    laid = resume(stage)
    firm, loose = settled(laid)
    done, missed = lead(firm, [*loose, *_new(laid)])
    homeless = [
        w
        for w in range(len(laid.links))
        if any(laid.web.item_of[t] not in laid.y for t in laid.web.ends(w))
    ]
    return Trial(stage, done, tuple(laid.links[w].id for w in dict.fromkeys((*missed, *homeless))))


def _new(laid: Laid) -> list[int]:
    """Return the wires that are new between boxes in place."""
    return [
        wire
        for wire in range(len(laid.links))
        if wire not in laid.wanted
        and all(laid.web.item_of[t] in laid.y for t in laid.web.ends(wire))
    ]


def _done(trial: Trial | None) -> Placement | None:
    """Return the placement of a layout in which all found its place."""
    return _finished(trial) if trial is not None and not trial.missed else None


def _finished(trial: Trial) -> Placement:
    """Return the placement of a layout; what has no place yet moves as little as it can."""
    stage, laid = trial.stage, trial.laid
    task, web = stage.task, laid.web
    led = [wire for wire in laid.old.labels if wire not in laid.wanted]
    seats = {**laid.seats, **{t: web.dy[t] for wire in led for t in web.ends(wire)}}
    insert(web, laid.y)
    seat(web, seats)
    parts = Parts(task.group.boxes, task.group.links, stage.facing.flipped)
    limits = Limits(task.graph.label_height, 0.0, 0.0)
    return draw(parts, web, keep_rows(web, laid.y), limits, laid.old)
