"""Whole circuits against another program's operating points."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from wiregen.compute.states import Point
from wiregen.compute.study import Study
from wiregen.connect import connect
from wiregen.read import load

FOLDER = Path(__file__).parent / "circuits"
NAMES = sorted(p.stem for p in FOLDER.glob("*.yaml") if not p.stem.endswith(".expected"))


def study(name: str) -> Study:
    loaded = load(FOLDER / f"{name}.yaml")
    assert loaded.problems == ()
    return Study(loaded.design, connect(loaded.design))


def states() -> Iterator[tuple[str, str]]:
    for name in NAMES:
        for state in yaml.safe_load((FOLDER / f"{name}.expected.yaml").read_text())["states"]:
            yield name, state


def solved(name: str, state: str) -> Point:
    return study(name).points[state]


@pytest.mark.parametrize(("name", "state"), list(states()))
def test_operating_point(name: str, state: str) -> None:
    """Source: ngspice 39.3 operating point, as each file says."""
    expected = yaml.safe_load((FOLDER / f"{name}.expected.yaml").read_text())["states"][state]
    point = solved(name, state)
    assert point.found
    assert point.pulled == tuple(expected.get("pulled", ()))
    for end, volts in expected["volts"].items():
        assert point.volts(end) == pytest.approx(volts, abs=1e-3), end
    for branch, amps in expected["amps"].items():
        assert branch in point.circuit.place, branch
        assert point.amps(branch) == pytest.approx(amps, rel=1e-3, abs=2e-6), branch


def test_every_circuit_has_its_states_checked() -> None:
    checked = set(states())
    assert checked == {(n, s) for n in NAMES for s in study(n).design.states}
    assert len(NAMES) == 12


def test_a_line_that_cannot_deliver_the_power_is_said() -> None:
    """Source: the line can deliver V^2 / 4 R = 42 W, the converter wants 120 W."""
    point = solved("17-constant-power-brown-out", "on")
    assert point.starved == ("CONV",)
