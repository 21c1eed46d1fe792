"""What a face and its pin table say about one cavity, gathered from pins, wires and the mate."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from wiregen.connect import Network, node_name, split_node
from wiregen.connect.screens import Screen, screens_at
from wiregen.facts.colours import Colour
from wiregen.facts.sizes import WireSize
from wiregen.model import Design, Pin, Plug, Wire
from wiregen.model.faces import cavity_contact

CavityState = Literal["used", "empty", "blocked", "reserved", "unknown"]

SHORT_STATE: dict[CavityState, str] = {
    "used": "colour?",
    "empty": "empty",
    "blocked": "blocked",
    "reserved": "reserved",
    "unknown": "?",
}
"""What stands below a cavity without a colour."""
SCREEN = "screen"
"""In place of the colour of a wire: bare metal."""


@dataclass(frozen=True, slots=True)
class Known:
    """Where a fact comes from, and whether somebody still has to measure."""

    words: str
    attention: bool = False


@dataclass(frozen=True, slots=True)
class DrawnAt:
    """Where a wire reaches a pin on the schematic.

    Attributes:
        page: place of the sheet among the schematic sheets, from 0.
        zone: of the sheet, `B2`.
    """

    page: int
    zone: str


WireEnds = Mapping[tuple[str, str], DrawnAt]
"""(pin, wire) -> where that end of the wire is drawn."""


@dataclass(frozen=True, slots=True)
class CavityFacts:
    """One cavity of one half, ready to be drawn.

    Attributes:
        node: `X1:3`.
        name: the cavity, `3`.
        state: `unknown` when neither a pin nor a wire says anything of it.
        carries: in words; for an empty cavity what has to be done with it.
        colours: IEC code of each wire in the contact; empty text where none is known.
        markings: the colour as written, where it is not in IEC form; else empty.
        wires: ids of the wires in the contact.
        sizes: of each wire as bought, such as `0.75 mm²`; empty text where none is known.
        goes_to: (end, title) of each wire, then what each screen is over.
        protected_by: fuses with their rating.
        contact: sort and record of the contact.
        known: measured, from a source, or unknown.
        drawn: where each wire is drawn; the places of the other half's where this one has none.
        screens: ids of the groups whose screens are joined here.
    """

    node: str
    name: str
    state: CavityState
    carries: str
    colours: tuple[str, ...]
    markings: tuple[str, ...]
    wires: tuple[str, ...]
    sizes: tuple[str, ...]
    goes_to: tuple[tuple[str, str], ...]
    protected_by: tuple[str, ...]
    contact: str
    known: Known
    drawn: tuple[DrawnAt | None, ...] = ()
    screens: tuple[str, ...] = ()

    @property
    def ends(self) -> tuple[str, ...]:
        """What ends in the contact: wires, then screens."""
        return (*self.wires, *self.screens)

    @property
    def bare(self) -> tuple[str, ...]:
        """The screens without a colour of their own: those beside wires, or of a pin without."""
        return self.screens if self.wires or not self.colours else ()

    @property
    def codes(self) -> tuple[str, ...]:
        """Lines below the cavity: one colour code a wire, or the state in one word."""
        if self.state != "used":
            return (SHORT_STATE[self.state],)
        colours = (code or SHORT_STATE["used"] for code in self.colours)
        return (*colours, *((SCREEN,) if self.bare else ())) or (SHORT_STATE["used"],)


def plug_facts(
    design: Design,
    network: Network,
    plug_id: str,
    cavities: Sequence[str],
    drawn: WireEnds | None = None,
) -> dict[str, CavityFacts]:
    """Return the facts of each cavity of a plug, in the order of `cavities`.

    Args:
        design: the design.
        network: from `connect`.
        plug_id: the half.
        cavities: their names.
        drawn: the wire ends of the schematic; None for none.
    """
    plug = design.plugs[plug_id]
    mate = design.plugs.get(network.mate(plug_id) or "")
    screens = screens_at(design, network)
    found = {}
    for name in cavities:
        here = screens.get(network.halves.wire_node(node_name(plug.id, name)), ())
        found[name] = _facts(design, network, (plug, mate), name, here)
        if drawn is not None:
            found[name] = _with_places(found[name], network, mate, drawn, here)
    return found


def _with_places(
    facts: CavityFacts,
    network: Network,
    mate: Plug | None,
    drawn: WireEnds,
    screens: Sequence[Screen],
) -> CavityFacts:
    """Add where the wires are drawn: at this half, or where it has none at the other, each once.

    The mark of a screen stands on its wires.
    """
    nodes = [facts.node, *([node_name(mate.id, facts.name)] if mate else [])]
    wires = facts.wires or network.wires_at(nodes[-1])
    ends = [[(node, wire) for node in nodes] for wire in wires]
    ends += [_screen_ends(network, screen) for screen in screens]
    places = ([drawn[end] for end in one if end in drawn] for one in ends)
    shown = [found[0] if found else None for found in places]
    return replace(facts, drawn=tuple(shown if facts.wires else dict.fromkeys(shown)))


def _screen_ends(network: Network, screen: Screen) -> list[tuple[str, str]]:
    """Return the wire ends a screen may be seen at, those at the plug of its pin first."""
    plug = split_node(screen.node)[0]
    ends = [(node, wire) for wire in screen.wires for node in network.ends_of[wire]]
    return sorted(ends, key=lambda end: split_node(end[0])[0] != plug)


def _facts(
    design: Design,
    network: Network,
    halves: tuple[Plug, Plug | None],
    name: str,
    screens: Sequence[Screen],
) -> CavityFacts:
    plug, mate = halves
    node = node_name(plug.id, name)
    pin = plug.pins.get(name)
    other = mate.pins.get(name) if mate else None
    wires = [design.wires[wire] for wire in network.wires_at(node)]
    state = _state(pin, other, (*wires, *screens))
    # A half built into a device has no wires of its own: the loom half's are shown.
    told = other if plug.of and other and not (pin and pin.colours) else pin
    colours = _colours(told, wires) if state == "used" else ()
    guarded = state == "used" and (wires or not screens)
    fuses = network.protecting_fuses(node) if guarded else ()
    return CavityFacts(
        node=node,
        name=name,
        state=state,
        carries=_carries(halves, pin, other, state, screens),
        colours=tuple(colour.iec if colour else "" for colour in colours),
        markings=tuple(_marking(colour) for colour in colours),
        wires=tuple(wire.id for wire in wires),
        sizes=_sizes(told, wires),
        goes_to=(
            *_goes_to(design, network, plug.id, name),
            *(("", f"screen of {screen.over}") for screen in screens),
        ),
        protected_by=tuple(_fuse_words(design, fuse) for fuse in fuses),
        contact=_contact(design, plug, name) if state == "used" else "",
        known=_known(design, pin, state, wires, screens),
        screens=tuple(screen.id for screen in screens),
    )


def _state(pin: Pin | None, other: Pin | None, ends: Sequence[Wire | Screen]) -> CavityState:
    """The pin's own word; without one what ends there, then an unused one of the other half."""
    if pin is not None:
        return pin.state
    if ends:
        return "used"
    if other is not None and other.state != "used":
        return other.state
    return "unknown"


