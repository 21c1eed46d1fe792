"""A layout repeated after a change: what was there stays, what is new finds its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from wiregen.layout.engine.berth import berthed
from wiregen.layout.engine.columns import CLEAR, ROUNDING, rounded_up
from wiregen.layout.engine.fitting import Limits, draw
from wiregen.layout.engine.graph import KeptLayout, Placement
from wiregen.layout.engine.insert import insert
from wiregen.layout.engine.lead import Laid, lead
from wiregen.layout.engine.make_room import clashes, pushed, widened
from wiregen.layout.engine.resume import Stage, Task, begin, resume
from wiregen.layout.engine.rows import keep_rows
from wiregen.layout.engine.settle import settled
from wiregen.layout.engine.trace import Parts
from wiregen.layout.engine.web import seat

MOST_WIDENED = 6  # ways to widen a channel that are tried


@dataclass(frozen=True, slots=True)
class Trial:
    """A layout with what found its place, and how many wires did not."""

    stage: Stage
    laid: Laid
    missed: tuple[str, ...]


def lay_kept(task: Task) -> Placement:
    """Return the layout of all boxes with those of an earlier layout in their places."""
    trials = []
    for keep in _layouts(task):
        trials.append(_tried(replace(task, keep=keep)))
        if not trials[-1].missed:
            return _finished(trials[-1])
    for keep in islice(_wider(task, trials), MOST_WIDENED):
        trial = _tried(replace(task, keep=keep))
        if not trial.missed:
            return _finished(trial)
    stage = begin(task)
    laid = resume(stage)
    done, _ = lead(laid, _new(laid))
    return replace(_finished(Trial(stage, done, ())), settled=False)


def lay_still(task: Task) -> Placement | None:
    """Return the layout with every box of an earlier layout in its place; None if there is none."""
    if next(clashes(resume(begin(task))), None) is not None:
        return None
    trial = _tried(task)
    if trial.missed:
        return None
    found = _finished(trial)
    return found if _is_still(task, found) else None


def _is_still(task: Task, found: Placement) -> bool:
    """Tell whether every box of the earlier layout is in its place."""
    left, top = found.origin
    return all(
        abs(at.x - left - before.x) <= ROUNDING and abs(at.y - top - before.y) <= ROUNDING
        for name, at in found.boxes.items()
        for before in [task.keep.boxes.get(name)]
        if before is not None
    )


def _layouts(task: Task) -> Iterator[KeptLayout]:
    """Yield the kept layout, or the ways to make room in it for boxes that have grown."""
    laid = resume(begin(task))
    if next(clashes(laid), None) is None:
        yield task.keep
        return
    for way in ("up", "down"):
        keep = pushed(task.keep, laid, way)
        if keep:
            yield keep


def _wider(task: Task, trials: Sequence[Trial]) -> Iterator[KeptLayout]:
    """Yield the layouts with the channels of the wires that found no way made wider."""
    links = {link.id: link for link in task.graph.links}
    for trial in trials[:1]:
        keep = trial.stage.task.keep
        channels: dict[int, None] = {}
        for name in trial.missed:
            channels.update(dict.fromkeys(_channels(trial, name)))
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
