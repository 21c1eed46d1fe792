"""Times of one operating state for looms of growing size, beside ngspice; nothing is asserted.

Where ngspice is installed it solves the same network in the same run, and both answers are
compared. Its time is that of the whole process with reading the netlist; ours is that of the
solution, and of reading, joining and solving in brackets.

Run: .venv/bin/python tests/bench/bench_network.py
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.spice import netlist, run
from wiregen.compute.network import build
from wiregen.compute.states import modes_of, settle
from wiregen.connect import connect
from wiregen.read import load

SIZES = (100, 1000, 10000)
REPEAT = 3


def loom(elements: int) -> str:
    """A design of about so many branches: feeds with fuses, switches, lamps, LEDs, converters."""
    branches = max(1, elements // 9)
    lines = ["format: 1", "system: {volts: 12}", "earths: {EP1: {kind: chassis}}", "fuses:"]
    lines += [f"  F{n}: {{rating: 10, style: blade}}" for n in range(branches)]
    lines += [
        "devices:",
        "  G1: {kind: battery, volts: 12.6, resistance: 10 mohm, terminals: [plus], case: EP1}",
    ]
    for n in range(branches):
        closed = "[[1, 2]]" if n % 7 else "[]"
        lines.append(f"  S{n}: {{kind: switch, terminals: [1, 2], positions: {{a: {closed}}}}}")
        lines.append(f"  P{n}: {_load(n)}")
        lines.append(f"  R{n}: {{kind: resistor, ohms: 40, terminals: [1, 2]}}")
    lines.append("splices:")
    lines += [f"  J{n}: {{}}" for n in range(branches)]
    lines += ["wires:"]
    for n in range(branches):
        before = f"J{n // 3}" if n else "G1:plus"
        source = before if n == 0 or n // 3 < n else "G1:plus"
        lines += [
            f"  A{n}: {{from: '{source}', to: 'F{n}:in', size: 2.5, length: 400}}",
            f"  B{n}: {{from: 'F{n}:out', to: J{n}, size: 1.5, length: 700}}",
            f"  C{n}: {{from: J{n}, to: 'S{n}:1', size: 1.0, length: 300}}",
            f"  D{n}: {{from: 'S{n}:2', to: 'P{n}:1', size: 1.0, length: 900}}",
            f"  E{n}: {{from: 'P{n}:2', to: EP1, size: 1.0, length: 500}}",
            f"  W{n}: {{from: J{n}, to: 'R{n}:1', size: 0.75, length: 500}}",
            f"  V{n}: {{from: 'R{n}:2', to: EP1, size: 0.75, length: 500}}",
        ]
    return "\n".join([*lines, "states: {run: {G1: sound}}", ""])


def _load(number: int) -> str:
    kinds = (
        "{kind: lamp, watts: 0.05, volts: 12, terminals: [1, 2]}",
        "{kind: led, amps: 5 mA, volts: 12, min_volts: 8, terminals: [1, 2]}",
        "{kind: converter, watts: 0.05, volts: 12, min_volts: 7, terminals: [1, 2]}",
        "{kind: heater, ohms: 800, terminals: [1, 2]}",
    )
    return kinds[number % len(kinds)]


def main() -> None:
    """Print milliseconds per state, what grows how, and how ngspice does."""
    spiced = shutil.which("ngspice") is not None
    beside = (
        "  ngspice ms  ours/ngspice (whole)  worst V" if spiced else "  (ngspice not installed)"
    )
    print(f"branches  read+build s  state ms  steps  ms per 1000 branches{beside}")
    for wanted in SIZES:
        with tempfile.TemporaryDirectory() as folder:
            print(_line(wanted, Path(folder), spiced))


def _line(wanted: int, folder: Path, spiced: bool) -> str:
    path = folder / "loom.yaml"
    path.write_text(loom(wanted), encoding="utf-8")
    start = time.perf_counter()
    design = load(path).design
    circuit = build(design, connect(design))
    built = time.perf_counter() - start
    modes, lost = modes_of(circuit, design.states["run"])
    point = settle(circuit, "run", modes, lost)
    times = []
    for _ in range(REPEAT):
        start = time.perf_counter()
        point = settle(circuit, "run", modes, lost)
        times.append(1000 * (time.perf_counter() - start))
    count, best = len(circuit.elements), min(times)
    steps = point.answer.steps if point.answer else 0
    line = f"{count:8d} {built:13.2f} {best:9.1f} {steps:6d} {1000 * best / count:21.2f}"
    if not spiced or point.answer is None:
        return f"{line}  {point.outcome}"
    other = run(netlist(point), folder)
    whole = best / 1000 + built
    worst = max(
        (abs(volts - point.answer.volts[number]) for number, volts in other.volts.items()
         if not point.answer.floating[number]),
        default=float("nan"),
    )  # fmt: skip
    ratio = f"{best / 1000 / other.whole_s:.3f} ({whole / other.whole_s:.2f})"
    return f"{line} {1000 * other.whole_s:11.0f} {ratio:>21s} {worst:8.1e}"


if __name__ == "__main__":
    main()
