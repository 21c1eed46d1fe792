"""What readings of the first power-up say: the likely cause where one is out of range."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import cached_property

from wiregen.connect import Network, split_node
from wiregen.connect.behind import behind_fuse, unplug_order
from wiregen.connect.legs import part_words
from wiregen.connect.trace import Tracer
from wiregen.connect.ways import Trace, Way
from wiregen.model import Design, in_order
from wiregen.publish.proving import power_up
from wiregen.publish.proving.cavity_volts import volts_id
from wiregen.publish.proving.checks import Check, expected_words, limit_words

_LIVE_V = 1.0
"""From here on a cavity counts as live, and two readings as different."""
_MOST_NAMED = 4


class PowerJudge:
    """Finds the likely cause of a reading in the light of the other readings.

    Args:
        design: the design.
        network: from `connect`.
        checks: all tests by name.
        value_of: name of a test -> its valid reading in V or A; None where there is none.
    """

    def __init__(
        self,
        design: Design,
        network: Network,
        checks: Mapping[str, Check],
        value_of: Callable[[str], float | None],
    ) -> None:
        self._design = design
        self._network = network
        self._checks = checks
        self._value_of = value_of
        self._tracer = Tracer(network)
        self._traces: dict[str, Trace] = {}

    @cached_property
    def _by_state(self) -> Mapping[str, Sequence[Check]]:
        """State -> the tests of cavities that were made in it."""
        found: dict[str, list[Check]] = {}
        for check in self._checks.values():
            if check.kind == "volts" and check.state and self._value_of(check.id) is not None:
                found.setdefault(check.state, []).append(check)
        return found

    def cause(self, check: Check, value: float | None, read: str) -> str:
        """Return what is likely wrong.

        Args:
            check: a test whose reading is out of range, or a step that failed.
            value: the reading in V or A; None where only `fail` was said.
            read: the reading as written.
        """
        if check.kind == "volts" and check.state and value is not None:
            said = f"read {read}, expected {expected_words(check)}, good is {limit_words(check)}"
            return f"{self._cavity(check, value)} ({said})"
        words = self._step(check, value)
        good = limit_words(check)
        return f"{words} (read {read}, good is {good})" if value is not None else words

    # ---- cavities ----

    def _cavity(self, check: Check, value: float) -> str:
        expect = check.expect or 0.0
        if value < -_LIVE_V and expect > -_LIVE_V:
            return "reversed: probes exchanged, or the battery is connected the wrong way round"
        partner = self._partner(check, value)
        if partner:
            other = split_node(partner.start)[1]
            return (
                f"swapped pair: {check.start} reads what {partner.start} should, and the other "
                f"way round; change the contacts in {split_node(check.start)[0]} "
                f"{split_node(check.start)[1]} and {other} over"
            )
        if self._is_earth(check.start):
            return self._lifted_earth(check)
        if expect < _LIVE_V:
            return self._alive(check) if value >= _LIVE_V else self._a_little_alive(check)
        if value < _LIVE_V:
            return f"dead: {self._fault_between(check, self._trace(check.start).up, 'supply')}"
        return self._low(check) if value < check.low else self._high(check, value)

    def _partner(self, check: Check, value: float) -> Check | None:
        """Return the cavity of the same plug whose reading belongs here, while this belongs there.

        Nothing may speak against it in the other states both were read in.
        """
        plug = split_node(check.start)[0]
        for other in self._by_state.get(check.state, ()):
            if split_node(other.start)[0] != plug or other.id == check.id:
                continue
            theirs = self._value_of(other.id)
            apart = abs((other.expect or 0.0) - (check.expect or 0.0)) >= _LIVE_V
            if theirs is None or not apart or not other.has_limits:
                continue
            if _fits(other, value) and _fits(check, theirs) and self._exchanged(check, other):
                return other
        return None

    def _exchanged(self, check: Check, other: Check) -> bool:
        """Tell whether in every state in which both were read each reads as the other should."""
        for state in self._by_state:
            here = self._checks.get(volts_id(check.start, state))
            there = self._checks.get(volts_id(other.start, state))
            if here is None or there is None:
                continue
            mine, theirs = self._value_of(here.id), self._value_of(there.id)
            if mine is None or theirs is None or not (here.has_limits and there.has_limits):
                continue
            if not (_fits(there, mine) and _fits(here, theirs)):
                return False
        return True

    def _is_earth(self, node: str) -> bool:
        net = self._network.net_of(node)
        return net is not None and net.kind == "earth"

    def _lifted_earth(self, check: Check) -> str:
        where = self._fault_between(check, self._trace(check.start).down, "earth")
        return f"earth missing or poor, all that returns here is lifted: {where}"

    def _alive(self, check: Check) -> str:
        contacts = self._contacts(self._trace(check.start).up)
        past = f", {' and '.join(contacts)} passed or stuck" if contacts else ""
        fuses = self._network.protecting_fuses(check.start)
        pull = f"; pull {', '.join(fuses[:_MOST_NAMED])} one at a time" if fuses else ""
        return (
            f"live in state '{check.state}' although it should be dead: wire on a permanent "
            f"feed{past}, a short to a live neighbour, or current that comes back through a "
            f"load{pull}"
        )

    def _a_little_alive(self, check: Check) -> str:
        return (
            f"not quite dead in state '{check.state}': current comes back through a load, or the "
            "earth the meter is on is lifted; measure against battery minus"
        )

    def _low(self, check: Check) -> str:
        low, every = self._share(check.state, lambda one, value: value < one.low)
        if low > 1 and 2 * low > every:
            return (
                f"source low: {low} of {every} live cavities read low in state '{check.state}': "
                "battery not charged, state not as declared, or a poor joint near the source"
            )
        where = self._fault_between(check, self._trace(check.start).up, "supply")
        return f"volts are lost on the way: poor crimp or contact, or too thin a wire: {where}"

    def _high(self, check: Check, value: float) -> str:
        high, every = self._share(check.state, lambda one, value: value > (one.high or value))
        if high > 1 and 2 * high > every:
            return (
                f"source high: {high} of {every} live cavities read high in state "
                f"'{check.state}': regulator, or the state is not as declared"
            )
        full = max(one.high or 0.0 for one in self._checks.values() if one.state == check.state)
        down = self._trace(check.start).down
        if value <= full and down:
            beyond = ", ".join(self._named(down[0]))
            return f"no load draws it down: what goes on to earth is open: {beyond}"
        return "more than its feed can give: short to another supply, or its earth is lost"

    def _share(self, state: str, is_off: Callable[[Check, float], bool]) -> tuple[int, int]:
        """Return how many live cavities of a state are off, and how many were read."""
        live = [
            (one, value)
            for one in self._by_state.get(state, ())
            if (one.expect or 0.0) >= _LIVE_V
            and (value := self._value_of(one.id)) is not None
            and value >= _LIVE_V
        ]
        return sum(is_off(one, value) for one, value in live), len(live)

    def _trace(self, node: str) -> Trace:
        if node not in self._traces:
            self._traces[node] = self._tracer.trace(node)
        return self._traces[node]

    def _fault_between(self, check: Check, ways: Sequence[Way], end: str) -> str:
        """Return where on the way to its supply or earth the fault must be.

        The last cavity on the way that reads right in the same state is its far side.
        """
        if not ways:
            return f"no way to {end} is known; trace it"
        way = ways[0]
        near = check.start
        passed: list[str] = []
        for hop in way.hops:
            passed.append(hop.id or hop.node)
            here = self._checks.get(volts_id(hop.node, check.state))
            value = self._value_of(here.id) if here else None
            if here is None or value is None or not here.has_limits:
                continue
            if _fits(here, value):
                between = ", ".join(self._parts(passed, near, hop.node))
                return (
                    f"the fault lies between {hop.node}, which reads right, and {near}: {between}"
                )
            near, passed = hop.node, []
        return self._suspects(check, way, end)

    def _suspects(self, check: Check, way: Way, end: str) -> str:
        """Name what may be wrong on a way on which nothing reads right.

        What leads to a cavity that reads right is not suspected; what several dead cavities have
        in common is suspected first.
        """
        proven: set[str] = set()
        others: list[tuple[str, set[str]]] = []
        for one in self._by_state.get(check.state, ()):
            value = self._value_of(one.id)
            if value is None or one.id == check.id or end != "supply":
                continue
            ids = {hop.id for found in self._trace(one.start).up[:1] for hop in found.hops}
            if _fits(one, value) and value >= _LIVE_V:
                proven |= ids
            elif value < _LIVE_V <= (one.expect or 0.0):
                others.append((one.start, ids))
        left = self._named(way, proven)
        mine = {hop.id for hop in way.hops} - proven - {""}
        with_it = [(node, ids & mine) for node, ids in others if ids & mine]
        if not with_it:
            return f"on its way to {way.end} look at {', '.join(left)}"
        common = mine.intersection(*(ids for _, ids in with_it))
        nodes = ", ".join(node for node, _ in with_it[:_MOST_NAMED])
        first = ", ".join(self._named(way, {hop.id for hop in way.hops} - common)) if common else ""
        shared = f"; look first at what they share: {first}" if first else ""
        return f"together with {nodes}{shared or '; look at ' + ', '.join(left)}"

    def _parts(self, passed: Sequence[str], near: str, far: str) -> list[str]:
        """Return the wires, fuses and contacts passed; a mated plug by its two halves."""
        found: dict[str, None] = {}
        last = near
        for name in passed:
            if name in self._design.wires or name in self._design.fuses:
                found[name] = None
            elif ":" not in name:
                found[part_words(self._design, name)] = None
            else:
                halves = [split_node(node)[0] for node in (last, name)]
                if self._network.mate(halves[0]) == halves[1]:
                    found[f"contacts {last}/{split_node(name)[0]}"] = None
                last = name
        return list(found) or [f"{near} to {far}"]

    def _named(self, way: Way, without: Collection[str] = ()) -> list[str]:
        """Return the fuses, switches and wires of a way, the likeliest first."""
        kinds: Iterable[str] = ("fuse", "contact", "diode", "load", "wire")
        names = [
            hop.id if kind in ("fuse", "wire") else part_words(self._design, hop.id)
            for kind in kinds
            for hop in way.hops
            if hop.kind == kind and hop.id not in without
        ]
        found = list(dict.fromkeys(names))
        more = len(found) - 2 * _MOST_NAMED
        return found[: 2 * _MOST_NAMED] + ([f"{more} more"] if more > 0 else [])

    def _contacts(self, ways: Sequence[Way]) -> list[str]:
        return in_order({h.id for way in ways[:1] for h in way.hops if h.kind == "contact"})

    # ---- steps ----

    def _step(self, check: Check, value: float | None) -> str:
        if check.id.endswith(power_up.LAMP):
            return self._lit(check.id.removesuffix(power_up.LAMP))
        causes: Mapping[str, Callable[[], str]] = {
            "power-ohms": lambda: (
                "short to earth behind a fuse, or a load left plugged in: find the fuse holder "
                "that reads low, then unplug in the order of `wiregen trace DESIGN --fuse` of it"
            ),
            power_up.SERIES: self._before_the_fuses,
            power_up.REST: self._rest,
            power_up.EARTHS: lambda: (
                "poor earth: ring loose, paint or rust under it, or too thin a lead; measure each "
                f"of {', '.join(self._design.earths) or 'the earths'} against battery minus"
            ),
            power_up.CRANK: lambda: (
                "battery weak, or volts lost in the battery cables and their joints: read again "
                "across each cable while cranking"
            ),
            power_up.CHARGE: lambda: self._charge(check, value),
            power_up.RUN_ON: self._runs_on,
        }
        return causes[check.id]() if check.id in causes else f"failed: {check.words}"

    def _lit(self, fuse: str) -> str:
        order = unplug_order(self._network, behind_fuse(self._network, fuse))
        first = next((step.point for step in order if step.point), "")
        begin = f"; begin with {first}" if first else ""
        return (
            f"short or a load left on behind {fuse}: leave the fuse out, unplug in the order of "
            f"`wiregen trace DESIGN --fuse {fuse}`{begin}"
        )

    def _before_the_fuses(self) -> str:
        bare = [
            wire
            for pole in self._network.sources
            for wire in self._network.nets[self._network.net_index[pole]].wires
        ]
        wires = ", ".join(in_order(set(bare))) or "none in the design"
        return f"short before the fuses: on the metal of the battery plus (wires {wires})"

    def _rest(self) -> str:
        always = [
            fuse
            for fuse in self._design.fuses
            if any(
                way.to and not any(hop.kind == "contact" for hop in way.hops)
                for way in self._tracer.feeds(f"{fuse}:in")
            )
        ]
        fuses = f" live with the key off ({', '.join(always)})" if always else ""
        return f"something stays on: pull the fuses{fuses} one at a time until the current falls"

    def _charge(self, check: Check, value: float | None) -> str:
        if value is not None and check.high is not None and value > check.high:
            return "overcharge: regulator, or its sensing lead is open"
        machines = [d for d in self._design.devices.values() if d.kind == "alternator"]
        fuses = {
            split_node(node)[0]
            for machine in machines
            for point in machine.terminals
            if (net := self._network.net_of(f"{machine.id}:{point}")) is not None
            for node in net.nodes
            if split_node(node)[0] in self._design.fuses
        }
        lamp = next((d.lamp_terminal.at for d in machines if d.lamp_terminal), "")
        names = ", ".join(part_words(self._design, machine.id) for machine in machines)
        parts = [f"no charge from {names or 'the alternator'}: belt"]
        if lamp:
            parts.append(f"not excited by the charge lamp at {machines[0].id}:{lamp}")
        parts.append(f"fuse {' or '.join(in_order(fuses))}" if fuses else "charging lead")
        return ", ".join(parts)

    def _runs_on(self) -> str:
        alive = [
            check.start
            for check in self._checks.values()
            if check.kind == "volts"
            and check.state.lower() in power_up.RUN_ON_WORDS
            and (value := self._value_of(check.id)) is not None
            and value >= _LIVE_V
        ]
        read = f": live with the key off: {', '.join(alive[:_MOST_NAMED])}" if alive else ""
        return (
            "runs on: the engine is fed past the key switch, mostly by the alternator through the "
            f"charge lamp{read}; a diode in the lamp's lead, or a relay the key opens"
        )


def _fits(check: Check, value: float) -> bool:
    """Tell whether a value is a good reading of a test."""
    return check.low <= value <= (check.high if check.high is not None else value)
