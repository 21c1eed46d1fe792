"""The network of a solved state as a netlist for ngspice, and its answer."""

from __future__ import annotations

import re
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

from wiregen.compute.elements import Element
from wiregen.compute.states import Point

OPTIONS = ".options rshunt=1e9 gmin=1e-12 reltol=1e-6 abstol=1e-10 vntol=1e-7 itl1=2000"


@dataclass(frozen=True)
class Spiced:
    """What ngspice did with a netlist.

    Attributes:
        whole_s: of the process, with reading the netlist.
        volts: number of each node -> volts; empty when there is no operating point.
    """

    whole_s: float
    volts: dict[int, float]


def netlist(point: Point) -> str:
    """Return the branches that are there, with the laws of `wiregen.compute.laws`."""
    index = point.circuit.index
    zero = index[point.circuit.zero]

    def name(node: str) -> str:
        number = index[node]
        return "0" if number == zero else f"n{number}"

    lines = ["* one operating state"]
    models: dict[str, None] = {}
    for number, element in enumerate(point.elements):
        a, b = name(element.a), name(element.b)
        if a != b:
            lines += _branch(number, element, a, b, models)
    control = [".control", "op", "set filetype=ascii", "write answer.raw", ".endc", ".end", ""]
    return "\n".join([*lines, *models, OPTIONS, *control])


def _branch(k: int, e: Element, a: str, b: str, models: dict[str, None]) -> list[str]:
    v = f"v({a},{b})" if b != "0" else f"v({a})"
    match e.law:
        case "resistance":
            return [f"r{k} {a} {b} {e.ohm:.9g}"]
        case "lamp":
            hot = f"{e.ohm:.9g}*pow(abs({v})/{e.volts_v:.9g}+1e-12,{e.exponent:.9g})"
            return [f"b{k} {a} {b} i={v}/max({e.ohm / e.cold:.9g},{hot})"]
        case "constant current":
            part = f"min(1,max(0,{v}/{e.min_volts_v:.9g}))"
            return [f"b{k} {a} {b} i={e.amps_a:.9g}*{part}+1e-9*{v}"]
        case "constant power":
            low = f"{v}*{e.watts_w / e.min_volts_v**2:.9g}"
            high = f"{e.watts_w:.9g}/max({v},{e.min_volts_v:.9g})"
            return [f"b{k} {a} {b} i={v}>{e.min_volts_v:.9g} ? {high} : {low}"]
        case "diode":
            model = f"d{k}"
            models[f".model {model} d(is={e.saturation_a:.9g} n={e.ideality:.9g})"] = None
            return [f"d{k} {a} {b} {model}"]
        case "source":
            return [f"v{k} s{k} {b} {e.volts_v:.9g}", f"r{k} s{k} {a} {e.ohm:.9g}"]
        case "regulated source":
            free = f"({e.volts_v:.9g}-{v})/{e.ohm:.9g}"
            return [f"b{k} {b} {a} i=min({e.amps_a:.9g},max(0,{free}))"]


def run(text: str, folder: Path) -> Spiced:
    """Let ngspice solve a netlist in a folder."""
    (folder / "state.cir").write_text(text, encoding="utf-8")
    start = time.perf_counter()
    subprocess.run(
        ["ngspice", "-b", "state.cir"], cwd=folder, capture_output=True, check=False, timeout=600
    )
    whole = time.perf_counter() - start
    answer = folder / "answer.raw"
    return Spiced(whole, _volts(answer.read_text("ascii")) if answer.exists() else {})


def _volts(raw: str) -> dict[int, float]:
    """Return number of node -> volts from an answer in ASCII."""
    heads, _, values = raw.partition("Values:")
    names = re.findall(r"^\t\d+\t(\S+)\t", heads, re.MULTILINE)
    numbers = [float(word) for word in values.split()[1:]]
    return {
        int(found[1]): volts
        for name, volts in zip(names, numbers, strict=False)
        if (found := re.fullmatch(r"v\(n(\d+)\)|n(\d+)", name)) and found[1]
    }
