"""The order of work: nothing is put where something still is, and nothing vanishes."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.history.samples import BASE, LEFT_OVER, MARKS, MOVES, cluster, design
from wiregen.history.bench import Step, bench_steps
from wiregen.history.changes import difference


def steps(old: str, new: str) -> tuple[Step, ...]:
    return bench_steps(difference(design(old), design(new)))


def replay(found: tuple[Step, ...], places: dict[str, str]) -> dict[str, str]:
    """Work through the steps at one plug by hand: old cavity -> where its contact is now."""
    where = dict(places)
    at = {cavity: old for old, cavity in places.items()}
    aside: list[str] = []
    for step in found:
        out = re.match(r"take \w+ out of X1:(\w+)", step.text)
        move = re.match(r"move (\w+) -> (\w+)", step.text)
        hold = re.match(r"hold aside (\w+)", step.text)
        put = re.match(r"put it into (\w+)", step.text)
        if out:
            where[at.pop(out[1])] = ""
        elif hold:
            aside.append(at.pop(hold[1]))
        else:
            assert move or put
            target = move[2] if move else put[1]
            assert target not in at, f"{step.text}: not free"
            contact = at.pop(move[1]) if move else aside.pop()
            at[target] = contact
            where[contact] = target
    assert not aside
    return where


def test_the_published_re_pin_is_in_an_order_that_works():
    stay = {old: old for old in MARKS}
    found = steps(cluster(stay, wires=True), cluster(MOVES, wires=True))
    assert replay(found, stay) == {**MOVES, LEFT_OVER: ""}
    assert len(found) == len(MOVES) + 1
    assert [s.text for s in found if "C15" in s.text] == [
        "take W12 out of X1:C15  PK/BK; it is now insulated"
    ]


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.permutations(list(MARKS)))
def test_any_exchange_within_a_plug_works(order):
    stay = {old: old for old in MARKS}
    moves = dict(zip(MARKS, order, strict=True))
    found = steps(cluster(stay, wires=True), cluster(moves, wires=True))
    assert replay(found, stay) == moves
    holds = sum(1 for step in found if step.text.startswith("hold aside"))
    assert holds == _rings(moves)


def _rings(moves: dict[str, str]) -> int:
    """Number of cycles of more than one; each needs one contact held aside."""
    seen: set[str] = set()
    rings = 0
    for start in moves:
        cavity, length = start, 0
        while cavity not in seen:
            seen.add(cavity)
            cavity, length = moves[cavity], length + 1
        rings += length > 1
    return rings


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        # W4 stays in the contact that W3 leaves
        (
            "to: X1:1, colour: RD",
            "to: X1:3, colour: RD",
            ["take W3 out of X1:1  RD 1", "bring W3 to X1:3  RD 1"],
        ),
        # W3 and W4 stay in the contact that W7 joins
        (
            "to: X1:2, colour: BU",
            "to: X1:1, colour: BU",
            ["take W7 out of X1:2  BU 1", "bring W7 to X1:1  BU 1"],
        ),
        (
            "W7: {from: F2:out",
            "W7: {from: F1:out",
            ["take W7 out of F2:out  BU 1", "bring W7 to F1:out  BU 1"],
        ),
        (
            "colour: GY, size: 1.0",
            "colour: GY, size: 1.5",
            [
                "take out W4: P1:1 - X1:1, GY 1, 1200 mm",
                "make W4 anew: P1:1 - X1:1, GY 1.5, 1200 mm (1.5 instead of 1)",
            ],
        ),
        ("rating: 15", "rating: 20", ["fit F2: 20 A instead of 15 A"]),
        ("watts: 21", "watts: 55", ["fit P1: 55 W instead of 21 W"]),
        (
            "wires:\n",
            "wires:\n  W8: {from: J1, to: X1:3, colour: WH, size: 0.5, length: 90, loom: cab}\n",
            ["make W8: J1 - X1:3, WH 0.5, 90 mm"],
        ),
        ("title: Left lamp, ", "", []),
    ],
)
def test_what_one_change_takes_at_the_bench(before, after, said):
    assert [step.text for step in steps(BASE, BASE.replace(before, after))] == said


SCREENED = """format: 1
plugs:
  X1: {pins: {1: {carries: pulse}, 2: {carries: return}, 3: {carries: case}}}
  X2: {pins: {1: {carries: pulse}, 2: {carries: return}}}
earths: {EP1: {}}
wires: {W1: {from: X1:1, to: X2:1}, W2: {from: X1:2, to: X2:2}}
groups: {SC1: {screened: [W1], screen: X1:3}}
"""


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "screen: X1:3",
            "screen: EP1",
            ["take the screen of W1 (SC1) out of X1:3", "join the screen of W1 (SC1) to EP1"],
        ),
        (", screen: X1:3", "", ["take the screen of W1 (SC1) out of X1:3"]),
        ("[W1], ", "[W1, W2], ", ["screen SC1 goes over W1, W2 now"]),
        (
            "groups: {SC1: {screened: [W1], screen: X1:3}}",
            "",
            ["take the screen of W1 (SC1) out of X1:3"],
        ),
    ],
)
def test_a_screen_is_taken_out_joined_and_put_over_other_wires(old, new, said):
    changed = SCREENED.replace(old, new)
    assert [step.text for step in steps(SCREENED, changed)] == said
    back = [step.text for step in steps(changed, SCREENED)]
    assert len(back) == len(said)
    if len(said) == 1 and new == "":
        assert back == ["join the screen of W1 (SC1) to X1:3"]
