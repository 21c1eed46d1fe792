"""One branch of the network: what lies between two nodes, and the law its current follows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Law = Literal[
    "resistance",
    "lamp",
    "constant current",
    "constant power",
    "diode",
    "source",
    "regulated source",
]
Part = Literal["wire", "joint", "fuse", "contact", "load", "coil", "diode", "source", "driver"]

METAL_OHM = 1e-6
"""What a joint, a fuse or a wire of 0 ohm is counted with, so that its current can be told."""


@dataclass(frozen=True, slots=True)
class Element:
    """One branch from node `a` to node `b`; its current counts positive from `a` to `b`.

    Attributes:
        id: of the wire, fuse or device; `K1:30-87` for one contact of several; `A1.P1` for a part
            inside a unit.
        part: what it is to the reader.
        law: which formula gives its current.
        a: node on the plus or supply side.
        b: the other node.
        owners: ids that take it out when they are `open` in a state.
        ohm: resistance; of a lamp at its nominal voltage; inner resistance of a source.
        volts_v: nominal voltage of a load, own voltage of a source.
        amps_a: of a constant-current load; limit of a regulated source (0 for none).
        watts_w: of a constant-power load.
        min_volts_v: below it a constant load behaves like a resistance.
        exponent: how a lamp's resistance follows its voltage.
        cold: hot resistance of a lamp over its cold one.
        saturation_a: of a diode.
        ideality: of a diode.
        by: id of what decides whether the branch is there; empty when it always is.
        when: modes of `by` in which it is there.
        one_way: current the other way is a fault.
        rated_v: nominal voltage where it is known, else 0.
    """

    id: str
    part: Part
    law: Law
    a: str
    b: str
    owners: tuple[str, ...] = ()
    ohm: float = 0.0
    volts_v: float = 0.0
    amps_a: float = 0.0
    watts_w: float = 0.0
    min_volts_v: float = 0.0
    exponent: float = 0.0
    cold: float = 1.0
    saturation_a: float = 0.0
    ideality: float = 1.0
    by: str = ""
    when: tuple[str, ...] = ()
    one_way: bool = False
    rated_v: float = 0.0


@dataclass(frozen=True, slots=True)
class Pull:
    """What makes a relay or a starter solenoid pull in.

    Attributes:
        id: of the relay.
        a: coil node.
        b: other coil node.
        pulls_in_v: it pulls in at or above this voltage.
        drops_out_v: it holds at or above this voltage.
    """

    id: str
    a: str
    b: str
    pulls_in_v: float
    drops_out_v: float


@dataclass(frozen=True, slots=True)
class Assumed:
    """A value the file does not give and that was taken instead; always printed."""

    object: str
    words: str


@dataclass(frozen=True, slots=True)
class Lacking:
    """A fact that is missing, and what it would unlock."""

    object: str
    needs: str
    unlocks: str
