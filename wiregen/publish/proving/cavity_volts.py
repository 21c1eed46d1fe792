"""Volts at the cavities in every state: a test for each, and one wide table to fill in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wiregen.connect import Network, split_node
from wiregen.connect.screens import screens_at
from wiregen.layout.tables import Column, Table, columns
from wiregen.model import Design, in_order
from wiregen.publish.proving.checks import Check
from wiregen.publish.proving.isolation import carried
from wiregen.publish.trace_text import volt_words
from wiregen.publish.volts import METER_V, SOURCE_SHARES, Expected

READ = ", read"
"""Ends the title of a column that is filled in with the readings of one state."""
_FLOATS = "–"
_LOW, _HIGH = SOURCE_SHARES


def volts_id(node: str, state: str) -> str:
    """Return what the test of a cavity in a state is called."""
    return f"{node} {state}"


def volt_checks(design: Design, network: Network, found: Expected) -> tuple[Check, ...]:
    """Return one test for each cavity in use and state; without limits where nothing is computed.

    Args:
        design: the design.
        network: from `connect`.
        found: what is computed of its states.
    """
    checks = []
    screens = screens_at(design, network)
    for node in read_cavities(design, network):
        plug, cavity = split_node(node)
        words = carried(design, network, plug, cavity)
        for state in design.states:
            volts = found.volts.get(state, {}).get(node)
            limits = found.limits.get(state, {}).get(node)
            checks.append(
                Check(
                    volts_id(node, state),
                    "volts",
                    node,
                    wires=(*network.wires_at(node), *(s.id for s in screens.get(node, ()))),
                    expect=volts if limits else None,
                    low=limits[0] if limits else 0.0,
                    high=limits[1] if limits else None,
                    words=f"{words}, {state}" if words else state,
                    state=state,
                )
            )
    return tuple(checks)


def read_cavities(design: Design, network: Network) -> Iterator[str]:
    """Yield cavities with a wire or a screen, plug by plug; of a unit's plug the loom half's."""
    wired: dict[str, list[str]] = {}
    for node in dict.fromkeys((*network.wires_on, *screens_at(design, network))):
        plug, cavity = split_node(node)
        wired.setdefault(plug, []).append(cavity)
    for plug in design.plugs:
        if design.plugs[plug].of and network.loom_half(plug):
            continue
        yield from (f"{plug}:{cavity}" for cavity in in_order(wired.get(plug, ())))


def volts_table(design: Design, network: Network, found: Expected) -> Table:
    """Return the expected volts of every cavity in use in every state, with a blank for each."""
    states = list(found.volts)
    rows = []
    for node in read_cavities(design, network):
        plug, cavity = split_node(node)
        fuses = () if _is_earth(network, node) else network.protecting_fuses(node)
        said = [_said(found.volts[state], node) for state in states]
        blanks = [""] * (len(states) + 3)
        rows.append(
            (node, carried(design, network, plug, cavity), ", ".join(fuses), *said, *blanks)
        )
    heads: list[Column] = list(columns("*Cavity", "Carries", "Fuse"))
    heads += [Column(state, "number") for state in states]
    heads += [Column(f"{state}{READ}", "blank", 13.0) for state in states]
    heads += [Column(title, "blank", 11.0) for title in ("By", "Meter", "Date")]
    return Table("volts", "Volts at the cavities", tuple(heads), tuple(rows), _notes(states))


def _said(volts: Mapping[str, float], node: str) -> str:
    return volt_words(volts, node) if node in volts else _FLOATS


def _notes(states: list[str]) -> tuple[str, ...]:
    if not states:
        return ("The design declares no states that could be computed: write them in 'states:'.",)
    return (
        "Volts against 0 V, computed with everything plugged in; – floats: nothing is expected. "
        "Sealed plugs are probed with the plug pulled apart or with a lead between the halves.",
        f"Good: what is computed with sources of {_LOW:.0%} to {_HIGH:.0%} of the volts in the "
        f"design, and {METER_V:g} V for meter and contacts (from memory).",
    )


def _is_earth(network: Network, node: str) -> bool:
    net = network.net_of(node)
    return net is not None and net.kind == "earth"
