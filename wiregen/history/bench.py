"""What to do at the bench, in an order in which every cavity is free when it is filled."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from wiregen.facts.colours import parse_colour
from wiregen.facts.sizes import read_size
from wiregen.history.changes import Added, Changed, Difference, PinMoved, Removed, Renamed
from wiregen.history.pin_moves import moved_ends, pins_of
from wiregen.history.plain import Leaf, Path, Record, Ref, leaf_text, wire_ends
from wiregen.intake.half import Contact, Half
from wiregen.intake.match import Match, Matching
from wiregen.intake.re_pin import plan_re_pin
from wiregen.model import in_order

Part = Literal["take out", "re-pin", "put in", "new wires", "replace", "parts"]

_Pairs: TypeAlias = list[tuple[Ref | None, Ref | None]]
_COPPER = (("colour",), ("size",), ("length",), ("insulation",))


@dataclass(frozen=True, slots=True)
class Step:
    """One act.

    Attributes:
        part: of the job; parts follow each other.
        where: the plug that is worked at; empty for what is not done at one plug.
        text: what to do.
    """

    part: Part
    where: str
    text: str


def bench_steps(found: Difference) -> tuple[Step, ...]:
    """Return the acts that turn the old loom into the new one.

    What comes out for good comes out first, then the contacts that stay in their plug move, each
    into a cavity that is free by then; a ring of moves is opened by holding one contact aside.
    Then ends from elsewhere are put in, new wires are made, and parts are changed last.
    """
    anew = _made_anew(found)
    ends = {wire: pairs for wire, pairs in _ends_moved(found) if wire not in anew}
    inside, across = _sorted_ends(found, ends)
    screens = tuple(_screens(found))
    steps = [*_wires_out(found, anew), *(step for step in screens if step.part == "take out")]
    steps += [step for step, _ in across if step]
    wired = _wires_at(found)
    for plug in in_order(inside):
        steps += _re_pin(found, plug, inside[plug], wired)
    steps += [step for _, step in across if step]
    steps += [*_new_wires(found), *_replaced(found, anew), *_parts(found)]
    steps += [step for step in screens if step.part == "parts"]
    return tuple(steps)


def _ends_moved(found: Difference) -> Iterator[tuple[str, _Pairs]]:
    for change in found.changes:
        if isinstance(change, Changed) and change.section == "wires" and change.path == ("ends",):
            before = change.before if isinstance(change.before, tuple) else ()
            after = change.after if isinstance(change.after, tuple) else ()
            yield change.id, moved_ends(before, after)


def _sorted_ends(
    found: Difference, ends: Mapping[str, _Pairs]
) -> tuple[dict[str, dict[str, str]], list[tuple[Step | None, Step | None]]]:
    """Part the moves within a plug, as cavity -> cavity, from those that leave it."""
    inside = _whole_contacts(found, ends)
    across: list[tuple[Step | None, Step | None]] = []
    for wire in in_order(ends):
        said = _wire_words(found.new["wires"][wire])
        for before, after in ends[wire]:
            plug = before.id if before else ""
            if before and after and inside.get(plug, {}).get(before.point) == after.point:
                continue
            fate = leaf_text(found.new["wires"][wire].get(("fate",), "")) if not after else ""
            note = f"; it is now {fate}" if fate else ""
            out = Step("take out", plug, f"take {wire} out of {before}  {said}{note}")
            into = Step("put in", after.id, f"bring {wire} to {after}  {said}") if after else None
            across.append((out if before else None, into))
    return inside, across


def _whole_contacts(found: Difference, ends: Mapping[str, _Pairs]) -> dict[str, dict[str, str]]:
    """Return plug -> cavity -> new cavity of the contacts that move with all their wires."""
    inside: dict[str, dict[str, str]] = {}
    wired = _wires_at(found)
    moves: dict[tuple[str, str], dict[str, None]] = {}
    for pairs in ends.values():
        for before, after in pairs:
            if before and after and before.id == after.id and before.id in found.new["plugs"]:
                moves.setdefault((before.id, before.point), {})[after.point] = None
    held = _held(found, ends, wired)
    for (plug, cavity), targets in moves.items():
        target = next(iter(targets))
        if len(targets) == 1 and held.isdisjoint({(plug, cavity), (plug, target)}):
            inside.setdefault(plug, {})[cavity] = target
    for change in found.changes:
        if isinstance(change, PinMoved) and Ref("", change.plug, change.new_cavity) not in wired:
            inside.setdefault(change.plug, {}).setdefault(change.cavity, change.new_cavity)
    for plug, cavities in inside.items():
        taken: set[str] = set()
        for cavity in in_order(cavities):
            if cavities[cavity] in taken:
                del inside[plug][cavity]
            else:
                taken.add(cavities[cavity])
    return inside


def _held(
    found: Difference, ends: Mapping[str, _Pairs], wired: Mapping[Ref, list[str]]
) -> set[tuple[str, str]]:
    """Return the cavities of which a wire stays where it was: their contact does not move."""
    new = {c.id for c in found.changes if isinstance(c, Added) and c.section == "wires"}
    came = {(wire, after) for wire, pairs in ends.items() for _, after in pairs}
    return {
        (ref.id, ref.point)
        for ref, wires in wired.items()
        if any(wire not in new and (wire, ref) not in came for wire in wires)
    }


def _wires_at(found: Difference) -> dict[Ref, list[str]]:
    """Return end -> the wires of the new design that end there."""
    wired: dict[Ref, list[str]] = {}
    for name, record in found.new["wires"].items():
        for ref in wire_ends(record):
            wired.setdefault(ref, []).append(name)
    return wired


def _re_pin(
    found: Difference, plug: str, moves: Mapping[str, str], wired: Mapping[Ref, list[str]]
) -> Iterator[Step]:
    """Order the moves within one plug."""
    contacts = {
        cavity: _contact(found, plug, cavity, moves[cavity], wired) for cavity in in_order(moves)
    }
    matches = tuple(
        Match(contact, Contact(f"{plug}:{moves[cavity]}", plug, moves[cavity]), "certain", "moved")
        for cavity, contact in contacts.items()
    )
    start = Half(plug, (plug,), {contact.end: contact for contact in contacts.values()})
    plan = plan_re_pin(start, Half(plug, (plug,), {}), Matching(matches, (), (), ()))
    for step in plan.steps:
        said = _contact_words(step.wire) if step.wire else ""
        if step.act == "hold aside":
            text = f"hold aside {step.start}  {said}"
        elif step.act == "put in":
            text = f"put it into {step.end}  {said}"
        else:
            text = f"move {step.start} -> {step.end}  {said}"
        yield Step("re-pin", plug, text.rstrip())


def _contact(
    found: Difference, plug: str, cavity: str, target: str, wired: Mapping[Ref, list[str]]
) -> Contact:
    """Return the contact that ends in a cavity, as the new design describes it."""
    pins = pins_of(found.new["plugs"].get(plug, {}))
    said: dict[Path, Leaf] = dict(pins.get(target, frozenset()))
    names = wired.get(Ref("", plug, target), [])
    wires = [found.new["wires"][name] for name in names]
    words = leaf_text(said.get(("carries",), said.get(("circuit",), "")))
    colour = said.get(("colour",)) or next((r.get(("colour",)) for r in wires), None)
    size = said.get(("size",)) or next((r.get(("size",)) for r in wires), None)
    return Contact(
        f"{plug}:{cavity}",
        plug,
        cavity,
        words=words,
        circuit=leaf_text(said.get(("circuit",), "")),
        colours=(parse_colour(colour),) if isinstance(colour, str) else (),
        sizes=(read_size(size),) if isinstance(size, str) else (),
        goes_to=tuple(names),
    )


def _contact_words(contact: Contact) -> str:
    parts = (
        ", ".join(contact.goes_to),
        ", ".join(colour.iec for colour in contact.colours),
        ", ".join(size.label for size in contact.sizes),
        f"'{contact.words}'" if contact.words else "",
        f"circuit {contact.circuit}" if contact.circuit not in ("", contact.words) else "",
    )
    return " ".join(filter(None, parts))


def _wires_out(found: Difference, anew: Mapping[str, list[Changed]]) -> Iterator[Step]:
    for change in found.changes:
        if isinstance(change, Removed) and change.section == "wires":
            yield Step("take out", "", f"take out {change.id}: {_run(dict(change.facts))}")
    before = {wire: dict(found.new["wires"][wire]) for wire in anew}
    for change in found.changes:
        if isinstance(change, Changed) and change.section == "wires" and change.id in before:
            before[change.id][change.path] = change.before or ""
    for wire, record in before.items():
        yield Step("take out", "", f"take out {wire}: {_run(record)}")


def _new_wires(found: Difference) -> Iterator[Step]:
    for change in found.changes:
        if isinstance(change, Added) and change.section == "wires":
            record: Record = dict(change.facts)
            yield Step("new wires", "", f"make {change.id}: {_run(record)}")


def _run(record: Record) -> str:
    ends = " - ".join(str(end) for end in wire_ends(record))
    length = leaf_text(record.get(("length",), ""))
    return ", ".join(filter(None, (ends, _wire_words(record), length)))


def _wire_words(record: Record) -> str:
    words = (record.get((key,), "") for key in ("colour", "size"))
    return " ".join(leaf_text(word) for word in words if word)


def _made_anew(found: Difference) -> dict[str, list[Changed]]:
    """Return the wires whose copper or insulation is another, with what changed."""
    changed: dict[str, list[Changed]] = {}
    for change in found.changes:
        if not isinstance(change, Changed) or change.section != "wires":
            continue
        if change.path in _COPPER and change.before is not None and change.after is not None:
            changed.setdefault(change.id, []).append(change)
    return changed


def _replaced(found: Difference, anew: Mapping[str, list[Changed]]) -> Iterator[Step]:
    for wire, changes in anew.items():
        words = (f"{leaf_text(c.after)} instead of {leaf_text(c.before)}" for c in changes)
        run = _run(found.new["wires"][wire])
        yield Step("replace", "", f"make {wire} anew: {run} ({'; '.join(words)})")


def _screens(found: Difference) -> Iterator[Step]:
    """Yield what is done to screens: out of a pin, into a pin, over other wires."""
    for change in found.changes:
        if isinstance(change, Renamed | PinMoved) or change.section != "groups":
            continue
        if not isinstance(change, Changed):
            facts = dict(change.facts)
            pin, over = facts.get(("screen",)), facts.get(("screened",))
            pins = (None, pin) if isinstance(change, Added) else (pin, None)
            yield from _joined(change, over, *pins)
        elif change.path == ("screen",):
            over = found.new["groups"][change.id].get(("screened",))
            yield from _joined(change, over, change.before, change.after)
        elif change.path == ("screened",) and change.before and change.after:
            yield Step("parts", "", f"screen {change.id} goes over {_names(change.after)} now")


def _joined(
    change: Added | Removed | Changed, over: Leaf, before: Leaf, after: Leaf
) -> Iterator[Step]:
    """Yield what is done with a screen over some wires at the pins before and after."""
    said = f"the screen of {_names(over)} ({change.id})" if over else f"screen {change.id}"
    if before:
        yield Step("take out", "", f"take {said} out of {leaf_text(before)}")
    if after:
        yield Step("parts", "", f"join {said} to {leaf_text(after)}")


def _names(leaf: Leaf) -> str:
    return leaf_text(leaf).strip("[]")


def _parts(found: Difference) -> Iterator[Step]:
    for change in found.changes:
        if isinstance(change, Changed) and (change.section, change.path) in _OTHER_PART:
            if change.after is not None:
                was = f" instead of {leaf_text(change.before)}" if change.before else ""
                yield Step("parts", "", f"fit {change.id}: {leaf_text(change.after)}{was}")
        elif isinstance(change, Added | Removed) and change.section in _FITTED:
            act = "fit" if isinstance(change, Added) else "take out"
            yield Step("parts", "", f"{act} {change.id}{_titled(change.facts)}")


_OTHER_PART = (("fuses", ("rating",)), ("devices", ("watts",)))
"""Facts that are another when another part is fitted."""
_FITTED = ("plugs", "splices", "fuses", "boxes", "earths", "devices")


def _titled(facts: Iterable[tuple[Path, Leaf]]) -> str:
    title = dict(facts).get(("title",))
    return f" ({leaf_text(title)})" if title else ""
