"""Moving the wires of one plug to another pinout of the same housing, step by step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from wiregen.intake.compare import compare
from wiregen.intake.half import Contact, Half
from wiregen.intake.match import Matching
from wiregen.model import in_order
from wiregen.model.faces import cavity_contact

Fate = Literal["used", "moved", "insulated"]
Act = Literal["take out", "move", "hold aside", "put in", "new wire"]


@dataclass(frozen=True, slots=True)
class Step:
    """One act at the plug.

    Attributes:
        act: what to do.
        wire: the old contact that is handled; None for a new wire.
        start: cavity it comes from; empty for one held aside or a new wire.
        end: cavity it goes to; empty where it goes to none.
        note: what to see to.
    """

    act: Act
    wire: Contact | None
    start: str = ""
    end: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class OldWire:
    """What becomes of the wire in one cavity.

    Attributes:
        wire: as it was.
        fate: `used` in its cavity, `moved`, or `insulated`.
        end: the cavity it is in afterwards; empty when insulated.
        why: in words.
    """

    wire: Contact
    fate: Fate
    end: str
    why: str


@dataclass(frozen=True, slots=True)
class RePin:
    """The whole job.

    Attributes:
        steps: in an order in which every cavity is free when it is filled.
        fates: one for every old wire.
        decisions: what is open.
        hazards: what would happen if the plug were pushed in before the job is done.
    """

    steps: tuple[Step, ...]
    fates: tuple[OldWire, ...]
    decisions: tuple[str, ...]
    hazards: tuple[str, ...]


def same_housing(start: Half, end: Half) -> bool:
    """Tell whether two sides are one plug each, in housings of one name."""
    names = []
    for half in (start, end):
        if half.design is None or len(half.plugs) != 1:
            return False
        plug = half.plugs[0]
        names.append(half.design.plugs[half.own_ids.get(plug, plug)].housing)
    return bool(names[0]) and names[0] == names[1]


def plan_re_pin(start: Half, end: Half, matching: Matching) -> RePin:
    """Order the moves that bring the wires of one plug to another pinout.

    Args:
        start: the plug with the old wires.
        end: the pinout that is wanted.
        matching: of the two.

    Returns:
        First what comes out for good, then the moves, each into a cavity that is free by then;
        where moves form a ring, one contact is held aside. Every old wire has a fate.
    """
    job = _Job(start, end, matching)
    job.take_out()
    job.move()
    job.add_new()
    return RePin(
        steps=tuple(job.steps),
        fates=tuple(job.fates[cavity] for cavity in in_order(job.fates)),
        decisions=tuple(job.decisions),
        hazards=tuple(row.effect for row in compare(start, end).cavities if row.effect),
    )


@dataclass(slots=True)
class _Job:
    start: Half
    end: Half
    matching: Matching
    steps: list[Step] = field(default_factory=list)
    fates: dict[str, OldWire] = field(default_factory=dict)
    decisions: list[str] = field(default_factory=list)
    moves: dict[str, tuple[Contact, str]] = field(default_factory=dict)

    def take_out(self) -> None:
        """Settle what stays, what is to move, and take out the rest."""
        for match in self.matching.matches:
            cavity = match.start.cavity
            if cavity in self.fates:
                self.decisions.append(
                    f"{match.start.said} serves {match.end.said} too: join a new wire to it."
                )
            elif cavity == match.end.cavity:
                self.fates[cavity] = OldWire(match.start, "used", cavity, match.reason)
            else:
                self.fates[cavity] = OldWire(match.start, "moved", match.end.cavity, match.reason)
                self.moves[match.end.cavity] = (match.start, cavity)
        self.decisions += [f"{question.text}." for question in self.matching.questions]
        asked = {c.end for question in self.matching.questions for c in question.starts}
        for contact in self.start.contacts.values():
            if contact.cavity in self.fates or not _wired(contact):
                continue
            why = "to be decided" if contact.end in asked else "the new pinout has no use for it"
            if not contact.words:
                why = "nothing says what it carries"
            self.fates[contact.cavity] = OldWire(contact, "insulated", "", why)
            note = f"insulate, label '{contact.end}': {why}"
            self.steps.append(Step("take out", contact, contact.cavity, "", note))

    def move(self) -> None:
        """Order the moves: follow each chain from a free cavity, then open the rings."""
        waiting = {cavity: self.moves[cavity] for cavity in in_order(self.moves)}
        full = {start for _, start in waiting.values()}
        full |= {cavity for cavity, fate in self.fates.items() if fate.fate == "used"}
        for cavity in list(waiting):
            if cavity not in full:
                self.chain(cavity, waiting, full)
        for cavity in list(waiting):
            if cavity not in waiting:
                continue
            wire, source = waiting.pop(cavity)
            note = f"for {cavity}; its cavity is needed first"
            self.steps.append(Step("hold aside", wire, source, "", note))
            self.chain(source, waiting, full)
            self.steps.append(Step("put in", wire, "", cavity, self.contact_note(source, cavity)))

    def chain(self, free: str, waiting: dict[str, tuple[Contact, str]], full: set[str]) -> None:
        """Fill a free cavity, then the one that became free, and so on."""
        while free in waiting:
            wire, source = waiting.pop(free)
            self.steps.append(Step("move", wire, source, free, self.contact_note(source, free)))
            full.discard(source)
            full.add(free)
            free = source

    def contact_note(self, source: str, cavity: str) -> str:
        """Say when the two cavities take different contacts."""
        if self.start.design is None:
            return ""
        plug = self.start.plugs[0]
        record = self.start.design.plugs[self.start.own_ids.get(plug, plug)]
        here, there = cavity_contact(record, source), cavity_contact(record, cavity)
        return f"other contact: {there} instead of {here}" if here != there else ""

    def add_new(self) -> None:
        for contact in self.matching.left_end:
            lost = f"; without it: {contact.without}" if contact.without else ""
            note = f"{contact.words or contact.role}: find a feed, or leave it empty{lost}"
            self.steps.append(Step("new wire", None, "", contact.cavity, note))


def _wired(contact: Contact) -> bool:
    return contact.state == "used" and bool(
        contact.words or contact.colours or contact.role or contact.goes_to or contact.circuit
    )


def re_pin_lines(plan: RePin, start: str, end: str) -> list[str]:
    """Return the job as a list to print and tick off.

    Args:
        plan: the job.
        start: name of the plug with the old wires.
        end: name of the pinout that is wanted.
    """
    lines = [f"Re-pin {start} to the pinout of {end}", ""]
    lines.append("Battery off. Mark every wire with its old cavity before the first step.")
    lines.append("Do not push the plug in before the last step.")
    lines.append("")
    for number, step in enumerate(plan.steps, 1):
        lines.append(f"[ ] {number:>3}. {_step(step)}")
    if not plan.steps:
        lines.append("Nothing has to move.")
    lines += ["", "What becomes of every old wire:"]
    lines += [f"  {_fate(fate)}" for fate in plan.fates]
    if plan.decisions:
        lines += ["", "To decide:"]
        lines += [f"  {n}. {text}" for n, text in enumerate(plan.decisions, 1)]
    if plan.hazards:
        lines += ["", "If it were pushed in as it is now:"]
        lines += [f"  {text}" for text in plan.hazards]
    return lines


def final_cavities(plan: RePin) -> Mapping[str, str]:
    """Return old cavity -> cavity afterwards, empty for one that is insulated.

    Replays the steps, and so proves that no contact goes into a cavity that is not free.

    Raises:
        ValueError: a step fills a cavity that is full, or takes what is not there.
    """
    held: dict[str, str] = {}
    where = {fate.wire.cavity: fate.wire.cavity for fate in plan.fates}
    for step in plan.steps:
        if step.wire is None:
            continue
        old = step.wire.cavity
        if step.start and where.get(old) != step.start:
            raise ValueError(f"{old} is not in {step.start}")
        if step.end and step.end in where.values():
            raise ValueError(f"{step.end} is not free")
        if step.act == "put in":
            del held[old]
        if step.act == "hold aside":
            held[old] = step.end
        where[old] = step.end
    if held:
        raise ValueError(f"still held aside: {', '.join(held)}")
    return where


def _step(step: Step) -> str:
    note = f"  ({step.note})" if step.note else ""
    if step.wire is None:
        return f"new wire to {step.end}{note}"
    said = _wire(step.wire)
    if step.act == "move":
        return f"move {step.start} -> {step.end}  {said}{note}"
    if step.act == "put in":
        return f"put in {step.end}, held aside  {said}{note}"
    return f"{step.act} {step.start}  {said}{note}"


def _fate(fate: OldWire) -> str:
    if fate.fate == "used":
        return f"{fate.wire.cavity}: stays  {_wire(fate.wire)}"
    if fate.fate == "moved":
        return f"{fate.wire.cavity}: moved to {fate.end}  {_wire(fate.wire)}"
    return f"{fate.wire.cavity}: insulated ({fate.why})  {_wire(fate.wire)}"


def _wire(contact: Contact) -> str:
    parts: Iterable[str] = (
        ", ".join(colour.iec for colour in contact.colours),
        ", ".join(size.label for size in contact.sizes),
        f"'{contact.words}'" if contact.words else "",
    )
    return " ".join(filter(None, parts))
