"""Figures of the layout engine on seeded wiring graphs, beside a reference.

Run: python tests/bench/bench_layout.py [small|medium|large ...]
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.layout.placement_lint import faults, figures
from tests.layout.wiring_graphs import REFERENCE, as_graph, wiring
from wiregen.layout.engine import Placement, lay_out

PITCH_MM = 5.0
FREE_MM = 400.0  # greatest height of a sheet that does not bind, as none binds the reference
A3_MM = 230.0


def measure(size: str, seed: int) -> tuple[list[float], float]:
    """Print one graph's figures and return them with those of the reference, and the seconds."""
    graph = as_graph(wiring(size, seed), PITCH_MM, max_height=FREE_MM)
    best = float("inf")
    for _ in range(3 if size != "large" else 1):
        start = time.process_time()
        placement = lay_out(graph)
        best = min(best, time.process_time() - start)
    crossed, bends, length = figures(placement)
    length *= 12 / PITCH_MM
    wanted = REFERENCE[size][seed]
    found = faults(graph, placement)
    print(
        f"{size:>6} {seed:>2}  crossings {crossed:>5} {crossed / wanted[0]:5.2f}  "
        f"bends {bends:>5} {bends / wanted[1]:5.2f}  length {length / wanted[2]:5.2f}  "
        f"sheet {placement.width:4.0f} x {placement.height:4.0f} mm  {best:6.3f} s  "
        f"faults {len(found)} {found[:2] or ''}"
    )
    return [crossed, bends, length, *wanted], best


def fit(size: str) -> None:
    """Print how a graph fills an A3 sheet, and what is changed by one wire removed or added."""
    for seed in REFERENCE[size]:
        graph = as_graph(wiring(size, seed), PITCH_MM, max_height=A3_MM)
        first = lay_out(graph)
        fewer = replace(graph, links=graph.links[:-1])
        less = lay_out(fewer, first.kept)
        more = lay_out(graph, lay_out(fewer).kept)
        crossed, bends, _ = figures(first)
        print(
            f"{size:>6} {seed:>2} on A3  crossings {crossed:>4}  bends {bends:>4}  "
            f"{first.width:4.0f} x {first.height:4.0f} mm  "
            f"boxes moved by one wire less {_moved(first, less)}, "
            f"one more {_moved(lay_out(fewer), more)} of {len(graph.boxes)}"
        )


def _moved(before: Placement, after: Placement) -> int:
    return sum(
        abs(after.boxes[name].x - box.x) > 0.01 or abs(after.boxes[name].y - box.y) > 0.01
        for name, box in before.boxes.items()
    )


def main() -> None:
    """Print the tables and the sums."""
    total = [0.0] * 6
    for size in sys.argv[1:] or list(REFERENCE):
        sums = [0.0] * 6
        seconds = 0.0
        for seed in REFERENCE[size]:
            figure, took = measure(size, seed)
            seconds += took
            sums = [one + more for one, more in zip(sums, figure, strict=True)]
        _report(size, sums, f"mean {seconds / len(REFERENCE[size]):.3f} s")
        total = [one + more for one, more in zip(total, sums, strict=True)]
    _report("all", total, "")
    fit("medium")


def _report(name: str, sums: list[float], note: str) -> None:
    crossed, bends, length = (sums[i] / sums[i + 3] for i in range(3))
    print(
        f"{name:>6} sum crossings {sums[0]:.0f} {crossed:.3f}  bends {sums[1]:.0f} {bends:.3f}  "
        f"length {length:.3f}  {note}\n"
    )


if __name__ == "__main__":
    main()
