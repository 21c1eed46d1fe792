"""In which operating states a pin is live, as far as a design or the words of the trade say."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wiregen.connect import Network
from wiregen.facts.functions import state_kind
from wiregen.model import Design, State

_ROUNDS = 20
_BY_FEED: Mapping[str, Mapping[str, bool]] = {
    "permanent supply": {"off": True, "accessory": True, "run": True, "crank": True},
    "ignition supply": {"off": False, "run": True},
    "ignition supply dead while cranking": {"off": False, "run": True, "crank": False},
    "ignition supply live while cranking": {"off": False, "run": True, "crank": True},
    "accessory supply": {"off": False, "accessory": True, "run": True},
    "start signal": {"off": False, "accessory": False, "run": False, "crank": True},
}
"""What the names of feeds promise. Whether terminal 15 holds while cranking differs by maker, so
nothing is said of it."""


def live_by_words(meaning: Iterable[str]) -> dict[str, bool]:
    """Return kind of state -> live, as the name of a feed promises; nothing for other pins."""
    for concept in meaning:
        if concept in _BY_FEED:
            return dict(_BY_FEED[concept])
    return {}


def live_nets(design: Design, network: Network) -> dict[str, dict[int, bool]]:
    """Return state -> net -> live or dead; nets of which nothing can be said are left out.

    Switches and relays are followed as the states of the design set them; loads, diodes and
    voltages are not computed.
    """
    found = {}
    for name, state in design.states.items():
        sure = _reached(design, network, state, unknown=False)
        maybe = _reached(design, network, state, unknown=True)
        known = dict.fromkeys(sure, True)
        known |= {net.index: False for net in network.nets if net.index not in maybe}
        found[name] = known
    return found


def is_live(live: Mapping[str, bool], state: str) -> bool | None:
    """Return whether a pin is live in a state; by the kind of the state where it is not named."""
    if state in live:
        return live[state]
    kind = state_kind(state)
    named = [live[name] for name in live if kind and state_kind(name) == kind]
    if named:
        return named[0] if len(set(named)) == 1 else None
    return live.get(kind) if kind else None


def _reached(design: Design, network: Network, state: State, *, unknown: bool) -> set[int]:
    """Return the nets that a source reaches; contacts of unknown position are open or closed."""
    pulled: set[str] = set()
    live: set[int] = set()
    for _ in range(_ROUNDS):
        closed = _closed(network, state, pulled, unknown=unknown)
        live = _spread(network, closed, _sources(design, network, state))
        earthed = _spread(network, closed, [n.index for n in network.nets if n.kind == "earth"])
        now = _pulled(design, network, live, earthed)
        if now == pulled:
            break
        pulled = now
    return live


def _sources(design: Design, network: Network, state: State) -> list[int]:
    """Return the nets of batteries, and of other sources that the state sets running."""
    found = []
    for node in network.sources:
        device = design.devices.get(node.partition(":")[0])
        if device is None or device.kind == "battery" or device.id in state.settings:
            found.append(network.net_index[node])
    return found


def _closed(
    network: Network, state: State, pulled: set[str], *, unknown: bool
) -> dict[int, list[int]]:
    """Return the neighbours of each net over fuses and closed contacts."""
    beside: dict[int, list[int]] = {}
    for link in network.links:
        if link.kind == "fuse":
            passes = state.settings.get(link.device) != "open"
        elif link.kind == "contact":
            passes = _passes(link.device, link.when, state, pulled, unknown=unknown)
        else:
            continue
        if passes:
            nets = [network.net_index[node] for node in link.nodes]
            for one in nets:
                beside.setdefault(one, []).extend(other for other in nets if other != one)
    return beside


def _passes(
    device: str, when: tuple[str, ...], state: State, pulled: set[str], *, unknown: bool
) -> bool:
    if "pulled in" in when or "at rest" in when:
        return ("pulled in" if device in pulled else "at rest") in when
    if state.name in when or state.settings.get(device) in when:
        return True
    return unknown and device not in state.settings


def _spread(network: Network, beside: Mapping[int, list[int]], start: Iterable[int]) -> set[int]:
    seen = set(start)
    waiting = list(seen)
    first = set(seen)
    while waiting:
        index = waiting.pop()
        if network.nets[index].kind == "earth" and index not in first:
            continue
        for other in beside.get(index, ()):
            if other not in seen:
                seen.add(other)
                waiting.append(other)
    return seen


def _pulled(design: Design, network: Network, live: set[int], earthed: set[int]) -> set[str]:
    """Return the relays whose coil lies between a live and an earthed net."""
    found = set()
    for link in network.links:
        if link.kind != "load" or design.devices[link.device].kind != "relay":
            continue
        one, other = (network.net_index.get(node, -1) for node in link.nodes)
        if (one in live and other in earthed) or (other in live and one in earthed):
            found.add(link.device)
    return found
