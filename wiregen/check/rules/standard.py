"""A plug compared pin by pin with the contact allocation of a standard."""

from __future__ import annotations

import re
from collections.abc import Iterator

from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.facts import faces as catalogue
from wiregen.facts.faces import StandardPin
from wiregen.model import Pin, Plug
from wiregen.problems import Severity, did_you_mean

_EARTH = {"earth", "ground", "gnd", "return", "31", "negative"}
_SUPPLY = {"supply", "battery", "permanent", "ignition", "30", "15"}
_SYNONYMS = {
    "turn": "indicator",
    "blinker": "indicator",
    "direction": "indicator",
    "brake": "stop",
    "brakes": "stop",
    "reverse": "reversing",
    "side": "tail",
    "marker": "tail",
    "position": "tail",
    "park": "tail",
    "plate": "tail",
    "rear": "tail",
    "lamps": "lamp",
    "light": "lamp",
    "lights": "lamp",
    "l": "left",
    "lh": "left",
    "r": "right",
    "rh": "right",
    "gnd": "earth",
    "ground": "earth",
    "return": "earth",
    "negative": "earth",
    "battery": "permanent",
    "switched": "ignition",
    "h": "high",
    "l-line": "low",
}
_COMMON = {"lamp", "of", "to", "and", "the", "on", "for", "both", "feed", "supply", "line", "volt"}
_BATTERY_MINUS = re.compile(r"\bbattery\s*(?:-|minus|negative)(?!\w)")
_SIDES = ({"left", "right"}, {"permanent", "ignition"}, {"high", "low"})


def differs(scene: Scene) -> Iterator[Found | Missing]:
    """A pin carries something else than the standard the plug names gives it."""
    for plug in scene.design.plugs.values():
        if not plug.standard:
            continue
        if plug.standard not in {*catalogue.list_pinouts(), *catalogue.list_faces()}:
            known = (*catalogue.list_pinouts(), *catalogue.list_faces())
            message = f"{plug.id}: there is no standard '{plug.standard}' in the catalogue"
            near = did_you_mean(plug.standard, dict.fromkeys(known))
            yield Found(message + near, plug.origin.at("standard"), (plug.id,))
        elif plug.standard in catalogue.list_pinouts():
            pins = catalogue.pinout(plug.standard)
            for pin in plug.pins.values():
                yield from _compare(scene, plug, pin, pins.get(pin.name))


def _compare(scene: Scene, plug: Plug, pin: Pin, wanted: StandardPin | None) -> Iterator[Found]:
    node = f"{plug.id}:{pin.name}"
    if pin.state != "used":
        return
    if wanted is None:
        message = f"{node}: {plug.standard} has no pin {pin.name}"
        yield Found(message, pin.origin.span, (node, plug.id))
        return
    said = pin.carries or pin.circuit or pin.role
    severity = _conflict(pin, wanted)
    if severity is not None:
        message = f"{node} carries '{said}', but {plug.standard} gives it '{wanted.function}'"
        yield Found(message, pin.origin.span, (node, plug.id), severity=severity)
    elif wanted.colour and pin.colours and wanted.colour not in [c.iec for c in pin.colours]:
        own = " + ".join(colour.iec for colour in pin.colours)
        yield Found(
            f"{node} is {own}, {plug.standard} gives {wanted.colour}",
            pin.origin.at("colour"),
            (node, plug.id),
            severity="info",
            group=plug.id,
            summary=f"{plug.id}: {{count}} colours differ from {plug.standard}: {{members}}",
            member=f"{pin.name} is {own} not {wanted.colour}",
        )


def _conflict(pin: Pin, wanted: StandardPin) -> Severity | None:
    """Grade how far the words of a pin are from those of the standard; None when they agree.

    Earth against anything else and supply against anything else are errors, other words that
    have nothing in common a warning.
    """
    here = _words(f"{pin.carries} {pin.circuit} {pin.role}")
    there = _words(f"{wanted.function} {wanted.din72552}")
    if not here or not there:
        return None
    is_earth, earth_there = bool(here & _EARTH), bool(there & _EARTH)
    if is_earth != earth_there:
        return "error"
    if is_earth and earth_there:
        return None
    if (here & _SUPPLY) and (there & _SUPPLY):
        return "error" if _opposite(here, there) else None
    if bool(here & _SUPPLY) != bool(there & _SUPPLY) and pin.role == "supply":
        return "error"
    if _opposite(here, there):
        return "error"
    return None if (here - _COMMON) & (there - _COMMON) or not here - _COMMON else "warning"


def _opposite(here: set[str], there: set[str]) -> bool:
    return any(here & pair and there & pair and not here & there & pair for pair in _SIDES)


def _words(text: str) -> set[str]:
    words = re.findall(r"[^\W_]+", _BATTERY_MINUS.sub("earth", text.casefold()))
    return {_SYNONYMS.get(word, word) for word in words}


STANDARD_DIFFERS = Rule(
    code="CON110",
    name="differs from the standard",
    title="A pin carries something else than the standard the plug names",
    severity="warning",
    why="The next trailer or tester that is plugged in follows the standard: its lamps get the "
    "wrong feed, or its brakes come on with the lights.",
    fix="Compare the plug with the standard and correct the record, or take 'standard' out",
    source="ISO 11446 as published by a plug maker (erich-jaeger.com); tables that differ are "
    "common on the web",
    needs="standard of the plug",
    since="0.1",
    run=differs,
    stage="structure",
)
