"""The heat model against published currents; it explains and compares, it rates nothing."""

from __future__ import annotations

import pytest

from wiregen.compute.coordination import find_gap
from wiregen.compute.heat import adiabatic_a2s, heated, seconds_to, temperature_c, warm_share
from wiregen.facts.conductors import resistance
from wiregen.facts.fuse_curves import ratings
from wiregen.facts.sizes import read_size


def wire(size: object, ambient_c: float, loaded: int = 1, table: str = "iso-6722"):
    read = read_size(size)
    return heated(read, resistance(read, table).mohm_per_m, ambient_c, loaded)


def current_a(wire, copper_c: float) -> float:
    """The current that brings a wire to a temperature in the long run, by halving."""
    low, high = 0.0, 2000.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if temperature_c(wire, middle) > copper_c else (middle, high)
    return low


# source: 33 CFR 183.425 Table 5, 105 degC column, 30 degC
@pytest.mark.parametrize(
    ("size", "published_a"),
    [(18, 20), (16, 25), (14, 35), (12, 45), (10, 60), (8, 80), (6, 120), (4, 160), (2, 210)],
)
def test_within_15_percent_of_the_published_currents(size, published_a) -> None:
    assert current_a(wire(f"{size} AWG", 30), 105) == pytest.approx(published_a, rel=0.15)


# source: DIN VDE 0298-4 Table 11 column 2 (reinhardt-induserve.com), PVC 70 degC, 30 degC
@pytest.mark.parametrize(
    ("size", "published_a"), [(1, 19), (1.5, 24), (2.5, 32), (6, 54), (25, 129)]
)
def test_within_20_percent_of_the_building_table(size, published_a) -> None:
    found = current_a(wire(size, 30, table="iec-60228-5"), 70)
    assert found == pytest.approx(published_a, rel=0.20)


# source: curve of MIL-W-5088L, all wires loaded, points read from a transcription
@pytest.mark.parametrize(
    ("loaded", "factor"), [(2, 0.825), (3, 0.725), (4, 0.66), (6, 0.5725), (10, 0.465), (20, 0.33)]
)
def test_bundles_within_a_twentieth_of_the_curve(loaded, factor) -> None:
    alone = current_a(wire(1, 40), 105)
    assert current_a(wire(1, 40, loaded), 105) / alone == pytest.approx(factor, abs=0.06)


# source: IEC 60949 form; usual table values 115 (70 to 160 degC) and 143 (90 to 250 degC) A s^0.5
@pytest.mark.parametrize(("start", "end", "k"), [(70, 160, 115.0), (90, 250, 143.1)])
def test_adiabatic_constant(start, end, k) -> None:
    assert adiabatic_a2s(1, start, end) ** 0.5 == pytest.approx(k, abs=0.2)


def test_heat_that_stays_in_the_wire() -> None:
    """A short cannot heat faster than without loss; source: 1 mm2, 40 to 160 degC, 18.5 kA2s."""
    assert adiabatic_a2s(1, 40, 160) == pytest.approx(18500, rel=0.01)
    time_s = seconds_to(wire(1, 40), 64.5, 160)
    assert time_s is not None
    assert time_s > adiabatic_a2s(1, 40, 160) / 64.5**2
    assert seconds_to(wire(1, 40), 10, 160) is None


def test_a_wire_warms_its_own_resistance() -> None:
    """Source: R = R20 (1 + 0.00393 (T - 20)), IACS; the steady temperature is the model's."""
    size, mohm = read_size(2.5), 7.98
    warm = temperature_c(heated(size, mohm, 40), 20)
    assert warm > 50
    assert warm_share(size, mohm, 40, 20) == pytest.approx(
        (1 + 0.00393 * (warm - 20)) / (1 + 0.00393 * 20), rel=1e-6
    )
    assert warm_share(size, mohm, 40, 0) == pytest.approx(1)


# source: largest blade fuse without a gap, free air, 105 degC class, computed independently
# with the same published gates; columns are 40, 60 and 85 degC
@pytest.mark.parametrize(
    ("size", "fuses"),
    [
        (0.35, (7.5, 7.5, 5)),
        (0.5, (10, 10, 7.5)),
        (0.75, (15, 10, 10)),
        (1, (15, 15, 10)),
        (1.5, (20, 20, 15)),
        (2, (25, 25, 20)),
        (2.5, (30, 30, 25)),
    ],
)
def test_largest_fuse_without_a_gap(size, fuses) -> None:
    for ambient_c, fuse in zip((40, 60, 85), fuses, strict=True):
        whole = [
            r for r in ratings("blade") if not find_gap("blade", r, wire(size, ambient_c), 105)
        ]
        assert max(whole) == fuse


# source: a vehicle maker's body builder manual 2015 p. 217, 40 degC, smallest wire behind a fuse
@pytest.mark.parametrize(
    ("fuse", "size"),
    [(5, 0.5), (7.5, 0.5), (10, 0.75), (15, 1.25), (20, 2.0), (25, 3.0), (30, 5.0), (40, 8.0)],
)
def test_the_cautious_table_shows_no_gap(fuse, size) -> None:
    assert find_gap("blade", fuse, wire(size, 40), 105) is None
