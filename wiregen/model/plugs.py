"""Plugs, their faces and their pins."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from wiregen.facts.colours import Colour
from wiregen.facts.sizes import WireSize
from wiregen.model.base import Drawn, Origin, Range

PinState = Literal["used", "empty", "blocked", "reserved"]


@dataclass(frozen=True, slots=True)
class Say:
    """What one source says of a pin, kept while sources disagree."""

    source: str
    carries: str = ""
    colour: Colour | None = None
    size: WireSize | None = None
    circuit: str = ""


@dataclass(frozen=True, slots=True)
class Accepts:
    """What an input pin tolerates and how it is loaded.

    Attributes:
        pull_up: as written, `4.7 kohm to 5 V`; the two numbers are in `pull_up_ohm`, `pull_up_v`.
    """

    max_volts_v: float | None = None
    threshold_v: float | None = None
    pull_up: str = ""
    ohms: float | None = None
    pull_up_ohm: float | None = None
    pull_up_v: float | None = None


@dataclass(frozen=True, slots=True)
class Pin:
    """One cavity of a plug and what is known of the contact in it.

    Attributes:
        name: cavity name, text as written.
        state: `used`, or a bare `empty`, `blocked`, `reserved`.
        circuit: name of the net, empty when not said.
        colours: one colour a wire in the contact (a list in the file where wires share it).
        sizes: likewise.
        says: sources that disagree.
        needs: state name -> `live` or `dead`.
        without: what is lost if the pin is not wired.
        pull_up: as written, `4.7 kohm to 5 V`; the two numbers are in `pull_up_ohm`, `pull_up_v`.
    """

    name: str
    origin: Origin
    state: PinState = "used"
    carries: str = ""
    circuit: str = ""
    colours: tuple[Colour, ...] = ()
    sizes: tuple[WireSize, ...] = ()
    role: str = ""
    volts_v: float | None = None
    contact: str = ""
    label: str = ""
    source: str = ""
    measured: str = ""
    says: tuple[Say, ...] = ()
    use: str = ""
    needs: Mapping[str, str] = field(default_factory=dict, hash=False)
    without: str = ""
    drives: str = ""
    max_amps_a: float | None = None
    resistance_ohm: float | None = None
    pull_up: str = ""
    accepts: Accepts | None = None
    note: str = ""
    only: tuple[str, ...] = ()
    pull_up_ohm: float | None = None
    pull_up_v: float | None = None

    @property
    def disputed(self) -> bool:
        """Whether two sources say something different of the same thing."""
        said: tuple[set[object], ...] = (
            {say.carries.lower() for say in self.says if say.carries},
            {say.circuit for say in self.says if say.circuit},
            {say.colour.iec for say in self.says if say.colour},
            {say.size.area_mm2 for say in self.says if say.size},
        )
        return any(len(words) > 1 for words in said)


@dataclass(frozen=True, slots=True)
class Ring:
    """One ring of cavities; `radius` 0 is the centre.

    Attributes:
        start: `top`, `right`, `bottom`, `left`, or degrees clockwise from the top (`22.5`).
        turn: `clockwise` or `anticlockwise`.
    """

    names: tuple[str, ...]
    radius: float | None = None
    start: str = "top"
    turn: str = "clockwise"


@dataclass(frozen=True, slots=True)
class Face:
    """The cavity arrangement as the file states it; `model.faces` makes one layout of it.

    Exactly one of `rows`, `rings`, `places`, `like` is filled.

    Attributes:
        rows: names per row, None for a gap.
        stagger: shift of every second row, in pitches.
        pitch_mm: distance of neighbouring cavities; None draws to proportion.
        places: name -> (x right, y down) as seen from `seen_from`.
        unit: `mm`, or `none` when positions only give proportions.
        like: another plug, or a standard face of the catalogue.
        seen_from: `mating side` or `wire side`.
        cavity: contact record name or opening in mm (as text) per cavity, `default` for the rest.
    """

    origin: Origin
    rows: tuple[tuple[str | None, ...], ...] = ()
    stagger: float = 0.0
    pitch_mm: float | None = None
    rings: tuple[Ring, ...] = ()
    places: Mapping[str, tuple[float, float]] = field(default_factory=dict, hash=False)
    unit: Literal["mm", "none"] = "mm"
    like: str = ""
    seen_from: Literal["mating side", "wire side"] = "mating side"
    key: str = ""
    latch: str = ""
    cavity: Mapping[str, str] = field(default_factory=dict, hash=False)


@dataclass(frozen=True, slots=True)
class Plug:
    """One half of a connector.

    Attributes:
        loom: the loom its wires belong to, empty when it is built into a device.
        of: the device this half is built into.
        mates: the half it pushes into.
        contacts: `pins` or `sockets`; empty when not said.
        contact: contact record of every cavity not named in `face.cavity`.
        apart: groups of cavities that may not be joined on this side.
        standard: catalogue pinout to compare with, such as `iso-11446`.
        safety: declared class such as `brake`.
        colour_key: how colours are written at its pins; empty takes the loom's or the file's.
    """

    id: str
    origin: Origin
    title: str = ""
    loom: str = ""
    of: str = ""
    mates: str = ""
    contacts: str = ""
    contact: str = ""
    housing: str = ""
    where: str = ""
    keyed: str = ""
    sealed: bool = False
    face: Face | None = None
    standard: str = ""
    side: str = ""
    apart: tuple[tuple[str, ...], ...] = ()
    amps_pin_a: float | None = None
    amps_total_a: float | None = None
    pins: Mapping[str, Pin] = field(default_factory=dict, hash=False)
    safety: str = ""
    note: str = ""
    only: tuple[str, ...] = ()
    colour_key: str = ""
    drawn: Drawn = field(default_factory=Drawn)


@dataclass(frozen=True, slots=True)
class Contact:
    """A contact record that plugs refer to."""

    id: str
    origin: Origin
    title: str = ""
    blade_mm: float | None = None
    wire_mm2: Range | None = None
    seal_mm: Range | None = None
    amps_a: float | None = None
    max_wires: int | None = None
    resistance_ohm: float | None = None
    note: str = ""
    only: tuple[str, ...] = ()
