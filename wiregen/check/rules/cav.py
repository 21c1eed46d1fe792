"""Cavities: each wire lands in a cavity that exists, is free for it and is named as marked."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from wiregen.check.known import (
    cavities_of,
    has_face,
    mate_of,
    pin_at,
    title,
)
from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.check.rules.shared_cavity import CAVITY_SHARED, CAVITY_TWO_NETS
from wiregen.check.words import cavities, listed
from wiregen.facts.din72552 import terminal
from wiregen.model import End, Plug, in_order
from wiregen.problems import Note, did_you_mean
from wiregen.source import Span

_SHAPES = re.compile(r"\d+|[^\W\d_]+")


def unknown_cavity(scene: Scene) -> Iterator[Found | Missing]:
    """An end, or a pin's own record, names a cavity that the plug does not have."""
    for subject, end in _contacts(scene):
        if end.owner not in scene.design.plugs:
            continue
        known = cavities_of(scene, end.owner)
        if not end.point:
            message = f"{subject}: '{end.text}' does not say which cavity"
            yield Found(message, end.span, (subject, end.owner))
        elif not known:
            yield Missing("face or pins of the plug", end.owner)
        elif end.point not in known:
            message = f"{subject}: {end.owner} has no cavity '{end.point}'"
            yield Found(
                message + _legal(end.point, known), end.span, (subject, f"{end.owner}:{end.point}")
            )
    for plug in scene.design.plugs.values():
        known = cavities_of(scene, plug.id) if has_face(scene, plug.id) else tuple(plug.pins)
        legal = set(known)
        for name, span in _other_names(plug):
            if known and name not in legal:
                message = f"{plug.id} has no cavity '{name}'{_legal(name, known)}"
                yield Found(message, span, (f"{plug.id}:{name}", plug.id))
        for name in (name for name in plug.pins if name not in legal):
            node = f"{plug.id}:{name}"
            message = f"{node} is not on the face of {plug.id}{_legal(name, known)}"
            yield Found(message, plug.pins[name].origin.span, (node, plug.id))


def _contacts(scene: Scene) -> Iterator[tuple[str, End]]:
    """Yield what is crimped into contacts: the ends of wires, and screens at their pins."""
    yield from scene.ends
    for group in scene.design.groups.values():
        if group.screen is not None:
            yield group.id, group.screen


def _other_names(plug: Plug) -> Iterator[tuple[str, Span]]:
    """Yield the cavities that `apart` and the sizes of the face name."""
    for group in plug.apart:
        yield from ((name, plug.origin.at("apart")) for name in group)
    if plug.face is not None:
        names = (name for name in plug.face.cavity if name != "default")
        yield from ((name, plug.face.origin.at("cavity")) for name in names)


def _legal(name: str, known: tuple[str, ...]) -> str:
    """Return the nearest cavity and the legal ones: `; did you mean 'J'? it has A, B, C`."""
    near = did_you_mean(name, known) or _neighbour(name, known)
    shown = listed(known, 16)
    return f"{near}{' ' if near else '; '}it has {shown}"


def _neighbour(name: str, known: tuple[str, ...]) -> str:
    """Suggest the one-letter cavity next in the alphabet: I is often written for J, O for P."""
    if len(name) != 1 or not name.isalpha():
        return ""
    near = [k for k in known if len(k) == 1 and 0 < ord(k) - ord(name) <= 1]
    return f"; did you mean '{near[0]}'?" if near else ""


def no_contact(scene: Scene) -> Iterator[Found]:
    """A wire or a screen ends in a cavity that is said to be empty or blocked."""
    for subject, end in _contacts(scene):
        node = f"{end.owner}:{end.point}"
        pin = pin_at(scene.design, scene.network, node)
        if pin is not None and (pin.state in ("empty", "blocked") or pin.contact == "none"):
            word = pin.state if pin.state != "used" else "without contact"
            message = f"{subject} ends in {node}, which is said to be {word}"
            notes = (Note(f"{node} is said to be {word} here", pin.origin.span),)
            yield Found(message, end.span, (subject, node), notes)


