"""Figures of the layout engine on seeded wiring graphs, beside a reference.

Run: python tests/bench/bench_layout.py [small|medium|large ...]
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.layout.placement_lint import faults, figures
from tests.layout.wiring_graphs import as_graph, wiring
from wiregen.layout.engine import lay_out

# Reference: layered orthogonal layout with fixed ports of a general graph library, default
# settings. Per size and seed: crossings, bends, length in units of one twelfth of a pin pitch.
REFERENCE = {
    "small": {
        1: (22, 34, 4590),
        2: (21, 32, 4885),
        3: (14, 32, 4296),
        4: (12, 30, 3918),
        5: (14, 32, 4948),
        6: (18, 32, 4331),
        7: (18, 32, 4658),
        8: (11, 32, 4631),
    },
    "medium": {
        1: (203, 148, 42258),
        2: (211, 164, 47209),
        3: (186, 144, 42912),
        4: (246, 160, 58380),
        5: (192, 150, 34603),
        6: (196, 150, 31900),
        7: (315, 158, 54155),
        8: (130, 144, 37459),
        9: (216, 136, 36665),
        10: (238, 158, 41932),
        11: (165, 158, 50768),
        12: (148, 136, 38397),
    },
    "large": {1: (6474, 1118, 1132719), 2: (5600, 1122, 1077759)},
}
PITCH_MM = 5.0


def measure(size: str, seed: int) -> tuple[list[float], float]:
    """Print one graph's figures and return them with those of the reference, and the seconds."""
    graph = as_graph(wiring(size, seed), PITCH_MM, max_height=400.0)
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


def main() -> None:
    """Print the table and the sums."""
    total = [0.0] * 6
    for size in sys.argv[1:] or list(REFERENCE):
        sums = [0.0] * 6
        seconds = 0.0
        for seed in REFERENCE[size]:
            figure, took = measure(size, seed)
            seconds += took
            sums = [one + more for one, more in zip(sums, figure, strict=True)]
        _report(size, sums, seconds / len(REFERENCE[size]))
        total = [one + more for one, more in zip(total, sums, strict=True)]
    _report("all", total, 0.0)


def _report(name: str, sums: list[float], seconds: float) -> None:
    crossed, bends, length = (sums[i] / sums[i + 3] for i in range(3))
    print(
        f"{name:>6} sum crossings {sums[0]:.0f} {crossed:.3f}  bends {sums[1]:.0f} {bends:.3f}  "
        f"length {length:.3f}  mean {seconds:.3f} s\n"
    )


if __name__ == "__main__":
    main()
