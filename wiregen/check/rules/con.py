"""Mating halves: what the two halves of a connection say must fit together."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from wiregen.check.known import cavities_of, title
from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.check.rules.face_match import displaced
from wiregen.check.words import listed
from wiregen.model import Pin, Plug, in_order
from wiregen.model.faces import mirrored
from wiregen.problems import Note


def mated_pairs(scene: Scene) -> Iterator[tuple[Plug, Plug]]:
    """Yield the two halves of each connection once, in natural order of the first."""
    plugs = scene.design.plugs
    seen: set[str] = set()
    for plug in plugs.values():
        other = scene.network.mate(plug.id)
        if other is not None and scene.network.mate(other) == plug.id and plug.id not in seen:
            seen.add(other)
            yield plug, plugs[other]


def mates_disagree(scene: Scene) -> Iterator[Found]:
    """A plug pushes into a half that says it pushes into another one, or into itself."""
    for plug in scene.design.plugs.values():
        other = plug.mates
        if other == plug.id:
            yield Found(f"{plug.id} mates itself", plug.origin.at("mates"), (plug.id,))
        elif other in scene.design.plugs and scene.network.mate(other) != plug.id:
            taken = scene.network.mate(other)
            message = f"{plug.id} mates {other}, but {other} mates {taken}"
            notes = (Note(f"{other} is described here", scene.design.plugs[other].origin.span),)
            yield Found(message, plug.origin.at("mates"), (plug.id, other), notes)


def cavity_sets(scene: Scene) -> Iterator[Found]:
    """The halves of a connection have different cavities."""
    for one, other in mated_pairs(scene):
        names, others = _own_cavities(scene, one), _own_cavities(scene, other)
        if not names or not others or set(names) == set(others):
            continue
        lacking = [f"{n} only on {one.id}" for n in names if n not in others]
        lacking += [f"{n} only on {other.id}" for n in others if n not in names]
        shown = listed(lacking)
        message = f"{one.id} and {other.id} mate but have different cavities: {shown}"
        notes = (Note(f"the face of {other.id}", other.origin.at("face")),)
        yield Found(message, one.origin.at("face"), (one.id, other.id), notes)


def _own_cavities(scene: Scene, plug: Plug) -> tuple[str, ...]:
    """Return the cavities of a half that has its own face."""
    return tuple(scene.layouts[plug.id].cavities) if plug.face is not None else ()


def same_contacts(scene: Scene) -> Iterator[Found | Missing]:
    """Both halves of a connection carry pins, or both carry sockets."""
    for one, other in mated_pairs(scene):
        for plug in (one, other):
            if not plug.contacts:
                yield Missing("contacts (pins or sockets) of the plug", plug.id)
        if one.contacts and one.contacts == other.contacts:
            message = f"{one.id} and {other.id} mate, but both carry {one.contacts}"
            notes = (Note(f"{other.id} carries {other.contacts}", other.origin.at("contacts")),)
            yield Found(message, one.origin.at("contacts"), (one.id, other.id), notes)


def faces_differ(scene: Scene) -> Iterator[Found]:
    """The faces of the two halves are not mirror images of each other."""
    for one, other in mated_pairs(scene):
        if one.face is None or other.face is None:
            continue
        if one.face.like == other.id or other.face.like == one.id:
            owner, copied = (one, other) if one.face.like == other.id else (other, one)
            message = (
                f"the face of {owner.id} is said to be like {copied.id}, its own mate; "
                "the two are mirror images"
            )
            yield Found(message, owner.origin.at("face"), (owner.id, copied.id))
            continue
        here, there = scene.layouts[one.id], mirrored(scene.layouts[other.id])
        if set(here.cavities) != set(there.cavities):
            continue
        wrong = in_order(displaced(here, there))
        if wrong:
            shown = listed(wrong)
            alike = not displaced(here, mirrored(there))
            hint = "; both are drawn alike, so one was drawn from the other side" if alike else ""
            message = f"the faces of {one.id} and {other.id} do not meet at {shown}{hint}"
            notes = (Note(f"the face of {other.id}", other.origin.at("face")),)
            yield Found(message, one.origin.at("face"), (one.id, other.id), notes)


def circuits_differ(scene: Scene) -> Iterator[Found]:
    """Two contacts that meet are said to carry different circuits."""
    for one, other, pin, mate in _mated_pins(scene):
        if pin.circuit and mate.circuit and pin.circuit != mate.circuit:
            node, meets = f"{one.id}:{pin.name}", f"{other.id}:{mate.name}"
            message = f"{node} carries '{pin.circuit}' but meets {meets} with '{mate.circuit}'"
            notes = (Note(f"{meets} carries '{mate.circuit}'", mate.origin.at("circuit")),)
            yield Found(message, pin.origin.at("circuit"), (node, meets), notes)
        elif {pin.role, mate.role} in ({"supply", "earth"}, {"output", "earth"}):
            node, meets = f"{one.id}:{pin.name}", f"{other.id}:{mate.name}"
            message = f"{node} is {_a(pin.role)} pin but meets {meets}, {_a(mate.role)} pin"
            notes = (Note(f"{meets} is {_a(mate.role)} pin", mate.origin.at("role")),)
            yield Found(message, pin.origin.at("role"), (node, meets), notes)


def _a(role: str) -> str:
    return f"an {role}" if role[0] in "aeiou" else f"a {role}"


def words_differ(scene: Scene) -> Iterator[Found]:
    """Two contacts that meet are described in different words."""
    for one, other, pin, mate in _mated_pins(scene):
        if not pin.carries or not mate.carries or (pin.circuit and mate.circuit):
            continue
        if pin.carries.casefold() != mate.carries.casefold():
            pair = f"{one.id} and {other.id}"
            notes = (Note(f"{other.id}:{mate.name} is described here", mate.origin.span),)
            yield Found(
                f"{one.id}:{pin.name} '{pin.carries}' meets "
                f"{other.id}:{mate.name} '{mate.carries}'",
                pin.origin.at("carries"),
                (f"{one.id}:{pin.name}", f"{other.id}:{mate.name}"),
                notes,
                group=pair,
                summary=f"{pair} describe {{count}} contacts differently: {{members}}",
                member=f"{pin.name} '{pin.carries}' meets '{mate.carries}'",
            )


def sizes_differ(scene: Scene) -> Iterator[Found]:
    """The wires on both sides of a contact are said to be of different size."""
    for one, other, pin, mate in _mated_pins(scene):
        sizes = sorted(size.area_mm2 for size in pin.sizes)
        if sizes and mate.sizes and sizes != sorted(size.area_mm2 for size in mate.sizes):
            node, meets = f"{one.id}:{pin.name}", f"{other.id}:{mate.name}"
            here = " + ".join(size.label for size in pin.sizes)
            there = " + ".join(size.label for size in mate.sizes)
            message = f"{node} has a wire of {here} mm2 but meets {meets} with {there} mm2"
            notes = (Note(f"{meets} has {there} mm2", mate.origin.at("size")),)
            yield Found(message, pin.origin.at("size"), (node, meets), notes)


def _mated_pins(scene: Scene) -> Iterator[tuple[Plug, Plug, Pin, Pin]]:
    for one, other in mated_pairs(scene):
        for pin in one.pins.values():
            mate = other.pins.get(pin.name)
            if mate is not None and pin.state == "used" and mate.state == "used":
                yield one, other, pin, mate


def swappable(scene: Scene) -> Iterator[Found]:
    """Plugs of one housing and near each other carry different things: one can be swapped."""
    by_housing: dict[str, list[Plug]] = {}
    for plug in scene.design.plugs.values():
        if plug.housing:
            by_housing.setdefault(plug.housing, []).append(plug)
    for housing, plugs in by_housing.items():
        for one, other in combinations(_one_side(plugs), 2):
            if not _can_swap(scene, one, other):
                continue
            clashes = list(_clashes(scene, one, other))
            if clashes:
                shown = listed(clashes, between="; ")
                yield Found(
                    f"{title(scene.design.plugs, one.id)} and "
                    f"{title(scene.design.plugs, other.id)} share the housing '{housing}' and "
                    f"can be swapped: {shown}",
                    one.origin.at("housing"),
                    (one.id, other.id),
                    (Note(f"{other.id} has the same housing", other.origin.at("housing")),),
                    group=housing,
                    summary=f"{{count}} pairs of plugs share the housing '{housing}' and can be "
                    "swapped: {members}",
                    member=f"{one.id} and {other.id} ({clashes[0]})",
                )


def _one_side(plugs: list[Plug]) -> list[Plug]:
    """Leave out built-in halves: they do not move; at most 24 plugs of a kind are compared."""
    return [plug for plug in plugs if not plug.of][:24]


def _can_swap(scene: Scene, one: Plug, other: Plug) -> bool:
    if scene.network.mate(one.id) == other.id:
        return False
    if one.contacts and other.contacts and one.contacts != other.contacts:
        return False
    if one.keyed and other.keyed and one.keyed != other.keyed:
        return False
    return not (one.where and other.where and one.where.casefold() != other.where.casefold())


def _clashes(scene: Scene, one: Plug, other: Plug) -> Iterator[str]:
    for name in cavities_of(scene, one.id):
        here, there = _carried(scene, one, name), _carried(scene, other, name)
        if here and there and here.casefold() != there.casefold():
            yield f"{name} '{here}' against '{there}'"


def _carried(scene: Scene, plug: Plug, name: str) -> str:
    """Return what a cavity carries: its circuit if there is one, else its words."""
    mate = scene.design.plugs.get(scene.network.mate(plug.id) or "")
    for half in (plug, mate):
        pin = half.pins.get(name) if half else None
        if pin is not None and pin.state == "used" and (pin.circuit or pin.carries):
            return pin.circuit or pin.carries
    return ""


RULES = (
    Rule(
        code="CON101",
        name="cavity sets differ",
        title="The halves of a connection have different cavities",
        severity="error",
        why="The halves do not push together, or the wires of the extra cavities end in nothing.",
        fix="Compare both halves in the hand; correct the face, or the plug that 'mates' names",
        source="common practice, no source",
        needs="faces of both halves",
        since="0.1",
        run=cavity_sets,
        stage="structure",
    ),
    Rule(
        code="CON102",
        name="same contacts on both halves",
        title="Both halves of a connection carry pins, or both carry sockets",
        severity="error",
        why="The halves cannot meet: the plug ordered for the adapter is the wrong one.",
        fix="Look at the contacts, not at the shell, and correct one half",
        source="workshop manual of a light vehicle, connector page (myvehicle.help): the terminals "
        "decide, not the housing",
        needs="contacts (pins or sockets) of both halves",
        since="0.1",
        run=same_contacts,
        stage="structure",
    ),
    Rule(
        code="CON103",
        name="faces do not meet",
        title="The faces of the two halves are not mirror images of each other",
        severity="error",
        why="Left and right are exchanged: every wire of the adapter lands on the wrong pin, and "
        "supply meets signal at the first plug-in.",
        fix="Say for each face which side it was seen from, or leave the face of one half out: it "
        "is then its mate's, mirrored",
        source="published connector pages of four makers disagree on the side that is drawn "
        "(myvehicle.help, onlymanuals, lemon-manuals, charm.li)",
        needs="faces of both halves",
        since="0.1",
        run=faces_differ,
        stage="structure",
    ),
    Rule(
        code="CON104",
        name="mated pins disagree",
        title="Two contacts that meet carry different circuits, or a supply meets an earth",
        severity="error",
        why="Plugging the halves together joins the two circuits: a lamp supply becomes a brake "
        "supply, a feed is shorted to earth.",
        fix="Find out which half is right; cross the wires in the adapter, or correct the record",
        source="wikimili, Trailer connectors in Australia: pin 5 is a tail lamp on one side and "
        "the brakes on the other",
        needs="circuit or role of the pins on both halves",
        since="0.1",
        run=circuits_differ,
        stage="structure",
    ),
    Rule(
        code="CON105",
        name="mated sizes differ",
        title="The wires on both sides of a contact differ in size",
        severity="warning",
        why="The smaller wire limits the circuit; a fuse chosen for the bigger one does not "
        "protect it.",
        fix="Check the fuse against the smaller wire, or correct the size",
        source="common practice, no source",
        needs="size of the pins on both halves",
        since="0.1",
        run=sizes_differ,
        stage="structure",
    ),
    Rule(
        code="CON107",
        name="plugs can be swapped",
        title="Plugs of one housing near each other carry different things",
        severity="warning",
        why="Sooner or later the wrong plug is pushed in: what would meet what is listed.",
        fix="Use another housing or key, label both plugs, or give 'where' if they are far apart",
        source="private documentation of a light vehicle, chapter 9 (muccowboy.de): rear lamp "
        "plugs of one part with left and right reversed",
        needs="housing of the plugs",
        since="0.1",
        run=swappable,
        stage="structure",
    ),
    Rule(
        code="CON108",
        name="mated pins described differently",
        title="Two contacts that meet are described in different words",
        severity="warning",
        why="The plug fits, the wiring does not: the same plug was wired in more than one way.",
        fix="Compare both lists pin by pin; give both pins the same circuit where they do agree",
        source="Wikipedia, Trailer connectors in military organizations: one 12-way plug, three "
        "allocations",
        needs="what the pins carry on both halves",
        since="0.1",
        run=words_differ,
        stage="structure",
    ),
    Rule(
        code="CON109",
        name="mates disagree",
        title="The halves do not agree on which plugs push together",
        severity="error",
        why="It is not known which wires meet, so nothing behind the plug can be trusted.",
        fix="Correct 'mates' on one of the plugs; one half saying it is enough",
        source="common practice, no source",
        needs="",
        since="0.1",
        run=mates_disagree,
        stage="structure",
    ),
)
