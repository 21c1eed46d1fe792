"""What wires may carry and how fuses behave, row by row against what was published."""

from __future__ import annotations

import pytest

from wiregen.facts.ampacity import (
    AmpacityError,
    ampacity,
    bundle_factor,
    insulation_class,
    standard_sizes,
)
from wiregen.facts.sizes import read_size


# source: 33 CFR 183.425 Table 5 (federal.elaws.us)
@pytest.mark.parametrize(
    ("size", "class_c", "amps"),
    [("18 AWG", 60, 10), ("16 AWG", 105, 25), ("10 AWG", 80, 50), ("4/0 AWG", 200, 510)],
)
def test_rows_of_the_code(size, class_c, amps) -> None:
    found = ampacity(read_size(size), class_c)
    assert found.amps_a == amps
    assert found.status == "confirmed"
    assert size in found.row


# source: cable catalogue, 105 degC inside engine spaces (50 degC): 17 21 30 38 51 68 102 A
@pytest.mark.parametrize(
    ("size", "amps"),
    [("18 AWG", 17), ("16 AWG", 21), ("14 AWG", 30), ("12 AWG", 38), ("8 AWG", 68)],
)
def test_engine_space(size, amps) -> None:
    assert ampacity(read_size(size), 105, ambient_c=50).amps_a == pytest.approx(amps, abs=0.6)


# source: handbook reprint of ISO 10133 Annex A (mistral33.de), 60 and 70 degC columns
@pytest.mark.parametrize(
    ("size", "class_c", "amps"), [(1, 60, 8), (1.5, 70, 18), (6, 70, 45), (70, 60, 135)]
)
def test_rows_of_the_boat_standard(size, class_c, amps) -> None:
    found = ampacity(read_size(size), class_c, scheme="iso-10133")
    assert (found.amps_a, found.status) == (amps, "confirmed")


def test_columns_from_memory_say_so() -> None:
    assert ampacity(read_size(1.5), 105, scheme="iso-10133").status == "from memory"


# source: DIN VDE 0298-4 as reprinted (instarr.in): 1 mm2 19 A, 2.5 mm2 32 A; x 0.71 at 50 degC
@pytest.mark.parametrize(
    ("size", "ambient_c", "amps"), [(1, 30, 19), (2.5, 30, 32), (2.5, 50, 22.7)]
)
def test_rows_of_the_building_standard(size, ambient_c, amps) -> None:
    found = ampacity(read_size(size), 70, scheme="vde-0298-4", ambient_c=ambient_c)
    assert found.amps_a == pytest.approx(amps, abs=0.05)


# source: FAA AC 43.13-1B Table 11-9 (landseaskyspace.com)
@pytest.mark.parametrize(("size", "amps"), [("22 AWG", 3), ("14 AWG", 10), ("8 AWG", 38)])
def test_rows_of_the_aircraft_table(size, amps) -> None:
    assert ampacity(read_size(size), 105, scheme="ac-43.13", ambient_c=70).amps_a == amps


# source: US Coast Guard guideline as printed in a cable catalogue: 3 .7, 4-6 .6, 7-24 .5, 25+ .4
@pytest.mark.parametrize(
    ("loaded", "factor"),
    [(1, 1), (2, 1), (3, 0.7), (4, 0.6), (6, 0.6), (7, 0.5), (24, 0.5), (99, 0.4)],
)
def test_bundle_steps(loaded, factor) -> None:
    assert bundle_factor(loaded) == (factor, "confirmed")


def test_metric_wire_takes_the_next_smaller_gauge_and_says_so() -> None:
    found = ampacity(read_size(1.5), 105)
    assert (found.amps_a, found.row) == (25, "16 AWG, 105 degC, 25 A")


@pytest.mark.parametrize(
    ("size", "class_c", "scheme", "ambient_c", "says"),
    [
        (0.75, 105, "33cfr183", None, "no size below 18 AWG"),
        (150, 105, "33cfr183", None, "ends at 4/0 AWG"),
        (1, 70, "ac-43.13", None, "begins at insulation of 105"),
        (1, 70, "iso-10133", 75, "cannot be used at 75"),
        (1, 70, "vde-0298-4", 68, "end at 65"),
        (1, 70, "33cfr184", None, "did you mean '33cfr183'"),
    ],
)
def test_nothing_is_read_past_the_end(size, class_c, scheme, ambient_c, says) -> None:
    with pytest.raises(AmpacityError, match=says):
        ampacity(read_size(size), class_c, scheme=scheme, ambient_c=ambient_c)


def test_bundles_past_the_end() -> None:
    with pytest.raises(AmpacityError, match="does not cover 21"):
        bundle_factor(21, "mil-w-5088")


# source: ISO 6722-1 classes (xiaomilidoc p-10069585), SAE J1128 and trade types from catalogues
@pytest.mark.parametrize(
    ("text", "class_c"),
    [
        ("class C", 125),
        ("GXL", 125),
        ("FLRY-B", 105),
        ("flr2x-a", 125),
        ("PVC 70", 70),
        ("AVSS", 80),
    ],
)
def test_insulation(text, class_c) -> None:
    assert insulation_class(text).highest_c == class_c


def test_insulation_without_a_temperature_is_refused() -> None:
    for text in ("thin-wall", "red 1.5", "type 12"):
        with pytest.raises(AmpacityError):
            insulation_class(text)


def test_sizes_come_smallest_first() -> None:
    for system in ("mm2", "AWG"):
        areas = [size.area_mm2 for size in standard_sizes(system)]
        assert areas == sorted(areas)


# source: a vehicle maker's body builder manual 2015 p. 217, 40 degC: wire, fuse, load
@pytest.mark.parametrize(
    ("size", "fuse", "load"), [(0.5, 7.5, 5), (1.25, 15, 10.5), (1.5, 15, 10.5), (85, 200, 140)]
)
def test_smallest_wire_behind_a_fuse(size, fuse, load) -> None:
    found = ampacity(read_size(size), 105, scheme="body-builder", ambient_c=40)
    assert (found.fuse_a, found.amps_a) == (fuse, load)


# source: a dealer's dimensioning page, speedingparts.com: thin wall 1.5 mm2 20 A, thick wall 15 A
def test_wall_thickness_matters() -> None:
    size = read_size(1.5)
    assert ampacity(size, 105, scheme="thin-wall").fuse_a == 20
    assert ampacity(size, 105, scheme="thick-wall").fuse_a == 15


def test_wire_for_fuse_ends_at_its_temperature_and_size() -> None:
    with pytest.raises(AmpacityError, match="up to 40 degC"):
        ampacity(read_size(1.5), 105, scheme="body-builder", ambient_c=60)
    with pytest.raises(AmpacityError, match=r"no size below 0\.5"):
        ampacity(read_size(0.35), 105, scheme="body-builder")
