"""Pull-out forces and bend radii against rows typed again from what was read."""

from __future__ import annotations

import pytest

from wiregen.facts.crimps import bend, crimp_pull
from wiregen.facts.sizes import read_size


@pytest.mark.parametrize(
    ("size", "force_n"),
    [("24 AWG", 28), ("20 AWG", 60), ("16 AWG", 135), ("12 AWG", 275), ("10 AWG", 355)],
)
def test_pull_of_gauge_sizes(size, force_n):
    """Source: IEC 60352-2 as printed in Alluris, FMT-100WT manual, p. 8."""
    pull = crimp_pull(read_size(size))
    assert (pull.force_n, pull.status) == (force_n, "confirmed")


def test_pull_of_metric_sizes_is_from_memory():
    """From memory; 0.5 mm2 and 20 AWG (0.52 mm2) have the same figure."""
    pull = crimp_pull(read_size(0.5))
    assert (pull.force_n, pull.status) == (60, "from memory")


@pytest.mark.parametrize("size", [0.6, "8 AWG", "SAE 18", 16])
def test_nothing_is_extrapolated(size):
    assert crimp_pull(read_size(size)) is None


def test_bend_radius():
    """1 mm2 thin wall 2.1 mm, 6 mm2 4.3 mm. Source: MK Global Trading, cable sheet.

    6 and 10 outside diameters. Source: NASA-STD-8739.4, workmanship.nasa.gov section 4.03.
    """
    assert bend(read_size(1)).short_term_mm == pytest.approx(12.6)
    assert bend(read_size(6)).long_term_mm == pytest.approx(43)
    assert bend(read_size("18 AWG")) is None