def reserved(scene: Scene) -> Iterator[Found]:
    """A wire or a screen ends in a reserved cavity."""
    for subject, end in _contacts(scene):
        node = f"{end.owner}:{end.point}"
        pin = pin_at(scene.design, scene.network, node)
        if pin is not None and pin.state == "reserved":
            notes = (Note(f"{node} is said to be reserved here", pin.origin.span),)
            message = f"{subject} ends in {node}, which is reserved"
            yield Found(message, end.span, (subject, node), notes)


def naming_style(scene: Scene) -> Iterator[Found]:
    """A few cavities of a plug are named in another style than the many.

    A relay socket or a switch named by DIN 72552 throughout (30, 85, 86, 87, 87a) has no odd ones.
    """
    for plug in scene.design.plugs.values():
        names = cavities_of(scene, plug.id) if plug.face else tuple(plug.pins)
        styles = Counter(_style(name) for name in names)
        if len(styles) < 2 or all(terminal(name) for name in names):
            continue
        (usual, many), *rest = styles.most_common()
        odd = [name for name in names if _style(name) != usual]
        if usual == "" or len(odd) * 4 > many or sum(n for _, n in rest) != len(odd):
            continue
        example = next(name for name in names if _style(name) == usual)
        verb = "is" if len(odd) == 1 else "are"
        message = f"{plug.id}: {', '.join(odd)} {verb} named in another style than {example}"
        first = plug.pins.get(odd[0])
        span = first.origin.span if first else plug.origin.at("face")
        yield Found(message, span, (plug.id, *(f"{plug.id}:{name}" for name in odd)))


def _style(name: str) -> str:
    """Return the shape of a name: `0a` for 37a, `0` for 37, `a` for K; words all count as `w`.

    Mixed names such as 58L beside 54g are DIN 72552 designations and have no style of their own.
    """
    if len(name) > 4:
        return "w"
    return "".join(
        "0" if part[0].isdigit() else ("A" if part.isupper() else "a")
        for part in _SHAPES.findall(name)
    )


def label_names_other(scene: Scene) -> Iterator[Found]:
    """The text printed on a wire or a pin names another cavity of the same plug."""
    for plug in scene.design.plugs.values():
        known = set(cavities_of(scene, plug.id))
        for pin in plug.pins.values():
            words = _label_words(pin.label)
            other = next((w for w in words[:1] if w in known and w != pin.name), "")
            if not other and words and words[0].isdigit() and pin.name not in words:
                numbers = re.findall(r"\d+", pin.name)
                other = words[0] if numbers and words[0] != numbers[0] else ""
            if other:
                node = f"{plug.id}:{pin.name}"
                message = f"the label of {node} reads '{pin.label}', which names cavity {other}"
                yield Found(message, pin.origin.at("label"), (node,))


def _label_words(label: str) -> list[str]:
    return re.findall(r"[^\W_]+", label)


def unmentioned(scene: Scene) -> Iterator[Found]:
    """The face has cavities that no pin and no wire mentions: nobody knows what is in them."""
    wired = _wired(scene)
    for plug in scene.design.plugs.values():
        if plug.face is None or not (plug.pins or wired.get(plug.id)):
            continue
        mate = mate_of(scene.design, scene.network, plug.id)
        said = {*plug.pins, *(mate.pins if mate else ()), *wired.get(plug.id, ())}
        if mate is not None:
            said |= wired.get(mate.id, set())
        left = [name for name in cavities_of(scene, plug.id) if name not in said]
        if left:
            message = f"{plug.id}: nothing is said of {cavities(in_order(left))}"
            subjects = (plug.id, *(f"{plug.id}:{name}" for name in left))
            yield Found(message, plug.origin.at("face"), subjects)


