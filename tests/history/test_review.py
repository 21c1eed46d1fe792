"""What follows from a change: findings, nets, feeds, faces."""

from __future__ import annotations

import json

import pytest

from tests.history.samples import BASE, document
from wiregen.history.render import render_json, render_markdown, render_text
from wiregen.history.review import Review, review


def reviewed(before: str, after: str) -> Review:
    assert before in BASE
    return review(document(BASE), document(BASE.replace(before, after)))


def test_a_wire_on_another_fuse_feeds_the_lamp_from_there():
    found = reviewed("W3: {from: F1:out", "W3: {from: F2:out")
    assert [(r.node, r.before, r.after) for r in found.refed] == [("P1:1", ("F1",), ("F2",))]


def test_findings_that_come_and_go():
    edit = ("to: X1:2, colour: BU", "to: X1:3, colour: BU")
    found = reviewed(*edit)
    back = review(document(BASE.replace(*edit)), document(BASE))
    came = {(problem.code, problem.subjects) for problem in found.appeared}
    assert [s for code, s in came if code == "CAV104"] == [("W7", "X1:3")]
    assert came == {(problem.code, problem.subjects) for problem in back.gone}


def test_a_finding_that_is_accepted_now_is_not_gone():
    edit = ("to: X1:2, colour: BU", "to: X1:3, colour: BU")
    open_one = BASE.replace(*edit)
    waiver = "accepted: [{rule: CAV104, object: W7, why: cut back to the splice}]\n"
    found = review(document(open_one), document(open_one + waiver))
    assert [p.code for p in found.accepted] == ["CAV104"]
    assert found.gone == ()
    assert "accepted: error CAV104" in render_text(found, "old", "new")
    back = review(document(open_one + waiver), document(open_one))
    assert [p.code for p in back.appeared] == ["CAV104"]


def test_a_wire_that_joins_two_nets_says_so_and_one_that_goes_splits_them():
    new_wire = "wires:\n  W8: {from: X1:1, to: X1:2, colour: WH, size: 1.0, loom: cab}\n"
    joined = reviewed("wires:\n", new_wire)
    assert joined.split == ()
    assert joined.joined == (("F1:out, P1:1, W3, W4".join(["'lamps' (", ")"]), "F2:out, W7"),)
    back = review(document(BASE.replace("wires:\n", new_wire)), document(BASE))
    assert back.joined == ()
    assert len(back.split) == 1
    assert {p.code for p in back.gone} == {p.code for p in joined.appeared}


def test_the_faces_are_those_of_the_plugs_that_were_touched():
    assert reviewed("colour: GY, size", "colour: VT, size").faces == ("X1",)
    assert reviewed("rating: 15", "rating: 20").faces == ()


def test_a_finding_of_a_renamed_plug_is_neither_new_nor_gone():
    found = review(document(BASE), document(BASE.replace("X1", "X5")))
    assert (found.appeared, found.gone, found.joined, found.split) == ((), (), (), ())


POWERED = BASE + "states: {lamps on: {}}\n"


def test_a_lamp_of_twice_the_power_draws_more_and_loads_its_fuse():
    found = review(document(POWERED), document(POWERED.replace("watts: 21", "watts: 42")))
    rows = {(row.sort, row.id): row for row in found.figures.rows}
    assert set(rows) == {("current", "P1"), ("drop", "P1"), ("fuse", "F1")}
    # Ohm's law: a lamp of 21 W at 12 V is about 6.9 ohm hot, so 21 W draws 1.75 A and 42 W 3.5 A;
    # what the wires lose takes a few percent of it.
    current, fuse = rows["current", "P1"], rows["fuse", "F1"]
    assert 1.6 < current.before < 1.9
    assert 1.9 < current.after / current.before < 2.05
    assert fuse.after == pytest.approx(current.after / 10, rel=1e-3)
    assert {row.state for row in found.figures.rows} == {"lamps on"}


def test_figures_below_the_thresholds_and_states_of_one_side_are_left_out():
    slight = review(document(POWERED), document(POWERED.replace("length: 1200", "length: 1210")))
    assert slight.figures.rows == ()
    other = review(document(POWERED), document(BASE.replace("watts: 21", "watts: 42")))
    assert other.figures.rows == ()


def test_a_state_without_an_operating_point_gives_no_numbers():
    bare = "".join(x for x in POWERED.splitlines(True) if "G1:" not in x and "EP1" not in x)
    found = review(document(POWERED), document(bare))
    assert found.figures.rows == ()
    assert found.figures.skipped == ("lamps on",)


def test_no_change_is_said_in_one_line():
    same = review(document(BASE), document(BASE))
    assert render_text(same, "a.yaml", "b.yaml") == "a.yaml and b.yaml say the same\n"
    assert json.loads(render_json(same, "a", "b"))["changes"] == []


def test_texts_of_a_design_are_never_markup():
    evil = "'<script>*x* [a](b) | `c` @all #1 \\'"
    found = review(document(BASE), document(BASE.replace("title: Left lamp", f"title: {evil}")))
    text = render_markdown(found, "a", "b")
    assert "\\<script\\>\\*x\\* \\[a\\]\\(b\\) \\| \\`c\\` \\@all \\#1 \\\\" in text
    assert json.loads(render_json(found, "a", "b"))["changes"][0]["after"].startswith("<script>")
