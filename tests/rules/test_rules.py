"""Each rule finds its fault at the exact place, stays silent without it, and does so alone.

A case in <CODE>.yaml is a good document and the one change that makes it bad.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
import yaml

from wiregen.check import RULES, Report, check
from wiregen.check.engine import run_rules
from wiregen.problems import SEVERITIES, Problem
from wiregen.read import Loaded, load

FOLDER = Path(__file__).parent


@dataclass(frozen=True)
class Place:
    line: int
    column: int
    severity: str = ""
    says: str = ""


@dataclass(frozen=True)
class Case:
    code: str
    name: str
    good: str
    bad: str
    finds: tuple[Place, ...]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


def case_files() -> list[Path]:
    return sorted(FOLDER.glob("*.yaml"))


def all_cases() -> Iterator[Case]:
    for path in case_files():
        document = yaml.safe_load(path.read_text("utf-8"))
        assert document["code"] == path.stem
        for case in document["cases"]:
            assert case["good"].count(case["this"]) == 1, f"{path.name}: {case['case']}"
            yield Case(
                code=path.stem,
                name=case["case"],
                good=case["good"],
                bad=case["good"].replace(case["this"], case["instead"]),
                finds=tuple(Place(**place) for place in case["finds"]),
            )


CASES = list(all_cases())


def read(tmp_path: Path, text: str) -> Loaded:
    path = tmp_path / "design.yaml"
    path.write_text(text, "utf-8")
    return load(path)


def of_code(report: Report, code: str) -> list[Problem]:
    return [problem for problem in report.findings if problem.code == code]


@pytest.mark.parametrize("case", CASES, ids=str)
def test_good_document_is_silent(case, tmp_path):
    found = of_code(check(read(tmp_path, case.good)), case.code)
    assert [problem.message for problem in found] == []


@pytest.mark.parametrize("case", CASES, ids=str)
def test_bad_document_is_found_in_its_place(case, tmp_path):
    found = of_code(check(read(tmp_path, case.bad)), case.code)
    places = [(problem.span.line, problem.span.column) for problem in found]
    assert places == [(place.line, place.column) for place in case.finds]
    for problem, place in zip(found, case.finds, strict=True):
        assert place.says in problem.message
        assert place.severity in ("", problem.severity)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_bad_document_passes_when_its_rule_is_switched_off(case, tmp_path):
    loaded = read(tmp_path, case.bad)
    others = tuple(rule for rule in RULES if rule.code != case.code)
    kept = tuple(problem for problem in loaded.problems if problem.code != case.code)
    report = run_rules(replace(loaded, problems=kept), others)
    assert of_code(report, case.code) == []
    assert of_code(run_rules(loaded, RULES), case.code) != []


def test_every_rule_has_cases_and_every_case_a_rule():
    assert {path.stem for path in case_files()} == {rule.code for rule in RULES}


def test_codes_and_names_are_unique():
    codes = [rule.code for rule in RULES]
    assert len(set(codes)) == len(codes)
    names = [rule.name for rule in RULES]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_record_is_filled(rule):
    assert re.fullmatch(r"[A-Z]{3}[1-9]\d\d", rule.code)
    assert rule.severity in SEVERITIES
    for text in (rule.name, rule.title, rule.why, rule.fix, rule.source, rule.since):
        assert text.strip()
    assert not rule.title.endswith(".")
    assert not rule.fix.endswith(".")
    assert rule.why.endswith(".")
