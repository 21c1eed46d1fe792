"""What a mistake of building is called at each test that shows it, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiregen.connect import Network, split_node
from wiregen.connect.follow import local_nodes
from wiregen.connect.legs import ohm_words, part_words
from wiregen.model import Design, in_order
from wiregen.publish.proving.checks import APART_OHM, Check
from wiregen.publish.proving.groups import Groups
from wiregen.publish.proving.mistakes import NOWHERE, Explained
from wiregen.publish.proving.results import Result

_MOST_NAMED = 4
_NO_SCREEN = "drain or braid not caught in the crimp, contact not latched"
_BROKEN = "contact not latched or pushed out, crimp on the insulation, or wire broken"


class Blame:
    """Words for readings that are not as they should be.

    Args:
        design: the design.
        network: from `connect`.
        groups: what should be joined.
        checks: all tests by name.
        found: the mistakes that explain the readings.
    """

    def __init__(
        self,
        design: Design,
        network: Network,
        groups: Groups,
        checks: Mapping[str, Check],
        found: Sequence[Explained],
    ) -> None:
        self._design = design
        self._network = network
        self._groups = groups
        self._checks = checks
        self._by_test = {test: one for one in found for test in one.tests}

    def open(self, check: Check, value: float, found: str = "") -> str:
        """Return what is likely wrong with a wire that does not read at its end.

        Args:
            check: its test.
            value: the reading, ohm.
            found: where it was found instead.
        """
        one = self._by_test.get(check.id)
        if one is None:
            if found and self._groups.of.get(found) != self._groups.of.get(check.start):
                return f"{check.id} ends in {found} instead of {check.end}"
            return self._not_through(check, value, check.wires)
        if one.mistake.kind == "open":
            return self._not_through(check, value, one.mistake.subjects)
        if one.mistake.kind == "bridge":
            return self._not_through(check, value, check.wires)
        if one.sure:
            return self._words(one, check, found)
        others = [test for test in one.tests if test != check.id]
        like = f" like {', '.join(others[:_MOST_NAMED])}" if others else ""
        return f"{_read(value)}{like}: {self._name(one)}, or else {_BROKEN}"

    def short(self, check: Check, result: Result) -> str:
        """Return what is likely wrong where a test of isolation found two things joined."""
        found = place_of(result.found_at)
        if check.id.endswith("-back"):
            between = f"between {check.start} and {found}" if found else f"at {check.start}"
            return f"diode {between} conducts both ways: shorted, or fitted the wrong way round"
        one = self._by_test.get(check.id)
        if one is None or one.mistake.kind == "bridge":
            return self._touching(check, result, one.mistake.subjects if one else (), found)
        lead = next((t for t in one.tests if self._checks[t].kind == "continuity"), "")
        at = f", joined to {found}" if found else ""
        if lead:
            return f"no short of its own{at}: {self._name(one)}, see {lead}"
        return self._words(one, check, found)

    def _touching(self, check: Check, result: Result, pair: Sequence[str], found: str) -> str:
        ends = pair or ((check.start, found) if found else ())
        between = f"between {' and '.join(ends)}" if ends else f"at {check.start}"
        screen = self._groups.screen_between(ends[0], ends[1]) if ends else None
        if screen is not None:
            return (
                f"short {between}, read {result.reading or 'joined'}: strand of screen {screen.id} "
                "where it is crimped or cut back, or insulation nicked when it was stripped"
            )
        hint = f"; try one by one: {', '.join(check.apart)}" if not ends and check.apart else ""
        return (
            f"short {between}, read {result.reading or 'joined'}: strand of a neighbour, pinched "
            f"or melted insulation, or two wires in one cavity{hint}"
        )

    def _name(self, one: Explained) -> str:
        """Return a mistake in a few words."""
        kind, subjects = one.mistake.kind, one.mistake.subjects
        if kind == "mirror":
            return f"{subjects[0]} is mirrored"
        if kind == "swap":
            return f"{_places(*subjects)} are exchanged"
        if kind == "splice":
            return f"{subjects[0]} is in {subjects[2]} instead of {subjects[1]}"
        if kind == "mix":
            return f"contacts of {split_node(subjects[0])[0]} are mixed up"
        if kind == "move":
            place = " or ".join(self._landed(one))
            if subjects[1] == NOWHERE:
                place = "another cavity"
            return f"the contact of {subjects[0]} is in {place}"
        return f"{subjects[0]} is open"

    def _words(self, one: Explained, check: Check, found: str) -> str:
        """Return a mistake with what to do, at one test it explains."""
        kind, subjects = one.mistake.kind, one.mistake.subjects
        if kind == "mirror":
            seen = f"; {check.id} was found at {found} instead of {check.end}" if found else ""
            return (
                f"mirrored plug: {subjects[0]} is loaded as seen from the wrong side{seen}. Move "
                f"all contacts of {subjects[0]}"
            )
        if kind == "swap":
            return self._swapped(one, check)
        if kind == "splice":
            wire, splice, other = subjects
            on = f" (it goes on to {found})" if found else ""
            return (
                f"wrong splice leg: {wire} is crimped into {other} instead of {splice}{on}; cut "
                "it out and put it right"
            )
        if kind == "mix":
            pairs = zip(subjects[::2], subjects[1::2], strict=True)
            moves = ", ".join(f"{self._wires_at(node)} from {at} to {node}" for node, at in pairs)
            return f"mixed up in {split_node(subjects[0])[0]}: move {moves}"
        wanted, place = subjects[0], " or ".join(self._landed(one))
        wires = self._wires_at(wanted)
        if subjects[1] == NOWHERE:
            return f"wrong cavity: {wires} is not in {wanted}; find where it is, move its contact"
        if split_node(wanted)[0] == split_node(place)[0]:
            return f"wrong cavity: {wires} is in {place} instead of {wanted}; move its contact"
        return f"wire in wrong plug: {wires} ends in {place} instead of {wanted}"

    def _landed(self, one: Explained) -> tuple[str, ...]:
        """Return where a contact is: where it was found, or every cavity of what it is joined to.

        Nobody looked for it where only isolation tells that it is joined to something.
        """
        place = one.mistake.subjects[1]
        if one.looked:
            return (place,)
        group = self._groups.of.get(place, "")
        cavities = (n for n in self._groups.members.get(group, ()) if self._is_cavity(n))
        return tuple(in_order(cavities)) or (place,)

    def _is_cavity(self, node: str) -> bool:
        return split_node(node)[0] in self._design.plugs

    def _swapped(self, one: Explained, check: Check) -> str:
        """Name the wire of the test first, and the places in its order."""
        places, far = list(one.mistake.subjects), list(one.or_else)
        if check.end == places[1] or check.start == places[1]:
            places.reverse()
            far.reverse()
        if far and check.end == far[0]:
            places, far = far, places
        wires = [self._wires_at(node) for node in places]
        other = f", or else at {_places(*far)}" if far else ""
        return (
            f"swapped pair: {wires[0]} and {wires[1]} are exchanged at {_places(*places)}{other}; "
            "change the two contacts over at one end"
        )

    def _wires_at(self, node: str) -> str:
        return " with ".join(self._groups.ends_at(node)) or "the contact"

    def _not_through(self, check: Check, value: float, legs: Sequence[str]) -> str:
        read = _read(value)
        screen = self._groups.screens.get(check.id)
        if screen is not None and tuple(legs) == (check.id,):
            bolted = screen.node in self._design.earths
            return (
                f"{read}: {check.id} is not through to {screen.node}: "
                f"{'ring not bolted on, paint under it' if bolted else _NO_SCREEN}, or screen "
                f"torn; {screen.over} {'is' if len(screen.wires) == 1 else 'are'} not screened"
            )
        ends = {node for leg in legs for node in self._groups.wire_ends.get(leg, ())}
        earth = next((node for node in in_order(ends) if node in self._design.earths), "")
        if earth and len(legs) == 1:
            return (
                f"missing earth: {legs[0]} does not reach {earth}: ring not bolted on, paint "
                "under it, or wire broken; without it there is no return for "
                + "; ".join(self._returns(legs[0], earth))
            )
        if len(check.wires) > 1:
            return (
                f"{read}: {' or '.join(legs)} is not in splice {' or '.join(check.via)}, or "
                "broken: look for it in the other splices"
            )
        why = _BROKEN
        if value < APART_OHM:
            why = "the reading comes round through something else; " + why
        return f"{read}: {check.id} is not through: {why}"

    def _returns(self, wire: str, earth: str) -> list[str]:
        """Return the loads that come back through a lost wire."""
        network = self._network
        other = next(node for node in self._groups.wire_ends[wire] if node != earth)
        loads: dict[str, None] = {}
        for node in local_nodes(network, other):
            if node not in self._design.earths:
                links = network.links_on((node,))
                loads.update((link.id, None) for link, _ in links if link.kind == "load")
        named = [part_words(self._design, load) for load in loads] or [other]
        more = len(named) - _MOST_NAMED
        return named[:_MOST_NAMED] + ([f"{more} more"] if more > 0 else [])


def place_of(words: str) -> str:
    """Return a place as written by hand as the name of a node.

    Example:
        >>> place_of(" X2 : 3 ")
        'X2:3'
    """
    return words.replace(" ", "")


def _read(value: float) -> str:
    return "open" if value >= APART_OHM else f"read {ohm_words(value)}"


def _places(one: str, two: str) -> str:
    """Return two cavities, the plug named once where they are in one.

    Example:
        >>> _places("X1:3", "X1:4"), _places("X1:3", "X2:4")
        ('X1 3 and 4', 'X1:3 and X2:4')
    """
    (plug, cavity), (other, another) = split_node(one), split_node(two)
    return f"{plug} {cavity} and {another}" if plug == other else f"{one} and {two}"
