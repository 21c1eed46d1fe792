"""Title block, system, circuits, states, route, signals and waivers from their mappings."""

from __future__ import annotations

from wiregen.model import (
    Circuit,
    Drop,
    End,
    Revision,
    RouteLeg,
    Signal,
    SignalEnd,
    State,
    System,
    TitleBlock,
    Waiver,
    sorted_map,
)
from wiregen.read import codes
from wiregen.read.values import Fields
from wiregen.read.yaml_tree import text_of
from wiregen.units import UnitError, read_quantity


def build_title_block(f: Fields | None) -> TitleBlock:
    """Return the title block."""
    if f is None:
        return TitleBlock()
    return TitleBlock(
        title=f.text("title"),
        number=f.text("number"),
        revision=f.text("revision"),
        date=f.text("date"),
        by=f.text("by"),
        drawn_state=f.text("drawn_state"),
        revisions=tuple(
            Revision(row.text("revision"), row.text("date"), row.text("what"), row.text("by"))
            for row in f.rows("revisions")
        ),
    )


def build_system(f: Fields | None) -> System:
    """Return nominal voltage, surroundings and tables."""
    if f is None:
        return System()
    return System(
        volts_v=f.number("volts", "volts"),
        ambient_c=f.number("ambient", "temperature"),
        drop=_drops(f),
        tables=sorted_map(f.words("tables")),
    )


def _drops(system: Fields) -> dict[str, Drop]:
    f = system.inner("drop")
    drops = {}
    for name, node in f.node.items() if f else ():
        try:
            read = read_quantity(text_of(node), "drop")
        except UnitError as error:
            if f:
                f.fault(codes.QUANTITY, name, str(error))
            continue
        drops[name] = Drop(percent=read.value) if read.unit == "%" else Drop(volts_v=read.value)
    return sorted_map(drops)


def build_circuit(name: str, f: Fields) -> Circuit:
    """Return facts of a named circuit."""
    return Circuit(
        name=name,
        origin=f.origin,
        title=f.text("title"),
        volts_v=f.number("volts", "volts"),
        safety=f.text("class"),
        note=f.text("note"),
        only=f.texts("only"),
    )


def build_state(name: str, f: Fields) -> State:
    """Return one operating state."""
    settings = {
        text: " ".join(text_of(value).split()) for text, value in f.node.items() if text != "only"
    }
    return State(name=name, origin=f.origin, settings=sorted_map(settings), only=f.texts("only"))


def build_leg(f: Fields) -> RouteLeg:
    """Return one stretch of the route."""
    return RouteLeg(
        start=f.text("from"),
        end=f.text("to"),
        origin=f.origin,
        length_mm=f.number("length", "length"),
        covering=f.text("covering"),
        note=f.text("note"),
        only=f.texts("only"),
    )


def build_signal(name: str, f: Fields) -> Signal:
    """Return one signal with both its ends."""
    start, end = _signal_end(f, "from"), _signal_end(f, "to")
    return Signal(
        id=name,
        origin=f.origin,
        start=start,
        end=end,
        note=f.text("note"),
        only=f.texts("only"),
    )


def _signal_end(signal: Fields, key: str) -> SignalEnd:
    f = signal.inner(key)
    at = f.end("at") if f else None
    if f is None or at is None:
        return SignalEnd(End("", "", "", signal.at(key)))
    return SignalEnd(
        at=at,
        pulses_per_turn=f.number("pulses_per_turn", "factor"),
        turns_of=f.text("turns_of"),
        pulses_per_km=f.number("pulses_per_km", "factor"),
    )


def build_waiver(f: Fields) -> Waiver:
    """Return one accepted finding."""
    return Waiver(
        rule=f.text("rule"),
        object=f.text("object"),
        why=f.text("why"),
        origin=f.origin,
        only=f.texts("only"),
    )
