"""Which contact of one side belongs to which of the other: by name, never by colour alone."""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, TypeVar

from wiregen.facts.functions import FEEDS, GENERIC, MODIFIERS
from wiregen.facts.trade_words import normal
from wiregen.intake.half import Contact, Half
from wiregen.intake.live import is_live
from wiregen.model import in_order

Confidence = Literal["certain", "likely"]
_Key = TypeVar("_Key", bound=Hashable)
_SHORT = 4
_NAME = re.compile(r"[^\W\d_]{3}")
_OPPOSITES = tuple(map(frozenset, (("left", "right"), ("front", "rear"), ("plus", "minus"))))

_MEET = frozenset(
    frozenset(pair)
    for pair in (
        ("output", "input"),
        ("output", "trigger"),
        ("output", "supply"),
        ("sender", "input"),
        ("sender", "sense"),
        ("trigger", "input"),
        ("lamp terminal", "input"),
        ("lamp terminal", "output"),
        ("output", "sense"),
    )
)
"""Roles that may meet though they differ."""
_NOT_TWICE = {
    "output": "both are outputs: two drivers on one wire",
    "input": "both are inputs: nothing drives the wire",
}


@dataclass(frozen=True, slots=True)
class Match:
    """Two contacts that belong together.

    Attributes:
        start: on the side that stays.
        end: on the side that is fitted.
        confidence: `certain` when the same words or the same circuit say so; `likely` when
            other words of the trade, a terminal designation or the operating states do.
        reason: in words.
        shared: True when `start` serves several contacts.
    """

    start: Contact
    end: Contact
    confidence: Confidence
    reason: str
    shared: bool = False


