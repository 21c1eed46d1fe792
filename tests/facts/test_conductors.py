"""Conductor resistance against published tables; nothing is interpolated."""

from __future__ import annotations

import pytest

from wiregen.facts.conductors import ConductorError, at_temperature, resistance
from wiregen.facts.sizes import read_size
from wiregen.facts.tables import rows

CLASS_5 = "mycableengineering.com, IEC 60228 class 5 plain copper, mohm/m at 20 degC"
VEHICLE = "cable maker's FLRY-B page, ISO 6722 resistance, mohm/m at 20 degC"


@pytest.mark.parametrize(
    ("area_mm2", "mohm_per_m"),
    [
        (0.5, 39.0),
        (1, 19.5),
        (1.5, 13.3),
        (2.5, 7.98),
        (4, 4.95),
        (6, 3.30),
        (10, 1.91),
        (120, 0.161),
    ],
)
def test_class_5(area_mm2: float, mohm_per_m: float) -> None:
    found = resistance(read_size(area_mm2))
    assert (found.mohm_per_m, found.status) == (mohm_per_m, "confirmed"), CLASS_5


@pytest.mark.parametrize(
    ("area_mm2", "mohm_per_m"), [(0.35, 54.4), (0.75, 24.7), (1.5, 12.7), (2.5, 7.6), (16, 1.16)]
)
def test_vehicle_cable(area_mm2: float, mohm_per_m: float) -> None:
    found = resistance(read_size(area_mm2), "iso-6722")
    assert (found.mohm_per_m, found.table) == (mohm_per_m, "iso-6722"), VEHICLE


def test_vehicle_cable_is_class_5_divided_by_1_05() -> None:
    # The two standards rest on one conductor series: agreement within 0.7 % on common sizes.
    plain = {row["area_mm2"]: float(row["plain"]) for row in rows("iec_60228_5")}
    common = [row for row in rows("iso_6722") if row["area_mm2"] in plain]
    assert len(common) == 13
    for row in common:
        assert float(row["plain"]) == pytest.approx(plain[row["area_mm2"]] / 1.05, rel=0.007)


@pytest.mark.parametrize(
    ("text", "ohm_per_1000_ft"),
    [("18 AWG", 6.385), ("12 AWG", 1.588), ("8 AWG", 0.6282)],
)
def test_gauge_sizes_are_computed(text: str, ohm_per_1000_ft: float) -> None:
    # hyperphysics.gsu.edu, American Wire Gauge table: ohm per 1000 ft at 20 degC
    found = resistance(read_size(text))
    assert found.mohm_per_m * 0.3048 == pytest.approx(ohm_per_1000_ft, rel=2e-3)
    assert found.table == "copper"


def test_size_between_rows_is_not_guessed() -> None:
    with pytest.raises(ConductorError, match=r"2 mm2 is not in iec-60228-5, which has 0\.5, 0\.75"):
        resistance(read_size(2))
    with pytest.raises(ConductorError, match="150 mm2 is not in"):
        resistance(read_size(150))
    with pytest.raises(ConductorError, match=r"unknown conductor table 'iso-6772'.*'iso-6722'"):
        resistance(read_size(1), "iso-6772")


def test_remembered_rows_say_so() -> None:
    assert resistance(read_size(50), "iso-6722").status == "from memory"


@pytest.mark.parametrize(("temperature_degc", "factor"), [(20, 1.0), (85, 1.255), (105, 1.334)])
def test_rise_with_temperature(temperature_degc: float, factor: float) -> None:
    # IACS 0.393 %/K; worked by hand: 1 + 0.00393 x 65 = 1.25545, 1 + 0.00393 x 85 = 1.33405
    assert at_temperature(2, temperature_degc) == pytest.approx(2 * factor, abs=1e-3)


def test_temperature_out_of_range() -> None:
    with pytest.raises(ConductorError, match="out of range"):
        at_temperature(1, 400)


# source: cable maker's AV page and a supplier's catalogue, JIS C 3406, mohm/m at 20 degC
@pytest.mark.parametrize(
    ("area_mm2", "mohm_per_m"), [(0.5, 32.7), (0.85, 20.8), (2, 8.81), (8, 2.32)]
)
def test_japanese_vehicle_cable(area_mm2: float, mohm_per_m: float) -> None:
    found = resistance(read_size(area_mm2), "jis-c3406")
    assert (found.mohm_per_m, found.table) == (mohm_per_m, "jis-c3406")


def test_japanese_cable_is_copper() -> None:
    # resistance times nominal area cannot be below solid copper by more than the sizes are round
    for row in rows("jis_c3406"):
        assert 14 < float(row["plain"]) * float(row["area_mm2"]) < 21
