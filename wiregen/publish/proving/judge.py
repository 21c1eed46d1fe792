"""What the results say: good, or wrong with the likely mistake named."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from wiregen.connect import Network, split_node
from wiregen.connect.follow import local_nodes
from wiregen.connect.legs import ohm_words, part_words
from wiregen.facts.colours import Colour, ColourError, parse_colour
from wiregen.model import Design, in_order
from wiregen.publish.proving.checks import Check, limit_words
from wiregen.publish.proving.groups import Groups
from wiregen.publish.proving.judge_power import PowerJudge
from wiregen.publish.proving.readings import read_reading
from wiregen.publish.proving.results import Result, made_of

Verdict = Literal["good", "bad", "void", "not judged", "not done"]
_MOST_NAMED = 4
_MOST_LISTED = 12
BARELY_OHM = 10_000.0
"""Above this a reading of a wire is no bad joint but a way round through something else."""


@dataclass(frozen=True, slots=True)
class Judged:
    """One test with its result.

    Attributes:
        check: the test.
        result: what was found; None when it was not done.
        verdict: what comes of it.
        words: the likely mistake, or why a result is void; empty when good.
    """

    check: Check
    result: Result | None
    verdict: Verdict
    words: str = ""


def judge_results(
    design: Design, network: Network, checks: Iterable[Check], results: Iterable[Result]
) -> tuple[Judged, ...]:
    """Judge results.

    Args:
        design: the design.
        network: from `connect`.
        checks: the tests of the design.
        results: of some of them.

    Returns:
        One record a test, in the order of the tests.
    """
    every = tuple(checks)
    by_test = {result.test: result for result in results}
    judge = _Judge(design, network, every, by_test)
    asked = (check for check in every if check.has_limits or check.id in by_test)
    return tuple(judge.judged(check) for check in asked)


class _Judge:
    """Looks at one result in the light of the others."""

    def __init__(
        self,
        design: Design,
        network: Network,
        checks: Sequence[Check],
        results: Mapping[str, Result],
    ) -> None:
        self._design = design
        self._network = network
        self._groups = Groups(design, network)
        self._results = {
            check.id: results[check.id]
            for check in checks
            if check.id in results and self._is_valid(check, results[check.id])
        }
        self._all = results
        self._checks = {check.id: check for check in checks}
        self._found = {
            check.id: self._place(check)
            for check in checks
            if check.kind == "continuity" and check.id in self._results
        }
        self._mirrored = self._mirrored_plugs()
        self._power = PowerJudge(design, network, self._checks, self._reading_of)

    def _is_valid(self, check: Check, result: Result) -> bool:
        now = made_of(self._design, self._network, check)
        return not result.made_of or result.made_of == now

    def _reading_of(self, test: str) -> float | None:
        """Return the valid reading of a test as a number; None where there is none."""
        result = self._results.get(test)
        if result is None or not result.reading:
            return None
        return read_reading(result.reading, self._checks[test].kind).value

    def judged(self, check: Check) -> Judged:
        """Return the verdict on one test."""
        result = self._results.get(check.id)
        if result is None:
            old = self._all.get(check.id)
            if old is None:
                return Judged(check, None, "not done")
            return Judged(check, old, "void", f"measured {old.date} when it was: {old.made_of}")
        if not check.has_limits:
            return Judged(check, result, "not judged", "nothing is computed here")
        words = [
            words for words in (self._fault(check, result), self._colour(check, result)) if words
        ]
        return Judged(check, result, "bad" if words else "good", "; ".join(words))

    def _value(self, result: Result) -> float | None:
        """Return the reading; what was found elsewhere reads as open here."""
        if not result.reading:
            return math.inf if result.found_at else None
        reading = read_reading(result.reading, self._checks[result.test].kind)
        if reading.said == "bad":
            return math.inf
        return reading.value

    def _is_open(self, check: Check) -> bool:
        result = self._results.get(check.id)
        value = self._value(result) if result else None
        return value is not None and check.high is not None and value > BARELY_OHM

    def _place(self, check: Check) -> str:
        """Return where a wire was found instead of its end; empty when in its place."""
        found = self._results[check.id].found_at.replace(" ", "")
        return "" if found in (check.end, check.start) else found

    def _fault(self, check: Check, result: Result) -> str:
        if check.kind == "continuity":
            return self._continuity(check, result)
        if not check.is_wiring:
            return self._power_fault(check, result)
        value = self._value(result)
        if check.kind == "isolation":
            said = read_reading(result.reading).said if result.reading else ""
            if said == "good" or (value is not None and value >= check.low and said != "bad"):
                return ""
            return self._short(check, result)
        if value is None or (check.low <= value <= (check.high or math.inf)):
            return ""
        return f"{check.words}: read {result.reading}, good is {limit_words(check)}"

    def _power_fault(self, check: Check, result: Result) -> str:
        """A reading of the first power-up that is out of range, or a step that failed."""
        if not result.reading:
            return ""
        reading = read_reading(result.reading, check.kind)
        high = math.inf if check.high is None else check.high
        fits = reading.value is not None and check.low <= reading.value <= high
        if fits or reading.said == "good":
            return ""
        return self._power.cause(check, reading.value, result.reading)

    def _continuity(self, check: Check, result: Result) -> str:
        found = self._found[check.id]
        if found:
            return self._elsewhere(check, found)
        value = self._value(result)
        if value is None or check.high is None or value <= check.high:
            return ""
        if value > BARELY_OHM:
            return self._open(check, value)
        expected = f", expected {ohm_words(check.expect)}" if check.expect is not None else ""
        return (
            f"high resistance: read {result.reading}{expected}, good is {limit_words(check)}: "
            "poor crimp, corroded or loose contact, or a thinner wire than drawn"
        )

    def _elsewhere(self, check: Check, found: str) -> str:
        """A wire that was found at another pin than its own."""
        plug = split_node(found)[0]
        wanted = split_node(check.end)[0]
        if found not in self._groups.of and plug not in self._design.plugs:
            return f"found at {found}, which the design does not have"
        mine, wire = self._groups.of.get(check.end), check.id
        if check.via and self._groups.of.get(found) not in (None, mine):
            splices = [
                node
                for node in self._groups.members[self._groups.of[found]]
                if node in self._design.splices
            ]
            if splices:
                return self._wrong_splice(check, splices[0], found)
        mirrored = next((p for p in self._plugs(check) if p in self._mirrored), "")
        if mirrored:
            return (
                f"mirrored plug: {mirrored} is loaded as seen from the wrong side; {wire} was "
                f"found at {found} instead of {check.end}. Move all contacts of {mirrored}"
            )
        other = self._partner(check, found)
        if other:
            ends = _places(check.end, found)
            starts = _places(check.start, self._checks[other].start)
            return (
                f"swapped pair: {wire} and {other} are exchanged at {ends}, or else at {starts}; "
                "change the two contacts over at one end"
            )
        if plug == wanted:
            return f"wrong cavity: {wire} is in {found} instead of {check.end}; move its contact"
        return f"wire in wrong plug: {wire} ends in {found} instead of {check.end}"

    def _plugs(self, check: Check) -> tuple[str, ...]:
        owners = (split_node(check.end)[0], split_node(check.start)[0])
        return tuple(owner for owner in owners if owner in self._design.plugs)

    def _partner(self, check: Check, found: str) -> str:
        """Return the wire that sits where this one belongs, while this one sits in its place."""
        for other, place in self._found.items():
            if other != check.id and place == check.end and self._checks[other].end == found:
                return other
        return ""

    def _wrong_splice(self, check: Check, splice: str, found: str) -> str:
        leg = self._suspect(check)
        return (
            f"wrong splice leg: {leg} is crimped into {splice} instead of "
            f"{' or '.join(check.via)} (it goes on to {found}); cut it out and put it right"
        )

    def _suspect(self, check: Check) -> str:
        """Return the wire of a reading through a splice that every open reading has in common."""
        good = {
            wire
            for other in self._found
            if not self._found[other] and not self._is_open(self._checks[other])
            for wire in self._checks[other].wires
        }
        left = [wire for wire in check.wires if wire not in good]
        return " or ".join(left or check.wires)

    def _open(self, check: Check, value: float) -> str:
        read = "open" if math.isinf(value) else f"read {ohm_words(value)}"
        earth = next((n for n in (check.start, check.end) if n in self._design.earths), "")
        if earth:
            return (
                f"missing earth: {check.id} does not reach {earth}: ring not bolted on, paint "
                "under it, or wire broken; without it there is no return for "
                + "; ".join(self._returns(check, earth))
            )
        if len(check.wires) > 1:
            leg = self._suspect(check)
            return (
                f"{read}: {leg} is not in splice {' or '.join(check.via)}, or broken: look for it "
                "in the other splices"
            )
        why = "contact not latched or pushed out, crimp on the insulation, or wire broken"
        if not math.isinf(value):
            why = "the reading comes round through something else; " + why
        return f"{read}: {check.id} is not through: {why}"

    def _returns(self, check: Check, earth: str) -> list[str]:
        """Return the loads that come back through the lost wire."""
        network = self._network
        other = check.end if check.start == earth else check.start
        loads: dict[str, None] = {}
        for node in local_nodes(network, other):
            if node not in self._design.earths:
                links = (network.links[place] for place in network.links_at.get(node, ()))
                loads.update((link.id, None) for link in links if link.kind == "load")
        named = [part_words(self._design, load) for load in loads] or [other]
        more = len(named) - _MOST_NAMED
        return named[:_MOST_NAMED] + ([f"{more} more"] if more > 0 else [])

    def _short(self, check: Check, result: Result) -> str:
        found = result.found_at.replace(" ", "")
        between = f"between {check.start} and {found}" if found else f"at {check.start}"
        if check.kind == "isolation" and check.id.endswith("-back"):
            return f"diode {between} conducts both ways: shorted, or fitted the wrong way round"
        near = ", ".join(check.apart)
        hint = "" if found or not near else f"; try one by one: {near}"
        return (
            f"short {between}, read {result.reading or 'joined'}: strand of a neighbour, pinched "
            f"or melted insulation, or two wires in one cavity{hint}"
        )

    def _colour(self, check: Check, result: Result) -> str:
        if not result.colour or check.kind != "continuity":
            return ""
        wire = self._design.wires.get(check.id)
        drawn = wire.colour if wire else None
        try:
            seen: Colour | None = parse_colour(result.colour)
        except ColourError:
            seen = None
        if seen is not None and seen == drawn:
            return ""
        as_drawn = drawn.iec if drawn else "without a colour"
        return (
            f"wrong colour: {check.id} is {result.colour}, drawn {as_drawn}: another wire was "
            "taken, or the design needs correcting"
        )

    def _mirrored_plugs(self) -> dict[str, None]:
        """Return the plugs whose wires were found where a mirror image puts them."""
        by_plug: dict[str, list[str]] = {}
        for test in self._found:
            for plug in self._plugs(self._checks[test]):
                by_plug.setdefault(plug, []).append(test)
        return {p: None for p in in_order(by_plug) if self._is_mirrored(p, by_plug[p])}

    def _is_mirrored(self, plug: str, tests: Sequence[str]) -> bool:
        """Tell whether every wire of a plug that was tested is where its mirror image belongs."""
        mirror = self._groups.mirror_of(plug)
        other_end: dict[str, str] = {}
        for check in self._checks.values():
            for here, there in ((check.start, check.end), (check.end, check.start)):
                if check.kind == "continuity" and split_node(here)[0] == plug:
                    other_end.setdefault(here, there)
        moved = 0
        for test in tests:
            check, place = self._checks[test], self._found[test]
            at_end = split_node(check.end)[0] == plug
            cavity = split_node(check.end if at_end else check.start)[1]
            image = f"{plug}:{mirror.get(cavity, cavity)}"
            wanted = image if at_end else other_end.get(image, "")
            if place and place == wanted and image != f"{plug}:{cavity}":
                moved += 1
            elif mirror.get(cavity, cavity) != cavity and not self._is_open(check):
                return False
        return moved > _SWAP


_SWAP = 2
"""Two wires found in each other's place are a swapped pair; more of them are a mirror image."""


