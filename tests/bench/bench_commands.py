"""Times and memory of whole commands.

Run: .venv/bin/python tests/bench/bench_commands.py [commands|growth|changes ...]

`growth` checks and draws vehicles of growing size, and lays out and draws their schematic sheets
alone; `changes` compares two large ones. Nothing is asserted: times depend on the machine. Beside
the time that passed stands how long processors worked, which depends less on what else runs; it
is also given as a ratio to starting Python with the YAML reader and reading the 60-wire design.
Memory is the most a process took.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.layout.vehicles import vehicle  # noqa: E402

WIREGEN = (sys.executable, "-m", "wiregen")
READ = "import yaml; yaml.load(open('loom-60.yaml'), yaml.CSafeLoader)"
SHEETS = """
import gc, sys, time
from wiregen.draw.svg import to_svg
from wiregen.layout.schematic.sheet_drawing import draw_pages
from wiregen.layout.schematic.sheets import schematic_pages
from wiregen.publish import Document

gc.disable()  # as the command does
document = Document(sys.argv[1])
findings = document.report.findings
began, worked = time.perf_counter(), time.process_time()
pages, maker = schematic_pages(document.design, document.network, findings)
for sheet in draw_pages(pages, maker, 1, len(pages), {}):
    to_svg(sheet)
print(time.perf_counter() - began, time.process_time() - worked)
"""
"""Prints the seconds that the schematic sheets of a design take, as SVG text."""
SIZES = (60, 400, 1000, 3000, 10_000)
EDITS = 50
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


@dataclass(frozen=True)
class Spent:
    """What a process took: seconds, those that processors worked, and the most memory, MB."""

    seconds: float
    worked_s: float
    memory_mb: float


def spent(command: Sequence[str], folder: Path, runs: int = 1, *, said: bool = False) -> Spent:
    """The best of some runs of a whole process, or of the seconds it said it took."""
    best = Spent(float("inf"), float("inf"), float("inf"))
    for _ in range(runs):
        began = time.perf_counter()
        with (folder / "output").open("wb") as output, (folder / "errors").open("wb") as errors:
            process = subprocess.Popen(command, cwd=folder, stdout=output, stderr=errors)
            _, status, usage = os.wait4(process.pid, 0)
            process.returncode = os.waitstatus_to_exitcode(status)
        took = time.perf_counter() - began
        if process.returncode not in (0, 1):
            raise SystemExit((folder / "errors").read_text("utf-8"))
        worked = usage.ru_utime + usage.ru_stime
        if said:
            took, worked = map(float, (folder / "output").read_text("utf-8").split())
        kilobytes = usage.ru_maxrss / (1024 if sys.platform == "darwin" else 1)
        memory_mb = min(best.memory_mb, kilobytes / 1024)
        best = Spent(min(best.seconds, took), min(best.worked_s, worked), memory_mb)
    return best


def line(title: str, found: Spent, reference: Spent, note: str = "") -> None:
    """Print what a command took."""
    ratio = found.worked_s / reference.worked_s
    print(
        f"{title:40} {found.seconds:7.2f} s  {found.worked_s:7.2f} s  {ratio:7.1f}  "
        f"{found.memory_mb:6.0f} MB  {note}",
        flush=True,
    )


def commands(folder: Path, reference: Spent) -> None:
    """Print one line for each command."""
    for wires in (400, 1000, 10_000):
        (folder / f"loom-{wires}.yaml").write_text(loom(wires), encoding="utf-8")
    (folder / "vehicle-400.yaml").write_text(vehicle(400), encoding="utf-8")
    (folder / "tractor.yaml").write_bytes((ROOT / "designs" / "tractor.yaml").read_bytes())
    for title, words, runs in (
        ("--version", ["--version"], 5),
        ("check, 60 wires", ["check", "loom-60.yaml"], 5),
        ("check, tractor", ["check", "tractor.yaml"], 5),
        ("check, 1,000 wires", ["check", "loom-1000.yaml"], 2),
        ("check, 10,000 wires", ["check", "loom-10000.yaml"], 1),
        ("draw, 60 wires", ["draw", "loom-60.yaml"], 3),
        ("draw, tractor", ["draw", "tractor.yaml"], 3),
        ("draw, 400 wires", ["draw", "loom-400.yaml"], 1),
        ("trace, tractor", ["trace", "tractor.yaml", "X1:3"], 3),
        ("tables, tractor", ["tables", "tractor.yaml"], 2),
        ("pack, tractor", ["pack", "tractor.yaml"], 2),
        ("pack, 400 wires", ["pack", "loom-400.yaml"], 1),
        ("pack, vehicle of 400 wires", ["pack", "vehicle-400.yaml"], 1),
    ):
        line(title, spent([*WIREGEN, *words], folder, runs), reference)


def growth(folder: Path, reference: Spent) -> None:
    """Print how checking and drawing a vehicle grow with its wires: 1 is linear, 2 quadratic."""
    commands: dict[str, Callable[[str], list[str]]] = {
        "check": lambda file: [*WIREGEN, "check", file],
        "sheets": lambda file: [sys.executable, "-c", SHEETS, file],
        "draw": lambda file: [*WIREGEN, "draw", file, "--fresh"],
    }
    for word, command in commands.items():
        found = {}
        for wires in SIZES:
            file = folder / f"vehicle-{wires}.yaml"
            file.write_text(vehicle(wires), encoding="utf-8")
            runs = 3 if wires < 1000 else 1
            found[wires] = spent(command(file.name), folder, runs, said=word == "sheets")
            line(f"{word}, vehicle of {wires:,} wires", found[wires], reference)
        for low, high in pairwise(SIZES):
            power = log(found[high].worked_s / found[low].worked_s) / log(high / low)
            print(f"{word}, from {low:,} to {high:,} wires: grows with the power {power:.2f}")


def changes(folder: Path, reference: Spent) -> None:
    """Print what comparing two vehicles takes that differ by some edited wires."""
    for wires in (1000, 10_000):
        text = vehicle(wires)
        (folder / "old.yaml").write_text(text, encoding="utf-8")
        (folder / "new.yaml").write_text(edited(text), encoding="utf-8")
        took = spent([*WIREGEN, "diff", "old.yaml", "new.yaml"], folder)
        line(f"diff, {wires:,} wires, {EDITS} edits", took, reference)


def edited(text: str) -> str:
    """A design with wires evenly spread over it of another size or colour, renamed, or gone."""
    lines = text.split("\n")
    wires = [at for at, line in enumerate(lines) if re.match(r"  W\d+: ", line)]
    for edit, at in enumerate(wires[:: len(wires) // EDITS][:EDITS]):
        wire = lines[at]
        lines[at] = (
            re.sub(r'"size": [\d.]+', '"size": 6', wire),
            re.sub(r'"colour": "[^"]+"', '"colour": "VT/TQ"', wire),
            re.sub(r"  W(\d+):", r"  WX\1:", wire),
            "",
        )[edit % 4]
    return "\n".join(lines)


def main() -> None:
    """Print the tables that are asked for."""
    tables = {"commands": commands, "growth": growth, "changes": changes}
    asked = sys.argv[1:] or list(tables)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "loom-60.yaml").write_text(loom(60), encoding="utf-8")
        reference = spent([sys.executable, "-c", READ], folder, 5)
        line("reference: Python reads 60 wires", reference, reference)
        for table in asked:
            tables[table](folder, reference)


if __name__ == "__main__":
    main()