def _wired(scene: Scene) -> dict[str, set[str]]:
    """Return owner -> points that wires, screens and buses name."""
    wired: dict[str, set[str]] = {}
    ends = [end for _, end in _contacts(scene)]
    ends += [end for bus in scene.design.buses.values() for end in bus.members]
    for device in scene.design.devices.values():
        for part in device.inside.values():
            ends += [e for e in (part.start, part.end, *part.join) if e is not None]
    for end in ends:
        wired.setdefault(end.owner, set()).add(end.point)
    return wired


def open_sealed(scene: Scene) -> Iterator[Found]:
    """A sealed plug of a loom has cavities without a wire and without a cavity plug."""
    wired = _wired(scene)
    for plug in scene.design.plugs.values():
        if not plug.sealed or plug.of:
            continue
        mate = mate_of(scene.design, scene.network, plug.id)
        open_ones = _open_cavities(scene, plug, mate, wired)
        if open_ones:
            verb = "is" if len(open_ones) == 1 else "are"
            pair = sorted((plug.id, mate.id)) if mate is not None else [plug.id]
            yield Found(
                f"{title(scene.design.plugs, plug.id)} is sealed, "
                f"but {cavities(open_ones)} {verb} open",
                plug.origin.span,
                (plug.id, *(f"{plug.id}:{name}" for name in open_ones)),
                group=" ".join(pair),
                summary="both halves are sealed, but have open cavities: {members}",
                member=f"{plug.id} ({', '.join(open_ones)})",
            )


def _open_cavities(
    scene: Scene, plug: Plug, mate: Plug | None, wired: dict[str, set[str]]
) -> list[str]:
    """Return the cavities without wire and without cavity plug.

    In an old loom those that are said to be empty; in a new one all that get no wire.
    """
    unit_half = mate.id if mate is not None and mate.of else ""
    busy = wired.get(plug.id, set()) | wired.get(unit_half, set())
    loom = scene.design.looms.get(plug.loom)
    new = loom is not None and loom.status == "new"
    found = []
    for name in cavities_of(scene, plug.id):
        own = plug.pins.get(name)
        other = mate.pins.get(name) if mate else None
        states = {pin.state for pin in (own, other) if pin is not None}
        said = own or other
        empty = said is not None and said.state == "empty"
        unwired = new and own is None and bool(wired.get(plug.id) or unit_half)
        if name not in busy and "blocked" not in states and (empty or unwired):
            found.append(name)
    return found


def same_function(scene: Scene) -> Iterator[Found]:
    """Two cavities of one plug carry the same words, and nothing says they are one net."""
    for plug in scene.design.plugs.values():
        by_words: dict[str, list[str]] = {}
        for pin in plug.pins.values():
            if pin.carries and not pin.circuit and pin.role not in _SHARED_ROLES and not pin.only:
                by_words.setdefault(pin.carries.casefold(), []).append(pin.name)
        for names in by_words.values():
            nets = {scene.network.net_index.get(f"{plug.id}:{name}") for name in names}
            words = plug.pins[names[0]].carries
            if len(names) < 2 or len(nets) < 2 or _EARTH_WORDS.search(words):
                continue
            listed = ", ".join(names)
            message = f"{plug.id}: cavities {listed} all carry '{words}'; say if they are one net"
            notes = tuple(
                Note(f"'{words}' in {plug.id}:{name}", plug.pins[name].origin.span)
                for name in names[1:]
            )
            subjects = tuple(f"{plug.id}:{name}" for name in names)
            yield Found(message, plug.pins[names[0]].origin.span, subjects, notes)


_SHARED_ROLES = ("earth", "supply", "sensor return", "screen")
_EARTH_WORDS = re.compile(r"\b(gnd|ground|earth|31|supply|feed|spare)\b", re.IGNORECASE)


