"""How the pages of a pack are read, and the colours it uses, for the front of it."""

from __future__ import annotations

from collections.abc import Collection

from wiregen.layout.tables import Table, columns
from wiregen.model import Design

_READING: tuple[tuple[str, str], ...] = (
    (
        "X1:3",
        "Cavity 3 of plug X1, named as moulded. The other ends of wires are written alike: S1:15 "
        "is terminal 15 of S1, F1:in and F1:out are the two sides of fuse F1.",
    ),
    (
        "Two views of a plug",
        "Wire side and mating side are mirror images of each other. Each face says in words which "
        "it is; look for the key or the latch, and count from there. Colour is a clue only.",
    ),
    (
        "BU/WH",
        "Letters of IEC 60757, base colour first, tracer behind: blue with a white tracer.",
    ),
    (
        "Lines",
        "Strong: wires of a new loom. Thin: wires that were there before. Dot: a splice. Each "
        "wire has its number, its size in mm² and its colour beside it.",
    ),
    (
        "Sheet and number",
        "Where a wire leaves a sheet, the page it goes on to stands beside it. On a screen that "
        "number, a wire in a table and a wire's number on a drawing lead there when pressed.",
    ),
    (
        "Drawn state",
        "Switches and relays are drawn in the state the title block names.",
    ),
    (
        "Measured",
        "A pin counts as measured with its date; any other is known from the source beside it.",
    ),
)
_LOOK: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("customer", "A lamp, a motor or a gauge is dead", ("When something does not work",)),
    ("customer", "A fuse has blown: what hangs on it, which size", ("Fuse chart",)),
    ("customer", "Several things fail together", ("Earth points", "Splices")),
    ("", "Where a plug is and what it pushes into", ("Plugs", "Connector faces")),
    ("customer", "What a warning lamp needs to light", ("Lamps and gauges of the units",)),
    ("customer", "An end of an old wire that leads nowhere", ("What became of the old wires",)),
    ("customer", "What was measured, by whom and when", ("As-built record",)),
    ("customer", "How sure a pin is", ("Where each pin is known from",)),
    ("bench", "What to buy and to cut", ("Parts list", "Wire to buy", "Cut list")),
    ("bench", "What to measure, and the first power-up", ("Test sheet",)),
)
"""Who needs it, what for, and the tables to look at: all of them are in such a pack."""


def guide_table() -> Table:
    """Return how marks and names are read."""
    return Table("guide", "How to read these pages", columns("*What", "How it is meant"), _READING)


def look_table(reader: str, missing: Collection[str] = ()) -> Table:
    """Return where to look for what.

    Args:
        reader: `bench`, `customer`, or empty for a pack that has everything.
        missing: titles of tables that have no rows and are left out.
    """
    other = {"bench": "customer", "customer": "bench"}.get(reader, "none")
    there = (
        (ask, [title for title in titles if title not in missing])
        for only, ask, titles in _LOOK
        if only != other
    )
    rows = tuple((ask, ", ".join(titles)) for ask, titles in there if titles)
    return Table("look", "Where to look", columns("*You want to know", "Look at"), rows)


def colour_table(design: Design) -> Table:
    """Return the letters of the colours the wires have, base and tracers, in words."""
    colours = [wire.colour for wire in design.wires.values() if wire.colour is not None]
    names = {tint.iec: tint.name for c in colours for tint in (c.base, *c.tracers)}
    rows = tuple((iec, names[iec]) for iec in sorted(names))
    return Table("colours", "Letters of the colours", columns("~Letters", "In words"), rows)
