"""Two plugs side by side: what is where, and what would meet what if they were pushed together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from wiregen.facts.trade_words import normal
from wiregen.intake.half import Contact, Half
from wiregen.intake.live import is_live
from wiregen.model import in_order

Status = Literal[
    "same", "moved", "position only", "other function", "no mate", "missing", "unknown", "unused"
]
_WATCHED = frozenset({"oil pressure", "brake fluid", "coolant level"})
_LIT = frozenset({"lamp", "light", "lampe", "leuchte"})
Danger = Literal["", "short", "wrong"]


@dataclass(frozen=True, slots=True)
class CavityRow:
    """One cavity on both sides.

    Attributes:
        cavity: its name.
        start: on the first side; None where that has no such cavity.
        end: on the second side, likewise.
        status: seen from the first side: `same`, `moved` (the function is in another cavity),
            `position only` (moved among cavities that are joined), `other function`, `no mate`
            (nothing takes it up), `missing` (no such cavity), `unknown` (the words do not tell),
            `unused` (nothing on the first side).
        goes_to: cavities of the second side that hold the function now.
        effect: what happens if the plugs are pushed together; empty for nothing.
        danger: `short`, `wrong` for a function fed or driven by another one, or empty.
    """

    cavity: str
    start: Contact | None
    end: Contact | None
    status: Status
    goes_to: tuple[str, ...] = ()
    effect: str = ""
    danger: Danger = ""


@dataclass(frozen=True, slots=True)
class FunctionRow:
    """One function and the cavities it has on each side."""

    words: str
    start: tuple[str, ...]
    end: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two plugs held side by side."""

    cavities: tuple[CavityRow, ...]
    functions: tuple[FunctionRow, ...]

    @property
    def harmless(self) -> bool:
        """True when nothing happens that is not meant."""
        return not any(row.effect for row in self.cavities)


def compare(start: Half, end: Half) -> Comparison:
    """Compare two plugs cavity by cavity and function by function.

    Args:
        start: the side that feeds, such as the vehicle; one plug.
        end: the side that would be pushed into it; one plug.
    """
    here = {contact.cavity: contact for contact in start.contacts.values()}
    there = {contact.cavity: contact for contact in end.contacts.values()}
    places = _functions(there.values())
    names = in_order(dict.fromkeys([*here, *there]))
    rows = [_row(name, here.get(name), there.get(name), there, places) for name in names]
    return Comparison(tuple(rows), tuple(_function_rows(here, there)))


def _row(
    name: str,
    start: Contact | None,
    end: Contact | None,
    there: Mapping[str, Contact],
    places: Mapping[frozenset[str], list[str]],
) -> CavityRow:
    status, goes_to = _status(start, end, there, places)
    effect: tuple[str, Danger] = ("", "")
    if start is not None and end is not None and status not in ("same", "position only"):
        effect = meeting(start, end)
    return CavityRow(name, start, end, status, goes_to, *effect)


def _status(
    start: Contact | None,
    end: Contact | None,
    there: Mapping[str, Contact],
    places: Mapping[frozenset[str], list[str]],
) -> tuple[Status, tuple[str, ...]]:
    if start is None or start.kind == "none":
        return "unused", ()
    if end is not None and (alike(start, end) or _lamp_and_switch(start, end)):
        return "same", ()
    if not start.tells:
        return "unknown", ()
    found = [name for name in places.get(start.meaning, []) if alike(start, there[name])]
    if end is not None and end.group and any(there[name].group == end.group for name in found):
        return "position only", tuple(found)
    if found:
        return "moved", tuple(found)
    if end is None:
        return "missing", ()
    return ("no mate" if end.kind == "none" else "other function"), ()


def alike(one: Contact, other: Contact) -> bool:
    """Tell whether two contacts carry the same: the same words, or words of one meaning."""
    if one.kind == "none" or other.kind == "none":
        return False
    if bool(one.scope) and bool(other.scope) and one.scope != other.scope:
        return False
    if one.words and normal(one.words) == normal(other.words):
        return True
    return one.tells and one.meaning == other.meaning


def _lamp_and_switch(one: Contact, other: Contact) -> bool:
    """A warning lamp and the switch that lights it sit on one wire."""
    apart = one.meaning ^ other.meaning
    shared = one.meaning & other.meaning
    words = {*normal(one.words).split(), *normal(other.words).split()}
    return apart == {"warning"} and bool(shared & _WATCHED) and bool(words & _LIT)


