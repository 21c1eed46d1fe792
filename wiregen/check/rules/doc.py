"""Documents: where each fact comes from, and what the result rests on."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.known import title
from wiregen.check.rule import Found, Rule, Scene, nothing
from wiregen.model import Pin, Plug, Say
from wiregen.model.vocabulary import BARE_PIN_WORDS

_TITLE_BLOCK = ("title", "number", "revision", "date", "by")


def _facts(scene: Scene) -> Iterator[tuple[Plug, Pin]]:
    """Yield the pins of which the file states facts read off something that exists.

    Pins of a new loom are decided in this file, so they have no source but it.
    """
    for plug in scene.design.plugs.values():
        loom = scene.design.looms.get(plug.loom)
        if loom is not None and loom.status == "new":
            continue
        for pin in plug.pins.values():
            if pin.state == "used" and (pin.carries or pin.circuit or pin.colours or pin.role):
                yield plug, pin


def no_source(scene: Scene) -> Iterator[Found]:
    """The facts of a pin have no source."""
    for plug, pin in _facts(scene):
        if not pin.source and not pin.says:
            node = f"{plug.id}:{pin.name}"
            yield Found(
                f"{node} has no source",
                pin.origin.span,
                (node, plug.id),
                group=plug.id,
                summary=f"{title(scene.design.plugs, plug.id)}: {{count}} pins have no source: "
                "{members}",
                member=pin.name,
            )


def not_measured(scene: Scene) -> Iterator[Found]:
    """A pin that a new wire meets was not measured."""
    design, network = scene.design, scene.network
    for plug, pin in _facts(scene):
        node = f"{plug.id}:{pin.name}"
        mate = network.mate(plug.id)
        ids = [*network.wires_at(node), *(network.wires_at(f"{mate}:{pin.name}") if mate else ())]
        new = [w for w in ids if design.status_of(design.wires[w]) == "new"]
        if new and not pin.measured and pin.source:
            yield Found(
                f"{node} was not measured, and new wire {new[0]} meets it",
                pin.origin.span,
                (node, plug.id),
                group="measured",
                summary="{count} pins that new wires meet were not measured: {members}",
                member=node,
            )


def sources_disagree(scene: Scene) -> Iterator[Found]:
    """Two sources disagree on a pin, and nobody measured."""
    for plug, pin in ((p, pin) for p in scene.design.plugs.values() for pin in p.pins.values()):
        if pin.measured or len(pin.says) < 1:
            continue
        node = f"{plug.id}:{pin.name}"
        clashes = _clashes(pin)
        if clashes:
            message = f"{node}: sources disagree and nobody measured: {'; '.join(clashes)}"
            yield Found(message, pin.origin.at("says"), (node, plug.id))


def _clashes(pin: Pin) -> list[str]:
    """Return each fact that is said in more than one way, with who says what."""
    clashes = []
    for word in ("carries", "colour", "size", "circuit"):
        said: dict[str, str] = {}
        for say in pin.says:
            value = _value(say, word)
            if value:
                said.setdefault(value, say.source)
        own = _own(pin, word)
        if own:
            said.setdefault(own, pin.source or "this file")
        if len(said) > 1:
            listed = ", ".join(f"'{value}' ({source})" for value, source in said.items())
            clashes.append(f"{word} {listed}")
    return clashes


def _value(say: Say, word: str) -> str:
    if word == "colour":
        return say.colour.iec if say.colour else ""
    if word == "size":
        return say.size.label if say.size else ""
    return say.carries if word == "carries" else say.circuit


def _own(pin: Pin, word: str) -> str:
    if word == "colour":
        return pin.colours[0].iec if len(pin.colours) == 1 else ""
    if word == "size":
        return pin.sizes[0].label if len(pin.sizes) == 1 else ""
    if word == "circuit":
        return pin.circuit
    return pin.state if pin.state in BARE_PIN_WORDS else pin.carries


def title_block(scene: Scene) -> Iterator[Found]:
    """The title block lacks what a reader needs to tell one issue from the next."""
    block = scene.design.title_block
    lacking = [word for word in _TITLE_BLOCK if not getattr(block, word)]
    began = len(lacking) < len(_TITLE_BLOCK) or bool(scene.design.wires)
    if lacking and began:
        span = scene.design.origin.at("drawing")
        message = f"the title block has no {', no '.join(lacking)}"
        yield Found(message, span, ("drawing",))
    newest = block.revisions[-1].revision if block.revisions else ""
    if newest and block.revision and newest != block.revision:
        message = (
            f"the title block says revision {block.revision}, the last row of the revisions says "
            f"{newest}"
        )
        yield Found(message, scene.design.origin.at("drawing"), ("drawing", "revision"))


def rests_on(scene: Scene) -> Iterator[Found]:
    """The result rests on defaults and on tables that are from memory."""
    standards = _memory_faces(scene)
    if standards:
        listed = ", ".join(f"{plug} ({name})" for plug, name in standards.items())
        first = scene.design.plugs[next(iter(standards))]
        message = f"places of cavities from memory, not confirmed: {listed}"
        yield Found(message, first.origin.span, tuple(standards))


def _memory_faces(scene: Scene) -> dict[str, str]:
    """Return plug -> the standard it names, where the places of that face are from memory."""
    named = {
        plug.id: (plug.face.like if plug.face else "") or plug.standard
        for plug in scene.design.plugs.values()
        if scene.layouts[plug.id].positions_status == "from memory"
    }
    return {plug: name for plug, name in named.items() if name and name not in scene.design.plugs}


RULES = (
    Rule(
        code="DOC101",
        name="unused waiver",
        title="A waiver accepts nothing: no finding fits it",
        severity="warning",
        why="A waiver that outlived its fault hides the next one on the same object.",
        fix="Take the waiver out, or correct its rule or object",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=nothing,
        stage="waivers",
    ),
    Rule(
        code="DOC102",
        name="title block incomplete",
        title="The title block lacks title, number, revision, date or name",
        severity="warning",
        why="Two issues of a drawing without revision look alike in the glove box; the wrong one "
        "is built from.",
        fix="Fill in 'drawing'",
        source="ISO 7200 lists identification number, date of issue, title and creator as "
        "mandatory (from memory)",
        needs="",
        since="0.1",
        run=title_block,
        stage="structure",
    ),
    Rule(
        code="DOC103",
        name="rests on memory",
        title="The drawing or a result rests on tables that are not confirmed",
        severity="info",
        why="A cavity place taken from memory may be mirrored; it must be compared with the part.",
        fix="Compare with the part in the hand before building",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=rests_on,
        stage="structure",
    ),
    Rule(
        code="DOC201",
        name="pin without a source",
        title="The facts of a pin have no source",
        severity="warning",
        why="Many pinouts on the web are wrong; without a source nobody can tell which one this "
        "came from.",
        fix="Write where the fact was read: 'source: engine manual p. 41', or 'source: measured'",
        source="diagramspecialists.com gives pin 3 of the 13-pin trailer plug as supply; ISO 11446 "
        "gives it as return",
        needs="",
        since="0.1",
        run=no_source,
        stage="structure",
    ),
    Rule(
        code="DOC202",
        name="pin not measured",
        title="A pin that a new wire meets was not measured",
        severity="warning",
        why="Drawings of the next model year differ by one pin; the meter finds it before the "
        "smoke does.",
        fix="Measure the pin on the vehicle and write the date: 'measured: 2026-11-02'",
        source="common practice, no source",
        needs="source of the pins",
        since="0.1",
        run=not_measured,
        stage="structure",
    ),
    Rule(
        code="DOC203",
        name="sources disagree",
        title="Two sources disagree on a pin, and nobody measured",
        severity="error",
        why="One of the two is wrong, and a wire is about to be put on it.",
        fix="Measure the pin and write 'measured' with the date; keep both statements",
        source="cluster connector assignment (myvehicle.help): one pin is listed as open and as "
        "used",
        needs="says of the pins",
        since="0.1",
        run=sources_disagree,
        stage="structure",
    ),
)
