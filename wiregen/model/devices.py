"""Devices: sources, switches, relays, loads, and units with what is inside them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wiregen.model.base import Drawn, End, Origin

Pair = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Coil:
    """A relay coil; `plus` names the terminal that must be positive when a diode is fitted."""

    start: str
    end: str
    ohms: float | None = None
    suppression: str = ""
    suppression_ohms: float | None = None
    plus: str = ""


@dataclass(frozen=True, slots=True)
class LampTerminal:
    """The charge-lamp terminal of an alternator."""

    at: str
    volts_v: float | None = None
    resistance_ohm: float | None = None
    at_rest_ohm: float | None = None
    excites_at_a: float | None = None


@dataclass(frozen=True, slots=True)
class Forward:
    """A diode's forward drop: `volts_v` at `at_a`."""

    volts_v: float | None = None
    at_a: float | None = None
    ideality: float | None = None


@dataclass(frozen=True, slots=True)
class Coasts:
    """A motor that acts as a source while it is turned by something else."""

    volts_v: float
    ohms: float | None = None


@dataclass(frozen=True, slots=True)
class Device:
    """Anything with terminals that is neither a plug nor a fuse, also a part inside a unit.

    Attributes:
        kind: one word of `model.vocabulary.DEVICE_KINDS`; `join` for a link inside a unit.
        terminals: names as marked on the device; where the file gives none, the usual ones of the
            kind (`vocabulary.TERMINALS`); empty for units, whose pins are on their plugs.
        start: the `from` end of a part inside a unit (its plus side where polarity matters).
        end: the `to` end, likewise.
        case: the earth its housing is bolted to: its return.
        positions: switch position -> joined terminal pairs.
        rest: joined pairs of a relay at rest.
        pulled: joined pairs of a relay that has pulled in.
        closed_in: states in which a switch inside a unit is closed.
        join: ends joined by metal inside a unit.
        inside: parts of a unit by name.
        polarity: both `from` and `to` are written, and current the other way is a fault.
        on_when: when the load is meant to be on, in words; `on_states` names the states.
        transition: `break first` or `make first`.
        safety: declared class such as `brake`.
    """

    id: str
    origin: Origin
    kind: str
    title: str = ""
    terminals: tuple[str, ...] = ()
    start: End | None = None
    end: End | None = None
    case: str = ""
    where: str = ""
    loom: str = ""
    use: str = ""
    volts_v: float | None = None
    amps_a: float | None = None
    watts_w: float | None = None
    ohms: float | None = None
    resistance_ohm: float | None = None
    min_volts_v: float | None = None
    cold: float | None = None
    exponent: float | None = None
    forward: Forward | None = None
    saturation_a: float | None = None
    ideality: float | None = None
    polarity: bool = False
    bidirectional: bool = False
    on_when: str = ""
    coasts: Coasts | None = None
    transition: str = ""
    empty_ohm: float | None = None
    full_ohm: float | None = None
    suppression: str = ""
    lamp_terminal: LampTerminal | None = None
    coil: Coil | None = None
    pulls_in_v: float | None = None
    drops_out_v: float | None = None
    rest: tuple[Pair, ...] = ()
    pulled: tuple[Pair, ...] = ()
    positions: Mapping[str, tuple[Pair, ...]] = field(default_factory=dict, hash=False)
    closed_in: tuple[str, ...] = ()
    join: tuple[End, ...] = ()
    inside: Mapping[str, Device] = field(default_factory=dict, hash=False)
    safety: str = ""
    note: str = ""
    only: tuple[str, ...] = ()
    on_states: tuple[str, ...] = ()
    drawn: Drawn = field(default_factory=Drawn)
