"""Laws that hold in any network, and the two ways of solving against each other."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wiregen.compute import solve
from wiregen.compute.elements import Element
from wiregen.compute.solve import operate, system

KINDS = ("resistance", "lamp", "constant current", "constant power", "diode")


def element(number: int, kind: str, a: int, b: int, value: float) -> Element:
    name = f"P{number}"
    if kind == "resistance":
        return Element(name, "wire", kind, str(a), str(b), ohm=value)
    return Element(
        name,
        "load",
        kind,
        str(a),
        str(b),
        ohm=10 * value,
        volts_v=12,
        amps_a=value,
        watts_w=12 * value,
        min_volts_v=8,
        exponent=0.45,
        cold=12,
        saturation_a=1e-9,
        ideality=1.8,
    )


@st.composite
def networks(draw: st.DrawFn) -> list[Element]:
    """A battery and a tree of wires with loads hung to earth or between nodes."""
    nodes = draw(st.integers(2, 25))
    found = [Element("G1", "source", "source", "1", "0", ohm=0.01, volts_v=12.6)]
    if draw(st.booleans()):
        found.append(
            Element("G2", "source", "regulated source", "1", "0", ohm=0.02, volts_v=14.2, amps_a=65)
        )
    for node in range(2, nodes):
        back = draw(st.integers(1, node - 1))
        found.append(element(node, "resistance", back, node, draw(st.floats(1e-3, 0.2))))
    for number in range(draw(st.integers(1, 20))):
        a, b = draw(st.integers(1, nodes - 1)), draw(st.integers(0, nodes - 1))
        kind = draw(st.sampled_from(KINDS))
        value = draw(st.floats(0.05, 3))
        if a != b:
            found.append(element(100 + number, kind, a, b, value))
    return found


def numbered(found: list[Element]) -> dict[str, int]:
    names = sorted({n for e in found for n in (e.a, e.b)} - {"0"}, key=int)
    return {name: place for place, name in enumerate([*names, "0"])}


@settings(max_examples=120, deadline=None)
@given(networks())
def test_currents_meet_and_energy_balances(found: list[Element]) -> None:
    index = numbered(found)
    net = system(found, index, len(index))
    answer = operate(net, np.ones(len(found), dtype=bool))
    assert answer.found
    left = np.zeros(len(index))
    for branch, amps in zip(found, answer.amps, strict=True):
        left[index[branch.a]] -= amps
        left[index[branch.b]] += amps
    assert np.abs(left[:-1]).max() < 1e-6
    across = [answer.volts[index[e.a]] - answer.volts[index[e.b]] for e in found]
    power = [v * i for v, i in zip(across, answer.amps, strict=True)]
    given_w = -sum(w for e, w in zip(found, power, strict=True) if e.part == "source")
    taken_w = sum(w for e, w in zip(found, power, strict=True) if e.part != "source")
    assert given_w == pytest.approx(taken_w, abs=1e-4)
    assert all(w >= -1e-6 for e, w in zip(found, power, strict=True) if e.part != "source")


@settings(max_examples=40, deadline=None)
@given(networks())
def test_small_and_large_way_of_solving_agree(found: list[Element]) -> None:
    index = numbered(found)
    net = system(found, index, len(index))
    present = np.ones(len(found), dtype=bool)
    small = operate(net, present)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(solve, "_SMALL_NODES", 0)
        large = operate(net, present)
    assert large.found
    assert np.allclose(small.volts, large.volts, atol=1e-6)
    assert np.allclose(small.amps, large.amps, atol=1e-5)


def test_a_part_without_earth_floats() -> None:
    found = [
        Element("G1", "source", "source", "1", "0", ohm=0.01, volts_v=12.6),
        element(2, "resistance", 1, 2, 0.1),
        element(3, "lamp", 3, 4, 1.0),
    ]
    index = numbered(found)
    answer = operate(system(found, index, len(index)), np.ones(3, dtype=bool))
    floating = {name for name, place in index.items() if answer.floating[place]}
    assert floating == {"3", "4"}
    assert answer.amps[2] == 0


def test_a_floating_source_still_drives_its_own_ring() -> None:
    found = [
        Element("G1", "source", "source", "1", "0", ohm=0.01, volts_v=12.6),
        Element("G2", "source", "source", "2", "3", ohm=1.0, volts_v=6.0),
        element(4, "resistance", 2, 3, 1.0),
    ]
    index = numbered(found)
    answer = operate(system(found, index, len(index)), np.ones(3, dtype=bool))
    assert answer.amps[2] == pytest.approx(3.0, rel=1e-6)
    assert answer.floating[index["2"]]


def test_a_long_chain_of_diodes_and_converters_is_solved() -> None:
    """Plain Newton steps fail on it; the order secant, then tangent is what makes it work."""
    found = [Element("G1", "source", "source", "1", "0", ohm=0.01, volts_v=12.6)]
    for node in range(2, 200):
        found.append(element(node, "resistance", node - 1, node, 0.002))
        kind = KINDS[node % len(KINDS)]
        found.append(element(1000 + node, kind, node, 0, 0.05 if kind != "diode" else 1.0))
    found = [e for e in found if e.law != "diode"]
    index = numbered(found)
    answer = operate(system(found, index, len(index)), np.ones(len(found), dtype=bool))
    assert answer.found
    assert answer.residual_a < 1e-6