RULES = (
    Rule(
        code="CAV101",
        name="unknown cavity",
        title="An end or a pin names a cavity that the plug does not have",
        severity="error",
        why="The wire is pushed into the cavity that looks nearest; many plugs leave out letters "
        "such as G, I and O, and everything behind is one place off.",
        fix="Read the name off the plug and correct the end, or add the cavity to the face",
        source="trade practice: SAE J1939-13 letters its nine cavities A to H and J, without I "
        "(carscannertool.store, J1939 table)",
        needs="face or pins of the plug",
        since="0.1",
        run=unknown_cavity,
        stage="structure",
    ),
    CAVITY_TWO_NETS,
    CAVITY_SHARED,
    Rule(
        code="CAV104",
        name="wire into an empty cavity",
        title="A wire ends in a cavity that is said to be empty, blocked or without contact",
        severity="error",
        why="There is no contact to crimp the wire to, or it meets nothing on the other half: the "
        "circuit is dead, or the wire is pushed in bare.",
        fix="Correct the end of the wire, or describe the contact that is in the cavity",
        source="common practice, no source",
        needs="pins of the plug",
        since="0.1",
        run=no_contact,
        stage="structure",
    ),
    Rule(
        code="CAV105",
        name="wire into a reserved cavity",
        title="A wire ends in a cavity that is reserved",
        severity="warning",
        why="The maker or the standard keeps the cavity for something else; a later part may put "
        "a voltage on it.",
        fix="Use a free cavity, or say what the pin carries if the reservation no longer holds",
        source="ISO 11446 keeps pin 12 without a core (contact allocation as published by "
        "erich-jaeger.com)",
        needs="pins of the plug",
        since="0.1",
        run=reserved,
        stage="structure",
    ),
    Rule(
        code="CAV106",
        name="naming style differs",
        title="A few cavities of a plug are named in another style than the rest",
        severity="warning",
        why="It is mostly a letter lost in copying: 37 among 36a and 38a. The pin is then looked "
        "for in another row or another plug.",
        fix="Compare with the marks on the plug; the name is never changed for you",
        source="open data, rusefi/rusefi on GitHub, connectors file of a 121-way engine computer",
        needs="pins of the plug",
        since="0.1",
        run=naming_style,
        stage="structure",
    ),
    Rule(
        code="CAV107",
        name="label names another cavity",
        title="The text printed for a pin names another cavity",
        severity="warning",
        why="The next person trusts the print and probes or cuts the wrong wire.",
        fix="Correct the label or the cavity, after looking at the plug",
        source="open data, rusefi/rusefi on GitHub, connectors file of a 121-way engine computer",
        needs="label of the pin",
        since="0.1",
        run=label_names_other,
        stage="structure",
    ),
    Rule(
        code="CAV108",
        name="cavities nobody mentions",
        title="The face has cavities of which nothing is said",
        severity="warning",
        why="An unknown cavity may hold a live wire; a drawing that shows it as free invites "
        "somebody to use it.",
        fix="Look at the plug and write empty, blocked, reserved or what the pin carries",
        source="common practice, no source",
        needs="face of the plug",
        since="0.1",
        run=unmentioned,
        stage="structure",
    ),
    Rule(
        code="CAV109",
        name="open cavity in a sealed plug",
        title="A sealed plug has open cavities",
        severity="warning",
        why="Water enters through one open cavity, runs along the seals and eats every contact of "
        "the plug.",
        fix="Fit a cavity plug (it is in the parts list) and write 'blocked'",
        source="cableharnessassembly.com and customwireassembly.com on sealed connectors",
        needs="face or pins of the plug",
        since="0.1",
        run=open_sealed,
        stage="structure",
    ),
    Rule(
        code="CAV110",
        name="one function on two cavities",
        title="Two cavities of a plug carry the same words, and nothing says they are one net",
        severity="warning",
        why="Either two year models were copied into one list, or the pins are parallel; a wire "
        "on the wrong one is dead.",
        fix="Give both the same circuit, mark them with 'only' for their variants, or correct one",
        source="open data, rusefi/rusefi on GitHub, connectors file of a three-plug engine "
        "computer",
        needs="pins of the plug",
        since="0.1",
        run=same_function,
        stage="structure",
    ),
)
