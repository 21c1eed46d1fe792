"""Wires: their ends, their size, and what a new loom needs to be built."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.rule import Found, Rule, Scene
from wiregen.check.rules.col import own_pin
from wiregen.facts.ampacity import is_insulation, known_insulations
from wiregen.model import Loom, Wire, in_order
from wiregen.problems import Note, did_you_mean

_FACTS = ("colour", "size", "length")


def to_itself(scene: Scene) -> Iterator[Found]:
    """Both ends of a wire are on the same pin."""
    for wire in scene.design.wires.values():
        nodes = scene.network.ends_of[wire.id]
        if len(nodes) == 2 and nodes[0] == nodes[1]:
            message = f"{wire.id} goes from {nodes[0]} to itself"
            yield Found(message, wire.ends[1].span, (wire.id, nodes[0]))


def unequal_parallel(scene: Scene) -> Iterator[Found]:
    """Wires between the same two ends differ in size or length."""
    pairs: dict[tuple[str, ...], list[str]] = {}
    for wire in scene.design.wires.values():
        nodes = scene.network.ends_of[wire.id]
        if len(nodes) == 2 and nodes[0] != nodes[1] and scene.design.status_of(wire) != "removed":
            pairs.setdefault(tuple(in_order(nodes)), []).append(wire.id)
    for nodes, ids in pairs.items():
        wires = [scene.design.wires[i] for i in ids]
        sizes = {w.size.area_mm2 for w in wires if w.size is not None}
        lengths = {w.length_mm for w in wires if w.length_mm is not None}
        differ = [word for word, facts in (("size", sizes), ("length", lengths)) if len(facts) > 1]
        if differ:
            ends = " and ".join(nodes)
            message = (
                f"{', '.join(ids)} are parallel between {ends} but differ in {' and '.join(differ)}"
            )
            notes = tuple(Note(f"{w.id} runs beside it", w.origin.span) for w in wires[1:])
            yield Found(message, wires[0].origin.at(differ[0]), tuple(ids), notes)


def new_without_facts(scene: Scene) -> Iterator[Found]:
    """A new wire lacks colour, size or length."""
    for wire in scene.design.wires.values():
        if scene.design.status_of(wire) != "new" or not wire.loom:
            continue
        facts = (wire.colour, wire.size, wire.length_mm)
        lacking = [word for word, fact in zip(_FACTS, facts, strict=True) if fact is None]
        lacking = [word for word in lacking if word not in wire.origin.keys]
        if lacking:
            words = " and ".join(lacking)
            loom = f"loom {wire.loom}" if wire.loom else "no loom"
            yield Found(
                f"{wire.id} is new but has no {words}",
                wire.origin.span,
                (wire.id,),
                group=f"{loom} {words}",
                summary=f"{{count}} new wires of {loom} have no {words}: {{members}}",
                member=wire.id,
            )


def size_differs_from_pin(scene: Scene) -> Iterator[Found]:
    """A wire has another size than the record of its pin."""
    for node, wires in scene.network.wires_on.items():
        pin = own_pin(scene, node)
        if pin is None or not pin.sizes:
            continue
        legal = [size.area_mm2 for size in pin.sizes]
        for wire in (scene.design.wires[w] for w in wires):
            if wire.size is not None and wire.size.area_mm2 not in legal:
                said = " or ".join(size.label for size in pin.sizes)
                message = f"{wire.id} is {wire.size.label}, but {node} is said to hold {said}"
                notes = (Note(f"{node} is described here", pin.origin.at("size")),)
                yield Found(message, wire.origin.at("size"), (wire.id, node), notes)


def unknown_insulation(scene: Scene) -> Iterator[Found]:
    """The insulation of a loom or a wire is none that is known."""
    known = known_insulations()
    records: list[Loom | Wire] = [*scene.design.looms.values(), *scene.design.wires.values()]
    for record in records:
        text = record.insulation
        if text and not is_insulation(text):
            near = did_you_mean(text, known) or f"; known: {', '.join(known)}"
            message = f"{record.id}: '{text}' is no insulation that is known{near}"
            yield Found(message, record.origin.at("insulation"), (record.id,))


RULES = (
    Rule(
        code="WIR101",
        name="wire to itself",
        title="Both ends of a wire are on the same pin",
        severity="error",
        why="The wire connects nothing, and the pin it was meant for stays empty.",
        fix="Correct one of the ends",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=to_itself,
        stage="structure",
    ),
    Rule(
        code="WIR102",
        name="unequal parallel wires",
        title="Wires between the same two ends differ in size or length",
        severity="warning",
        why="The current does not share equally: the thicker or shorter wire carries most of it "
        "and gets hot.",
        fix="Make both alike, or use one wire of the next size",
        source="common practice, no source",
        needs="size or length of the wires",
        since="0.1",
        run=unequal_parallel,
        stage="structure",
    ),
    Rule(
        code="WIR103",
        name="new wire without its facts",
        title="A wire of a new loom has no size, length or colour",
        severity="warning",
        why="The loom cannot be cut from the list, and neither fuse nor drop can be checked.",
        fix="Add what is missing",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=new_without_facts,
        stage="structure",
    ),
    Rule(
        code="WIR104",
        name="size differs from the pin",
        title="A wire has another size than the record of its pin",
        severity="warning",
        why="Either the wire is in the wrong cavity, or a fuse is chosen for a wire that is not "
        "there.",
        fix="Measure the wire and correct it or the pin",
        source="common practice, no source",
        needs="size of the wire and of the pin",
        since="0.1",
        run=size_differs_from_pin,
        stage="structure",
    ),
    Rule(
        code="WIR105",
        name="unknown insulation",
        title="The insulation of a loom or a wire is none that is known",
        severity="warning",
        why="Without its temperature nobody can say what the wire may carry, and its fuse is not "
        "judged.",
        fix="Write type or class, or material and temperature: 'FLRY-B', 'class C', "
        "'thin-wall 105'",
        source="ISO 6722-1 and ISO 19642 classes, JASO D611, SAE J1128 and trade types",
        needs="",
        since="0.1",
        run=unknown_insulation,
        stage="structure",
    ),
)
