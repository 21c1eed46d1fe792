"""Times of whole commands: `.venv/bin/python tests/bench/bench_commands.py`.

Nothing is asserted: times depend on the machine. Each is also given as a ratio to starting Python
with the YAML reader and reading the 60-wire design, measured beside it.
"""

import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COLOURS = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ")
PINS = 20


def colour(pin: int) -> str:
    """A colour that no other pin of the plug has."""
    base = COLOURS[pin % 12]
    return base if pin < 12 else f"{base}/{COLOURS[(pin + 1) % 12]}"


def loom(wires: int) -> str:
    """A sound design of mated plug pairs, each wire from plug to plug."""
    pairs = -(-wires // PINS)
    title = "{title: Long loom, number: '1', revision: A, date: 2026-01-31, by: Workshop}"
    lines = [
        "format: 1",
        f"drawing: {title}",
        "looms: {new: {title: New loom, status: new}}",
        "plugs:",
    ]
    face = "[" + ", ".join(str(pin) for pin in range(1, PINS + 1)) + "]"
    for pair in range(1, pairs + 1):
        for plug, sort in ((f"A{pair}", "pins"), (f"B{pair}", "sockets")):
            lines.append(f"  {plug}:")
            lines.append(f"    {{title: Plug {plug}, loom: new, contacts: {sort}, face: [{face}],")
            cells = (
                f"{pin}: {{carries: line {pair}-{pin}, colour: {colour(pin)}, size: 1.0}}"
                for pin in range(1, PINS + 1)
            )
            lines.append(f"     pins: {{{', '.join(cells)}}}}}")
    lines.append("wires:")
    for index in range(wires):
        pair, pin = index // PINS + 1, index % PINS + 1
        lines.append(
            f"  W{index + 1}: {{from: A{pair}:{pin}, to: B{pair}:{pin}, "
            f"colour: {colour(pin)}, size: 1.0, length: 900, loom: new}}"
        )
    return "\n".join(lines) + "\n"


def seconds(command: Sequence[str], folder: Path, runs: int) -> float:
    """The best of some runs of a whole process."""
    best = float("inf")
    for _ in range(runs):
        began = time.perf_counter()
        done = subprocess.run(command, cwd=folder, capture_output=True, check=False)
        best = min(best, time.perf_counter() - began)
        if done.returncode not in (0, 1):
            raise SystemExit(done.stderr.decode())
    return best


def main() -> None:
    """Print one line for each command."""
    wiregen = [sys.executable, "-m", "wiregen"]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for wires in (60, 400, 1000, 10_000):
            (folder / f"loom-{wires}.yaml").write_text(loom(wires), encoding="utf-8")
        (folder / "tractor.yaml").write_bytes((ROOT / "designs" / "tractor.yaml").read_bytes())
        read = "import yaml; yaml.load(open('loom-60.yaml'), yaml.CSafeLoader)"
        reference = seconds([sys.executable, "-c", read], folder, 5)
        print(f"{'reference: Python reads 60 wires':40} {reference:7.2f} s     1.0")
        cases = (
            ("--version", [*wiregen, "--version"], 5),
            ("check, 60 wires", [*wiregen, "check", "loom-60.yaml"], 5),
            ("check, tractor", [*wiregen, "check", "tractor.yaml"], 5),
            ("check, 1,000 wires", [*wiregen, "check", "loom-1000.yaml"], 2),
            ("check, 10,000 wires", [*wiregen, "check", "loom-10000.yaml"], 1),
            ("draw, 60 wires", [*wiregen, "draw", "loom-60.yaml"], 3),
            ("draw, tractor", [*wiregen, "draw", "tractor.yaml"], 3),
            ("draw, 400 wires", [*wiregen, "draw", "loom-400.yaml"], 1),
            ("trace, tractor", [*wiregen, "trace", "tractor.yaml", "X1:3"], 3),
            ("tables, tractor", [*wiregen, "tables", "tractor.yaml"], 2),
            ("pack, tractor", [*wiregen, "pack", "tractor.yaml"], 2),
            ("pack, 400 wires", [*wiregen, "pack", "loom-400.yaml"], 1),
        )
        for title, command, runs in cases:
            took = seconds(command, folder, runs)
            print(f"{title:40} {took:7.2f} s  {took / reference:6.1f}", flush=True)


if __name__ == "__main__":
    main()
