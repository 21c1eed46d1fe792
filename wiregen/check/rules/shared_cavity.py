"""Two wires in one cavity: allowed on one circuit, an error on two."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.rule import Found, Rule, Scene
from wiregen.check.rules.meetings import find_meetings
from wiregen.connect import Network
from wiregen.model import Wire
from wiregen.problems import Note
from wiregen.source import Span


def shared_nodes(scene: Scene) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each cavity in which two or more conducting wires end, with the wires."""
    for node, wires in scene.network.wires_on.items():
        owner, _, point = node.partition(":")
        if len(wires) > 1 and point and owner in scene.design.plugs:
            joined = [joint.wire for joint in scene.network.joints.get(node, ())]
            live = tuple(wire for wire in wires if wire in joined)
            if len(live) > 1:
                yield node, live


def two_nets(scene: Scene) -> Iterator[Found]:
    """Wires of two different circuits end in one cavity."""
    for meeting in find_meetings(scene):
        node, leads = meeting.cavity, dict(meeting.leads)
        if not node:
            continue
        named = [f"{wire} ('{circuit}')" for wire, circuit in leads.items()]
        message = f"{node} holds wires of different circuits: {' and '.join(named)}"
        spans = {wire: _end_span(scene.design.wires[wire], node, scene.network) for wire in leads}
        first, *others = leads
        notes = tuple(Note(f"{wire} ends in {node} too", spans[wire]) for wire in others)
        yield Found(message, spans[first], (node, *leads), notes)


def _end_span(wire: Wire, node: str, network: Network) -> Span:
    for end, at in zip(wire.ends, network.ends_of[wire.id], strict=True):
        if at == node:
            return end.span
    return wire.origin.span


def shared(scene: Scene) -> Iterator[Found]:
    """Wires of one circuit share a contact."""
    errors = {meeting.cavity for meeting in find_meetings(scene)}
    for node, wires in shared_nodes(scene):
        if node in errors:
            continue
        listed = ", ".join(wires)
        spans = [_end_span(scene.design.wires[w], node, scene.network) for w in wires]
        yield Found(
            f"{len(wires)} wires share the contact in {node}: {listed}",
            spans[0],
            (node, *wires),
            group="shared",
            summary="{count} contacts hold more than one wire: {members}",
            member=f"{node} ({listed})",
        )


CAVITY_TWO_NETS = Rule(
    code="CAV102",
    name="two nets in one cavity",
    title="Wires of two different circuits end in one cavity",
    severity="error",
    why="The contact joins the two circuits: a sensor gets the battery, or a fuse feeds what it "
    "was never meant to feed.",
    fix="Find out on the vehicle which wire belongs there, and move the other one",
    source="open data, rusefi/rusefi on GitHub, connectors file of a three-plug engine computer: "
    "one "
    "cavity listed for two functions",
    needs="circuit of the pins",
    since="0.1",
    run=two_nets,
    stage="structure",
)
CAVITY_SHARED = Rule(
    code="CAV103",
    name="two wires in one contact",
    title="Wires of one circuit share a contact",
    severity="info",
    why="It is allowed, but the crimp must take the sum of the areas, a seal takes one insulation "
    "only, and opening this plug also cuts what hangs behind it.",
    fix="Check the range of the contact against the summed area; use a splice where one wire a "
    "contact is the rule",
    source="boats.com, two wires in one crimp; hpacademy.com forum, one wire per pin",
    needs="",
    since="0.1",
    run=shared,
    stage="structure",
)
