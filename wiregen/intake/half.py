"""One side of a connection: plugs of a design, or a contact allocation of the catalogue."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from wiregen.check.feeds import find_feeds
from wiregen.connect import Network, connect
from wiregen.facts.colours import Colour, parse_colour
from wiregen.facts.faces import list_pinouts, pinout
from wiregen.facts.functions import EARTHS, FEEDS, concepts, tells, terminal_concepts
from wiregen.facts.sizes import WireSize, read_size
from wiregen.intake.live import live_by_words, live_nets
from wiregen.model import Design, Pin, Plug, in_order
from wiregen.problems import did_you_mean
from wiregen.read import load

_SCOPE = re.compile(
    r"\b(?:of|for|von|für|fuer|zu|de|des|pour|para|di|del|dei|per|van|voor)\s+"
    r"((?:[A-Za-z]?\d+[a-z]?|[A-Z])(?:\s*(?:,|-|–|to|bis|à|a|al|tot|and|und|et|y|e|en)\s*"
    r"(?:[A-Za-z]?\d+[a-z]?|[A-Z]))*)\s*$"
)
_RANGE_WORDS = frozenset({"-", "–", "to", "bis", "à", "a", "al", "tot"})
_FEW_TERMINALS = 3
_LISTED = 12


class HalfError(ValueError):
    """A side that was named is not there; one line for the user."""


@dataclass(frozen=True, slots=True)
class Contact:
    """One cavity of a side, with all that is known of what it carries.

    Attributes:
        end: `X1:3`.
        state: `used`, `empty`, `blocked` or `reserved`.
        words: what it carries, as written; the circuit name where nothing else is said.
        meaning: the same as concepts; empty when the words say nothing.
        scope: cavities this return serves; empty when not said.
        live: state or kind of state -> live.
        fuses: what protects it; None when the file does not say where it is fed from.
        goes_to: far ends of its wires.
        group: cavities joined to it inside a unit or joint connector share this name.
        disputed: sources disagree on what it carries, and nobody measured.
    """

    end: str
    plug: str
    cavity: str
    state: str = "used"
    words: str = ""
    circuit: str = ""
    role: str = ""
    drives: str = ""
    use: str = ""
    meaning: frozenset[str] = frozenset()
    scope: frozenset[str] = frozenset()
    colours: tuple[Colour, ...] = ()
    sizes: tuple[WireSize, ...] = ()
    volts_v: float | None = None
    needs: Mapping[str, str] = field(default_factory=dict)
    live: Mapping[str, bool] = field(default_factory=dict)
    fuses: tuple[str, ...] | None = None
    goes_to: tuple[str, ...] = ()
    without: str = ""
    group: str = ""
    disputed: bool = False

    @property
    def kind(self) -> str:
        """`earth`, `feed`, or `other`; `none` for a cavity without a function."""
        if self.state != "used" or not (self.words or self.role):
            return "none"
        if self.role in ("earth", "sensor return", "screen") or self.meaning & EARTHS:
            return "earth"
        if self.role == "supply" or self.meaning & FEEDS:
            return "feed"
        return "other"

    @property
    def tells(self) -> bool:
        """True when its words name a function, and not only a side, a sort or a number."""
        return tells(self.meaning)

    @property
    def said(self) -> str:
        """For messages: `X1:3 'right tail'`."""
        return f"{self.end} '{self.words}'" if self.words else self.end


@dataclass(frozen=True, slots=True)
class Half:
    """One side of a connection.

    Attributes:
        name: as the user named it.
        plugs: ids, in natural order; the id of the catalogue where it is none of a design.
        contacts: end -> contact, in natural order of plugs and cavities.
        design: None for an allocation of the catalogue.
        own_ids: id of a plug here -> its id in the design or catalogue, where they differ.
    """

    name: str
    plugs: tuple[str, ...]
    contacts: Mapping[str, Contact]
    design: Design | None = None
    network: Network | None = None
    own_ids: Mapping[str, str] = field(default_factory=dict)

    @property
    def label(self) -> str:
        """The name without folders."""
        return re.split(r"[/\\]", self.name)[-1]


def read_half(name: str) -> Half:
    """Read a side: `FILE.yaml:X1`, `FILE.yaml:X1,X2`, or an allocation such as `iso-11446`.

    Raises:
        HalfError: there is no such plug or allocation.
        Unreadable: the file is no design.
    """
    file, colon, plugs = name.rpartition(":")
    if not colon or (len(file) == 1 and file.isalpha()):
        if name in list_pinouts():
            return catalogue_half(name)
        if not Path(name).is_file():
            near = did_you_mean(name, list_pinouts()) or "; write FILE.yaml:X1"
            raise HalfError(f"'{name}' is neither a file that is there nor a standard{near}")
        file, plugs = name, ""
    design = load(file).design
    wanted = [plug.strip() for plug in plugs.split(",") if plug.strip()]
    if not wanted and len(design.plugs) == 1:
        wanted = list(design.plugs)
    if not wanted:
        raise HalfError(f"{file}: say which plug: {file}:{next(iter(design.plugs), 'X1')}")
    for plug in wanted:
        if plug not in design.plugs:
            known = ", ".join(list(design.plugs)[:_LISTED]) or "none"
            raise HalfError(f"{file} has no plug '{plug}'; it has {known}")
    return design_half(name, design, wanted)


def design_half(name: str, design: Design, plugs: Sequence[str]) -> Half:
    """Return plugs of a design as a side; what only the mated half says of a pin counts too."""
    network = connect(design)
    live = live_nets(design, network)
    supplied = find_feeds(design, network).supply
    groups = _groups(design)
    found: dict[str, Contact] = {}
    ids = tuple(in_order(dict.fromkeys(plugs)))
    for plug_id in ids:
        plug = design.plugs[plug_id]
        for cavity, pin in _pins(design, network, plug).items():
            node = f"{plug_id}:{cavity}"
            net = network.net_of(node)
            index = net.index if net else -1
            fed = index in supplied and bool(network.wires_at(node))
            contact = _contact(plug_id, pin, groups)
            by_net = {state: nets[index] for state, nets in live.items() if index in nets}
            known = bool(network.wires_at(node)) and bool(network.sources)
            found[node] = replace(
                contact,
                volts_v=contact.volts_v or _feed_volts(design, contact),
                live=by_net if known else contact.live,
                fuses=network.protecting_fuses(node) if fed else None,
                goes_to=tuple(far.node for far in network.far_ends(plug_id, cavity) if far.node),
            )
    return Half(name, ids, _with_context(found), design, network)


def catalogue_half(standard: str) -> Half:
    """Return a contact allocation of the catalogue as a side."""
    found = {}
    for pin in pinout(standard).values():
        end = f"{standard}:{pin.name}"
        unused = pin.function.startswith(("reserved", "not allocated", "free "))
        meaning = concepts(pin.function)
        found[end] = Contact(
            end=end,
            plug=standard,
            cavity=pin.name,
            state="reserved" if unused else "used",
            words=pin.function,
            meaning=meaning or terminal_concepts(pin.din72552),
            colours=(parse_colour(pin.colour),) if pin.colour else (),
            sizes=(read_size(pin.size),) if pin.size else (),
            live=live_by_words(meaning),
        )
    return Half(standard, (standard,), _with_context(found))


def told_apart(start: Half, end: Half) -> tuple[Half, Half]:
    """Give the plugs of two sides ids that are all different and can stand in one design.

    Plugs of the side that stays keep theirs; allocations of the catalogue become X1, X2 ...
    """
    taken = set(start.plugs if start.design else ()) | set(end.plugs if end.design else ())
    first = _renamed(start, {} if start.design else {start.plugs[0]: _free("X1", taken)})
    taken |= set(first.plugs)
    clash: dict[str, str] = {}
    for plug in end.plugs:
        if plug in first.plugs:
            clash[plug] = _free(plug, taken)
            taken.add(clash[plug])
    second = _renamed(end, clash if end.design else {end.plugs[0]: _free("X2", taken)})
    return first, second


def _free(wanted: str, taken: set[str]) -> str:
    """Return an id that is not taken: the next number, X2 after X1."""
    numbered = re.fullmatch(r"([A-Za-z]+)(\d{1,4})", wanted)
    stem, number = (numbered[1], int(numbered[2])) if numbered else (f"{wanted[:34]}-", 1)
    name = wanted
    while name in taken:
        number += 1
        name = f"{stem}{number}"
    return name


def _renamed(half: Half, names: Mapping[str, str]) -> Half:
    if not names:
        return half
    contacts = {}
    for contact in half.contacts.values():
        plug = names.get(contact.plug, contact.plug)
        end = f"{plug}:{contact.cavity}"
        contacts[end] = replace(contact, plug=plug, end=end)
    plugs = tuple(names.get(plug, plug) for plug in half.plugs)
    own = {new: old for old, new in names.items()}
    return replace(half, plugs=plugs, contacts=contacts, own_ids=own)


def _pins(design: Design, network: Network, plug: Plug) -> dict[str, Pin]:
    """Return the pins of a half, filled up with what its mate says."""
    mate = design.plugs.get(network.mate(plug.id) or "")
    pins = dict(plug.pins)
    for cavity, pin in (mate.pins if mate else {}).items():
        own = pins.get(cavity)
        if own is None or (own.state == "used" and not own.carries and not own.circuit):
            if own is None and pin.state != "used":
                continue
            pins[cavity] = pin
    return {cavity: pins[cavity] for cavity in in_order(pins)}


def _contact(plug: str, pin: Pin, groups: Mapping[str, str]) -> Contact:
    words = pin.carries or ("" if pin.circuit.isdigit() else pin.circuit)
    meaning = concepts(words)
    return Contact(
        end=f"{plug}:{pin.name}",
        plug=plug,
        cavity=pin.name,
        state=pin.state,
        words=words,
        circuit=pin.circuit,
        role=pin.role,
        drives=pin.drives,
        use=pin.use,
        meaning=meaning,
        colours=pin.colours,
        sizes=pin.sizes,
        volts_v=pin.volts_v,
        needs=pin.needs,
        live=live_by_words(meaning),
        without=pin.without,
        disputed=not pin.measured and len({concepts(s.carries) for s in pin.says if s.carries}) > 1,
        group=groups.get(f"{plug}:{pin.name}", ""),
    )


def _feed_volts(design: Design, contact: Contact) -> float | None:
    """Return the voltage of a feed: of its circuit, else of the system."""
    if contact.kind != "feed":
        return None
    circuit = design.circuits.get(contact.circuit)
    return (circuit.volts_v if circuit else None) or design.system.volts_v


def _groups(design: Design) -> dict[str, str]:
    """Return end -> first end of the pins that a unit joins inside."""
    found: dict[str, str] = {}
    for device in design.devices.values():
        for part in device.inside.values():
            ends = [end.text for end in part.join]
            for end in ends:
                found.setdefault(end, found.get(ends[0], ends[0]))
    return found


def _with_context(found: dict[str, Contact]) -> dict[str, Contact]:
    """Read words that mean something only beside the other pins of the plug."""
    plugs: dict[str, list[Contact]] = {}
    for contact in found.values():
        plugs.setdefault(contact.plug, []).append(contact)
    for contacts in plugs.values():
        cavities = frozenset(contact.cavity for contact in contacts)
        for contact in _named_by_terminals(contacts):
            found[contact.end] = contact
        lit = frozenset().union(*(found[c.end].meaning for c in contacts))
        for contact in contacts:
            now = found[contact.end]
            now = replace(now, meaning=_among_lamps(now.meaning, lit))
            found[contact.end] = _with_scope(now, cavities)
    return found


def _named_by_terminals(contacts: Sequence[Contact]) -> Iterable[Contact]:
    """Read texts such as `58L` as terminal designations where several pins are named so."""
    unsaid = [
        contact.cavity for contact in contacts if contact.state == "used" and not contact.words
    ]
    cavities = any(name[-1:].isalpha() and terminal_concepts(name) for name in unsaid)
    texts = {c.end: c.words.strip() or (c.cavity if cavities else "") for c in contacts}
    named = [c for c in contacts if c.state == "used" and terminal_concepts(texts[c.end])]
    if len(named) >= _FEW_TERMINALS and len(named) * 2 >= len(contacts):
        for contact in named:
            meaning = terminal_concepts(texts[contact.end])
            words = contact.words or contact.cavity
            live = contact.live or live_by_words(meaning)
            yield replace(contact, meaning=meaning, words=words, live=live)


def _among_lamps(meaning: frozenset[str], lit: frozenset[str]) -> frozenset[str]:
    """A bare `stop` or `position lamp` is a lamp of the rear where the plug has others."""
    if "?stop" in meaning and lit & {"indicator", "tail", "position lamp"}:
        meaning = (meaning - {"?stop"}) | {"stop lamp"}
    rear = {"stop lamp", "?stop", "rear fog", "reversing"}
    if "position lamp" in meaning and lit & rear and "tail" not in lit:
        meaning = (meaning - {"position lamp"}) | {"tail"}
    return meaning


def _with_scope(contact: Contact, cavities: frozenset[str]) -> Contact:
    """Read which cavities a return serves: `return of 1 to 8`."""
    stated = _SCOPE.search(contact.words)
    if not stated or contact.kind != "earth":
        return contact
    names = _spelled_out(re.findall(r"[\w]+|[-–]", stated[1]))
    if not names or not names <= cavities:
        return contact
    earth = concepts(contact.words[: stated.start()])
    return replace(contact, scope=frozenset(names), meaning=earth or contact.meaning)


def _spelled_out(parts: Sequence[str]) -> set[str]:
    names: set[str] = set()
    for place, part in enumerate(parts):
        if part in _RANGE_WORDS and 0 < place < len(parts) - 1:
            first, last = parts[place - 1], parts[place + 1]
            if first.isdigit() and last.isdigit() and int(last) - int(first) < 200:
                names |= {str(n) for n in range(int(first), int(last) + 1)}
        elif re.fullmatch(r"[A-Za-z]?\d+[a-z]?|[A-Z]", part):
            names.add(part)
    return names
