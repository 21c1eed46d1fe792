"""Where two circuit names meet on one net."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

from wiregen.check.rule import Scene
from wiregen.check.ways import is_return
from wiregen.connect import CircuitUse, Net


@dataclass(frozen=True, slots=True)
class Meeting:
    """A wire on which two names meet.

    Attributes:
        wire: its id.
        one: the first name, in order of the alphabet, with a pin that says it.
        other: the second name, likewise.
        cavity: the cavity at one end of the wire that holds further wires; empty if none does.
        leads: for such a cavity: wire -> the name it leads to.
    """

    wire: str
    one: CircuitUse
    other: CircuitUse
    cavity: str
    leads: tuple[tuple[str, str], ...]


def find_meetings(scene: Scene) -> Iterator[Meeting]:
    """Yield one wire for each two names of a net; work grows linearly.

    Each name spreads from the pins that say it, wire by wire, but not through earth points: there
    circuits may meet. Names that meet between the halves of a plug are left to the rule of mates.
    """
    for net in scene.network.nets:
        if len({use.name for use in net.circuits}) > 1:
            yield from _meetings_of(scene, net)


def _meetings_of(scene: Scene, net: Net) -> Iterator[Meeting]:
    joints = scene.network.joints
    label = {use.node: use.name for use in net.circuits}
    said = {use.name: use for use in reversed(net.circuits)}
    queue = deque(label)
    met: dict[tuple[str, str], tuple[str, str, str]] = {}
    while queue:
        here = queue.popleft()
        for joint in joints.get(here, ()):
            if is_return(scene.network, joint.node):
                continue
            if joint.node not in label:
                label[joint.node] = label[here]
                queue.append(joint.node)
            elif label[joint.node] != label[here] and joint.wire:
                names = (min(label[here], label[joint.node]), max(label[here], label[joint.node]))
                met.setdefault(names, (joint.wire, here, joint.node))
    for (one, other), (wire, *ends) in met.items():
        cavity = next((node for node in ends if _is_shared(scene, node)), "")
        leads = tuple(
            (joint.wire, label[joint.node])
            for joint in (joints[cavity] if cavity else ())
            if joint.wire and joint.node in label
        )
        yield Meeting(wire, said[one], said[other], cavity, leads)


def _is_shared(scene: Scene, node: str) -> bool:
    owner, _, point = node.partition(":")
    wires = [joint for joint in scene.network.joints.get(node, ()) if joint.wire]
    return bool(point) and owner in scene.design.plugs and len(wires) > 1
