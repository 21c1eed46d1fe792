"""Schematic layout: boxes with fixed pins, wires as upright and level runs that never touch."""

from wiregen.layout.engine.graph import (
    Box,
    Graph,
    KeptBox,
    KeptLayout,
    KeptLink,
    Link,
    Pin,
    PlacedBox,
    PlacedPin,
    Placement,
    Room,
    Strip,
)
from wiregen.layout.engine.layout import lay_out, repeat

__all__ = [
    "Box",
    "Graph",
    "KeptBox",
    "KeptLayout",
    "KeptLink",
    "Link",
    "Pin",
    "PlacedBox",
    "PlacedPin",
    "Placement",
    "Room",
    "Strip",
    "lay_out",
    "repeat",
]
