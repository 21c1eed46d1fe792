"""Wire sizes against published tables."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiregen.facts.sizes import SizeRange, WireSize, read_size, read_size_range
from wiregen.units import UnitError

HYPERPHYSICS = "hyperphysics.gsu.edu, American Wire Gauge table: area in circular mils"
MARINE_CATALOGUE = "marine wire catalogue p. 70, SAE conductor areas in circular mils"
CIRCULAR_MIL_MM2 = 0.0005067075  # pi/4 x (0.0254 mm)^2


@pytest.mark.parametrize(
    ("text", "circular_mil", "source"),
    [
        ("18 AWG", 1624.3, HYPERPHYSICS),
        ("12 AWG", 6529, HYPERPHYSICS),
        ("4/0 AWG", 211600, "ASTM B258: 4/0 is 0.46 in, hence 460^2 circular mils"),
        ("36 AWG", 25, "ASTM B258: 36 is 0.005 in, hence 5^2 circular mils"),
        ("SAE 18", 1537, MARINE_CATALOGUE),
        ("SAE 12", 5833, MARINE_CATALOGUE),
        ("SAE 4", 37360, MARINE_CATALOGUE),
        ("SAE 4/0", 205500, MARINE_CATALOGUE),
    ],
)
def test_area_against_published_circular_mils(text: str, circular_mil: float, source: str) -> None:
    expected = circular_mil * CIRCULAR_MIL_MM2
    assert read_size(text).area_mm2 == pytest.approx(expected, rel=1e-3), source


@pytest.mark.parametrize(
    ("written", "label", "system"),
    [
        (0.75, "0.75", "mm2"),
        (1, "1", "mm2"),
        ("1.0", "1", "mm2"),
        ("0.75 mm2", "0.75", "mm2"),
        ("0.75 mm\u00b2", "0.75", "mm2"),
        ("18 AWG", "18 AWG", "AWG"),
        ("18awg", "18 AWG", "AWG"),
        ("AWG 18", "18 AWG", "AWG"),
        ("1/0 AWG", "1/0 AWG", "AWG"),
        ("0 AWG", "1/0 AWG", "AWG"),
        ("00 AWG", "2/0 AWG", "AWG"),
        ("sae 1/0", "SAE 1/0", "SAE"),
    ],
)
def test_one_size_has_one_label(written: object, label: str, system: str) -> None:
    size = read_size(written)
    assert (size.label, size.system, size.text) == (label, system, str(written))


def test_pair_of_the_trade_computes_with_the_bought_size() -> None:
    # Wiring tables list 8 AWG as 10 mm2 although it is 8.37 mm2: common practice, no source.
    metric, gauge = read_size("10 mm2 / 8 AWG"), read_size("8 AWG / 10 mm2")
    assert (metric.area_mm2, metric.also) == (10, "8 AWG")
    assert gauge.area_mm2 == pytest.approx(8.366, rel=1e-3)
    assert (gauge.label, gauge.also) == ("8 AWG", "10 mm2")


def test_pair_with_an_aught_size() -> None:
    assert read_size("50 mm2/1/0 AWG").also == "1/0 AWG"
    assert read_size("1/0 AWG / 50 mm2").system == "AWG"


def test_sae_is_smaller_than_awg_of_the_same_number() -> None:
    # 3 to 11 % smaller: marine wire catalogue p. 70 against ASTM B258.
    for number in ("18", "16", "14", "12", "10", "8", "6", "4", "2", "1", "1/0", "4/0"):
        share = read_size(f"SAE {number}").area_mm2 / read_size(f"{number} AWG").area_mm2
        assert 0.89 <= share <= 0.975, number


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("5/0 AWG", "there is no 5/0 AWG: AWG runs from 4/0 to 40"),
        ("41 AWG", "there is no 41 AWG: AWG runs from 4/0 to 40"),
        (
            "SAE 20",
            "SAE 20 is not in the table of SAE J1127 and J1128: "
            "18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 1/0, 2/0, 3/0, 4/0",
        ),
        (0, "a wire size cannot be 0"),
        (-1, "a wire size cannot be negative: '-1'"),
        ("0,75", "write 0.75, not 0,75"),
        (
            "18 gauge",
            "'18 gauge' is not a wire size: write 0.75, 18 AWG, SAE 18 or 10 mm2 / 8 AWG",
        ),
        ("thick", "expected a wire size such as 0.75, 18 AWG or SAE 18, found 'thick'"),
    ],
)
def test_size_refused(written: object, message: str) -> None:
    with pytest.raises(UnitError) as refusal:
        read_size(written)
    assert str(refusal.value) == message


def test_range_of_a_contact() -> None:
    metric = read_size_range("0.5..2.5")
    assert (metric.low.area_mm2, metric.high.area_mm2) == (0.5, 2.5)
    gauge = read_size_range("20..14 AWG")
    assert (gauge.low.label, gauge.high.label) == ("20 AWG", "14 AWG")
    with pytest.raises(UnitError, match="wrong way round; write the smaller first"):
        read_size_range("14 AWG..20 AWG")


@given(st.integers(min_value=-3, max_value=39))
def test_awg_shrinks_with_its_number(gauge: int) -> None:
    def label(n: int) -> str:
        return f"{n} AWG" if n > 0 else f"{1 - n}/0 AWG"

    # ASTM B258: 39 steps from 0.005 in to 0.46 in, hence one ratio of areas for every step.
    ratio = read_size(label(gauge)).area_mm2 / read_size(label(gauge + 1)).area_mm2
    assert ratio == pytest.approx((0.46 / 0.005) ** (2 / 39))


def outcome(read: Callable[[object], WireSize | SizeRange], text: str) -> object:
    """Return what is read, or the message of the refusal."""
    try:
        return read(text)
    except UnitError as refusal:
        return str(refusal)


@given(st.one_of(st.text(), st.text(alphabet="0123456789/. AWGSEm", max_size=12)))
def test_any_text_is_read_or_refused(text: str) -> None:
    size = outcome(read_size, text)
    assert size.area_mm2 > 0 if isinstance(size, WireSize) else size
    assert outcome(read_size_range, text)
