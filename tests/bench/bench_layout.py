"""Figures of the layout engine on seeded wiring graphs, beside a reference.

Run: python tests/bench/bench_layout.py [small|medium|large|sheets ...]

`sheets` draws the small and medium graphs from design files and measures the SVG. The reference
has no area: areas are printed for comparison between versions, those of the engine on the boxes
of the graphs in units of one twelfth of a pin pitch.
"""

from __future__ import annotations

import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.layout import svg_figures
from tests.layout.graph_designs import design_text
from tests.layout.placement_lint import faults, figures
from tests.layout.wiring_graphs import PITCH, REFERENCE, as_graph, wiring
from wiregen.layout.engine import Placement, lay_out
from wiregen.publish import Document

PITCH_MM = 5.0
FREE_MM = 400.0  # greatest height of a sheet that does not bind, as none binds the reference
A3_MM = 230.0
FURTHER = (101, 102, 103)  # seeds without a reference
ALL = (*REFERENCE, "sheets")


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
        f"sheet {placement.width:4.0f} x {placement.height:4.0f} mm  "
        f"area {_area_units(placement):8.0f}  {best:6.3f} s  "
        f"faults {len(found)} {found[:2] or ''}"
    )
    return [crossed, bends, length, *wanted], best


def _area_units(placement: Placement) -> float:
    return placement.width * placement.height * (PITCH / PITCH_MM) ** 2


def drawn_sheets(size: str) -> None:
    """Print the figures of the sheets a design file of each graph becomes."""
    sums = [0.0] * 4
    for seed in (*REFERENCE[size], *FURTHER):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder, "graph.yaml")
            path.write_text(design_text(wiring(size, seed)), encoding="utf-8")
            start = time.process_time()
            drawings = [d for d in Document(path).draw() if d.name.startswith("sheet-")]
            svgs = [drawing.svg for drawing in drawings]
            took = time.process_time() - start
        found = [svg_figures.read_svg(svg) for svg in svgs]
        flaws = [fault for sheet in found for fault in svg_figures.faults(sheet)]
        crossed, bends, _, area = (
            sum(c) for c in zip(*map(svg_figures.figures, found), strict=True)
        )
        beside = f"crossings {crossed:>4}       bends {bends:>4}     "
        if seed in REFERENCE[size]:
            wanted = REFERENCE[size][seed]
            sums = [sums[0] + crossed, sums[1] + bends, sums[2] + wanted[0], sums[3] + wanted[1]]
            beside = (
                f"crossings {crossed:>4} {crossed / wanted[0]:5.2f} "
                f"bends {bends:>4} {bends / wanted[1]:4.2f}"
            )
        paper = "+".join(f"{d.sheet.width:.0f}" for d in drawings)
        print(
            f"{size:>6} {seed:>3} drawn  {beside}  area {area / 1e4:5.1f} dm2 on {paper} mm  "
            f"{took:5.2f} s  faults {len(flaws)} {flaws[:2] or ''}"
        )
    print(
        f"{size:>6} sum drawn  crossings {sums[0] / sums[2]:.3f}  bends {sums[1] / sums[3]:.3f}\n"
    )


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
    asked = sys.argv[1:] or ALL
    for size in (name for name in asked if name in REFERENCE):
        sums = [0.0] * 6
        seconds = 0.0
        for seed in REFERENCE[size]:
            figure, took = measure(size, seed)
            seconds += took
            sums = [one + more for one, more in zip(sums, figure, strict=True)]
        _report(size, sums, f"mean {seconds / len(REFERENCE[size]):.3f} s")
        total = [one + more for one, more in zip(total, sums, strict=True)]
    if any(total):
        _report("all", total, "")
        fit("medium")
    if "sheets" in asked:
        drawn_sheets("small")
        drawn_sheets("medium")


def _report(name: str, sums: list[float], note: str) -> None:
    crossed, bends, length = (sums[i] / sums[i + 3] for i in range(3))
    print(
        f"{name:>6} sum crossings {sums[0]:.0f} {crossed:.3f}  bends {sums[1]:.0f} {bends:.3f}  "
        f"length {length:.3f}  {note}\n"
    )


if __name__ == "__main__":
    main()
