"""What the results say: good, or wrong with the likely mistake named."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from wiregen.connect import Network, split_node
from wiregen.connect.legs import ohm_words
from wiregen.facts.colours import Colour, ColourError, parse_colour
from wiregen.model import Design
from wiregen.publish.proving.as_built import Seen
from wiregen.publish.proving.blame import Blame, place_of
from wiregen.publish.proving.checks import Check, limit_words
from wiregen.publish.proving.groups import Groups
from wiregen.publish.proving.judge_power import PowerJudge
from wiregen.publish.proving.mistakes import explain
from wiregen.publish.proving.readings import read_reading
from wiregen.publish.proving.results import Result, made_of

Verdict = Literal["good", "bad", "void", "not judged", "not done"]
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
        seen = [self._seen(check) for check in checks if check.id in self._results]
        found = explain(design, self._groups, (one for one in seen if one is not None))
        self._blame = Blame(design, network, self._groups, self._checks, found)
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

    def _seen(self, check: Check) -> Seen | None:
        """Return what a test of the wiring showed; None where it says nothing of joints."""
        result = self._results[check.id]
        found = place_of(result.found_at)
        said = read_reading(result.reading, check.kind).said if result.reading else ""
        value = self._value(result)
        if check.kind == "continuity":
            if found in (check.start, check.end):
                found = ""
            if value is None and not said and not found:
                return None
            joined = not found and (said == "good" or (value or 0.0) <= BARELY_OHM)
            return Seen(check, joined, self._known(found))
        if check.kind != "isolation" or not check.wires:
            return None
        return Seen(check, self._is_short(check, result), self._known(found))

    def _known(self, node: str) -> str:
        """Return a place if the design has it."""
        owner = split_node(node)[0]
        return node if node in self._groups.of or owner in self._design.plugs else ""

    def _is_short(self, check: Check, result: Result) -> bool:
        """Tell whether a test of isolation found two things joined."""
        if not result.reading:
            return bool(result.found_at)
        reading = read_reading(result.reading, check.kind)
        if reading.said:
            return reading.said == "bad"
        return reading.value is not None and reading.value < check.low

    def _fault(self, check: Check, result: Result) -> str:
        if check.kind == "continuity":
            return self._continuity(check, result)
        if not check.is_wiring:
            return self._power_fault(check, result)
        value = self._value(result)
        if check.kind == "isolation":
            return self._blame.short(check, result) if self._is_short(check, result) else ""
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
        found = place_of(result.found_at)
        if found and found not in (check.start, check.end):
            if not self._known(found):
                return f"found at {found}, which the design does not have"
            return self._blame.open(check, math.inf, found)
        value = self._value(result)
        if value is None or check.high is None or value <= check.high:
            return ""
        if value > BARELY_OHM:
            return self._blame.open(check, value)
        expected = f", expected {ohm_words(check.expect)}" if check.expect is not None else ""
        return (
            f"high resistance: read {result.reading}{expected}, good is {limit_words(check)}: poor "
            f"crimp, corroded or loose contact, or a thinner wire than drawn{self._poor(check)}"
        )

    def _poor(self, check: Check) -> str:
        """Name the wires a high reading through a splice leaves under suspicion."""
        if len(check.wires) < 2:
            return ""
        good = {
            wire
            for other in self._checks.values()
            if other.kind == "continuity" and other.id in self._results
            for value in [self._value(self._results[other.id])]
            if value is not None and other.high is not None and value <= other.high
            for wire in other.wires
        }
        left = [wire for wire in check.wires if wire not in good]
        return f"; look at {' or '.join(left)}" if left and len(left) < len(check.wires) else ""

    def _colour(self, check: Check, result: Result) -> str:
        if not result.colour or check.kind != "continuity":
            return ""
        wire = self._design.wires.get(check.id)
        if wire is None:
            return ""
        drawn = wire.colour
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
