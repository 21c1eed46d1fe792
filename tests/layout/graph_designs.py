"""Seeded wiring graphs as design files.

A design says which pins there are and in which order a face has them, and leaves to the drawing
at which edge of a box the wires of a plug leave. A plug of a graph with pins on both sides is
therefore written as two mated halves: the wires of each half leave at one edge, and which half
stands left is chosen when it is drawn. A plug with pins on one side is one half. Sides of splices
and the way a fuse or lamp is turned are not said either. Cavities without a wire are not drawn.
"""

from __future__ import annotations

import json


def design_text(graph, title="Wiring graph"):
    """Return the text of the design file that says the same as a graph of `wiring`."""
    lines = ["format: 1", f"drawing: {{title: {json.dumps(title)}}}", "system: {volts: 12}"]
    lines += ["looms: {main: {title: Main loom, status: existing}}", "plugs:"]
    for name, node in graph["nodes"].items():
        if node["kind"] == "plug":
            lines += _halves(name, node)
    for section, kind, record in (
        ("fuses", "fuse", "{rating: 10, style: blade}"),
        ("splices", "splice", "{loom: main}"),
        ("earths", "earth", "{kind: chassis}"),
        ("devices", "lamp", "{kind: lamp, watts: 5, volts: 12, terminals: [1, 2]}"),
    ):
        lines.append(f"{section}:")
        lines += [f"  {n}: {record}" for n, node in graph["nodes"].items() if node["kind"] == kind]
    lines.append("wires:")
    for wire in graph["wires"]:
        name, colour, size = wire["label"].split()
        start, end = (design_end(graph, *wire[key]) for key in ("a", "b"))
        record = f'from: "{start}", to: "{end}", colour: {colour}, size: {size}, loom: main'
        lines.append(f"  {name}: {{{record}}}")
    return "\n".join(lines) + "\n"


def _sides(node):
    """Return the sides of a node that have pins, each with its pins from the top."""
    found = {}
    for pin, (side, _, _) in node["pins"].items():
        found.setdefault(side, []).append(pin)
    return found


def _halves(name, node):
    """Return the plug records of a node: one half, or two that are pushed together."""
    sides = _sides(node)
    count = max(len(pins) for pins in sides.values())
    face = f"face: [[{', '.join(str(n) for n in range(1, count + 1))}]]"
    if len(sides) == 1:
        return [f"  {name}: {{title: Plug, loom: main, contacts: sockets, {face}}}"]
    return [
        f"  {name}W: {{title: Plug, loom: main, mates: {name}E, contacts: pins, {face}}}",
        f"  {name}E: {{title: Socket, loom: main, mates: {name}W, contacts: sockets}}",
    ]


def design_end(graph, name, pin):
    """Return a pin of a graph as a design file names it."""
    node = graph["nodes"][name]
    side = node["pins"][pin][0]
    kind = node["kind"]
    if kind == "plug":
        sides = _sides(node)
        half = name + side if len(sides) == 2 else name
        return f"{half}:{sides[side].index(pin) + 1}"
    if kind == "fuse":
        return f"{name}:{'in' if side == 'W' else 'out'}"
    return f"{name}:{pin}" if kind == "lamp" else name
