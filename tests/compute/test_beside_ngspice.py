"""More circuits, each written a second time as a netlist by hand and solved by ngspice.

Skipped where ngspice is not installed. The netlists know nothing of the solver under test.
"""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
import yaml

from tests.compute.designs import study
from wiregen.compute.states import Point

FOLDER = Path(__file__).parent / "beside_ngspice"
OPTIONS = ".options rshunt=1e9 gmin=1e-12 reltol=1e-7 abstol=1e-11 vntol=1e-9 itl1=2000"
pytestmark = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")


@dataclass(frozen=True)
class Circuit:
    name: str
    state: str
    facts: dict

    def __str__(self) -> str:
        return f"{self.name}: {self.state}"


def circuits() -> list[Circuit]:
    found = []
    for path in sorted(FOLDER.glob("*.yaml")):
        facts = yaml.safe_load(path.read_text("utf-8"))
        found += [Circuit(path.stem, state, facts) for state in facts["states"]]
    return found


@cache
def points(name: str) -> dict[str, Point]:
    facts = yaml.safe_load((FOLDER / f"{name}.yaml").read_text("utf-8"))
    return dict(study(facts["design"]).points)


def spice(one: Circuit, folder: Path) -> dict[str, float]:
    """Solve the netlist of a state: name -> volts of an end, or amps of a branch."""
    wanted = {f"v({node})": end for end, node in one.facts["ends"].items()}
    wanted |= {words: branch for branch, words in one.facts["amps"].items()}
    prints = [f"let out{k} = {words}\nprint out{k}" for k, words in enumerate(wanted)]
    netlist = [f"* {one}", one.facts["common"], one.facts["states"][one.state], OPTIONS]
    control = [".control", "op", "set numdgt=9", *prints, ".endc", ".end", ""]
    (folder / "state.cir").write_text("\n".join([*netlist, *control]), "utf-8")
    done = subprocess.run(
        ["ngspice", "-b", "state.cir"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    lines = [line.split("=") for line in done.stdout.splitlines() if line.startswith("out")]
    numbers = {name.strip(): float(value) for name, value in lines}
    assert len(numbers) == len(wanted), done.stdout + done.stderr
    return {name: numbers[f"out{k}"] for k, name in enumerate(wanted.values())}


@pytest.mark.parametrize("one", circuits(), ids=str)
def test_both_agree(one: Circuit, tmp_path: Path) -> None:
    point = points(one.name)[one.state]
    answer = spice(one, tmp_path)
    assert point.found
    if "pulled" in one.facts:
        assert list(point.pulled) == one.facts["pulled"][one.state]
    if "starved" in one.facts:
        assert list(point.starved) == one.facts["starved"][one.state]
    for end in one.facts["ends"]:
        volts = point.volts(end)
        if volts is None:
            assert point.floats(end)
        else:
            assert volts == pytest.approx(answer[end], abs=1e-3), end
    for branch in one.facts["amps"]:
        assert point.amps(branch) == pytest.approx(answer[branch], rel=1e-3, abs=1e-5), branch


def test_every_state_is_compared() -> None:
    for path in FOLDER.glob("*.yaml"):
        facts = yaml.safe_load(path.read_text("utf-8"))
        assert set(points(path.stem)) == set(facts["states"])