@dataclass(frozen=True, slots=True)
class Question:
    """What only the person can decide.

    Attributes:
        starts: contacts of the side that stays.
        ends: contacts of the side that is fitted.
        text: what is open.
    """

    starts: tuple[Contact, ...]
    ends: tuple[Contact, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Matching:
    """The outcome for two sides; every contact with a function is in exactly one group.

    Attributes:
        matches: in order of the side that stays.
        questions: with the contacts they are about.
        left_start: contacts of the side that stays that nothing takes up.
        left_end: contacts of the side that is fitted that nothing serves.
    """

    matches: tuple[Match, ...]
    questions: tuple[Question, ...]
    left_start: tuple[Contact, ...]
    left_end: tuple[Contact, ...]


def match(start: Half, end: Half) -> Matching:
    """Hold two sides together.

    Args:
        start: the side that stays, such as the vehicle.
        end: the side that is fitted.

    Returns:
        What belongs together, what is to be decided, and what is left over.
    """
    job = _Job(_with_function(start), _with_function(end))
    job.by_meaning()
    job.by_circuit()
    job.feeds_by_state()
    job.earths()
    job.related()
    return job.outcome()


def conflict(one: Contact, other: Contact) -> str:
    """Return why two contacts may not be joined though they share a name; empty when they may."""
    for contact in (one, other):
        if contact.disputed:
            return f"the sources of {contact.end} disagree"
    kinds = {one.kind, other.kind}
    if len(kinds) > 1 and "earth" in kinds:
        return "one is an earth, the other is not"
    if one.role and other.role:
        if one.role == other.role and one.role in _NOT_TWICE:
            return _NOT_TWICE[one.role]
        if one.role != other.role and frozenset((one.role, other.role)) not in _MEET:
            return f"their roles differ: {one.role}, {other.role}"
    if one.drives and other.drives:
        return "both drive the wire"
    if one.volts_v and other.volts_v and one.volts_v != other.volts_v:
        return f"their voltages differ: {one.volts_v:g} V, {other.volts_v:g} V"
    return _unmet(one, other)


def _unmet(feed: Contact, taker: Contact) -> str:
    """Return which need of a contact a feed is known not to meet."""
    for state, need in taker.needs.items():
        live = is_live(feed.live, state)
        if live is not None and live != (need == "live"):
            return f"it must be {need} in '{state}', and {feed.end} is not"
    return ""


def _with_function(half: Half) -> list[Contact]:
    return [contact for contact in half.contacts.values() if contact.kind != "none"]


@dataclass(slots=True)
class _Job:
    starts: Sequence[Contact]
    ends: Sequence[Contact]
    matches: list[Match] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    used_starts: set[str] = field(default_factory=set)
    used_ends: set[str] = field(default_factory=set)

    def open_starts(self) -> list[Contact]:
        return [contact for contact in self.starts if contact.end not in self.used_starts]

    def open_ends(self) -> list[Contact]:
        return [contact for contact in self.ends if contact.end not in self.used_ends]

    def pair(self, start: Contact, end: Contact, confidence: Confidence, reason: str) -> None:
        """Match two contacts, or ask where something speaks against it."""
        against = conflict(start, end)
        if not against:
            self.matches.append(Match(start, end, confidence, reason))
            self.used_starts.add(start.end)
            self.used_ends.add(end.end)
        elif not _unmet(start, end):
            self.ask([start], [end], f"{start.said} and {end.said} share a name, but {against}")

    def ask(self, starts: Sequence[Contact], ends: Sequence[Contact], text: str) -> None:
        self.questions.append(Question(tuple(starts), tuple(ends), text))
        self.used_starts.update(contact.end for contact in starts)
        self.used_ends.update(contact.end for contact in ends)

    def by_meaning(self) -> None:
        """Match what is named alike, in the same words or in other words of the trade."""
        starts = _by((c for c in self.open_starts() if c.kind != "earth"), _telling_meaning)
        ends = _by((c for c in self.open_ends() if c.kind != "earth"), _telling_meaning)
        for meaning, takers in ends.items():
            givers = starts.get(meaning, [])
            if len(givers) == len(takers) == 1:
                self.named(givers[0], takers[0])
            elif len(givers) == 1 and set(meaning) & FEEDS:
                for taker in takers:
                    self.named(givers[0], taker)
            elif givers:
                self.several(givers, takers)

    def named(self, start: Contact, end: Contact) -> None:
        if normal(start.words) == normal(end.words):
            self.pair(start, end, "certain", "the same words")
        else:
            concepts = " ".join(sorted(c.removeprefix("?") for c in start.meaning))
            self.pair(start, end, "likely", f"both mean: {concepts}")

    def several(self, starts: list[Contact], ends: list[Contact]) -> None:
        """Tell contacts of one meaning apart by circuit, then by their exact words; else ask."""
        tellings: tuple[Callable[[Contact], str], ...] = (_circuit, lambda c: normal(c.words))
        for telling in tellings:
            here, there = _by(starts, telling), _by(ends, telling)
            for name, takers in there.items():
                givers = here.get(name, [])
                if len(givers) == len(takers) == 1:
                    self.pair(givers[0], takers[0], "certain", f"the same name '{name}'")
            starts = [contact for contact in starts if contact.end not in self.used_starts]
            ends = [contact for contact in ends if contact.end not in self.used_ends]
        if starts and ends:
            text = f"{_said(starts)} and {_said(ends)} carry the same words: which is which?"
            self.ask(starts, ends, f"{text} Colour does not tell; trace them")

    def by_circuit(self) -> None:
        """Match what has one circuit name, where the words do not speak against it."""
        starts = _by((c for c in self.open_starts() if c.kind != "earth"), _circuit)
        ends = _by((c for c in self.open_ends() if c.kind != "earth"), _circuit)
        for name, takers in ends.items():
            givers = starts.get(name, [])
            if len(givers) != 1 or len(takers) != 1:
                continue
            start, end = givers[0], takers[0]
            if not (start.tells and end.tells) or _shared_words(start, end):
                self.pair(start, end, "likely", f"the same circuit '{name}'")
            else:
                text = f"{start.said} and {end.said} are both of circuit '{name}'"
                self.ask([start], [end], f"{text}, but their words differ")

    def feeds_by_state(self) -> None:
        """Find a feed that is live when it is needed, for what is fed under another name."""
        feeds = [contact for contact in self.starts if contact.kind == "feed"]
        for end in self.open_ends():
            if end.kind != "feed" or not end.needs:
                continue
            fitting = [feed for feed in feeds if _meets(feed, end) and not conflict(feed, end)]
            best = self.best_feeds(fitting, end)
            states = ", ".join(f"{need} in '{state}'" for state, need in end.needs.items())
            doubtful = [feed for feed in feeds if _may_meet(feed, end)]
            if len(best) == 1 and not doubtful:
                self.pair(best[0], end, "likely", f"the feed that is {states}")
            elif best and doubtful:
                text = f"{_said(best)} would do; {_said(doubtful)} may, measure it"
                self.ask([], [end], f"{end.said} needs a feed {states}: {text}")
            elif best:
                self.ask([], [end], f"{end.said} needs a feed {states}: {_said(best)} all are")
            else:
                why = "; ".join(_lack(feed, end) for feed in feeds) or "no feed is there"
                self.ask([], [end], f"{end.said} needs a feed {states}: none is known ({why})")

    def best_feeds(self, fitting: Sequence[Contact], end: Contact) -> list[Contact]:
        unused = [feed for feed in fitting if feed.end not in self.used_starts]
        for group in (unused, fitting):
            same = [feed for feed in group if feed.meaning == end.meaning]
            if same or group:
                return list(same or group)
        return []

    def earths(self) -> None:
        """Match returns: by the cavities they serve where that is said, else one to one."""
        partner = {match.end.end: match.start.end for match in self.matches}
        for end in self.open_ends():
            if end.kind == "earth":
                self.scoped_earth(end, partner)
        starts = _by((c for c in self.open_starts() if c.kind == "earth"), _telling_meaning)
        ends = _by((c for c in self.open_ends() if c.kind == "earth"), _telling_meaning)
        for meaning, named in ends.items():
            givers = [contact for contact in starts.get(meaning, []) if not contact.scope]
            takers = [contact for contact in named if not contact.scope]
            if len(givers) == len(takers):
                for start, end in zip(givers, takers, strict=True):
                    alone = len(givers) == 1
                    reason = "the same earth" if alone else "earths of one kind, in order"
                    self.pair(start, end, "certain" if alone else "likely", reason)
            elif len(givers) == 1 and meaning == frozenset({"earth"}):
                for end in takers:
                    self.pair(givers[0], end, "likely", "the only earth there is")
            elif givers and takers:
                self.ask(givers, takers, f"{_said(givers)} and {_said(takers)}: which to which?")

    def scoped_earth(self, end: Contact, partner: Mapping[str, str]) -> None:
        """Match a return by what it serves, on either side."""
        starts = [c for c in self.open_starts() if c.kind == "earth" and c.meaning == end.meaning]
        if not end.scope and not any(start.scope for start in starts):
            return
        served = {
            partner[other.end]
            for other in self.ends
            if other.end in partner
            and other.plug == end.plug
            and (other.cavity in end.scope if end.scope else other.kind != "earth")
        }
        if not served:
            return
        fitting = [start for start in starts if _serves(start, served)]
        stated = [start for start in fitting if start.scope]
        if len(stated or fitting) == 1:
            cavities = ", ".join(in_order(node.partition(":")[2] for node in served))
            reason = f"the return of what comes from {cavities}"
            self.pair((stated or fitting)[0], end, "certain", reason)
        elif fitting:
            self.ask(fitting, [end], f"{end.said}: {_said(fitting)} may all be its return")

    def related(self) -> None:
        """Ask about what shares a word that counts, but not all of them."""
        starts = self.open_starts()
        for end in self.open_ends():
            near = [start for start in starts if _shared_words(start, end)]
            words = normal(end.words)
            near = near or [start for start in starts if words and normal(start.words) == words]
            near = near or [start for start in starts if start.kind == end.kind == "feed"]
            if end.kind == "earth":
                near = [start for start in starts if start.tells and start.meaning == end.meaning]
            if near:
                self.ask(near, [end], f"{end.said} may be {_said(near, ' or ')}")

    def outcome(self) -> Matching:
        count: dict[str, int] = {}
        for one in self.matches:
            count[one.start.end] = count.get(one.start.end, 0) + 1
        place = {contact.end: number for number, contact in enumerate(self.starts)}
        matches = [replace(one, shared=count[one.start.end] > 1) for one in self.matches]
        return Matching(
            matches=tuple(sorted(matches, key=lambda one: place[one.start.end])),
            questions=tuple(self.questions),
            left_start=tuple(self.open_starts()),
            left_end=tuple(self.open_ends()),
        )


def _by(
    contacts: Iterable[Contact], telling: Callable[[Contact], _Key]
) -> dict[_Key, list[Contact]]:
    """Group contacts by what tells them apart; those it says nothing of are left out."""
    found: dict[_Key, list[Contact]] = {}
    for contact in contacts:
        key = telling(contact)
        if key:
            found.setdefault(key, []).append(contact)
    return found


def _telling_meaning(contact: Contact) -> frozenset[str]:
    return contact.meaning if contact.tells else frozenset()


def _circuit(contact: Contact) -> str:
    """Return a circuit name in words; a number such as C39 holds in its own file only."""
    return normal(contact.circuit) if _NAME.search(contact.circuit) else ""


def _shared_words(one: Contact, other: Contact) -> frozenset[str]:
    """Return concepts and longer words that both carry, but those of which one or what sort."""
    both = one.meaning | other.meaning
    if any(pair <= both and not pair <= one.meaning & other.meaning for pair in _OPPOSITES):
        return frozenset()
    shared = (one.meaning & other.meaning) - MODIFIERS - GENERIC
    return frozenset(word for word in shared if not word.startswith("?") or len(word) > _SHORT)


def _meets(feed: Contact, end: Contact) -> bool:
    return all(is_live(feed.live, state) is (need == "live") for state, need in end.needs.items())


def _may_meet(feed: Contact, end: Contact) -> bool:
    """Tell whether nothing speaks against a feed, but a state it is needed in is not known."""
    return not _meets(feed, end) and not conflict(feed, end)


def _lack(feed: Contact, end: Contact) -> str:
    for state, need in end.needs.items():
        live = is_live(feed.live, state)
        if live is None:
            return f"{feed.said}: not known in '{state}'"
        if live != (need == "live"):
            return f"{feed.said}: {'live' if live else 'dead'} in '{state}'"
    return f"{feed.said}: {conflict(feed, end)}"


def _serves(start: Contact, served: Iterable[str]) -> bool:
    """Tell whether a return serves these ends: those it names, or all of its plug."""
    named = {f"{start.plug}:{cavity}" for cavity in start.scope}
    return all(end in named if named else end.startswith(f"{start.plug}:") for end in served)


def _said(contacts: Sequence[Contact], joint: str = " and ") -> str:
    return joint.join(contact.said for contact in contacts)
