"""What joins the plugs: looms, wires, splices, fuses, boxes, earths, groups and buses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wiregen.facts.colours import Colour
from wiregen.facts.sizes import WireSize
from wiregen.model.base import Drawn, End, Origin


@dataclass(frozen=True, slots=True)
class Loom:
    """A bundle of wires that exists, is to be built, or is taken out (`status`).

    `colour_key` says how colours are written in it; empty takes the file's.
    """

    id: str
    origin: Origin
    title: str = ""
    status: str = "existing"
    insulation: str = ""
    note: str = ""
    only: tuple[str, ...] = ()
    colour_key: str = ""


@dataclass(frozen=True, slots=True)
class Wire:
    """One wire from pin to pin.

    Attributes:
        start: the `from` end; None only where a fate excuses it.
        end: the `to` end; likewise.
        status: own status (`new`, `existing`, `removed`); empty takes the loom's.
        fate: what becomes of an old wire: `used`, `moved`, `insulated`, `removed`.
        was: the old end of a moved wire.
        why: the reason for the fate.
        resistance_ohm: overrides size and length.
    """

    id: str
    origin: Origin
    start: End | None = None
    end: End | None = None
    colour: Colour | None = None
    size: WireSize | None = None
    length_mm: float | None = None
    loom: str = ""
    insulation: str = ""
    resistance_ohm: float | None = None
    status: str = ""
    fate: str = ""
    was: End | None = None
    why: str = ""
    label: str = ""
    note: str = ""
    only: tuple[str, ...] = ()

    @property
    def ends(self) -> tuple[End, ...]:
        """The ends that are written, `from` first."""
        if self.start is None:
            return (self.end,) if self.end is not None else ()
        return (self.start, self.end) if self.end is not None else (self.start,)


@dataclass(frozen=True, slots=True)
class Splice:
    """A joint of wires; `at` names a point of the route, `zone` is dry, wet, flexing or branch."""

    id: str
    origin: Origin
    title: str = ""
    loom: str = ""
    at: str = ""
    zone: str = ""
    resistance_ohm: float | None = None
    note: str = ""
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Earth:
    """An earth point; earths of one kind (`chassis`, `engine`) are one piece of metal."""

    id: str
    origin: Origin
    title: str = ""
    kind: str = "chassis"
    loom: str = ""
    at: str = ""
    zone: str = ""
    resistance_ohm: float | None = None
    note: str = ""
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Fuse:
    """A fuse, fusible link or breaker with the terminals `in` and `out`."""

    id: str
    origin: Origin
    title: str = ""
    rating_a: float | None = None
    style: str = ""
    fitted_on: End | None = None
    resistance_ohm: float | None = None
    breaking_a: float | None = None
    where: str = ""
    note: str = ""
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Box:
    """A fuse box; each bar joins the `in` ends of its fuses and is an end itself, `FB1:15`."""

    id: str
    origin: Origin
    title: str = ""
    loom: str = ""
    where: str = ""
    bars: Mapping[str, tuple[str, ...]] = field(default_factory=dict, hash=False)
    note: str = ""
    only: tuple[str, ...] = ()
    drawn: Drawn = field(default_factory=Drawn)


@dataclass(frozen=True, slots=True)
class Group:
    """Wires that run together: a twist, a screen over them, or one cable."""

    id: str
    origin: Origin
    title: str = ""
    twisted: tuple[str, ...] = ()
    screened: tuple[str, ...] = ()
    multicore: tuple[str, ...] = ()
    screen: End | None = None
    untwist_mm: float | None = None
    note: str = ""
    only: tuple[str, ...] = ()

    @property
    def wires(self) -> tuple[str, ...]:
        """Every wire of the group once."""
        return tuple(dict.fromkeys((*self.screened, *self.twisted, *self.multicore)))


@dataclass(frozen=True, slots=True)
class Bus:
    """A data or power bus and what its standard allows.

    Attributes:
        members: the ends that take part.
        terminators: devices or units that terminate it.
        active: those of them that are active, not plain resistors.
        through: pairs of ends joined inside a unit, so that the bus breaks when it is unplugged.
    """

    id: str
    origin: Origin
    title: str = ""
    kind: str = ""
    members: tuple[End, ...] = ()
    terminators: tuple[str, ...] = ()
    through: tuple[tuple[End, End], ...] = ()
    max_length_mm: float | None = None
    max_stub_mm: float | None = None
    amps_leg_a: float | None = None
    note: str = ""
    only: tuple[str, ...] = ()
    active: tuple[str, ...] = ()
