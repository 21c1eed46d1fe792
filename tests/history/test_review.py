"""What follows from a change: findings, nets, feeds, faces."""

from __future__ import annotations

import json

from tests.history.samples import BASE, loaded
from wiregen.history.render import render_json, render_markdown, render_text
from wiregen.history.review import Review, review


def reviewed(before: str, after: str) -> Review:
    assert before in BASE
    return review(loaded(BASE), loaded(BASE.replace(before, after)))


def test_a_wire_on_another_fuse_feeds_the_lamp_from_there():
    found = reviewed("W3: {from: F1:out", "W3: {from: F2:out")
    assert [(r.node, r.before, r.after) for r in found.refed] == [("P1:1", ("F1",), ("F2",))]


def test_findings_that_come_and_go():
    edit = ("to: X1:2, colour: BU", "to: X1:3, colour: BU")
    found = reviewed(*edit)
    back = review(loaded(BASE.replace(*edit)), loaded(BASE))
    came = {(problem.code, problem.subjects) for problem in found.appeared}
    assert [s for code, s in came if code == "CAV104"] == [("W7", "X1:3")]
    assert came == {(problem.code, problem.subjects) for problem in back.gone}


def test_a_wire_that_joins_two_nets_says_so_and_one_that_goes_splits_them():
    new_wire = "wires:\n  W8: {from: X1:1, to: X1:2, colour: WH, size: 1.0, loom: cab}\n"
    joined = reviewed("wires:\n", new_wire)
    assert joined.split == ()
    assert joined.joined == (("F1:out, P1:1, W3, W4".join(["'lamps' (", ")"]), "F2:out, W7"),)
    back = review(loaded(BASE.replace("wires:\n", new_wire)), loaded(BASE))
    assert back.joined == ()
    assert len(back.split) == 1
    assert {p.code for p in back.gone} == {p.code for p in joined.appeared}


def test_the_faces_are_those_of_the_plugs_that_were_touched():
    assert reviewed("colour: GY, size", "colour: VT, size").faces == ("X1",)
    assert reviewed("rating: 15", "rating: 20").faces == ()


def test_a_finding_of_a_renamed_plug_is_neither_new_nor_gone():
    found = review(loaded(BASE), loaded(BASE.replace("X1", "X5")))
    assert (found.appeared, found.gone, found.joined, found.split) == ((), (), (), ())


def test_no_change_is_said_in_one_line():
    same = review(loaded(BASE), loaded(BASE))
    assert render_text(same, "a.yaml", "b.yaml") == "a.yaml and b.yaml say the same\n"
    assert json.loads(render_json(same, "a", "b"))["changes"] == []


def test_texts_of_a_design_are_never_markup():
    evil = "'<script>*x* [a](b) | `c` @all #1 \\'"
    found = review(loaded(BASE), loaded(BASE.replace("title: Left lamp", f"title: {evil}")))
    text = render_markdown(found, "a", "b")
    assert "\\<script\\>\\*x\\* \\[a\\]\\(b\\) \\| \\`c\\` \\@all \\#1 \\\\" in text
    assert json.loads(render_json(found, "a", "b"))["changes"][0]["after"].startswith("<script>")