def _colours(pin: Pin | None, wires: Sequence[Wire]) -> tuple[Colour | None, ...]:
    """Colours of the wires; where a wire has none, or there is no wire, what the pin says."""
    said = pin.colours if pin else ()
    if not wires:
        return said
    drawn = tuple(wire.colour for wire in wires)
    return said if said and all(colour is None for colour in drawn) else drawn


def _marking(colour: Colour | None) -> str:
    if colour is None or colour.key == "iec-60757" or colour.text == colour.iec:
        return ""
    return colour.text


def _sizes(pin: Pin | None, wires: Sequence[Wire]) -> tuple[str, ...]:
    said = pin.sizes if pin else ()
    drawn = tuple(wire.size for wire in wires)
    if not drawn or (said and all(size is None for size in drawn)):
        return tuple(size_words(size) for size in said)
    return tuple(size_words(size) if size else "" for size in drawn)


def size_words(size: WireSize) -> str:
    """Return a size as it is bought, with its unit."""
    words = f"{size.label} mm²" if size.system == "mm2" else size.label
    return f"{words} / {size.also}" if size.also else words


def _carries(
    halves: tuple[Plug, Plug | None],
    pin: Pin | None,
    other: Pin | None,
    state: CavityState,
    screens: Sequence[Screen],
) -> str:
    plug, mate = halves
    if state == "empty":
        return "empty, needs a cavity plug" if plug.sealed else "empty"
    if state in ("blocked", "reserved"):
        return state
    words = _capital(_pin_words(pin))
    theirs = _pin_words(other)
    if not words and theirs and mate:
        words = f"{mate.id} carries {theirs}" if state == "unknown" else _capital(theirs)
    words = _with_screens(words, screens)
    if not words:
        words = "nothing recorded" if state == "unknown" else "not recorded"
    return words + _additions(pin)