def meeting(start: Contact, end: Contact) -> tuple[str, Danger]:
    """Return what happens when two contacts of different function meet, and how bad it is.

    Args:
        start: on the feeding side.
        end: on the other side.

    Example:
        >>> feed = Contact("X1:4", "X1", "4", words="permanent supply", role="supply")
        >>> meeting(feed, Contact("X4:4", "X4", "4", words="earth", role="earth"))
        ("X1:4 'permanent supply' would meet X4:4 'earth': short", 'short')
    """
    kinds = (start.kind, end.kind)
    if "none" in kinds or alike(start, end):
        return "", ""
    fuse = f" (fuse {', '.join(start.fuses)})" if start.fuses else ""
    meets = f"{start.said} would meet {end.said}"
    if kinds == ("earth", "earth"):
        return f"{meets}: two earths that are kept apart would be joined", "wrong"
    if set(kinds) == {"feed", "earth"}:
        return f"{meets}: short{fuse}", "short"
    if "earth" in kinds:
        other = start if end.kind == "earth" else end
        return f"{meets}: short as soon as '{other.words or other.role}' is live{fuse}", "short"
    if kinds == ("feed", "feed"):
        return _two_feeds(start, end, meets)
    if kinds == ("feed", "other"):
        return _feed_meets(start, end, meets)
    if kinds == ("other", "feed"):
        return f"{meets}: it would be fed only while '{start.words or start.role}' is on", "wrong"
    said = f"'{end.words or end.role}' would be worked by '{start.words or start.role}'"
    return f"{meets}: {said}{fuse}", "wrong"


def _two_feeds(start: Contact, end: Contact, meets: str) -> tuple[str, Danger]:
    here, there = (is_live(contact.live, "key off") for contact in (start, end))
    if here is True and there is False:
        return f"{meets}: live with the key off, it draws the battery", "wrong"
    if here is False and there is True:
        return f"{meets}: dead with the key off, what it keeps is lost", "wrong"
    return f"{meets}: another feed than it needs", "wrong"


def _feed_meets(start: Contact, end: Contact, meets: str) -> tuple[str, Danger]:
    if end.role in ("output", "bus", "sender", "sense", "antenna"):
        return f"{meets}: supply on {_article(end.role)} {end.role}, it may be destroyed", "short"
    when = "all the time" if is_live(start.live, "key off") else "whenever the feed is live"
    return f"{meets}: '{end.words or end.role}' would be on {when}", "wrong"


def _article(word: str) -> str:
    return "an" if word[0] in "aeiou" else "a"


def _functions(contacts: Iterable[Contact]) -> dict[frozenset[str], list[str]]:
    found: dict[frozenset[str], list[str]] = {}
    for contact in contacts:
        if contact.kind != "none" and contact.tells:
            found.setdefault(contact.meaning, []).append(contact.cavity)
    return found


def _function_rows(
    here: Mapping[str, Contact], there: Mapping[str, Contact]
) -> Sequence[FunctionRow]:
    first, second = _functions(here.values()), _functions(there.values())
    words = {contact.meaning: contact.words for contact in (*there.values(), *here.values())}
    return [
        FunctionRow(words[key], tuple(first.get(key, ())), tuple(second.get(key, ())))
        for key in dict.fromkeys([*first, *second])
    ]


def comparison_lines(found: Comparison, start: str, end: str) -> list[str]:
    """Return a comparison as lines to print.

    Args:
        found: the comparison.
        start: name of the first side.
        end: name of the second side.
    """
    rows = [("cavity", start, end, "")]
    for row in found.cavities:
        rows.append((row.cavity, _cell(row.start), _cell(row.end), _verdict(row)))
    widths = [max(len(row[n]) for row in rows) for n in range(3)]
    lines = []
    for cells in rows:
        padded = "  ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=False))
        lines.append(f"{padded}  {cells[3]}".rstrip())
    moved = [row for row in found.cavities if row.status == "moved" and row.start]
    if moved:
        lines.append("moved:")
        for row in moved:
            words = row.start.words if row.start else ""
            lines.append(f"  {words}: {row.cavity} -> {', '.join(row.goes_to)}")
    harm = [row for row in found.cavities if row.effect]
    if harm:
        lines.append(f"pushed together, {len(harm)} of {len(found.cavities)} cavities go wrong:")
        lines += [f"  {row.effect}" for row in sorted(harm, key=lambda row: row.danger != "short")]
    elif any(row.start and row.end for row in found.cavities):
        lines.append("pushed together, nothing meets what it should not, as far as the words say")
    else:
        lines.append(
            "no cavity has the same name on both sides: what would meet what cannot be said"
        )
    return lines


def _cell(contact: Contact | None) -> str:
    if contact is None:
        return "(no cavity)"
    if contact.kind == "none":
        return f"({contact.state if contact.state != 'used' else 'not said'})"
    colour = ", ".join(colour.iec for colour in contact.colours)
    return f"{contact.words or contact.role}{' ' + colour if colour else ''}"


def _verdict(row: CavityRow) -> str:
    if row.status == "moved":
        return f"moved to {', '.join(row.goes_to)}"
    if row.status == "position only":
        return f"position only, joined with {', '.join(row.goes_to)}"
    return "" if row.status == "unused" else row.status
