"""An adapter loom drafted between two sides: what is wired to what, and what is left to decide."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from wiregen.edit import Remarked
from wiregen.edit.yaml_text import Value
from wiregen.facts.faces import FaceError, apart
from wiregen.facts.trade_words import normal
from wiregen.intake.copies import PlugCopy, copy_plug
from wiregen.intake.half import Contact, Half
from wiregen.intake.live import is_live
from wiregen.intake.match import Match, Matching
from wiregen.intake.number import Number
from wiregen.model import in_order

LOOM = "adapter"


@dataclass(slots=True)
class Adapter:
    """A drafted adapter loom.

    Attributes:
        sections: the draft, section by section.
        wired: (match, wire ids) in order.
        decisions: what the person has to decide, most important first.
    """

    sections: dict[str, Value] = field(default_factory=dict)
    wired: list[tuple[Match, tuple[str, ...]]] = field(default_factory=list)
    decisions: list[str] = field(default_factory=list)


def draft_adapter(start: Half, end: Half, matching: Matching) -> Adapter:
    """Draft the adapter loom for a matching.

    Args:
        start: the side that stays.
        end: the side that is fitted.
        matching: of the two.

    Returns:
        A design with both sides, a half for each plug, one wire a match, a splice where a contact
        serves several, and a fuse for each feed of which none is recorded.
    """
    job = _Job(start, end, matching)
    job.plugs()
    job.wires()
    job.sections()
    job.decide()
    return job.adapter


class _Job:
    def __init__(self, start: Half, end: Half, matching: Matching) -> None:
        self.start, self.end, self.matching = start, end, matching
        self.adapter = Adapter()
        self.taken = {*start.plugs, *end.plugs}
        self.copies = {plug: copy_plug(half, plug) for half in (start, end) for plug in half.plugs}
        self.halves = {plug: self.free(f"{plug}A") for plug in self.copies}
        self.wire_values: dict[str, Value] = {}
        self.fuses: dict[str, Value] = {}
        self.splices: dict[str, Value] = {}
        self.circuits = self.circuit_names()

    def free(self, wanted: str) -> str:
        name, number = wanted[:38], 2
        while name in self.taken:
            name, number = f"{wanted[:36]}-{number}", number + 1
        self.taken.add(name)
        return name

    def circuit_names(self) -> dict[int, str]:
        """Return match -> circuit name; names that would stand for two nets are left out."""
        starts: dict[str, list[int]] = {}
        for number, match in enumerate(self.matching.matches):
            name = match.start.circuit or match.end.circuit or match.start.words
            starts.setdefault(name, []).append(number)
        names: dict[int, str] = {}
        for name, numbers in starts.items():
            nets = {self.matching.matches[number].start.end for number in numbers}
            if name and len(nets) == 1:
                names |= dict.fromkeys(numbers, name)
        return names

    def plugs(self) -> None:
        """Put what the matching says into the pins of both sides."""
        matches = self.matching.matches
        used = set(self.circuits.values())
        starts = {match.start.end: number for number, match in enumerate(matches)}
        ends = {match.end.end: number for number, match in enumerate(matches)}
        for half, numbers in ((self.start, starts), (self.end, ends)):
            for contact in half.contacts.values():
                pins = self.copies[contact.plug].pins
                pin = pins[contact.cavity]
                if not isinstance(pin, dict):
                    continue
                number = numbers.get(contact.end)
                name = "" if number is None else self.circuits.get(number, "")
                if number is not None and half is self.start and needs_fuse(matches[number]):
                    name = ""
                pin = _named(pin, name, used)
                unused = number is None and half is self.start
                pins[contact.cavity] = _spare(pin) if unused else pin

    def wires(self) -> None:
        groups: dict[str, list[Match]] = {}
        for match in self.matching.matches:
            groups.setdefault(match.start.end, []).append(match)
        for group in groups.values():
            self.one_start(group)

    def one_start(self, group: Sequence[Match]) -> None:
        """Lead a contact to those it serves: over a fuse where it needs one, over a splice."""
        first = group[0]
        here = self.node(first.start)
        feeding: list[str] = []
        size = _largest([first.start, *(match.end for match in group)])
        colour = _colour([first.start, first.end])
        if needs_fuse(first):
            fuse = self.free(f"F{len(self.fuses) + 1}")
            title = f"Feed of {first.end.words or first.end.end}"
            self.fuses[fuse] = {"title": title, "style": "blade"}
            feeding.append(self.wire(here, f"{fuse}:in", colour, size, ""))
            here = f"{fuse}:out"
        if len(group) > 1:
            splice = self.free(f"J{len(self.splices) + 1}")
            self.splices[splice] = {"title": f"joint of {first.start.words}", "loom": LOOM}
            feeding.append(self.wire(here, splice, colour, size, ""))
            here = splice
        for match in group:
            size = _largest([match.start, match.end])
            colour = _colour([match.start, match.end])
            there = self.node(match.end)
            remark = f"{match.confidence}: {match.reason}"
            wire = self.wire(here, there, colour, size, remark)
            self.adapter.wired.append((match, (*feeding, wire)))

    def node(self, contact: Contact) -> str:
        return f"{self.halves[contact.plug]}:{contact.cavity}"

    def wire(self, start: str, end: str, colour: str, size: str, remark: str) -> str:
        name = self.free(f"W{len(self.wire_values) + 1}")
        value: dict[str, Value] = {"from": start, "to": end}
        if colour:
            value["colour"] = colour
        if size:
            value["size"] = Number(size) if size.replace(".", "", 1).isdigit() else size
        value["loom"] = LOOM
        self.wire_values[name] = Remarked(value, remark) if remark else value
        return name

    def sections(self) -> None:
        sections = self.adapter.sections
        volts = {v for half in (self.start, self.end) if (v := _volts(half)) is not None}
        if len(volts) == 1:
            sections["system"] = {"volts": Number(f"{volts.pop():g}")}
        own_keys = {
            key: value for copy in self.copies.values() for key, value in copy.own_keys.items()
        }
        if own_keys:
            sections["colour_keys"] = own_keys
        sections["looms"] = {
            "existing": {"title": f"Loom of {self.start.label}", "status": "existing"},
            "fitted": {"title": f"Loom of {self.end.label}", "status": "existing"},
            LOOM: {"title": "Adapter loom", "status": "new"},
        }
        plugs: dict[str, Value] = {}
        for copy in self.copies.values():
            loom = "existing" if copy.id in self.start.plugs else "fitted"
            half = self.halves[copy.id]
            plugs[copy.id] = {**copy.values, "loom": loom, "mates": half, "pins": copy.pins}
            plugs[half] = self.half(copy)
        sections["plugs"] = plugs
        if self.fuses:
            sections["fuses"] = self.fuses
        if self.splices:
            sections["splices"] = self.splices
        if self.wire_values:
            sections["wires"] = self.wire_values

    def half(self, copy: PlugCopy) -> Value:
        """Return the half of the adapter that pushes into a plug."""
        wired = {end for wire in self.wire_values.values() for end in _ends(wire)}
        half = self.halves[copy.id]
        value: dict[str, Value] = {
            "title": f"Half of the adapter for {copy.id}",
            "loom": LOOM,
            "mates": copy.id,
        }
        if copy.half:
            value["contacts"] = copy.half
        if copy.sealed:
            value["sealed"] = True
        groups = _apart(copy) if copy.id in self.start.plugs else []
        if groups:
            value["side"] = "trailer"
            value["apart"] = groups
        pins = {c: "empty" for c, pin in copy.pins.items() if f"{half}:{c}" not in wired}
        for cavity, pin in copy.pins.items():
            if cavity in pins and pin in ("blocked", "reserved"):
                pins[cavity] = str(pin)
        if pins:
            value["pins"] = pins
        return value

    def decide(self) -> None:
        say = self.adapter.decisions.append
        here, there = _volts(self.start), _volts(self.end)
        if here and there and here != there:
            said = f"One side is {here:g} V, the other {there:g} V"
            say(f"{said}: feeds meet only over a converter.")
        for question in self.matching.questions:
            say(f"{question.text}. Nothing is wired until you decide.")
        for match in self.matching.matches:
            self.open_needs(match)
        self.unserved()
        if self.matching.left_end:
            self.spares()
        self.fuse_decisions()
        likely = sum(match.confidence == "likely" for match in self.matching.matches)
        if likely:
            say(f"Confirm the {likely} wires marked 'likely' by measuring at the plug.")
        self.unused([c for c in self.matching.left_start if c.kind == "feed"], "stays live")
        self.unused([c for c in self.matching.left_start if c.kind != "feed"], "is kept as spare")
        self.sizes()
        say("Lengths of the wires.")
        unsaid = [copy.id for copy in self.copies.values() if not copy.half]
        if unsaid:
            verb = "carries" if len(unsaid) == 1 else "carry"
            say(f"Whether {' and '.join(unsaid)} {verb} pins or sockets (contacts).")

    def open_needs(self, match: Match) -> None:
        always = is_live(match.start.live, "key off")
        if always and match.end.needs and is_live(_needed(match.end), "key off") is None:
            self.adapter.decisions.append(
                f"{match.start.said} is live with the key off: {match.end.said} would draw the "
                "battery. Switch it by a relay where that matters."
            )
        open_states = [
            state for state in match.end.needs if is_live(match.start.live, state) is None
        ]
        if open_states:
            states = ", ".join(f"'{state}'" for state in open_states)
            self.adapter.decisions.append(
                f"Measure {match.start.said} in {states}: {match.end.said} needs it there, and "
                "nothing says what it is."
            )

    def unserved(self) -> None:
        """Say what to do of contacts that nothing serves, of all at once that need the same."""
        alike: dict[str, list[Contact]] = {}
        for contact in self.matching.left_end:
            alike.setdefault(_help_for(contact), []).append(contact)
        for what, contacts in alike.items():
            lost = [f"{c.said} (lost: {c.without})" if c.without else c.said for c in contacts]
            verb = "is" if len(contacts) == 1 else "are"
            self.adapter.decisions.append(f"{', '.join(lost)} {verb} served by nothing: {what}.")

    def spares(self) -> None:
        """Name the spare wires that are there before a new one is run."""
        spare = [
            one.said + (f" to {' and '.join(one.goes_to)}" if one.goes_to else "")
            for one in self.start.contacts.values()
            if one.use == "spare"
        ]
        if spare:
            said = f"trace the spare ones that are there: {', '.join(spare)}"
            self.adapter.decisions.append(f"Before you run a new wire, {said}.")

    def unused(self, contacts: Sequence[Contact], what: str) -> None:
        if contacts:
            said = ", ".join(contact.said for contact in contacts)
            self.adapter.decisions.append(
                f"Nothing takes up {said}: the cavity in the adapter is left empty, the wire {what}"
                " in the plug. Or insulate and label it."
            )

    def fuse_decisions(self) -> None:
        done: set[str] = set()
        for match, wires in self.adapter.wired:
            if not needs_fuse(match) or match.start.end in done:
                continue
            done.add(match.start.end)
            known = "has no fuse" if match.start.fuses == () else "has no fuse on record"
            self.adapter.decisions.append(
                f"{match.start.said} {known}: a fuse is drafted in {wires[0]}. Rate it by the "
                "smallest wire behind it; leave it out only if the feed is fused for that wire."
            )

    def sizes(self) -> None:
        unlike = [wires[-1] for match, wires in self.adapter.wired if _unlike_sizes(match)]
        if unlike:
            self.adapter.decisions.append(
                f"{', '.join(in_order(unlike))}: the wires at both ends differ in size; the larger "
                "one is drafted."
            )
        bare = [wires[-1] for match, wires in self.adapter.wired if not _sized(match)]
        if bare:
            self.adapter.decisions.append(f"Sizes of {', '.join(in_order(bare))}.")


def _volts(half: Half) -> float | None:
    return half.design.system.volts_v if half.design else None


def _help_for(contact: Contact) -> str:
    """Return what to do of a contact that nothing serves."""
    if contact.kind == "earth":
        return "take it to an earth point if what it returns is used"
    usual = "find a feed" if contact.kind == "feed" else "find a feed or a signal"
    return f"{usual}, or leave it out and note what is lost"


def _unlike_sizes(match: Match) -> bool:
    return len({s.area_mm2 for c in (match.start, match.end) for s in c.sizes[:1]}) > 1


def needs_fuse(match: Match) -> bool:
    """Tell whether a match leads a feed of which no fuse is known."""
    return match.start.kind == "feed" and not match.start.fuses


def _needed(contact: Contact) -> dict[str, bool]:
    return {state: need == "live" for state, need in contact.needs.items()}


def _sized(match: Match) -> bool:
    return bool(match.start.sizes or match.end.sizes)


def _ends(wire: Value) -> tuple[Value, ...]:
    value = wire.value if isinstance(wire, Remarked) else wire
    return (value["from"], value["to"]) if isinstance(value, dict) else ()


def _named(pin: Mapping[str, Value], name: str, used: set[str]) -> Value:
    """Give a pin the circuit name of its net; take away one that now stands for another."""
    kept = {key: value for key, value in pin.items() if key != "circuit"}
    old = str(pin.get("circuit", ""))
    if not name:
        keep = old and old not in used and normal(old)
        return {**kept, "circuit": old} if keep else kept
    first: dict[str, Value] = {"carries": kept.pop("carries")} if "carries" in kept else {}
    return {**first, "circuit": name, **kept}


def _spare(pin: Value) -> Value:
    if isinstance(pin, dict) and (pin.get("carries") or pin.get("colour")):
        return {**pin, "use": "spare"}
    return pin


def _largest(contacts: Iterable[Contact]) -> str:
    sizes = [size for contact in contacts for size in contact.sizes[:1]]
    return max(sizes, key=lambda size: size.area_mm2).label if sizes else ""


def _colour(contacts: Iterable[Contact]) -> str:
    return next((c.colours[0].iec for c in contacts if c.colours), "")


def _apart(copy: PlugCopy) -> list[Value]:
    """Return what the standard keeps apart on the trailer side."""
    standard = copy.values.get("standard")
    if not isinstance(standard, str):
        return []
    try:
        return [list(group.pins) for group in apart(standard) if group.side == "trailer"]
    except FaceError:
        return []
