"""Fuse colours against published charts."""

from __future__ import annotations

import pytest

from wiregen.facts.fuses import fuse_colour, fuse_colours

CHART = "onallcylinders.com p=69909, fuse maker's chart"


@pytest.mark.parametrize(
    ("rating_a", "style", "colour", "source"),
    [
        (1, "blade", "black", CHART),
        (2, "blade", "grey", CHART),
        (3, "blade", "violet", CHART),
        (5, "blade", "tan", CHART),
        (7.5, "blade", "brown", CHART),
        (10, "blade", "red", CHART),
        (15, "blade", "blue", CHART),
        (20, "blade", "yellow", CHART),
        (25, "blade", "clear", CHART),
        (30, "blade", "green", CHART),
        (40, "blade", "orange", CHART),
        (30, "large blade", "green", "owners' club page, 20 to 60 A"),
        (60, "large blade", "blue", "owners' club page, 20 to 60 A"),
        (80, "large blade", "clear", "kaftonuk page"),
    ],
)
def test_colour_of_a_rating(rating_a: float, style: str, colour: str, source: str) -> None:
    found = fuse_colour(rating_a, style)
    assert found is not None
    assert (found.colour, found.status) == (colour, "confirmed"), source


def test_rating_outside_the_table_is_not_guessed() -> None:
    assert fuse_colour(12) is None
    assert fuse_colour(100, "blade") is None
    assert fuse_colours("bolt-on") == ()


def test_types_of_the_standard() -> None:
    assert fuse_colours("ISO 8820-3 type C") == fuse_colours("blade")
    assert fuse_colours("type E") == fuse_colours("large blade")


def test_where_makers_differ_it_says_so() -> None:
    found = fuse_colour(70, "large blade")
    assert found is not None
    assert (found.status, found.note) == ("disagreement", "makers differ: tan or brown")


def test_ratings_rise_and_colours_differ_within_a_style() -> None:
    for style in ("blade", "large blade", "cartridge"):
        ratings = [one.rating_a for one in fuse_colours(style)]
        assert ratings == sorted(set(ratings))
        tints = [one.tint for one in fuse_colours(style)]
        assert len(set(tints)) == len(tints)
