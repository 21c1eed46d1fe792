"""Sizes and ratings against a worked table, and the promise that one smaller fails."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wiregen.compute.choose import Task, choose_rating, choose_size, drop_v, why_not
from wiregen.facts.ampacity import standard_sizes
from wiregen.facts.sizes import read_size


def task(amps: float, length_m: float, drop: float, loaded: int, fuse: float) -> Task:
    return Task(
        amps_a=amps,
        length_mm=1000 * length_m,
        drop_v=drop,
        drop_amps_a=amps,
        insulation_c=105,
        ambient_c=40,
        fuse=("blade", fuse),
        loaded=loaded,
        sheathed=loaded > 1,
        conductor="iso-6722",
        scheme="iso-10133",
        bundle="iso-10133",
    )


# source: sizing by hand with ISO 6722-1 resistances at the wire's steady temperature, 105 degC
# thin wall in 40 degC; columns amps, metres there and back, allowed drop, wires in the bundle,
# size, fuse, its drop, and the drop of the next smaller size
WORKED = [
    (4.6, 6, 0.5, 1, 1.5, 7.5, 0.381, (1.0, 0.56)),
    (9.2, 3, 0.5, 4, 1.5, 15, 0.390, (1.0, 0.58)),
    (10, 10, 0.36, 1, 6, 15, 0.341, (4, 0.51)),
    (10, 10, 0.36, 8, 6, 15, 0.341, (4, 0.51)),
    (25, 4, 0.5, 1, 6, 35, 0.352, (4, 0.54)),
    (1.8, 10, 0.6, 6, 0.75, 3, 0.481, (0.5, 0.72)),
]


@pytest.mark.parametrize("row", WORKED)
def test_worked_table(row) -> None:
    amps, length_m, drop, loaded, size, fuse, got, smaller = row
    assert choose_rating("blade", amps, 40).rating_a == fuse
    wanted = task(amps, length_m, drop, loaded, fuse)
    choice = choose_size(wanted)
    assert choice.size is not None
    assert choice.size.area_mm2 == size
    assert drop_v(wanted, choice.size) == pytest.approx(got, abs=0.005)
    below, below_drop = smaller
    assert drop_v(wanted, read_size(below)) == pytest.approx(below_drop, abs=0.02)
    assert f"{below:g}" in dict(choice.failed)


def test_a_wire_that_needs_more_than_is_sold() -> None:
    choice = choose_size(Task(amps_a=900, insulation_c=105))
    assert choice.size is None
    assert "may carry" in choice.failed[-1][1] or "ends at" in choice.failed[-1][1]


def test_rating_past_the_end_of_a_style() -> None:
    assert choose_rating("blade", 60, 20).rating_a is None
    assert choose_rating("bolt-on", 10, 20).rating_a is None


def test_smallest_size_of_the_boat_standard() -> None:
    """Source: ISO 10133 7.7 as quoted (mealir.com): 1 mm2 single, 0.75 mm2 in a sheath."""
    small = Task(amps_a=1, insulation_c=105, scheme="iso-10133")
    assert choose_size(small).size.area_mm2 == 1
    in_cable = Task(amps_a=1, insulation_c=105, scheme="iso-10133", sheathed=True)
    assert choose_size(in_cable).size.area_mm2 == 0.75


@settings(max_examples=60, deadline=None)
@given(
    wanted=st.builds(
        Task,
        amps_a=st.floats(0.1, 60),
        length_mm=st.floats(100, 20000),
        drop_v=st.floats(0.05, 2),
        drop_amps_a=st.floats(0.1, 60),
        insulation_c=st.just(105.0),
        ambient_c=st.just(40.0),
        fuse=st.sampled_from([None, *(("blade", a) for a in (2.0, 5.0, 10.0, 15.0, 30.0))]),
        loaded=st.integers(1, 20),
        sheathed=st.booleans(),
        scheme=st.sampled_from(["33cfr183", "iso-10133"]),
    )
)
def test_what_is_chosen_passes_and_one_smaller_fails(wanted) -> None:
    sizes = standard_sizes()
    choice = choose_size(wanted)
    passed = [size for size in sizes if not why_not(wanted, size)]
    assert choice.size == (passed[0] if passed else None)
    below = sizes[: sizes.index(choice.size)] if choice.size else sizes
    assert [label for label, _ in choice.failed] == [size.label for size in below]
    assert all(reason for _, reason in choice.failed)


@settings(max_examples=40, deadline=None)
@given(amps=st.floats(0.1, 40), length_m=st.floats(0.5, 20), more=st.floats(1.05, 3))
def test_drop_grows_with_length_and_falls_with_area(amps, length_m, more) -> None:
    short = Task(amps_a=amps, length_mm=1000 * length_m, drop_amps_a=amps)
    far = Task(amps_a=amps, length_mm=1000 * length_m * more, drop_amps_a=amps)
    known = [s for s in standard_sizes() if drop_v(short, s) is not None]
    drops = [drop_v(short, size) for size in known]
    assert all(one > other for one, other in pairwise(drops))
    assert all(drop_v(far, size) > drop_v(short, size) for size in known)


def test_japanese_sizes_come_from_their_own_list() -> None:
    wanted = Task(amps_a=10, length_mm=5000, drop_v=0.5, drop_amps_a=10, conductor="jis-c3406")
    choice = choose_size(wanted)
    assert choice.size.area_mm2 == 2
    assert [label for label, _ in choice.failed] == ["0.5", "0.85", "1.25"]
