"""The first power-up: what to do in which order, each step a test that can be recorded."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from wiregen.connect import Network, split_node
from wiregen.connect.trace import Tracer
from wiregen.layout.tables import Table, columns
from wiregen.model import Design, Fuse, natural_key
from wiregen.publish.proving.checks import Check, limit_words
from wiregen.publish.tables.fuses import live_words
from wiregen.publish.volts import Expected, Volts

REST_TYPICAL_A, REST_MOST_A = 0.020, 0.050
"""Rest current with the key off. Source: a maker's workshop manual; 20 mA typical, 50 mA most."""
_RESTING_A = 1.0
"""A state that draws more has something on, whatever it is called. Common practice, no source."""
EARTH_V = 0.1
"""Most that an earth lead may drop. Source: a workshop manual that quotes SAE."""
_CRANK_SHARE = 0.8
_CHARGE_SHARES = (1.15, 1.22)
"""Battery volts over nominal, cranking and charging. From memory."""
_ALIVE_V = 1.0
OFF_WORDS = ("key off", "off", "parked", "rest")
"""States in which nothing should draw current."""
RUN_ON_WORDS = ("run on", "run-on", "runon")
"""States with the key off and the engine turning."""
CRANK_WORDS = ("crank", "cranking", "start", "starting")
"""States in which a starter turns the engine."""

REST, CRANK, CHARGE, EARTHS = "power-rest", "power-crank", "power-charge", "power-earths"
SERIES, RUN_ON, LAMP = "power-series", "power-run-on", "-lamp"
"""Names of the tests that have likely causes of their own; `F13-lamp` is that of a fuse."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the first power-up.

    Attributes:
        check: the test that records it.
        do: what to do.
        good: what to see when it is good, besides the limits of the test.
    """

    check: Check
    do: str
    good: str = ""


def power_steps(design: Design, network: Network, found: Expected) -> tuple[Step, ...]:
    """Return the steps of the first power-up, made from the design.

    Args:
        design: the design.
        network: from `connect`.
        found: what is computed of its states.
    """
    return (
        *_before(design, network),
        *_fuses_in(design, network),
        *_running(design, network, found),
    )


def power_up_table(steps: tuple[Step, ...]) -> Table:
    """Return the steps with blanks; `record` reads the table back when it is filled in."""
    rows = []
    engine = any(step.check.id == RUN_ON for step in steps)
    for number, step in enumerate(steps, start=1):
        limits = "" if step.check.kind == "step" else limit_words(step.check)
        good = "; ".join(words for words in (limits, step.good) if words)
        rows.append((str(number), step.check.id, step.do, good, "", "", "", ""))
    return Table(
        "powerup",
        "First power-up",
        columns("#Step", "*Test", "Do", "Good if", "_Reading", "_By", "_Meter", "_Date"),
        tuple(rows),
        (f"{_ENGINE_FIRST if engine else _FIRST} Go on only when a step is good. {_READING}",),
    )


_ENGINE_FIRST = (
    "Wheels chocked, or the boat moored and its bilge aired; gearbox in neutral, nobody near what "
    "can move or turn, fire extinguisher at hand."
)
_FIRST = (
    "Nobody near what can move or turn, closed spaces and bilges aired, fire extinguisher at hand."
)
_READING = "Reading: a number, or ok."


def has_alternator(design: Design) -> bool:
    """Tell whether a machine charges the battery."""
    return any(device.kind == "alternator" for device in design.devices.values())


def has_engine(design: Design) -> bool:
    """Tell whether the design speaks of an engine that has to stop when it is told to."""
    return (
        has_alternator(design)
        or any(device.use == "starter" for device in design.devices.values())
        or any(earth.kind == "engine" for earth in design.earths.values())
        or any(name.lower() in (*CRANK_WORDS, *RUN_ON_WORDS) for name in design.states)
    )


def _seen(name: str, do: str, good: str = "", wires: tuple[str, ...] = ()) -> Step:
    return Step(Check(name, "step", "", wires=wires, words=do), do, good)


def _before(design: Design, network: Network) -> Iterator[Step]:
    lamp = "24 V" if (design.system.volts_v or 12) > 18 else "12 V"
    units = _units(design)
    out = f". Take out every fuse: {', '.join(design.fuses)}" if design.fuses else ""
    batteries = [d for d in design.devices.values() if d.kind == "battery"]
    several = len(batteries) > 1
    named = ", ".join(f"{battery.id} {battery.title}".rstrip() for battery in batteries)
    dead = f"Every source disconnected: {named}" if several else "Battery disconnected"
    yield _seen("power-fuses-out", f"{dead}{out}")
    if units:
        yield _seen("power-unplugged", "Unplug every unit: " + "; ".join(units))
    stop = "everything is made dead with one move: isolator, or the clamp of battery minus"
    if has_engine(design):
        stop = "the engine is stopped if it does not stop with the key"
    yield _seen("power-stop-plan", f"Write down how {stop}", "plan agreed")
    for fuse in _fuel_fuses(design, network):
        name = f"{fuse} {design.fuses[fuse].title}".rstrip()
        yield _seen(
            f"{fuse}-fuel",
            f"Find out whether taking out {name} stops the fuel; keep a hand-operated way besides",
        )
    if design.fuses:
        yield _seen(*_OHMS)
    yield _seen(
        SERIES,
        f"{lamp} 21 W lamp in series between battery minus and its cable"
        + (", at one battery after the other" if several else "")
        + (", all fuses out" if design.fuses else ", everything switched off"),
        "lamp dark; lit: a short" + (" before the fuses" if design.fuses else ""),
    )


