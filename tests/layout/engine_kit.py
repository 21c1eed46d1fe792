"""Small graphs for the layout engine."""

from __future__ import annotations

from wiregen.layout.engine import Box, Link, Pin


def plug(name, west, east, **more):
    """A box with pins w1.. at its left edge and e1.. at its right edge, 5 mm apart."""
    pins = [Pin(f"w{i + 1}", "W", 0.0, 4 + 5.0 * i) for i in range(west)]
    pins += [Pin(f"e{i + 1}", "E", 20.0, 4 + 5.0 * i) for i in range(east)]
    return Box(name, 20.0, 8 + 5.0 * (max(west, east) - 1), tuple(pins), **more)


def link(name, one, other):
    return Link(name, tuple(one.split(":")), tuple(other.split(":")), 18.0)
