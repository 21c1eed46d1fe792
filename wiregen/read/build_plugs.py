"""Plugs, faces, pins and contact records from their mappings."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.model import (
    Accepts,
    Contact,
    Face,
    Pin,
    Plug,
    Ring,
    Say,
    natural_key,
    sorted_map,
)
from wiregen.model.plugs import PinState
from wiregen.model.vocabulary import RING_STARTS
from wiregen.read import codes
from wiregen.read.values import Fields
from wiregen.read.yaml_tree import Map, Node, Place, Seq, text_of
from wiregen.source import Span
from wiregen.units import UnitError, read_quantity

_ARRANGEMENTS = ("rows", "ring", "rings", "at", "like")
_GOES_WITH = {
    "stagger": ("rows",),
    "pitch": ("rows",),
    "from": ("ring",),
    "turn": ("ring",),
    "unit": ("at", "ring", "rings", "rows"),
    "seen_from": ("at", "ring", "rings", "rows"),
}
_STATES: dict[str, PinState] = {"empty": "empty", "blocked": "blocked", "reserved": "reserved"}


def build_contact(name: str, f: Fields) -> Contact:
    """Return one contact record."""
    return Contact(
        id=name,
        origin=f.origin,
        title=f.text("title"),
        blade_mm=f.number("blade", "length"),
        wire_mm2=f.range("wire", "area"),
        seal_mm=f.range("seal", "length"),
        amps_a=f.number("amps", "amps"),
        max_wires=f.whole("max_wires"),
        resistance_ohm=f.number("resistance", "ohms"),
        note=f.text("note"),
        only=f.texts("only"),
    )


def build_plug(name: str, f: Fields) -> Plug:
    """Return one plug half with its face and pins."""
    amps = f.inner("amps")
    if "loom" in f.node and "of" in f.node:
        f.fault(codes.COMBINATION, "of", "a half is in a 'loom' or 'of' a device, not both")
    return Plug(
        id=name,
        origin=f.origin,
        title=f.text("title"),
        loom=f.text("loom"),
        of=f.text("of"),
        mates=f.text("mates"),
        contacts=f.text("contacts"),
        contact=f.text("contact"),
        housing=f.text("housing"),
        where=f.text("where"),
        keyed=f.text("keyed"),
        sealed=f.flag("sealed"),
        face=_face(f),
        standard=f.text("standard"),
        side=f.text("side"),
        apart=tuple(tuple(text_of(pin) for pin in group) for group in f.node.get("apart") or ()),
        amps_pin_a=amps.number("pin", "amps") if amps else None,
        amps_total_a=amps.number("total", "amps") if amps else None,
        pins=sorted_map(dict(_pins(name, f))),
        safety=f.text("class"),
        note=f.text("note"),
        only=f.texts("only"),
        colour_key=f.text("colour_key"),
        drawn=f.drawn(),
    )


def _pins(plug: str, f: Fields) -> Iterator[tuple[str, Pin]]:
    pins = f.inner("pins")
    if pins is None:
        return
    for name, node in pins.node.items():
        place = pins.node.key_at[name]
        if isinstance(node, Map):
            path = f"{pins.path}.{name}"
            inner = Fields(f.reading, node, f.file, path, place, f.colour_key)
            yield name, _pin(name, f"{plug}:{name}", inner)
        else:
            bare = Fields(f.reading, Map(place), f.file, pins.path, place)
            yield name, Pin(name=name, origin=bare.origin, state=_STATES[text_of(node)])


def _pin(name: str, subject: str, f: Fields) -> Pin:
    pull_up, pull_up_ohm, pull_up_v = _pull_up(f)
    return Pin(
        name=name,
        origin=f.origin,
        carries=f.text("carries"),
        circuit=f.text("circuit"),
        colours=f.colours("colour", subject),
        sizes=f.sizes("size"),
        role=f.text("role"),
        volts_v=f.number("volts", "volts"),
        contact=f.text("contact"),
        label=f.text("label"),
        source=f.text("source"),
        measured=f.text("measured"),
        says=tuple(_say(subject, row) for row in f.rows("says")),
        use=f.text("use"),
        needs=f.words("needs"),
        without=f.text("without"),
        drives=f.text("drives"),
        max_amps_a=f.number("max_amps", "amps"),
        resistance_ohm=f.number("resistance", "ohms"),
        pull_up=pull_up,
        accepts=_accepts(f),
        note=f.text("note"),
        only=f.texts("only"),
        pull_up_ohm=pull_up_ohm,
        pull_up_v=pull_up_v,
    )


def _say(subject: str, f: Fields) -> Say:
    return Say(
        source=f.text("source"),
        carries=f.text("carries"),
        colour=f.colour("colour", subject),
        size=f.size("size"),
        circuit=f.text("circuit"),
    )


def _accepts(pin: Fields) -> Accepts | None:
    f = pin.inner("accepts")
    if f is None:
        return None
    pull_up, pull_up_ohm, pull_up_v = _pull_up(f)
    return Accepts(
        max_volts_v=f.number("max_volts", "volts"),
        threshold_v=f.number("threshold", "volts"),
        pull_up=pull_up,
        ohms=f.number("ohms", "ohms"),
        pull_up_ohm=pull_up_ohm,
        pull_up_v=pull_up_v,
    )


def _pull_up(f: Fields) -> tuple[str, float | None, float | None]:
    """Return a pull-up such as `4.7 kohm to 5 V` as text, ohms and volts."""
    text = f.text("pull_up")
    if not text:
        return "", None, None
    ohms, to, volts = text.partition(" to ")
    try:
        if not to:
            raise UnitError(f"write a pull-up such as 4.7 kohm to 5 V, found '{text[:60]}'")
        return text, f.reading.number(ohms, "ohms"), f.reading.number(volts, "volts")
    except UnitError as error:
        f.fault(codes.QUANTITY, "pull_up", str(error))
        return text, None, None


def _face(plug: Fields) -> Face | None:
    node = plug.node.get("face")
    if node is None:
        return None
    f = plug.inner("face") or plug.alone("face", "rows")
    _check_keys(f)
    return Face(
        origin=f.origin,
        rows=_rows(f, f.node.get("rows") or ()),
        stagger=f.number("stagger", "factor") or 0.0,
        pitch_mm=f.number("pitch", "length"),
        rings=_rings(f),
        places=_places(f),
        unit="none" if f.text("unit") == "none" else "mm",
        like=f.text("like"),
        seen_from="wire side" if f.text("seen_from") == "wire side" else "mating side",
        key=f.text("key"),
        latch=f.text("latch"),
        cavity=_openings(f),
    )


def _check_keys(f: Fields) -> None:
    """Refuse two arrangements at once, and keys that belong to another arrangement."""
    given = [key for key in _ARRANGEMENTS if key in f.node]
    if len(given) > 1:
        said = f"a face has one arrangement; keep '{given[0]}' or '{given[1]}'"
        f.fault(codes.COMBINATION, given[1], said)
    for key, partners in _GOES_WITH.items():
        if key in f.node and not any(partner in f.node for partner in partners):
            words = " or ".join(f"'{partner}'" for partner in partners)
            f.fault(codes.COMBINATION, key, f"'{key}' goes with {words}")


def _rows(f: Fields, node: Node) -> tuple[tuple[str | None, ...], ...]:
    named = [(item, at) for row in node for item, at in zip(row, row.value_at, strict=True)]
    _once(f, [(text_of(item), at) for item, at in named if item is not None])
    return tuple(tuple(None if n is None else text_of(n) for n in row) for row in node)


def _rings(f: Fields) -> tuple[Ring, ...]:
    rings = [_ring(row, "names") for row in f.rows("rings")]
    if "ring" in f.node:
        rings.append(_ring(f, "ring"))
    places = [
        (text_of(item), at)
        for node in (*(f.node.get("rings") or ()), f.node)
        for seq in (node.get("names"), node.get("ring"))
        if isinstance(seq, Seq)
        for item, at in zip(seq, seq.value_at, strict=True)
    ]
    _once(f, places)
    return tuple(rings)


def _ring(f: Fields, key: str) -> Ring:
    start = f.text("from", "top")
    if start not in RING_STARTS:
        degrees = f.number("from", "angle")
        start = "top" if degrees is None else f"{degrees:g}"
    return Ring(
        names=f.texts(key),
        radius=f.number("radius", "length"),
        start=start,
        turn=f.text("turn", "clockwise"),
    )


def _once(f: Fields, names: list[tuple[str, Place]]) -> None:
    """Refuse a cavity that stands twice in one face."""
    seen: dict[str, Place] = {}
    for name, at in names:
        first = seen.setdefault(name, at)
        if first is not at:
            said = f"{f.path}: cavity '{name}' is there twice, first on line {first[0]}"
            f.reading.unreadable.add(codes.COUNT, "error", said, Span(f.file, *at))


def _places(f: Fields) -> dict[str, tuple[float, float]]:
    at = f.inner("at")
    if at is None:
        return {}
    places = {}
    for name, node in at.node.items():
        try:
            x, y = (f.reading.number(text_of(value), "position") for value in node)
            places[name] = (x, y)
        except UnitError as error:
            at.fault(codes.QUANTITY, name, str(error))
    return {name: places[name] for name in sorted(places, key=natural_key)}


def _openings(f: Fields) -> dict[str, str]:
    """Return contact record or opening in mm by cavity; a length becomes a bare number."""
    openings = f.words("cavity")
    for name, text in openings.items():
        try:
            openings[name] = f"{read_quantity(text, 'length').value:g}"
        except UnitError:
            continue
    return sorted_map(openings)
