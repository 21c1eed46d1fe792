"""Pins that a standard keeps apart: they may not be joined on this side, nor bridged by a load."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations

from wiregen.check.rule import Found, Rule, Scene
from wiregen.check.ways import shortest
from wiregen.connect import Joint
from wiregen.facts import faces as catalogue
from wiregen.model import Plug
from wiregen.problems import Note
from wiregen.source import Span


@dataclass(frozen=True, slots=True)
class _Group:
    plug: Plug
    pins: tuple[str, ...]
    why: str
    span: Span


def _groups(scene: Scene) -> Iterator[_Group]:
    """Yield the groups that plugs state themselves, then those of their standard and side."""
    for plug in scene.design.plugs.values():
        stated = [tuple(pins) for pins in plug.apart]
        for pins in stated:
            yield _Group(plug, pins, "said here to stay apart", plug.origin.at("apart"))
        for apart in catalogue.apart(plug.standard) if plug.standard else ():
            if plug.side == apart.side and apart.pins not in stated:
                span = plug.origin.at("standard")
                yield _Group(plug, apart.pins, f"{plug.standard}: {apart.why}", span)


def joined(scene: Scene) -> Iterator[Found]:
    """Pins that must stay apart are joined by metal on this side of the plug."""
    for group in _groups(scene):
        plug = group.plug
        for one, other in combinations(group.pins, 2):
            start, goal = f"{plug.id}:{one}", f"{plug.id}:{other}"
            way = shortest(scene.network, start, goal.__eq__, _this_side(scene, plug))
            if way is None:
                continue
            wire = scene.design.wires.get(way.wires[-1]) if way.wires else None
            message = f"{start} and {goal} must stay apart but are joined {way.text}"
            notes = (Note(group.why, group.span),)
            span = wire.origin.span if wire else group.span
            yield Found(message, span, (plug.id, start, goal, *way.wires), notes)


def _this_side(scene: Scene, plug: Plug) -> Callable[[str, Joint], bool]:
    """Return a test that keeps a way from passing through the plug to its other half."""
    mate = scene.network.mate(plug.id)

    def passable(node: str, joint: Joint) -> bool:
        owners = {node.partition(":")[0], joint.node.partition(":")[0]}
        return joint.wire != "" or owners != {plug.id, mate}

    return passable


def bridged(scene: Scene) -> Iterator[Found]:
    """A load lies between two pins that must stay apart."""
    for group in _groups(scene):
        behind: dict[str, str] = {}
        for pin in group.pins:
            for node in _behind(scene, group.plug, f"{group.plug.id}:{pin}"):
                behind.setdefault(node, pin)
        places = dict.fromkeys(
            place for node in behind for place in scene.network.links_at.get(node, ())
        )
        for place in sorted(places):
            link = scene.network.links[place]
            pins = list(dict.fromkeys(behind[n] for n in link.nodes if n in behind))
            if link.kind != "load" or len(pins) < 2:
                continue
            record = scene.design.devices[link.device]
            plug = group.plug.id
            nodes = tuple(f"{plug}:{pin}" for pin in pins)
            message = f"{link.id} lies between {' and '.join(nodes)}, which must stay apart"
            notes = (Note(group.why, group.span),)
            yield Found(message, record.origin.span, (link.id, plug, *nodes), notes)


def _behind(scene: Scene, plug: Plug, start: str) -> list[str]:
    seen: list[str] = [start]
    passable = _this_side(scene, plug)
    known = {start}
    for here in seen:
        for joint in scene.network.joints.get(here, ()):
            if joint.node not in known and passable(here, joint):
                known.add(joint.node)
                seen.append(joint.node)
    return seen


RULES = (
    Rule(
        code="NET119",
        name="pins joined that must stay apart",
        title="Pins that must stay apart are joined on this side of the plug",
        severity="error",
        why="The current of one circuit returns through the wire of another: it gets hot, and with "
        "one return lost all circuits work wrongly.",
        fix="Give each of the pins its own wire to its own place",
        source="ISO 11446 contact allocation as published by a plug maker (erich-jaeger.com): the "
        "three returns shall not be joined in the trailer",
        needs="apart, or standard and side of the plug",
        since="0.1",
        run=joined,
    ),
    Rule(
        code="NET120",
        name="load between pins that must stay apart",
        title="A load lies between two pins that must stay apart",
        severity="error",
        why="With one of the two fuses out, the other side feeds it through the lamp: both sides "
        "glow.",
        fix="Use one lamp a side, each to its own pin",
        source="ISO 11446 contact allocation as published by a plug maker (erich-jaeger.com): no "
        "plate lamp on both 5 and 7",
        needs="apart, or standard and side of the plug",
        since="0.1",
        run=bridged,
    ),
)
