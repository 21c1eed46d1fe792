"""How far the first fuse sits from a battery."""

from __future__ import annotations

import pytest

from tests.compute.designs import judged, study
from wiregen.facts.tables import rows

FEED = """
format: 1
earths: {{EP1: {{kind: chassis}}}}
fuses: {{F1: {{rating: 30}}, F2: {{rating: 10}}}}
splices: {{J1: {{}}}}
devices:
  G1: {{kind: battery, volts: 12, terminals: [plus], case: EP1}}
  S1: {{kind: isolator, terminals: [1, 2], positions: {{"off": [], "on": [[1, 2]]}}}}
  M1: {{kind: motor, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "S1:1", size: 6{first}}}
  W2: {{from: "S1:2", to: J1, size: 6, length: 60}}
  W3: {{from: J1, to: "F1:in", size: 6, length: 30}}
  W4: {{from: J1, to: "F2:in", size: 6, length: 400}}
  W5: {{from: "F1:out", to: "M1:1", size: 6, length: 900}}
"""


@pytest.mark.parametrize(
    ("case", "inches"), [("bare", 7), ("sheathed", 40), ("sheathed at the battery", 72)]
)
def test_the_distances_are_the_published_inches(case: str, inches: float) -> None:
    # ABYC E-11 as summarised by marine dealers, from memory
    (row,) = [row for row in rows("fuse_distance") if row["case"] == case]
    assert float(row["limit_mm"]) == pytest.approx(25.4 * inches, abs=0.5)
    assert row["status"] == "from memory"


def test_lengths_add_up_through_switches_and_splices() -> None:
    leads = {lead.fuse: lead for lead in study(FEED.format(first=", length: 50")).leads}
    assert leads["F1"].length_mm == 50 + 60 + 30
    assert leads["F1"].wires == ("W1", "W2", "W3")
    assert leads["F1"].is_short
    assert leads["F2"].length_mm == 50 + 60 + 400
    assert not leads["F2"].is_short


def test_a_missing_length_is_named_and_never_counts_as_short() -> None:
    leads = {lead.fuse: lead for lead in study(FEED.format(first="")).leads}
    assert leads["F1"].missing == ("W1",)
    assert not leads["F1"].is_short
    left = judged(FEED.format(first="")).not_checked
    assert {m.objects for m in left if m.code == "FUS109"} == {("W1",)}


def test_in_a_cable_it_may_be_further_and_furthest_straight_from_the_post() -> None:
    text = FEED.format(first=", length: 50") + "groups: {MC1: {multicore: [W1, W2, W3]}}\n"
    leads = {lead.fuse: lead for lead in study(text).leads}
    assert leads["F1"].limit_mm == 1016
    assert leads["F2"].limit_mm == 178
    straight = text.replace('{from: J1, to: "F2:in"', '{from: "G1:plus", to: "F2:in"')
    straight = straight.replace("W2, W3]", "W2, W3, W4]")
    leads = {lead.fuse: lead for lead in study(straight).leads}
    assert leads["F2"].limit_mm == 1829


def test_the_way_to_a_fuse_is_one_finding() -> None:
    """Near: none. Too far: how far. Further than any practice has it, or unknown: unfused."""

    def found(first: str, last: int = 400) -> set[tuple[str, str]]:
        text = FEED.format(first=first).replace("length: 400", f"length: {last}")
        codes = [p for p in judged(text).findings if p.code in ("FUS101", "FUS109")]
        return {(p.code, s) for p in codes for s in p.subjects if s in ("W1", "W3", "W4")}

    assert found(", length: 50", last=60) == set()
    assert found(", length: 50") == {("FUS109", name) for name in ("W1", "W4")}
    assert found(", length: 500") == {("FUS109", name) for name in ("W1", "W3", "W4")}
    # 50 + 60 mm to the splice: 1829 mm is the furthest of the three cases
    assert found(", length: 50", last=1719) == {("FUS109", name) for name in ("W1", "W4")}
    assert found(", length: 50", last=1720) == {("FUS101", "W4")}
    assert found(", length: 1800") == {("FUS101", name) for name in ("W1", "W3", "W4")}
    # nothing is known of the first wire: what there is of F2's way is too much already
    assert found("") == {("FUS101", "W3"), ("FUS109", "W1"), ("FUS109", "W4")}
