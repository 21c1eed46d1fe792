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


def test_a_lead_that_keeps_to_the_practice_is_no_unfused_wire() -> None:
    def unfused(first: str) -> set[str]:
        found = judged(FEED.format(first=first)).findings
        return {s for p in found if p.code == "FUS101" for s in p.subjects if s.startswith("W")}

    assert unfused(", length: 50") == {"W4"}
    assert unfused(", length: 500") == {"W1", "W2", "W3", "W4"}