def _with_screens(words: str, screens: Sequence[Screen]) -> str:
    """Add the screens that end in a contact to what its pin carries."""
    if not screens:
        return words
    names = ", ".join(screen.id for screen in screens)
    if not words:
        return f"Screen of {names}"
    return f"{words} ({names})" if SCREEN in words.lower() else f"{words}, screen of {names}"


def _additions(pin: Pin | None) -> str:
    """What a pin says beside what it carries: its use, the variants it belongs to, its note."""
    if pin is None:
        return ""
    only = f"only {', '.join(pin.only)}" if pin.only else ""
    return "".join(f", {part}" for part in (pin.use, only, pin.note) if part)


def _pin_words(pin: Pin | None) -> str:
    return (pin.carries or pin.circuit) if pin else ""


def _capital(words: str) -> str:
    """Begin a plain word with a capital; names such as `mV` or `58L` stay as written."""
    first = words.split(" ", 1)[0]
    return words[:1].upper() + words[1:] if len(first) > 1 and first.islower() else words


def _goes_to(
    design: Design, network: Network, plug_id: str, name: str
) -> tuple[tuple[str, str], ...]:
    ends = []
    for far in network.far_ends(plug_id, name):
        wire = design.wires[far.wire]
        if far.node:
            ends.append((far.node, far.title))
        else:
            ends.append(("", f"end {wire.fate}" if wire.fate else "other end not recorded"))
    return tuple(ends)


def _fuse_words(design: Design, fuse_id: str) -> str:
    fuse = design.fuses.get(fuse_id)
    if fuse is None or fuse.rating_a is None:
        return fuse_id
    return f"{fuse_id} {fuse.rating_a:g} A"


def _contact(design: Design, plug: Plug, name: str) -> str:
    stated = cavity_contact(plug, name)
    record = design.contacts.get(stated)
    kind = {"pins": "pin", "sockets": "socket"}.get(plug.contacts, "")
    if record is not None and record.blade_mm is not None:
        stated = f"{record.blade_mm:g}"
    return " ".join(part for part in (kind, stated) if part)


def _known(
    design: Design,
    pin: Pin | None,
    state: CavityState,
    wires: Sequence[Wire],
    screens: Sequence[Screen],
) -> Known:
    if state in ("empty", "blocked", "reserved"):
        return Known("")
    if pin is None:
        under = (design.wires[wire] for screen in screens for wire in screen.wires)
        every = (*wires, *under)
        if every and all(design.status_of(wire) == "new" for wire in every):
            return Known("new wire" if wires else "new screen")
        return Known("unknown", attention=True)
    if pin.measured:
        return Known(f"measured {pin.measured}")
    if pin.disputed:
        count = {2: "two", 3: "three", 4: "four"}.get(len(pin.says), str(len(pin.says)))
        return Known(f"{count} sources disagree: measure", attention=True)
    sources = ", ".join(dict.fromkeys(say.source for say in pin.says if say.source))
    if pin.source or sources:
        return Known(f"{pin.source or sources}, not measured", attention=True)
    return Known("unknown", attention=True)
