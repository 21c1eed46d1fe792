"""Public cases in invented scenarios: the finding each calls for, and none that is wrong.

Each file of cases/ names the published source beside the document; every finding is listed as
severity, code and first subject, so that a new false alarm fails here too.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from wiregen.check import check
from wiregen.read import load

CASES = sorted(Path(__file__).with_name("cases").glob("*.yaml"))


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_case(path, tmp_path):
    case = yaml.safe_load(path.read_text("utf-8"))
    assert case["source"]
    design = tmp_path / "design.yaml"
    design.write_text(case["design"], "utf-8")
    report = check(load(design))
    found = [f"{p.severity} {p.code} {p.subjects[0]}" for p in report.findings]
    assert sorted(found) == sorted(case["finds"])
