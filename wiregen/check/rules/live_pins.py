"""Bare pins that are live when the plug is parted."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

from wiregen.check.rule import Found, Rule, Scene


def live_pins(scene: Scene) -> Iterator[Found]:
    """The half that carries pins is the one supply comes from.

    The header of a unit cannot be chosen: it is told for information only.
    """
    came = _from_sources(scene)
    for plug in scene.design.plugs.values():
        mate = scene.network.mate(plug.id)
        if plug.contacts != "pins" or mate is None:
            continue
        for name in dict.fromkeys([*plug.pins, *scene.design.plugs[mate].pins]):
            node, meets = f"{plug.id}:{name}", f"{mate}:{name}"
            if came.get(meets) != node or _through(came, node, {plug.id, mate}):
                continue
            pin = plug.pins.get(name) or scene.design.plugs[mate].pins.get(name)
            yield Found(
                f"{node} is a bare pin and live when {plug.id} and {mate} are parted",
                pin.origin.span if pin else plug.origin.span,
                (node, plug.id),
                group=plug.id,
                summary=f"{plug.id} carries {{count}} bare pins that are live when it is parted "
                f"from {mate}: {{members}}",
                member=name,
                severity="info" if plug.of else None,
            )


def _through(came: dict[str, str], node: str, halves: set[str]) -> bool:
    """Return whether the way from a live pole to a node passes contacts of these two halves."""
    here = node
    while came[here]:
        if {here.partition(":")[0], came[here].partition(":")[0]} == halves:
            return True
        here = came[here]
    return False


def _from_sources(scene: Scene) -> dict[str, str]:
    """Return node -> the node before it on the shortest way from a live pole, earths left out."""
    network = scene.network
    came = dict.fromkeys(network.sources, "")
    queue = deque(network.sources)
    while queue:
        here = queue.popleft()
        net = network.net_of(here)
        if net is not None and net.kind == "earth":
            continue
        onward = [joint.node for joint in network.joints.get(here, ())]
        for link, _ in network.links_on((here,)):
            if link.kind in ("fuse", "contact"):
                onward += link.nodes
        for other in onward:
            if other not in came:
                came[other] = here
                queue.append(other)
    return came


LIVE_PIN = Rule(
    code="CON106",
    name="live bare pin",
    title="A contact that can be live is a bare pin when the plug is parted",
    severity="warning",
    why="The parted plug touches metal and shorts the feed; a hand or a tool finds it first.",
    fix="Put the sockets on the half that supply comes from",
    source="common practice, no source",
    needs="contacts (pins or sockets) of the plug, a source",
    since="0.1",
    run=live_pins,
)