def _places(one: str, two: str) -> str:
    """Return two cavities, the plug named once where they are in one.

    Example:
        >>> _places("X1:3", "X1:4"), _places("X1:3", "X2:4")
        ('X1 3 and 4', 'X1:3 and X2:4')
    """
    (plug, cavity), (other, another) = split_node(one), split_node(two)
    return f"{plug} {cavity} and {another}" if plug == other else f"{one} and {two}"


def lines_of(judged: Iterable[Judged]) -> Iterator[str]:
    """Yield the verdicts as lines: what is wrong, what is void, what is still to do, a count."""
    found = tuple(judged)
    for one in found:
        if one.verdict == "bad":
            yield f"{one.check.id}: {one.words}"
    for one in found:
        if one.verdict == "void":
            yield f"{one.check.id}: void, the wire was changed; {one.words}; measure again"
    for title, wiring in (("not done", True), ("first power-up, not done", False)):
        undone = [
            one.check.id
            for one in found
            if one.verdict == "not done" and one.check.is_wiring == wiring
        ]
        if undone:
            more = len(undone) - _MOST_LISTED
            rest = f" and {more} more" if more > 0 else ""
            yield f"{title}: {', '.join(undone[:_MOST_LISTED])}{rest}"
    for title, counts in counted(found).items():
        yield f"{title}: {counts}"


def counted(judged: Iterable[Judged]) -> dict[str, str]:
    """Return how many tests came out how, of the wiring and of the first power-up.

    Returns:
        `wiring` and `first power-up` -> such as `12 good, 1 bad, 0 void, 40 not done`; only what
        has tests.
    """
    found = tuple(judged)
    said = {}
    for title, wiring in (("wiring", True), ("first power-up", False)):
        verdicts = [one.verdict for one in found if one.check.is_wiring == wiring]
        words = [f"{verdicts.count(word)} {word}" for word in _COUNTED]
        if verdicts.count("not judged"):
            words.append(f"{verdicts.count('not judged')} not judged")
        if verdicts:
            said[title] = ", ".join(words)
    return said


_COUNTED: tuple[Verdict, ...] = ("good", "bad", "void", "not done")
