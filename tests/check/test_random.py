"""Random designs: the rules never fail on them, and the order of the file changes nothing."""

from __future__ import annotations

import json
import random
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.strategies import DesignDict, design_text, designs
from wiregen.check import RULES, Report, check
from wiregen.check.render_github import render_github
from wiregen.check.render_json import render_json
from wiregen.check.render_sarif import render_sarif
from wiregen.check.render_text import render_text
from wiregen.connect import connect
from wiregen.read import load_text

SETTINGS = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
CODES = {rule.code for rule in RULES}


def checked(design: DesignDict) -> tuple[Report, list[str]]:
    text = design_text(design)
    return check(load_text(text, "d.yaml")), text.split("\n")


@SETTINGS
@given(designs(bad_ends=True))
def test_every_finding_has_a_code_a_place_and_one_line(design: DesignDict) -> None:
    report, lines = checked(design)
    for problem in (*report.findings, *(problem for problem, _ in report.waived)):
        assert problem.code in CODES
        assert problem.subjects
        assert problem.help
        assert "\n" not in problem.message
        assert not problem.message.endswith(".")
        for span in (problem.span, *(note.span for note in problem.notes)):
            assert 1 <= span.line <= len(lines)
            assert 1 <= span.column <= len(lines[span.line - 1]) + 1


@SETTINGS
@given(designs(bad_ends=True))
def test_every_format_can_print_them(design: DesignDict) -> None:
    report, lines = checked(design)
    assert len(json.loads(render_json(report))["findings"]) == len(report.findings)
    assert len(render_github(report).splitlines()) == len(report.findings)
    results = json.loads(render_sarif(report))["runs"][0]["results"]
    assert len(results) == len(report.findings) + len(report.waived)
    text = render_text(report, {"d.yaml": "\n".join(lines)})
    assert all(c.isprintable() or c == "\n" for c in text)


def shuffled(node: Any, seed: random.Random) -> Any:
    if isinstance(node, dict):
        return {key: shuffled(node[key], seed) for key in seed.sample(list(node), len(node))}
    return node


def words(report: Report) -> list[str]:
    return sorted(f"{p.code} {p.severity} {p.message} {p.subjects}" for p in report.findings)


@SETTINGS
@given(designs(bad_ends=True), st.randoms(use_true_random=False))
def test_order_of_the_file_changes_nothing(design: DesignDict, seed: random.Random) -> None:
    first, _ = checked(design)
    again, _ = checked(shuffled(design, seed))
    assert words(first) == words(again)
    assert first.not_checked == again.not_checked
    assert first.skipped == again.skipped


@SETTINGS
@given(designs())
def test_nets_part_the_nodes(design: DesignDict) -> None:
    loaded = load_text(design_text(design), "d.yaml")
    network = connect(loaded.design)
    nodes = [node for net in network.nets for node in net.nodes]
    assert len(nodes) == len(set(nodes))
    for wire, ends in network.ends_of.items():
        record = loaded.design.wires[wire]
        if len(ends) == 2 and wire in network.wires_at(ends[0]) and record.fate != "insulated":
            assert network.net_of(ends[0]) is network.net_of(ends[1])
    for node in nodes:
        assert all(fuse in loaded.design.fuses for fuse in network.protecting_fuses(node))
    for name in network.circuit_names:
        assert set(network.circuit_wires(name)) <= set(loaded.design.wires)
