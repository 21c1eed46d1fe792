"""Fuses row by row against a maker's published sheets."""

from __future__ import annotations

from itertools import pairwise

import pytest

from wiregen.facts.fuse_curves import (
    cold_resistance,
    continuous_load,
    gates,
    opens_at_least,
    opens_at_most,
    ratings,
)


# source: fuse maker's data sheets, blade and maxi blade: latest opening times in s
@pytest.mark.parametrize(
    ("style", "rating", "share", "most"),
    [
        ("blade", 15, 1.35, 600),
        ("blade", 15, 2, 5),
        ("blade", 15, 3.5, 0.5),
        ("blade", 15, 6, 0.1),
        ("blade", 40, 6, 0.15),
        ("mini blade", 10, 2, 5),
        ("maxi blade", 40, 1.35, 1800),
        ("maxi blade", 40, 2, 50),
        ("maxi blade", 40, 6, 1),
    ],
)
def test_latest_opening(style, rating, share, most) -> None:
    assert opens_at_most(style, rating, share * rating) == pytest.approx(most)


# source: the same sheets: earliest opening times in s
@pytest.mark.parametrize(
    ("style", "rating", "share", "least"),
    [("blade", 10, 2, 0.15), ("blade", 10, 1.6, 0.25), ("maxi blade", 40, 3.5, 0.2)],
)
def test_earliest_opening(style, rating, share, least) -> None:
    assert opens_at_least(style, rating, share * rating) == pytest.approx(least)


def test_it_may_never_open_below_1_35() -> None:
    assert opens_at_most("blade", 10, 13.4) is None


def test_nothing_is_known_of_other_styles() -> None:
    assert gates("bolt-on", 100) == ()
    assert opens_at_most("glass", 10, 100) is None


def test_between_the_limits_time_falls_with_current() -> None:
    times = [opens_at_most("blade", 15, 15 * share / 10) for share in range(14, 120, 3)]
    assert all(one > other for one, other in pairwise(times))


# source: fuse maker's data sheet: cold resistance in mohm; measured samples agree to 10 %
@pytest.mark.parametrize(
    ("style", "rating", "mohm"),
    [("blade", 5, 17.85), ("blade", 10, 7.7), ("blade", 25, 2.52), ("maxi blade", 40, 1.4)],
)
def test_cold_resistance(style, rating, mohm) -> None:
    assert cold_resistance(style, rating).ohm == pytest.approx(mohm / 1000)


def test_no_resistance_for_a_rating_that_is_not_listed() -> None:
    assert cold_resistance("blade", 8) is None


# source: derating table of the blade sheet, p. 3 (rev. 18 Aug 2022); 75 % rule of
# circuitprotection.ca where that is less
@pytest.mark.parametrize(
    ("rating", "ambient_c", "amps"),
    [(10, 25, 7.5), (10, 85, 7), (10, 110, 6), (20, 125, 10), (40, 65, 30), (7.5, 125, 4)],
)
def test_continuous_load(rating, ambient_c, amps) -> None:
    assert continuous_load("blade", rating, ambient_c).amps_a == pytest.approx(amps)


def test_hotter_than_the_table_carries_nothing_and_says_so() -> None:
    found = continuous_load("blade", 10, 140)
    assert found.amps_a == 0
    assert "past the end of the table" in found.words


# source: colours of ISO 8820-3 types as copied: the ratings that are made
def test_ratings_that_are_made() -> None:
    assert ratings("blade") == (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40)
    assert ratings("bolt-on") == ()
