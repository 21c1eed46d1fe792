"""Moves in workable order: no contact goes where another one sits, no wire vanishes."""

import re

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.intake.sides import plug, side
from wiregen.intake.half import read_half, told_apart
from wiregen.intake.match import match
from wiregen.intake.re_pin import final_cavities, plan_re_pin, re_pin_lines, same_housing
from wiregen.intake.re_pinned import re_pinned_text
from wiregen.read import load

# A cluster with gauges takes the place of a base cluster in the same 32-way plug.
# Source: w-body.com, base cluster to gauges cluster, part of the table of moves.
CLUSTER = {
    "C1": "C4", "C3": "C11", "C4": "D13", "C5": "D15", "C6": "C10", "C7": "D10", "C8": "D16",
    "C9": "D9", "C10": "C14", "C12": "C1", "C13": "C16", "C16": "D12", "D3": "C6", "D4": "C2",
    "D5": "C7",
}  # fmt: skip
NAMES = {old: f"lining {old}" for old in CLUSTER}


def halves(folder, first, second, head="housing: cluster 32, "):
    start = side(folder, "a.yaml", plug(first, head))
    end = side(folder, "b.yaml", plug(second, head))
    return told_apart(start, end)


def planned(start, end):
    return plan_re_pin(start, end, match(start, end))


def test_published_moves_in_workable_order(tmp_path):
    first = {**NAMES, "C15": "{carries: not taken up, colour: PK/BK}"}
    second = {new: NAMES[old] for old, new in CLUSTER.items()}
    start, end = halves(tmp_path, first, second)
    assert same_housing(start, end)
    plan = planned(start, end)
    assert final_cavities(plan) == {**CLUSTER, "C15": ""}
    order = [(step.start, step.end) for step in plan.steps if step.act == "move"]
    assert order.index(("C4", "D13")) < order.index(("C1", "C4")) < order.index(("C12", "C1"))
    assert plan.steps[0].act == "take out"
    (left,) = [fate for fate in plan.fates if fate.fate == "insulated"]
    assert left.wire.cavity == "C15"
    assert all(step.act != "hold aside" for step in plan.steps)


def test_rings_are_opened_by_holding_one_aside(tmp_path):
    first = {"1": "horn", "2": "clock", "3": "buzzer", "4": "washer"}
    second = {"2": "horn", "3": "clock", "1": "buzzer", "4": "washer"}
    plan = planned(*halves(tmp_path, first, second))
    assert [(step.act, step.start, step.end) for step in plan.steps] == [
        ("hold aside", "3", ""),
        ("move", "2", "3"),
        ("move", "1", "2"),
        ("put in", "", "1"),
    ]
    assert final_cavities(plan) == {"1": "2", "2": "3", "3": "1", "4": "4"}


def test_what_is_asked_comes_out_until_it_is_decided(tmp_path):
    """Two yellow wires: told by position only (w-body.com, the same page)."""
    first = dict.fromkeys("12", "{carries: lamp of the desk, colour: YE}")
    second = dict.fromkeys("34", "lamp of the desk")
    plan = planned(*halves(tmp_path, first, second))
    assert {fate.why for fate in plan.fates} == {"to be decided"}
    assert len(plan.decisions) == 1
    assert "Colour does not tell" in plan.decisions[0]


def test_hazards_before_the_job_are_listed(tmp_path):
    start, end = halves(
        tmp_path, {"1": "permanent supply", "2": "earth"}, {"1": "earth", "2": "permanent supply"}
    )
    lines = re_pin_lines(planned(start, end), "a", "b")
    assert "If it were pushed in as it is now:" in lines
    assert sum("short" in line for line in lines) == 2


def test_other_contact_is_said(tmp_path):
    head = "housing: h, face: {rows: [[1, 2]], cavity: {1: big, 2: small}}, "
    both = "contacts: {big: {blade: 6.3}, small: {blade: 2.8}}\n"
    start = side(tmp_path, "a.yaml", both + plug({"1": "horn", "2": "empty"}, head))
    end = side(tmp_path, "b.yaml", plug({"2": "horn"}, "housing: h, "))
    (step,) = planned(*told_apart(start, end)).steps
    assert step.note == "other contact: small instead of big"


def test_new_functions_get_a_new_wire(tmp_path):
    plan = planned(*halves(tmp_path, {"1": "horn"}, {"1": "horn", "2": "clock"}))
    assert [(step.act, step.end) for step in plan.steps] == [("new wire", "2")]


DESIGN = """\
format: 1
plugs:
  X1:   # cluster
    housing: cluster
    pins:
      1: {carries: horn, colour: BU}   # traced
      2: {carries: clock}
      3: {carries: buzzer}   # loud
      4: empty
earths: {EP1: {kind: chassis}}
wires:
  # old ones
  W1: {from: X1:1, to: EP1}   # one
  W2: {from: EP1, to: X1:2}
  W3: {from: X1:3, to: EP1}
  W4: {from: EP1, to: EP1}
"""


def test_the_design_gets_pins_ends_and_fates(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_text(DESIGN, encoding="utf-8")
    second = side(tmp_path, "b.yaml", plug({"4": "horn", "2": "clock"}))
    start, end = told_apart(read_half(f"{path}:X1"), second)
    new = re_pinned_text(start, planned(start, end))
    assert new == DESIGN.replace(
        "      1: {carries: horn, colour: BU}   # traced\n",
        "      1: empty   # traced\n",
    ).replace("      3: {carries: buzzer}   # loud\n", "      3: empty   # loud\n").replace(
        "      4: empty\n", "      4: {carries: horn, colour: BU}\n"
    ).replace(
        "  W1: {from: X1:1, to: EP1}   # one\n",
        "  W1: {from: X1:4, to: EP1, was: X1:1, fate: moved}   # one\n",
    ).replace("  W2: {from: EP1, to: X1:2}\n", "  W2: {from: EP1, to: X1:2, fate: used}\n").replace(
        "  W3: {from: X1:3, to: EP1}\n",
        "  W3: {to: EP1, was: X1:3, why: the new pinout has no use for it, fate: insulated}\n",
    )
    (tmp_path / "c.yaml").write_text(new, encoding="utf-8")
    assert {wire.fate for wire in load(tmp_path / "c.yaml").design.wires.values()} == {
        "moved", "used", "insulated", "",
    }  # fmt: skip


CAVITIES = [str(n) for n in range(1, 13)]


@settings(max_examples=100, deadline=None)
@given(st.permutations(CAVITIES), st.sets(st.sampled_from(CAVITIES)), st.data())
def test_any_permutation_can_be_worked(tmp_path_factory, order, unused, data):
    """Every target is free when it is filled, and every wire ends where it belongs."""
    empty = data.draw(st.sets(st.sampled_from(CAVITIES), max_size=4))
    first = {c: "empty" if c in empty else f"function {c}" for c in CAVITIES}
    second = {
        new: f"function {old}"
        for old, new in zip(CAVITIES, order, strict=True)
        if old not in unused
    }
    plan = planned(*halves(tmp_path_factory.mktemp("t"), first, second))
    wanted = {
        old: "" if old in unused else new
        for old, new in zip(CAVITIES, order, strict=True)
        if old not in empty
    }
    assert final_cavities(plan) == wanted
    assert all(re.search(r"move|take out|hold|put in|new", step.act) for step in plan.steps)
    moves = sum(step.act in ("move", "put in") for step in plan.steps)
    assert moves == sum(bool(new) and new != old for old, new in wanted.items())
