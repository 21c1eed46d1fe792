"""What the rules on operating states have in common: solved states, and words for them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiregen.check.known import A_SOURCE
from wiregen.check.rule import Missing, Scene
from wiregen.compute.elements import Element
from wiregen.compute.states import Point
from wiregen.model import Device
from wiregen.source import Span


def solved(scene: Scene) -> tuple[Point, ...]:
    """Return the states that have an operating point; none when the design has no source."""
    if not scene.network.sources or not scene.design.states:
        return ()
    return tuple(point for point in scene.study.points.values() if point.found)


def lacking(scene: Scene) -> Iterator[Missing]:
    """Yield what keeps every rule on states from judging."""
    if not scene.design.wires or not scene.design.devices:
        return
    if not scene.network.sources:
        yield Missing(A_SOURCE)
    elif not scene.design.states:
        yield Missing("states")


def in_states(names: Iterable[str]) -> str:
    """Return `in state 'run'`, or `in states 'run' and 'crank'`.

    Example:
        >>> in_states(["run"]), in_states(["run", "night", "crank"])
        ("in state 'run'", "in states 'run', 'night' and 'crank'")
    """
    quoted = [f"'{name}'" for name in names]
    if len(quoted) == 1:
        return f"in state {quoted[0]}"
    return f"in states {', '.join(quoted[:-1])} and {quoted[-1]}"


def device_of(scene: Scene, element: Element | str) -> Device | None:
    """Return the record a branch was made from: a device, or a part inside a unit."""
    name = element if isinstance(element, str) else element.id
    owner, _, part = name.partition(":")[0].partition(".")
    device = scene.design.devices.get(owner.partition(" ")[0])
    return device.inside.get(part, device) if device is not None else None


def called(scene: Scene, element: Element | str) -> str:
    """Return `P1 (Work light)`, or the bare id."""
    name = element if isinstance(element, str) else element.id
    device = device_of(scene, name)
    return f"{name} ({device.title})" if device is not None and device.title else name


def place_of(scene: Scene, name: str) -> Span:
    """Return where a branch, a wire or a fuse stands in the file."""
    device = device_of(scene, name)
    if device is not None:
        return device.origin.span
    for section in (scene.design.wires, scene.design.fuses):
        if name in section:
            return section[name].origin.span
    return scene.design.origin.span


def owners(name: str) -> tuple[str, ...]:
    """Return the ids a waiver may name for a branch: itself, its unit, its device."""
    bare = name.partition(":")[0]
    return tuple(dict.fromkeys((name, bare, bare.partition(".")[0])))
