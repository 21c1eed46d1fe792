"""Findings as text, JSON, annotations and results log."""

from __future__ import annotations

import json

from wiregen.check import NotChecked, Report
from wiregen.check.render_github import render_github
from wiregen.check.render_json import render_json
from wiregen.check.render_sarif import render_sarif
from wiregen.check.render_text import render_text
from wiregen.model import Origin, Waiver
from wiregen.problems import Note, Problem
from wiregen.source import Span

FILE = "designs/my loom, v2.yaml"
SOURCE = "format: 1\nwires:\n  W5: {from: X1:3, to: X2:1}\n  W6: {from: X1:3, to: X2:2}\n"
TWO = Problem(
    code="CAV102",
    severity="error",
    message="X1:3 holds wires of different circuits: W5 ('100 %') and W6 ('b')",
    span=Span(FILE, 3, 14, 4),
    notes=(Note("W6 ends in X1:3 too", Span(FILE, 4, 14, 4)),),
    help="Move one of them",
    subjects=("X1:3", "W5", "W6"),
    variant="late",
)
INFO = Problem("COL104", "info", "colour changes", Span(FILE, 1, 1))
WAIVER = Waiver("DOC201", "X1:6", "spare, not used", Origin(Span(FILE, 4, 3)))
REPORT = Report(
    findings=(TWO, INFO),
    waived=((Problem("DOC201", "warning", "X1:6 has no source", Span(FILE, 4, 3)), WAIVER),),
    not_checked=(
        NotChecked("BLD101", "size of the wire", ("W5", "W6")),
        NotChecked("NET104", "a source", ("P1",)),
        NotChecked("VLT101", "size of the wire", ("W5",)),
    ),
    skipped=("NET101", "NET103"),
)


def test_text():
    assert render_text(REPORT, {FILE: SOURCE}) == (
        "designs/my loom, v2.yaml:3:14: error CAV102 (variant late): X1:3 holds wires of different "
        "circuits: W5 ('100 %') and W6 ('b')\n"
        "  3 |   W5: {from: X1:3, to: X2:1}\n"
        "    |              ^^^^\n"
        "  note: designs/my loom, v2.yaml:4:14: W6 ends in X1:3 too\n"
        "  4 |   W6: {from: X1:3, to: X2:2}\n"
        "    |              ^^^^\n"
        "  help: Move one of them\n"
        "\n"
        "designs/my loom, v2.yaml:1:1: info COL104: colour changes\n"
        "  1 | format: 1\n"
        "    | ^\n"
        "\n"
        "waived: DOC201 on X1:6: X1:6 has no source (reason: spare, not used)\n"
        "not checked: needs size of the wire for W5, W6 (BLD101, VLT101)\n"
        "not checked: needs a source for P1 (NET104)\n"
        "not checked: 2 rules, because the structure has errors\n"
        "\n"
        "1 error, 0 warnings, 1 info, 1 waived, 5 rules not checked; most would be unlocked by: "
        "size of the wire\n"
    )


def test_nothing_found():
    assert render_text(Report(), {}) == (
        "0 errors, 0 warnings, 0 infos, 0 waived, 0 rules not checked\n"
    )


def test_under_computed_findings_stands_what_they_rest_on():
    drop = Problem("VLT101", "warning", "W5 drops 0.7 V of 0.6 V allowed", Span(FILE, 3, 3))
    *_, caution, _, last = render_text(Report(findings=(INFO, drop)), {FILE: SOURCE}).splitlines()
    assert "estimates" in caution
    assert caution.endswith("The cable and fuse maker's data prevail.")
    assert last.startswith("0 errors, 1 warning, 1 info")
    assert "data prevail" not in render_text(REPORT, {FILE: SOURCE})


def test_mark_stays_under_the_place_in_a_long_line():
    text = "x" * 150 + "HERE" + "y" * 200
    report = Report((Problem("DOC101", "info", "m", Span("a", 1, 151, 4)),))
    _, source, mark, *_ = render_text(report, {"a": text}).splitlines()
    assert source[mark.index("^") : mark.rindex("^") + 1] == "HERE"
    assert len(source) < 120


def test_place_outside_of_the_file_shows_no_line():
    report = Report((Problem("DOC101", "info", "m", Span("a", 9, 1)),))
    assert "|" not in render_text(report, {"a": "one line\n"})


def test_control_characters_never_reach_the_terminal():
    report = Report((Problem("DOC101", "info", "red \x1b[31m\u202e", Span("a", 1, 1)),))
    text = render_text(report, {"a": "\x1b]0;title\x07\tx\n"})
    assert all(c.isprintable() or c == "\n" for c in text)


def test_json():
    document = json.loads(render_json(REPORT))
    assert document["findings"][0] == {
        "code": "CAV102",
        "severity": "error",
        "message": TWO.message,
        "file": FILE,
        "line": 3,
        "column": 14,
        "length": 4,
        "notes": [
            {"message": "W6 ends in X1:3 too", "file": FILE, "line": 4, "column": 14, "length": 4}
        ],
        "help": "Move one of them",
        "subjects": ["X1:3", "W5", "W6"],
        "variant": "late",
    }
    assert document["waived"][0]["reason"] == "spare, not used"
    assert document["not_checked"][1] == {
        "code": "NET104",
        "needs": "a source",
        "objects": ["P1"],
    }
    assert document["skipped"] == ["NET101", "NET103"]
    assert document["summary"] == {
        "errors": 1,
        "warnings": 0,
        "infos": 1,
        "waived": 1,
        "not_checked": 5,
        "most_wanted": "size of the wire",
    }


def test_github_escapes_message_and_properties():
    first, second = render_github(REPORT).splitlines()
    assert first == (
        "::error file=designs/my loom%2C v2.yaml,line=3,col=14,endColumn=18,title=CAV102::"
        "X1:3 holds wires of different circuits: W5 ('100 %25') and W6 ('b') (variant late)%0A"
        "note: designs/my loom, v2.yaml:4:14: W6 ends in X1:3 too%0Ahelp: Move one of them"
    )
    assert second.startswith("::notice file=")


def test_github_takes_no_command_from_a_message():
    bad = Problem("DOC101", "error", "a\n::set-output name=x::y\r", Span("f:1\n::error::", 1, 1))
    assert len(render_github(Report((bad,))).splitlines()) == 1


def test_results_log():
    log = json.loads(render_sarif(REPORT))
    assert log["version"] == "2.1.0"
    (run,) = log["runs"]
    assert run["columnKind"] == "unicodeCodePoints"
    rules = run["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == ["CAV102", "COL104", "DOC201"]
    assert all(rule["help"]["text"] for rule in rules)
    error, info, waived = run["results"]
    assert (error["level"], info["level"], waived["level"]) == ("error", "note", "warning")
    assert rules[error["ruleIndex"]]["id"] == error["ruleId"] == "CAV102"
    (place,) = error["locations"]
    assert place["physicalLocation"] == {
        "artifactLocation": {"uri": "designs/my%20loom%2C%20v2.yaml"},
        "region": {"startLine": 3, "startColumn": 14, "endColumn": 18},
    }
    assert error["relatedLocations"][0]["message"]["text"] == "W6 ends in X1:3 too"
    assert "suppressions" not in error
    assert waived["suppressions"] == [{"kind": "inSource", "justification": "spare, not used"}]
