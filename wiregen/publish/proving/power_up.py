"""The first power-up: what to do in which order, and what to read at each cavity."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.connect import Network, split_node
from wiregen.connect.trace import Tracer
from wiregen.layout.tables import Column, Table, columns
from wiregen.model import Design, Fuse, natural_key
from wiregen.publish.proving.isolation import carried
from wiregen.publish.tables.fuses import live_words
from wiregen.publish.trace_text import volt_words
from wiregen.publish.volts import Expected, Volts

REST_TYPICAL_MA, REST_MOST_MA = 20, 50
"""Rest current with the key off. Source: a maker's workshop manual; 20 mA typical, 50 mA most."""
_ALIVE_V = 1.0
_OFF_WORDS = ("key off", "off", "parked", "rest")
_RUN_ON_WORDS = ("run on", "run-on", "runon")


def power_up_table(design: Design, network: Network, found: Expected) -> Table:
    """Return the steps of the first power-up, made from the design."""
    steps = [
        *_before(design, network),
        *_fuses_in(design, network),
        *_running(design, network, found),
    ]
    rows = tuple((str(n), what, good, "", "") for n, (what, good) in enumerate(steps, start=1))
    return Table(
        "powerup",
        "First power-up",
        columns("#Step", "Do", "Good if", "_Reading", "_Done by"),
        rows,
        (
            "Wheels chocked, gearbox in neutral, nobody in front of the machine, fire "
            "extinguisher at hand. Go on only when a step is good.",
        ),
    )


def _before(design: Design, network: Network) -> Iterator[tuple[str, str]]:
    lamp = "24 V" if (design.system.volts_v or 12) > 18 else "12 V"
    units = _units(design)
    yield "Battery disconnected. Take out every fuse: " + (", ".join(design.fuses) or "none"), ""
    if units:
        yield "Unplug every unit: " + "; ".join(units), ""
    yield "Write down how the engine is stopped if it does not stop with the key", "plan agreed"
    for fuse in _fuel_fuses(design, network):
        yield (
            f"Find out whether taking out {fuse} stops the fuel; keep a hand-operated way besides",
            "",
        )
    yield (
        "Ohm-meter from the out side of each fuse holder to earth, loads unplugged",
        "no reading near 0 ohm; lamps and heaters read a few ohm when left in",
    )
    yield (
        f"{lamp} 21 W lamp in series between battery minus and its cable, all fuses out",
        "lamp dark; lit: a short before the fuses",
    )


def _units(design: Design) -> list[str]:
    found = []
    for device in design.devices.values():
        plugs = [plug.id for plug in design.plugs.values() if plug.of == device.id]
        if device.kind == "unit" and plugs:
            found.append(f"{device.id} {device.title} ({', '.join(plugs)})".replace("  ", " "))
    return found


def _fuel_fuses(design: Design, network: Network) -> list[str]:
    """Return the fuses of circuits that are declared to be of class fuel."""
    found: dict[str, None] = {}
    for circuit in design.circuits.values():
        if circuit.safety == "fuel":
            for index in network.circuits.get(circuit.name, ()):
                for node in network.nets[index].nodes:
                    found.update(dict.fromkeys(network.protecting_fuses(node)))
    return [f"{fuse} {design.fuses[fuse].title}".rstrip() for fuse in found]


def fuse_order(design: Design, network: Network) -> list[Fuse]:
    """Return the fuses in the order to put them in: nearest the source first, then the smaller."""

    tracer = Tracer(network)

    def key(fuse: Fuse) -> tuple[object, ...]:
        ways = [way for way in tracer.feeds(f"{fuse.id}:in") if way.to]
        parts = [sum(hop.kind in ("fuse", "contact") for hop in way.hops) for way in ways]
        return (min(parts, default=99), fuse.rating_a or 0.0, natural_key(fuse.id))

    return sorted(design.fuses.values(), key=key)


def _fuses_in(design: Design, network: Network) -> Iterator[tuple[str, str]]:
    tracer = Tracer(network)
    for fuse in fuse_order(design, network):
        rating = f"{fuse.rating_a:g} A" if fuse.rating_a is not None else "rating?"
        name = f"{fuse.id} {fuse.title}".rstrip()
        good = f"lamp dark or dim; live: {live_words(tracer, fuse.id)}"
        yield (
            f"Lamp in place of {name}, then the {rating} fuse",
            f"{good}; read at {', '.join(_read_at(design, network, fuse.id))}",
        )


