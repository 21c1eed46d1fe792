"""Public cases in invented scenarios: the finding each calls for, and none that is wrong.

Each file of cases/ names the published source beside the document; every finding is listed as
severity, code and first subject, so that a new false alarm fails here too. `says` lists what has to
be read in the findings, `states` what `wiregen states` has to print. `changed` holds the same
document with lines exchanged: the cure, or another fault. A key changed to nothing is taken out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pytest
import yaml

from wiregen.check import check
from wiregen.compute.render_states import states_text
from wiregen.compute.study import Study
from wiregen.connect import connect
from wiregen.problems import Problem
from wiregen.read import load

FOLDER = Path(__file__).with_name("cases")


@dataclass(frozen=True)
class Case:
    name: str
    design: str
    finds: list[str]
    says: list[str] = field(default_factory=list)
    states: list[str] = field(default_factory=list)


def _exchanged(text: str, lines: dict[str, str]) -> str:
    """Return a document with the lines of these keys written anew; empty takes one out."""
    left = dict(lines)
    result = []
    for line in text.splitlines():
        key = line.strip().partition(":")[0]
        if key not in lines:
            result.append(line)
            continue
        indent = line[: len(line) - len(line.lstrip())]
        result += [f"{indent}{new}" for new in left.pop(key).splitlines()]
    assert not left, left
    return "\n".join(result) + "\n"


def all_cases() -> list[Case]:
    cases = []
    for path in sorted(FOLDER.glob("*.yaml")):
        case = yaml.safe_load(path.read_text("utf-8"))
        assert case["source"]
        name, design = path.stem, case["design"]
        cases.append(
            Case(name, design, case["finds"], case.get("says", []), case.get("states", []))
        )
        for other in case.get("changed", []):
            text = _exchanged(design, other["lines"])
            says, states = other.get("says", []), other.get("states", [])
            cases.append(Case(f"{name}: {other['what']}", text, other["finds"], says, states))
    return cases


def words_of(problem: Problem) -> str:
    notes = [note.message for note in problem.notes]
    return " ".join([problem.code, problem.message, *notes, f"help: {problem.help}"])


@pytest.mark.parametrize("case", all_cases(), ids=lambda case: case.name)
def test_case(case, tmp_path):
    design = tmp_path / "design.yaml"
    design.write_text(case.design, "utf-8")
    loaded = load(design)
    report = check(loaded)
    found = [f"{p.severity} {p.code} {p.subjects[0]}" for p in report.findings]
    assert sorted(found) == sorted(case.finds), "\n".join(p.message for p in report.findings)
    read = "\n".join(words_of(problem) for problem in report.findings)
    for words in case.says:
        assert words in read, f"{words!r} not in\n{read}"
    if case.states:
        study = Study(loaded.design, connect(loaded.design))
        printed = " ".join(states_text(study).split())
        for words in case.states:
            assert words in printed, f"{words!r} not in\n{printed}"
