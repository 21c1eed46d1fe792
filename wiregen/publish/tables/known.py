"""Where each pin is known from: measured, from a source, or from sources that disagree."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiregen.connect import Network, split_node
from wiregen.connect.screens import Screen, find_screens
from wiregen.layout.tables import Table, columns
from wiregen.model import Design, Pin, Plug, Say, in_order
from wiregen.publish.tables.cutting import Cutting


def pins_table(
    design: Design,
    network: Network,
    cutting: Cutting,
    proven: Mapping[str, str] | None = None,
) -> Table:
    """Return every used pin with its source; a contradiction stays until the pin is measured.

    A cavity that an old wire ends in is a pin also where nothing is written of it.

    Args:
        design: the design.
        network: from `connect`.
        cutting: not used; all tables are made alike.
        proven: cavity -> date of a good reading recorded beside the design.
    """
    rows = []
    screens = find_screens(design, network)
    for plug in design.plugs.values():
        for pin in _pins(design, network, plug, screens):
            node = f"{plug.id}:{pin.name}"
            measured = max(pin.measured, (proven or {}).get(node, ""))
            rows.append(
                (
                    node,
                    pin.carries or pin.circuit or pin.state,
                    "/".join(colour.iec for colour in pin.colours[:1]),
                    pin.source,
                    "; ".join(_said(say) for say in pin.says),
                    measured,
                    standing(pin, measured),
                )
            )
    return Table(
        "pins",
        "Where each pin is known from",
        columns("*Pin", "Carries", "~Colour", "Source", "Sources say", "Measured", "Standing"),
        tuple(rows),
        ("Sources that disagree are kept until the pin is measured.",),
    )


def _pins(design: Design, network: Network, plug: Plug, screens: Sequence[Screen]) -> list[Pin]:
    """Return the pins of a plug that are or can be used, and those only an old wire tells of."""
    pins = {name: pin for name, pin in plug.pins.items() if pin.state in ("used", "reserved")}
    mate = design.plugs.get(network.mate(plug.id) or "")
    old = {}
    for node, wires in network.wires_on.items():
        owner, name = split_node(node)
        if owner == plug.id and any(design.status_of(design.wires[w]) != "new" for w in wires):
            across = mate.pins.get(name) if mate else None
            said = (across.carries or across.circuit) if across else ""
            old[name] = Pin(name=name, origin=plug.origin, carries=said, state="used")
    for screen in screens:
        owner, name = split_node(screen.node)
        was_there = any(design.status_of(design.wires[w]) != "new" for w in screen.wires)
        if owner == plug.id and was_there:
            old.setdefault(name, Pin(name, plug.origin, carries=f"screen of {screen.over}"))
    found = {**old, **pins}
    return [found[name] for name in in_order(found) if name in pins or name not in plug.pins]


def standing(pin: Pin, measured: str) -> str:
    """Return how far a pin can be trusted, in one phrase."""
    if measured:
        return "measured"
    if pin.disputed:
        return "sources disagree: measure"
    return "from a source, not measured" if pin.source or pin.says else "unknown: measure"


def _said(say: Say) -> str:
    facts = (
        say.carries,
        say.circuit,
        say.colour.iec if say.colour else "",
        say.size.label if say.size else "",
    )
    return f"{say.source}: {', '.join(fact for fact in facts if fact)}"