def _read_at(design: Design, network: Network, fuse: str) -> list[str]:
    """Return the first cavities on the metal behind a fuse, or its own end."""
    net = network.net_of(f"{fuse}:out")
    nodes = net.nodes if net is not None else ()
    plugs = [node for node in nodes if node in network.wires_on and _is_plug(design, node)]
    return plugs[:3] or [f"{fuse}:out"]


def _is_plug(design: Design, node: str) -> bool:
    return split_node(node)[0] in design.plugs


def _running(design: Design, network: Network, found: Expected) -> Iterator[tuple[str, str]]:
    yield (
        "Earths under load: volts from each load's earth pin to battery minus",
        "below 0.1 V an earth lead",
    )
    yield "Plug the units in one by one; read their supply and earth pins", "as in the table"
    most = f"{REST_TYPICAL_MA} mA typical, {REST_MOST_MA} mA at most"
    off = next((name for name in found.drawn_a if name.lower() in _OFF_WORDS), "")
    if off:
        drawn_ma = max(0.0, found.drawn_a[off] * 1000)
        most += f"; computed {drawn_ma:.1f} mA, without what units take for themselves"
    yield f"Key off, {_state(design, _OFF_WORDS)}all fuses in: ammeter in the battery lead", most
    yield "Crank with the fuel shut off", _of_nominal(design, 0.8, None) + ", no smoke, no heat"
    yield "Start; charge lamp goes out; volts at the battery", _of_nominal(design, 1.15, 1.22)
    alive = _alive(design, network, found.volts)
    good = "engine stops at once, no lamp glows"
    if alive:
        good += f"; computed still alive: {alive}"
    state = _state(design, _RUN_ON_WORDS)
    yield f"Run-on test: {state}key off with the engine turning", good


def _of_nominal(design: Design, low: float, high: float | None) -> str:
    """Return limits of the battery voltage as shares of nominal. Shares from memory."""
    nominal = design.system.volts_v or 12.0
    if high is None:
        return f"battery over {low * nominal:.1f} V"
    return f"{low * nominal:.1f} to {high * nominal:.1f} V"


def _state(design: Design, words: tuple[str, ...]) -> str:
    name = next((name for name in design.states if name.lower() in words), "")
    return f"state '{name}', " if name else ""


def _alive(design: Design, network: Network, volts: Volts) -> str:
    """Return the wired cavities that are computed to stay alive while the engine runs on."""
    name = next((name for name in volts if name.lower() in _RUN_ON_WORDS), "")
    alive = [
        f"{node} {value:.1f} V"
        for node, value in volts.get(name, {}).items()
        if abs(value) >= _ALIVE_V and node in network.wires_on and _is_plug(design, node)
    ]
    return ", ".join(alive[:6]) + (f" and {len(alive) - 6} more" if len(alive) > 6 else "")


def volts_table(design: Design, network: Network, volts: Volts) -> Table:
    """Return the expected volts of every wired cavity in every state, with a blank for each."""
    states = list(volts)
    rows = []
    for plug in design.plugs.values():
        if plug.of and network.loom_half(plug.id):
            continue
        names = [split_node(node)[1] for node in network.wires_on if _on(node, plug.id)]
        for cavity in sorted(names, key=natural_key):
            node = f"{plug.id}:{cavity}"
            fuses = network.protecting_fuses(node)
            said = [volt_words(volts[state], node) for state in states]
            blanks = [""] * len(states)
            rows.append(
                (node, carried(design, network, plug.id, cavity), ", ".join(fuses), *said, *blanks)
            )
    heads: list[Column] = list(columns("*Cavity", "Carries", "Fuse"))
    heads += [Column(state, "number") for state in states]
    heads += [Column(f"{state}, read", "blank", 13.0) for state in states]
    notes = (
        "Volts against 0 V, computed with everything plugged in; '-' floats. Sealed plugs are "
        "probed with the plug pulled apart or with a lead between the halves.",
    )
    if not states:
        notes = ("The design declares no states that could be computed: write them in 'states:'.",)
    return Table("volts", "Volts at the cavities", tuple(heads), tuple(rows), notes)


def _on(node: str, plug: str) -> bool:
    return split_node(node)[0] == plug
