"""Quantities: what is read, what is refused, and in which words."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiregen.units import Dimension, Quantity, UnitError, read_quantity, read_range

DIMENSIONS = get_args(Dimension)


@pytest.mark.parametrize(
    ("value", "dimension", "expected", "unit", "source"),
    [
        (850, "length", 850, "mm", "design file format: bare length is mm"),
        ("850", "length", 850, "mm", "design file format: bare length is mm"),
        ("1.2 m", "length", 1200, "mm", "SI prefixes"),
        ("3 ft", "length", 914.4, "mm", "international foot = 0.3048 m (1959 agreement)"),
        ("7 in", "length", 177.8, "mm", "international inch = 25.4 mm (1959 agreement)"),
        ("12 mohm", "ohms", 0.012, "ohm", "SI prefixes"),
        ("4.7 kohm", "ohms", 4700, "ohm", "SI prefixes"),
        ("2 Mohm", "ohms", 2_000_000, "ohm", "SI prefixes"),
        ("85 ohm", "ohms", 85, "ohm", "SI"),
        ("4.7 k\u2126", "ohms", 4700, "ohm", "ohm sign U+2126"),
        ("4.7k\u03a9", "ohms", 4700, "ohm", "Greek capital omega"),
        ("10 A", "amps", 10, "A", "SI"),
        ("50 \u00b5A", "amps", 50e-6, "A", "micro sign U+00B5"),
        ("20 mA", "amps", 0.02, "A", "SI prefixes"),
        ("0.5 V", "drop", 0.5, "V", "design file format"),
        ("300 mV", "drop", 0.3, "V", "SI prefixes"),
        ("3 %", "drop", 3, "%", "design file format"),
        ("-12 V", "volts", -12, "V", "positive-earth vehicles have negative voltages"),
        ("60", "temperature", 60, "degC", "design file format"),
        ("-40 °C", "temperature", -40, "degC", "SI"),
        ("85 %", "factor", 0.85, "", "per cent = 1/100"),
        ("90 deg", "angle", 90, "deg", "SI"),
        ("1.5 kHz", "frequency", 1500, "Hz", "SI prefixes"),
        ("200 ms", "time", 0.2, "s", "SI prefixes"),
        ("470 uF", "capacitance", 470e-6, "F", "SI prefixes"),
        (-4.5, "position", -4.5, "mm", "design file format: positions may be negative"),
        ("0", "ohms", 0, "ohm", "design file format: a wire may have resistance 0"),
    ],
)
def test_quantity_in_its_base_unit(
    value: object, dimension: Dimension, expected: float, unit: str, source: str
) -> None:
    found = read_quantity(value, dimension)
    assert found.value == expected, source
    assert found.unit == unit, source
    assert found.text == str(value)


@pytest.mark.parametrize(
    ("value", "dimension", "message"),
    [
        ("0,5 V", "drop", "write 0.5, not 0,5"),
        ("1,2 m", "length", "write 1.2, not 1,2"),
        ("0,125", "area", "write 0.125, not 0,125"),
        ("1,200", "length", "write 1.2 or 1200, not 1,200"),
        ("3", "drop", "a voltage drop needs its unit: write 3 V or 3 %"),
        ("5 kg", "length", "'kg' is not a unit of a length: use mm, cm, m, in, ft"),
        (
            "10 a",
            "amps",
            "'a' is not a unit of a current: use A, mA, uA, kA; did you mean 'A'?",
        ),
        ("-3 A", "amps", "a current cannot be negative: '-3 A'"),
        ("-300", "temperature", "a temperature cannot be below -273.15 degC: '-300'"),
        (".nan", "volts", "'.nan' is not a finite number"),
        ("-.inf", "volts", "'-.inf' is not a finite number"),
        (math.nan, "volts", "'nan' is not a finite number"),
        ("1e999", "volts", "'1e999' is not a finite number"),
        (True, "amps", "expected a current such as 10 or 10 A, found true"),
        (None, "length", "expected a length such as 850 or 1.2 m, found nothing"),
        ([1, 2], "length", "expected a length such as 850 or 1.2 m, found a list"),
        ("long", "length", "expected a length such as 850 or 1.2 m, found 'long'"),
        ("1_000", "length", "expected a length such as 850 or 1.2 m, found '1_000'"),
        ("3 ft 2 in", "length", "expected a length such as 850 or 1.2 m, found '3 ft 2 in'"),
        ("", "ohms", "expected a resistance such as 85, 12 mohm or 4.7 kohm, found nothing"),
    ],
)
def test_refusal_says_what_to_write(value: object, dimension: Dimension, message: str) -> None:
    with pytest.raises(UnitError) as refusal:
        read_quantity(value, dimension)
    assert str(refusal.value) == message


@pytest.mark.parametrize(
    ("text", "dimension", "low", "high"),
    [
        ("0.5..2.5", "area", 0.5, 2.5),
        ("8..16 V", "volts", 8, 16),
        ("200 mV..1 V", "volts", 0.2, 1),
        ("-40..85", "temperature", -40, 85),
        ("1 .. 1", "amps", 1, 1),
    ],
)
def test_range(text: str, dimension: Dimension, low: float, high: float) -> None:
    found = read_range(text, dimension)
    assert (found.low.value, found.high.value) == (low, high)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("2..1", "the ends of '2..1' are the wrong way round; write the lower one first"),
        ("2", "expected a range such as 0.5..2.5, found '2'"),
        ("1...2", "expected a range such as 0.5..2.5, found '1...2'"),
        ("1..2..3", "expected a range such as 0.5..2.5, found '1..2..3'"),
        ("0,5..2", "write 0.5, not 0,5"),
    ],
)
def test_range_refused(text: str, message: str) -> None:
    with pytest.raises(UnitError) as refusal:
        read_range(text, "volts")
    assert str(refusal.value) == message


def test_ends_of_a_drop_have_one_unit() -> None:
    with pytest.raises(UnitError, match="different units; write both in %"):
        read_range("0.5 V..3 %", "drop")


def outcome(read: Callable[[object, Dimension], object], value: object, kind: Dimension) -> object:
    """Return what is read, or the message of the refusal."""
    try:
        return read(value, kind)
    except UnitError as refusal:
        return str(refusal)


@given(st.one_of(st.text(), st.floats(), st.integers(), st.none()), st.sampled_from(DIMENSIONS))
def test_any_value_is_read_or_refused(value: object, dimension: Dimension) -> None:
    found = outcome(read_quantity, value, dimension)
    assert math.isfinite(found.value) if isinstance(found, Quantity) else found


@given(
    st.text(alphabet="0123456789.,+-eE mVAkohm%/#\u00b0", max_size=12),
    st.sampled_from(DIMENSIONS),
)
def test_text_like_a_quantity_is_read_or_refused(text: str, dimension: Dimension) -> None:
    assert outcome(read_quantity, text, dimension)
    assert outcome(read_range, text, dimension)


@given(st.floats(min_value=0, max_value=1e9))
def test_a_number_and_its_text_read_the_same(value: float) -> None:
    assert read_quantity(repr(value), "ohms").value == read_quantity(value, "ohms").value == value