_OHMS = (
    "power-ohms",
    "Ohm-meter from the out side of each fuse holder to earth, loads unplugged",
    "no reading near 0 ohm; lamps and heaters read a few ohm when left in",
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
    return list(found)


def fuse_order(design: Design, network: Network) -> list[Fuse]:
    """Return the fuses in the order to put them in: nearest the source first, then the smaller."""

    tracer = Tracer(network)

    def key(fuse: Fuse) -> tuple[object, ...]:
        ways = [way for way in tracer.feeds(f"{fuse.id}:in") if way.to]
        parts = [sum(hop.kind in ("fuse", "contact") for hop in way.hops) for way in ways]
        return (min(parts, default=99), fuse.rating_a or 0.0, natural_key(fuse.id))

    return sorted(design.fuses.values(), key=key)


def _fuses_in(design: Design, network: Network) -> Iterator[Step]:
    live = live_words(design, network)
    for fuse in fuse_order(design, network):
        rated = f"the {fuse.rating_a:g} A fuse" if fuse.rating_a else "its fuse, once it is rated"
        name = f"{fuse.id} {fuse.title}".rstrip()
        good = f"lamp dark or dim; live: {live[fuse.id]}"
        yield _seen(
            f"{fuse.id}{LAMP}",
            f"Lamp in place of {name}, then {rated}",
            f"{good}; read at {', '.join(_read_at(design, network, fuse.id))}",
            network.wires_at(f"{fuse.id}:out"),
        )


def _read_at(design: Design, network: Network, fuse: str) -> list[str]:
    """Return the first cavities on the metal behind a fuse, or its own end."""
    net = network.net_of(f"{fuse}:out")
    nodes = net.nodes if net is not None else ()
    plugs = [node for node in nodes if node in network.wires_on and _is_plug(design, node)]
    return plugs[:3] or [f"{fuse}:out"]


def _is_plug(design: Design, node: str) -> bool:
    return split_node(node)[0] in design.plugs


def _running(design: Design, network: Network, found: Expected) -> Iterator[Step]:
    nominal = design.system.volts_v or 12.0
    earths = "Earths under load: volts from each load's earth pin to battery minus; the worst"
    yield Step(Check(EARTHS, "volts", "", high=EARTH_V, words=earths), earths)
    what = "units" if _units(design) else "loads"
    units = f"Plug the {what} in one by one; read their supply and earth pins"
    yield _seen("power-units", units, "as in the table of volts")
    yield _rest(design, found)
    if has_engine(design):
        crank = "Crank with the fuel shut off: battery"
        low = round(_CRANK_SHARE * nominal, 2)
        yield Step(Check(CRANK, "volts", "", low=low, words=crank), crank, "no smoke, no heat")
    if has_alternator(design):
        charge = "Start; the charge lamp goes out: battery"
        least, most = (round(share * nominal, 2) for share in _CHARGE_SHARES)
        yield Step(Check(CHARGE, "volts", "", low=least, high=most, words=charge), charge)
    if has_engine(design):
        name = _named(found.volts, RUN_ON_WORDS)
        state = f"state '{name}', " if name else ""
        alive = alive_words(design, network, found.volts)
        good = "engine stops at once, no lamp glows" + (f"; computed: {alive}" if alive else "")
        yield _seen(RUN_ON, f"Run-on test: {state}key off with the engine turning", good)


def _rest(design: Design, found: Expected) -> Step:
    resting = (name for name, amps in found.drawn_a.items() if amps <= _RESTING_A)
    off = _named(resting, OFF_WORDS)
    drawn = max(0.0, found.drawn_a[off]) if off else None
    state = f"state '{off}', " if off else ""
    off_words = "Key off" if has_engine(design) else "Everything switched off"
    fuses = "all fuses in: " if design.fuses else ""
    do = f"{off_words}, {state}{fuses}ammeter in the battery lead"
    good = f"{REST_TYPICAL_A * 1000:g} mA typical"
    if drawn is not None:
        good += f"; computed {drawn * 1000:.1f} mA, without what units take for themselves"
    high = REST_MOST_A + (drawn or 0.0)
    return Step(Check(REST, "amps", "", expect=drawn, high=round(high, 4), words=do), do, good)


def _named(states: Iterable[str], words: tuple[str, ...]) -> str:
    """Return the first state whose name is one of the words; empty when there is none."""
    return next((name for name in states if name.lower() in words), "")


def alive_words(design: Design, network: Network, volts: Volts) -> str:
    """Return the wired cavities that are computed to stay alive while the engine runs on."""
    name = _named(volts, RUN_ON_WORDS)
    alive = [
        f"{node} {value:.1f} V"
        for node, value in volts.get(name, {}).items()
        if abs(value) >= _ALIVE_V and node in network.wires_on and _is_plug(design, node)
    ]
    more = f" and {len(alive) - 6} more" if len(alive) > 6 else ""
    return f"still alive {', '.join(alive[:6])}{more}" if alive else ""
