"""Defaults and sources a pack rests on: tables, allowances, and values that were taken."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.connect import Network
from wiregen.facts.tables import list_tables, table
from wiregen.layout.tables import Table, columns
from wiregen.model import Design
from wiregen.publish.proving.checks import APART_OHM, CONTACT_OHM, METER_OHM
from wiregen.publish.tables.cutting import WASTE, Cutting

_ALWAYS = ("crimp_pull", "bend_radius", "thin_wall", "fuse_colours")
_DEFAULTS = {"conductor": "iec-60228-5"}


def sources_table(design: Design, network: Network, cutting: Cutting) -> Table:
    """Return every table and every default the pack was made with, and what it is worth."""
    rows = [
        *_tables(design),
        *_allowances(cutting),
        *_taken(design, network),
        *_pin_sources(design),
    ]
    return Table(
        "sources",
        "Defaults and sources used",
        columns("*What", "Value", "Source", "Status"),
        tuple(rows),
    )


def _tables(design: Design) -> Iterator[tuple[str, str, str, str]]:
    named = {**_DEFAULTS, **design.system.tables}
    known = list_tables()
    for purpose, name in named.items():
        stem = name.replace("-", "_")
        if stem in known:
            found = table(stem)
            yield f"table: {purpose}", found.title, found.source, found.status
        else:
            yield f"table: {purpose}", name, "as the design names it", ""
    for stem in _ALWAYS:
        found = table(stem)
        yield f"table: {stem.replace('_', ' ')}", found.title, found.source, found.status


def _allowances(cutting: Cutting) -> Iterator[tuple[str, str, str, str]]:
    memory, practice = "from memory", "common practice, no source"
    yield "cut length", cutting.words, practice, ""
    yield "waste", f"{WASTE:.0%} of the wire", practice, ""
    yield "contact, continuity", f"{CONTACT_OHM * 1000:g} mohm each", memory, memory
    yield "meter, continuity", f"{METER_OHM:g} ohm with zeroed leads", memory, memory
    yield "isolation", f"over {APART_OHM / 1e6:g} Mohm by multimeter", practice, ""
    yield "rest current", "20 mA typical, 50 mA at most", "a maker's workshop manual", "confirmed"


def _taken(design: Design, network: Network) -> Iterator[tuple[str, str, str, str]]:
    """Values the computation of states had to take."""
    if not design.states or not network.sources:
        return
    from wiregen.compute.network import build

    objects: dict[str, list[str]] = {}
    for taken in build(design, network).assumed:
        objects.setdefault(taken.words, []).append(taken.object)
    for words, names in objects.items():
        yield "taken to compute states", words, ", ".join(dict.fromkeys(names)), "default"


def _pin_sources(design: Design) -> Iterator[tuple[str, str, str, str]]:
    """The documents that pins were read from, with how many pins each."""
    counts: dict[str, int] = {}
    for plug in design.plugs.values():
        for pin in plug.pins.values():
            for source in dict.fromkeys([pin.source, *(say.source for say in pin.says)]):
                if source:
                    counts[source] = counts.get(source, 0) + 1
    for source in sorted(counts):
        yield "pins", f"{counts[source]} pins", source, ""
