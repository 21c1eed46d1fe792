"""The whole design: every section of the file as one frozen record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wiregen.model.base import End, Origin
from wiregen.model.devices import Device
from wiregen.model.plugs import Contact, Plug
from wiregen.model.wires import Box, Bus, Earth, Fuse, Group, Loom, Splice, Wire


@dataclass(frozen=True, slots=True)
class Revision:
    """One row of the revision table."""

    revision: str
    date: str = ""
    what: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What the title block of every sheet says."""

    title: str = ""
    number: str = ""
    revision: str = ""
    date: str = ""
    by: str = ""
    drawn_state: str = ""
    revisions: tuple[Revision, ...] = ()


@dataclass(frozen=True, slots=True)
class Drop:
    """An allowed voltage drop: volts, or percent of nominal."""

    volts_v: float | None = None
    percent: float | None = None


@dataclass(frozen=True, slots=True)
class System:
    """Nominal voltage, surroundings and the tables to size by."""

    volts_v: float | None = None
    ambient_c: float | None = None
    drop: Mapping[str, Drop] = field(default_factory=dict, hash=False)
    tables: Mapping[str, str] = field(default_factory=dict, hash=False)


@dataclass(frozen=True, slots=True)
class Circuit:
    """A named net with facts that hold for all of it."""

    name: str
    origin: Origin
    title: str = ""
    volts_v: float | None = None
    safety: str = ""
    note: str = ""
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class State:
    """An operating state: object or end -> position, `running`, `on`, `open` ..."""

    name: str
    origin: Origin
    settings: Mapping[str, str] = field(default_factory=dict, hash=False)
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RouteLeg:
    """One stretch of the physical loom between two route points, plugs or splices."""

    start: str
    end: str
    origin: Origin
    length_mm: float | None = None
    covering: str = ""
    note: str = ""
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SignalEnd:
    """One side of a pulse signal."""

    at: End
    pulses_per_turn: float | None = None
    turns_of: str = ""
    pulses_per_km: float | None = None


@dataclass(frozen=True, slots=True)
class Signal:
    """A signal with its source and its receiver."""

    id: str
    origin: Origin
    start: SignalEnd
    end: SignalEnd
    note: str = ""
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding that is accepted, with the reason."""

    rule: str
    object: str
    why: str
    origin: Origin
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Design:
    """Everything a design file says, sections as id -> record in natural order of the ids.

    Attributes:
        path: the file as the user named it.
        name: file name without folder and ending; base of all output names.
        colour_key: how colours are written in the main file.
        colour_keys: own colour keys: name -> letters -> colour in words.
        variants: variant name -> what it is.
        sources: text of each file read, for printing the line of a finding.
    """

    path: str
    name: str
    origin: Origin
    title_block: TitleBlock = field(default_factory=TitleBlock)
    system: System = field(default_factory=System)
    colour_key: str = "iec-60757"
    variants: Mapping[str, str] = field(default_factory=dict, hash=False)
    looms: Mapping[str, Loom] = field(default_factory=dict, hash=False)
    contacts: Mapping[str, Contact] = field(default_factory=dict, hash=False)
    plugs: Mapping[str, Plug] = field(default_factory=dict, hash=False)
    splices: Mapping[str, Splice] = field(default_factory=dict, hash=False)
    fuses: Mapping[str, Fuse] = field(default_factory=dict, hash=False)
    boxes: Mapping[str, Box] = field(default_factory=dict, hash=False)
    earths: Mapping[str, Earth] = field(default_factory=dict, hash=False)
    devices: Mapping[str, Device] = field(default_factory=dict, hash=False)
    circuits: Mapping[str, Circuit] = field(default_factory=dict, hash=False)
    wires: Mapping[str, Wire] = field(default_factory=dict, hash=False)
    groups: Mapping[str, Group] = field(default_factory=dict, hash=False)
    buses: Mapping[str, Bus] = field(default_factory=dict, hash=False)
    states: Mapping[str, State] = field(default_factory=dict, hash=False)
    route: tuple[RouteLeg, ...] = ()
    signals: Mapping[str, Signal] = field(default_factory=dict, hash=False)
    waivers: tuple[Waiver, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict, hash=False)
    colour_keys: Mapping[str, Mapping[str, str]] = field(default_factory=dict, hash=False)

    def status_of(self, wire: Wire) -> str:
        """Return `new`, `existing` or `removed`: the wire's own word, its fate, or its loom's."""
        if wire.fate == "removed":
            return "removed"
        if wire.status:
            return wire.status
        loom = self.looms.get(wire.loom)
        return loom.status if loom else "new"
