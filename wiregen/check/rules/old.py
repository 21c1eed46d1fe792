"""Old looms: what becomes of every wire that is not used as it was."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.known import mate_of
from wiregen.check.rule import Found, Rule, Scene
from wiregen.connect import node_of
from wiregen.model import Wire
from wiregen.problems import Note


def no_fate(scene: Scene) -> Iterator[Found]:
    """An existing wire has one end, and nothing says what becomes of the other."""
    for wire in scene.design.wires.values():
        if len(wire.ends) < 2 and not wire.fate and scene.design.status_of(wire) == "existing":
            at = f" at {wire.ends[0].text}" if wire.ends else ""
            message = f"old wire {wire.id}{at} has one end and no fate"
            yield Found(message, wire.origin.span, (wire.id,))


def loose_end(scene: Scene) -> Iterator[Found]:
    """A wire was cut or taken out of one plug, and the end that is left is not insulated."""
    for wire in scene.design.wires.values():
        if len(wire.ends) == 1 and wire.fate in ("removed", "used", "moved"):
            message = (
                f"{wire.id} is {wire.fate} with one end left at {wire.ends[0].text}, "
                "and nothing says that the end is insulated"
            )
            yield Found(message, wire.origin.at("fate"), (wire.id,))


def unnamed_old_pins(scene: Scene) -> Iterator[Found]:
    """A plug of an old loom is picked up by new wires, but some of its pins lead nowhere."""
    design, network = scene.design, scene.network
    for plug in design.plugs.values():
        loom = design.looms.get(plug.loom)
        mate = mate_of(design, network, plug.id)
        if loom is None or loom.status != "existing" or mate is None:
            continue
        picked_up = any(network.wires_at(f"{mate.id}:{name}") for name in plug.pins)
        for pin in plug.pins.values() if picked_up else ():
            node = f"{plug.id}:{pin.name}"
            wired = network.wires_at(node) or network.wires_at(f"{mate.id}:{pin.name}")
            if pin.state == "used" and not wired and pin.use != "spare":
                yield Found(
                    f"{node} ({pin.carries or 'an old wire'}) leads to nothing on {mate.id}",
                    pin.origin.span,
                    (node,),
                    group=plug.id,
                    summary=f"{plug.id}: {{count}} pins lead to nothing on {mate.id}: {{members}}",
                    member=f"{pin.name} ({pin.carries})" if pin.carries else pin.name,
                )


def move_order(scene: Scene) -> Iterator[Found]:
    """Wires change cavities among themselves: the order in which they can be moved."""
    moved = [w for w in scene.design.wires.values() if w.fate == "moved" and w.was and w.ends]
    target = {wire.id: _new_end(scene, wire) for wire in moved}
    in_cavity = {node_of(w.was): w.id for w in moved if w.was is not None}
    chained = [w for w in moved if target[w.id] in in_cavity]
    if not chained:
        return
    steps = _steps({w.id: node_of(w.was) for w in moved if w.was}, target, in_cavity)
    notes = tuple(Note(f"{w.id} is moved", w.origin.at("was")) for w in chained[1:])
    message = f"wires change cavities among themselves; move them in this order: {', '.join(steps)}"
    yield Found(message, chained[0].origin.at("was"), tuple(w.id for w in moved), notes)


def _new_end(scene: Scene, wire: Wire) -> str:
    """Return the end of a moved wire that is in the plug it came from, else its first end."""
    old = wire.was.owner if wire.was else ""
    ends = [node_of(end) for end in wire.ends]
    return next((node for node in ends if node.partition(":")[0] == old), ends[0])


def _steps(source: dict[str, str], target: dict[str, str], in_cavity: dict[str, str]) -> list[str]:
    """Return the moves in an order in which each target is free; a circle is opened by parking."""
    waiting = dict(in_cavity)
    left = list(source)
    steps: list[str] = []
    while left:
        free = [w for w in left if waiting.get(target[w]) in (None, w)]
        if not free:
            parked = left[0]
            steps.append(f"park {parked}")
            waiting.pop(source[parked], None)
            continue
        for wire in free:
            steps.append(f"{wire} to {target[wire]}")
            if waiting.get(source[wire]) == wire:
                del waiting[source[wire]]
            left.remove(wire)
    return steps


RULES = (
    Rule(
        code="OLD101",
        name="old wire without a fate",
        title="An old wire has one end, and nothing says what becomes of the other",
        severity="error",
        why="A cut wire that nobody recorded stays live behind the panel until it touches metal.",
        fix="Write 'fate: used', 'moved', 'insulated' or 'removed', with the reason",
        source="alternator conversion thread, split sensor wires (case notes, address not kept)",
        needs="",
        since="0.1",
        run=no_fate,
        stage="structure",
    ),
    Rule(
        code="OLD102",
        name="loose end",
        title="A wire was cut or taken out, and the end that is left is not insulated",
        severity="warning",
        why="The stub is still in the plug at the other side: if that is live, the end shorts.",
        fix="Insulate the end and write 'fate: insulated', or give both ends of a wire that was "
        "taken out whole",
        source="common practice, no source",
        needs="fate of the wire",
        since="0.1",
        run=loose_end,
        stage="structure",
    ),
    Rule(
        code="OLD103",
        name="old pins not dealt with",
        title="A plug of an old loom is picked up by new wires, but some pins lead nowhere",
        severity="warning",
        why="A forgotten pin is a function that does not work after the job, or a live contact "
        "that nobody knows of.",
        fix="Wire the pin, or write 'use: spare' and a wire with 'fate: insulated'",
        source="common practice, no source",
        needs="pins of the old plug",
        since="0.1",
        run=unnamed_old_pins,
        stage="structure",
    ),
    Rule(
        code="OLD104",
        name="order of moves",
        title="Wires change cavities among themselves: they can only be moved in one order",
        severity="info",
        why="A wire moved too early meets another one still in its cavity, and one of the two is "
        "lost in the hand.",
        fix="Move the wires in this order and label each before it leaves its cavity",
        source="instrument cluster re-pin instruction, a chain of four cavities (case notes)",
        needs="'was' of the moved wires",
        since="0.1",
        run=move_order,
        stage="structure",
    ),
)
