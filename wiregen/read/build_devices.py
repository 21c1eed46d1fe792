"""Devices and the parts inside units from their mappings."""

from __future__ import annotations

from collections.abc import Mapping

from wiregen.model import Coasts, Coil, Device, End, Forward, LampTerminal, sorted_map
from wiregen.model.vocabulary import TERMINALS
from wiregen.read import codes
from wiregen.read.sections import Sections
from wiregen.read.values import Fields
from wiregen.read.yaml_tree import text_of

_OHMIC = ("resistor", "heater", "coil", "terminator")
_ONLY_OF_KIND = {"inside": "unit", "lamp_terminal": "alternator"}


def build_device(name: str, f: Fields, sections: Sections) -> Device:
    """Return one device; ids of parts inside it are unique over the whole design."""
    kind = f.text("kind")
    for key, needed in _ONLY_OF_KIND.items():
        if key in f.node and kind != needed:
            f.fault(codes.COMBINATION, key, f"only a device of kind {needed} has '{key}'")
    _no_inner_resistance(kind, f)
    inside = {
        part: _part(part, fields, earthed="case" in f.node)
        for part, fields in f.each("inside")
        if sections.owns(part, "devices", f.file, fields.place)
    }
    start, end = _own_end(name, f, "from"), _own_end(name, f, "to")
    return Device(
        id=name,
        origin=f.origin,
        kind=kind,
        terminals=f.texts("terminals") or TERMINALS.get(kind, ()),
        start=start,
        end=end,
        polarity=bool(start and end) and not f.flag("bidirectional"),
        case=f.text("case"),
        where=f.text("where"),
        loom=f.text("loom"),
        use=f.text("use"),
        coasts=_coasts(f),
        transition=f.text("transition"),
        lamp_terminal=_lamp_terminal(f),
        coil=_coil(f),
        pulls_in_v=f.number("pulls_in", "volts"),
        drops_out_v=f.number("drops_out", "volts"),
        rest=f.pairs("rest"),
        pulled=f.pairs("pulled"),
        positions=_positions(f),
        inside=sorted_map(inside),
        safety=f.text("class"),
        drawn=f.drawn(),
        **_shared(f),  # type: ignore[arg-type]
    )


def _part(name: str, f: Fields, *, earthed: bool) -> Device:
    kind = f.text("kind")
    if "join" in f.node:
        if kind or "from" in f.node or "to" in f.node:
            f.fault(codes.COMBINATION, "join", "a 'join' has no kind and no from or to")
        kind = "join"
    elif not kind:
        f.fault(codes.MISSING_KEY, "kind", "write 'kind: lamp' or 'join: [X1:1, X1:2]'")
    elif "from" not in f.node or not ("to" in f.node or earthed):
        said = "a part has 'from' and 'to'; only a unit with a 'case' may go without 'to'"
        f.fault(codes.MISSING_KEY, "from" if "to" in f.node else "to", said)
    _no_inner_resistance(kind, f)
    return Device(
        id=name,
        origin=f.origin,
        kind=kind,
        start=f.end("from"),
        end=f.end("to"),
        polarity="from" in f.node and "to" in f.node and not f.flag("bidirectional"),
        closed_in=f.texts("closed_in"),
        join=f.ends("join"),
        **_shared(f),  # type: ignore[arg-type]
    )


def _shared(f: Fields) -> Mapping[str, object]:
    """Return the facts that devices and parts inside units have in common."""
    if "forward" in f.node and "saturation" in f.node:
        said = "a diode is given by 'forward', or by 'saturation' and 'ideality', not both"
        f.fault(codes.COMBINATION, "saturation", said)
    on_states = f.texts("on_when")
    return {
        "title": f.text("title"),
        "volts_v": f.number("volts", "volts"),
        "amps_a": f.number("amps", "amps"),
        "watts_w": f.number("watts", "watts"),
        "ohms": f.number("ohms", "ohms"),
        "resistance_ohm": f.number("resistance", "ohms"),
        "min_volts_v": f.number("min_volts", "volts"),
        "cold": f.number("cold", "factor"),
        "exponent": f.number("exponent", "factor"),
        "forward": _forward(f),
        "saturation_a": f.number("saturation", "amps"),
        "ideality": f.number("ideality", "factor"),
        "bidirectional": f.flag("bidirectional"),
        "on_when": ", ".join(on_states),
        "on_states": on_states,
        "empty_ohm": f.number("empty", "ohms"),
        "full_ohm": f.number("full", "ohms"),
        "suppression": f.text("suppression"),
        "note": f.text("note"),
        "only": f.texts("only"),
    }


def _no_inner_resistance(kind: str, f: Fields) -> None:
    if kind in _OHMIC and "resistance" in f.node and "ohms" not in f.node:
        said = f"a {kind} has 'ohms'; 'resistance' is that inside a source or of a closed contact"
        f.fault(codes.COMBINATION, "resistance", said)


def _own_end(device: str, f: Fields, key: str) -> End | None:
    """Return a terminal of the device itself as an end."""
    point = f.text(key)
    return End(point, device, point, f.at(key)) if point else None


def _forward(device: Fields) -> Forward | None:
    f = device.inner("forward")
    if f is None:
        return None
    return Forward(
        f.number("volts", "volts"), f.number("at", "amps"), f.number("ideality", "factor")
    )


def _coasts(device: Fields) -> Coasts | None:
    f = device.inner("coasts")
    return Coasts(f.number("volts", "volts") or 0.0, f.number("ohms", "ohms")) if f else None


def _lamp_terminal(device: Fields) -> LampTerminal | None:
    f = device.inner("lamp_terminal")
    if f is None:
        return None
    return LampTerminal(
        at=f.text("at"),
        volts_v=f.number("volts", "volts"),
        resistance_ohm=f.number("resistance", "ohms"),
        at_rest_ohm=f.number("at_rest", "ohms"),
        excites_at_a=f.number("excites_at", "amps"),
    )


def _coil(device: Fields) -> Coil | None:
    f = device.inner("coil")
    if f is None:
        return None
    return Coil(
        start=f.text("from"),
        end=f.text("to"),
        ohms=f.number("ohms", "ohms"),
        suppression=f.text("suppression"),
        suppression_ohms=f.number("suppression_ohms", "ohms"),
        plus=f.text("plus"),
    )


def _positions(device: Fields) -> dict[str, tuple[tuple[str, str], ...]]:
    """Return the positions of a switch in the order of the file: they follow one another."""
    node = device.node.get("positions") or {}
    return {
        name: tuple((text_of(pair[0]), text_of(pair[1])) for pair in pairs)
        for name, pairs in node.items()
    }
