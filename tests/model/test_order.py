"""Natural order of ids."""

from __future__ import annotations

import random

from hypothesis import given
from hypothesis import strategies as st

from wiregen.model import in_order, natural_key, sorted_map


def test_numbers_inside_names_count_as_numbers() -> None:
    names = ["W10", "W2", "W1a", "W1", "58L", "54g", "7", "07", "B+", "X1.10", "X1.9"]
    assert in_order(names) == [
        "07", "7", "54g", "58L", "B+", "W1", "W1a", "W2", "W10", "X1.9", "X1.10",
    ]  # fmt: skip
    assert list(sorted_map({"F10": 1, "F9": 2})) == ["F9", "F10"]


def test_endless_numbers_do_no_harm() -> None:
    assert in_order(["9" * 5000, "1" * 5000]) == ["1" * 5000, "9" * 5000]


@given(st.lists(st.text(max_size=6), unique=True), st.randoms(use_true_random=False))
def test_the_order_does_not_depend_on_the_order_before(
    names: list[str], seed: random.Random
) -> None:
    assert in_order(seed.sample(names, len(names))) == in_order(names)


@given(st.text(max_size=8), st.text(max_size=8))
def test_different_names_have_different_keys(one: str, other: str) -> None:
    assert (natural_key(one) == natural_key(other)) == (one == other)
